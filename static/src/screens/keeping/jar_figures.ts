/** What a jar stands for in fresh mushrooms. */
import { fresh_equivalent } from "../../calc/kept";
import type { JarView } from "../../records/keeping_view";
import { about } from "./amounts";
import { ratioOf } from "./loads";

/** "about 1.1 kg fresh, likely 0.9 to 1.3 kg (your 7 batches)"; read from the way its load was dried. */
export function freshWords(view: JarView): string | null {
  const ratio = ratioOf(view.variety?.id ?? null, view.drying?.fields.method ?? null);
  const fresh = fresh_equivalent(view.left_g, ratio);
  if (!fresh) return null;
  const { value, range } = about(fresh);
  return `about ${value} fresh, likely ${range} (${fresh.basis})`;
}
