/** Where a record stands, in the three words. What is sent needs no word of its own in a list. */
import type { Whereabouts } from "../../store/api";
import { Sign } from "./signs";

export function Where({ at }: { at: Whereabouts }) {
  if (at === "sent") return null;
  const heed = at === "needs attention";
  return (
    <span class={heed ? "mark heed" : "mark"}>
      <Sign of={heed ? "heed" : "here"} size={16} /> {at}
    </span>
  );
}
