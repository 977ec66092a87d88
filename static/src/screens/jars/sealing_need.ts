/** How many absorbers a container takes, with all of it counted as air: the safe side. Pure. */
import { absorbers_needed, oxygen_ml } from "../../calc/sealing";

/** null while either size is unknown. */
export function absorbersFor(
  container_ml: number | null,
  one_ml: number | null,
): { oxygen_ml: number; count: number } | null {
  if (!container_ml || !one_ml || Number.isNaN(container_ml + one_ml)) return null;
  const oxygen = oxygen_ml(container_ml);
  return { oxygen_ml: oxygen, count: absorbers_needed(oxygen, one_ml) };
}
