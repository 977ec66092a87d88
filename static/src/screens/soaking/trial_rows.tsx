/** The soaking trials of the farm, the latest first. */
import { whenWords } from "../dates";
import { keeping, now } from "../here";
import { Where } from "../parts/where";
import { count } from "../words";
import { minutesWords, trialFacts, trialName } from "./trial_facts";

export function TrialRows() {
  const trials = [...keeping.value.trial.values()].sort(
    (a, b) => Date.parse(b.fields.at) - Date.parse(a.fields.at),
  );
  if (trials.length === 0) return null;
  return (
    <ul class="list">
      {trials.map((view) => {
        const { nearly, points } = trialFacts(view);
        const said =
          nearly === null ? count(points.length, "weighing") : `soak about ${minutesWords(nearly)}`;
        return (
          <li key={view.id}>
            <a class="room" href={`#/trial/${view.id}`}>
              <strong>{trialName(view)}</strong>
              <span class="quiet small">
                {whenWords(view.fields.at, now.value)}, {said}
              </span>
              <Where at={view.row.where} />
            </a>
          </li>
        );
      })}
    </ul>
  );
}
