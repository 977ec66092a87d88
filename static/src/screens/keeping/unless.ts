/** What a calculation says, or its own words on why it says nothing. */
import { Unacceptable } from "../../calc/errors";

export function unless<T>(work: () => T): { value: T } | { refusal: string } {
  try {
    return { value: work() };
  } catch (error) {
    if (error instanceof Unacceptable) return { refusal: error.message };
    throw error;
  }
}
