/** What a pick came to in the dryer, in words: worked out where it lay with others, and marked so. */
import type { Standing } from "../../records/farm_view";
import { keeping, mass } from "../here";
import { dried } from "../keeping/shares";

export function DriedShareSaid({ pick }: { pick: Standing<"pick"> }) {
  const found = dried(pick.id, keeping.value.drying.values());
  if (!found) return null;
  const { dry_g, wet_g, mixed } = found;
  const of = wet_g < pick.fields.wet_g ? ` from ${mass(wet_g)} of it` : "";
  return (
    <>
      {mixed
        ? `, about ${mass(dry_g)} dried${of}, its share of the load`
        : `, ${mass(dry_g)} dried in its load${of}`}
    </>
  );
}
