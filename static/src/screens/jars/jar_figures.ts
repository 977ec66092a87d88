/** What a jar stands for in fresh mushrooms. */
import { fresh_equivalent } from "../../calc/jars";
import { OWN_MIXED_LOAD } from "../../calc/runs";
import type { JarView } from "../../records/keeping_view";
import { about, isWeighed } from "../keeping/amounts";
import { ratioOfJar } from "../keeping/loads";

/** "523 g fresh, by its own load"; where that was not weighed "about 1.1 kg fresh, likely 0.9 to 1.3 kg (your 7 batches)". */
export function freshWords(view: JarView): string | null {
  const fresh = fresh_equivalent(view.left_g, ratioOfJar(view));
  if (!fresh) return null;
  const { value, range } = about(fresh);
  if (!isWeighed(fresh)) return `about ${value} fresh, likely ${range} (${fresh.basis})`;
  return `${fresh.basis === OWN_MIXED_LOAD ? "about " : ""}${value} fresh, by ${fresh.basis}`;
}
