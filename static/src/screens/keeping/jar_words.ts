/** What a jar holds, in a few words. */
import type { JarView } from "../../records/keeping_view";

export function jarWords({ fields, variety }: JarView): string {
  return fields.what || (variety?.fields.name ?? "Not named");
}
