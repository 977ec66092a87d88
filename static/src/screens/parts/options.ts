/** The farm's own names, as the phone's lists offer them. */
import type { Id } from "../../records/types";
import { farm } from "../here";

type Named = readonly [id: Id, name: string];

/** In the order they were made. */
export function namesOf(kind: "place" | "supplier" | "variety"): Named[] {
  return [...farm.value[kind].values()].map(({ id, fields }) => [id, fields.name]);
}

export function varietiesByName(): Named[] {
  return namesOf("variety").sort((a, b) => a[1].localeCompare(b[1]));
}
