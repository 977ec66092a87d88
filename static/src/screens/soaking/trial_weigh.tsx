/** A drained weighing on the pad, its minutes as the clock has them; the same page corrects one. */
import type { Standing } from "../../records/farm_view";
import type { TrialView } from "../../records/keeping_view";
import { typedFrom, typedText } from "../../records/typed";
import { readNumber } from "../../records/typed_numbers";
import type { Id } from "../../records/types";
import { keeping, mass, now } from "../here";
import { blankScale, ScalePage } from "../keeping/scale_page";
import { Absent } from "../parts/absent";
import { draftOf } from "../parts/drafted";
import { Text } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Tap } from "../parts/tap";
import { written } from "../patch";
import { keep } from "../saving";
import { askDrained, clockMinutes, type Drained } from "./trial_weighing";

/** `id` "weigh" is a new one. */
export function TrialWeigh({ view, id }: { view: TrialView; id: Id }) {
  const row = view.weighings.find((each) => each.id === id);
  if (row) return <TrialWeighingForm row={row} />;
  if (id !== "weigh") return <Absent what="weighing" to={`#/trial/${view.id}`} />;
  const start = { ...blankScale(), minutes: clockMinutes(view.fields.at, Date.now()) };
  return <Weighing view={view} start={start} draft={`trial/${view.id}/weigh`} />;
}

/** Corrects a weighing, also one that the server refused. */
export function TrialWeighingForm({ row }: { row: Standing<"trial_weighing"> }) {
  const view = keeping.value.trial.get(row.fields.trial);
  if (!view) return <Absent what="trial" to="#/keeping" />;
  const { typed, drained_g, minutes } = row.fields;
  const start = {
    typed: typedFrom(typed, drained_g),
    when: "",
    confirmed: `${typed}|${minutes}`,
    minutes: String(minutes),
  };
  const draft = draftOf(row);
  return <Weighing view={view} start={start} draft={draft} row={row} />;
}

interface Props {
  view: TrialView;
  start: Drained;
  draft: string;
  row?: Standing<"trial_weighing">;
}

function Weighing({ view, start, draft, row }: Props) {
  const home = row?.refused ? "#/unsent" : `#/trial/${view.id}`;
  const save = async (state: Drained, drained_g: number, key: string) => {
    const minutes = readNumber(state.minutes, 0, Number.MAX_VALUE) ?? 0;
    const made = { trial: view.id, minutes, drained_g, typed: typedText(state.typed) };
    const words = `${made.typed} after ${minutes} min, on this phone.`;
    await keep([written("trial_weighing", made, row)], words, [], key);
  };
  return (
    <ScalePage
      title={row ? "Correct a weighing" : "Weigh, drained"}
      heading={<span class="who">{mass(view.fields.dry_g)} dry, drained now</span>}
      from={home}
      draft={draft}
      start={start}
      ask={(state, grams) => askDrained(state, grams, view, row?.id)}
      save={save}
      saveWords={(text) => (text ? `Save ${text}` : "Save")}
      refused={row?.refused?.message}
      below={
        row && (
          <Drop row={row} said={`Weighing at ${row.fields.minutes} min deleted.`} home={home}>
            Delete this weighing
          </Drop>
        )
      }
    >
      {({ minutes }, change) => (
        <Minutes
          minutes={minutes}
          clock={row ? "" : clockMinutes(view.fields.at, now.value)}
          onMinutes={(to) => change({ minutes: to })}
        />
      )}
    </ScalePage>
  );
}

interface MinutesProps {
  minutes: string;
  clock: string;
  onMinutes: (minutes: string) => void;
}

/** The clock goes on while the mushrooms drain: it offers, it never changes what stands there. */
function Minutes({ minutes, clock, onMinutes }: MinutesProps) {
  return (
    <div class="row minutes">
      <Text name="Minutes in the water" keys="decimal" most={10} value={minutes} onText={onMinutes} />
      {clock !== "" && clock !== minutes && <Tap onTap={() => onMinutes(clock)}>Now {clock} min</Tap>}
    </div>
  );
}
