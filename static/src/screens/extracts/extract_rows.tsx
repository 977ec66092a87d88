/** The extracts of the farm: what is under way first, then what is bottled, the latest first. */
import type { ExtractView } from "../../records/keeping_view";
import { whenWords } from "../dates";
import { keeping, now } from "../here";
import { Where } from "../parts/where";
import { datesOf, type Stage, stageOf } from "./extract_dates";

const STAGES: Record<Exclude<Stage, "steeping">, string> = {
  strained: "strained; boil next",
  boiled: "boiled; join the two next",
  joined: "joined; bottle it next",
  bottled: "bottled",
};

export function ExtractRows() {
  const extracts = [...keeping.value.extract.values()].sort(
    (a, b) =>
      Number(bottled(a)) - Number(bottled(b)) || Date.parse(b.fields.started) - Date.parse(a.fields.started),
  );
  if (extracts.length === 0) return null;
  return (
    <ul class="list">
      {extracts.map((view) => (
        <li key={view.id}>
          <a class="room" href={`#/extract/${view.id}`}>
            <strong>{view.fields.name}</strong>
            <span class="quiet small">{said(view)}</span>
            <Where at={view.row.where} />
          </a>
        </li>
      ))}
    </ul>
  );
}

function bottled(view: ExtractView): boolean {
  return stageOf(view) === "bottled";
}

function said(view: ExtractView): string {
  const stage = stageOf(view);
  const since = whenWords(view.fields.started, now.value);
  return stage === "steeping"
    ? `Steeping since ${since}. ${datesOf(view).join(" ")}`
    : `Begun ${since}, ${STAGES[stage]}`;
}
