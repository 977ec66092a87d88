/** What is expected of a load and what its weighings say, in sentences with what they rest on. */
import { DRIED_AGAIN_MIN, STEADY_SHARE } from "../../calc/drying";
import { USUAL_STEP_G } from "../../calc/loads";
import type { Load } from "../../calc/runs";
import type { DryingView } from "../../records/keeping_view";
import { Wrong } from "../parts/field";
import { about, plain } from "./amounts";
import { expected, verdictOf } from "./loads";

/** "104 to 133 g", or null while nothing is in it. */
export function expectedEnd(load: Load): string | null {
  const estimate = expected(load);
  return estimate && about(estimate).range;
}

/** "near 118 g, likely 104 to 133 g (your 7 batches)", or null while nothing is in it. */
export function expectedWords(load: Load): string | null {
  const estimate = expected(load);
  if (!estimate) return null;
  const { value, range } = about(estimate);
  return `near ${value}, likely ${range} (${estimate.basis})`;
}

export function Expected({ load }: { load: Load }) {
  const words = expectedWords(load);
  return words === null ? null : <p>This load should end {words}.</p>;
}

/** Never that it is dry enough: no weight tells that. */
export function Says({ view }: { view: DryingView }) {
  const verdict = verdictOf(view);
  if ("trouble" in verdict) return <Wrong>{verdict.trouble}</Wrong>;
  return (
    <div>
      <p>
        {verdict.verdict === "constant" && <strong>Constant weight. </strong>}
        {verdict.says}
      </p>
      <details>
        <summary>What counts as constant</summary>
        <p class="small">
          Weigh, dry it again for {DRIED_AGAIN_MIN} minutes or more, cool it, weigh again. A loss of up to{" "}
          {plain(verdict.tolerance_g)} counts as none: one step of the scale
          {view.fields.scale_step_g === null && ` (not noted; ${USUAL_STEP_G} g is taken)`} or{" "}
          {100 * STEADY_SHARE} % of the load, whichever is more. Common practice. It tells that no more water
          leaves, never that it is dry enough to seal: the snap test does.
        </p>
      </details>
    </div>
  );
}
