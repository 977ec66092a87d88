/** Weighing a load: on the way, or as it comes out of the dryer. The same pad corrects a weighing. */
import type { ComponentChildren } from "preact";
import type { Standing } from "../../records/farm_view";
import type { DryingView } from "../../records/keeping_view";
import { typedFrom, typedText } from "../../records/typed";
import type { Instant } from "../../records/types";
import { awayWords, fieldTime } from "../dates";
import { keeping, now } from "../here";
import { draftOf } from "../parts/drafted";
import { Choice } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Tap } from "../parts/tap";
import { instantMeant } from "../parts/when";
import { written } from "../patch";
import { keep } from "../saving";
import { plain } from "./amounts";
import { askDried, askWeighing, type Question, wrongTime } from "./drying_asks";
import { expectedEnd } from "./drying_says";
import { contents, loadOf } from "./loads";
import { OwnerMissing } from "./owner_missing";
import { type Asked, blankScale, Earlier, type Scaled, ScalePage } from "./scale_page";

interface LoadScale extends Scaled {
  cooled: boolean;
}

/** Corrects a weighing, also one that the server refused. */
export function DryingWeighingForm({ row }: { row: Standing<"drying_weighing"> }) {
  const load = keeping.value.drying.get(row.fields.drying);
  return load ? <LoadWeighing load={load} seen={row} /> : <OwnerMissing what="weighing" of="load" />;
}

function answered(state: Scaled, question: Question | null): Asked<LoadScale> | null {
  const text = typedText(state.typed);
  if (!question || state.confirmed === text) return null;
  return { words: question.words, answers: [[question.yes, { confirmed: text }]] };
}

function timeOf({ when }: Scaled, seen?: Instant): Instant {
  return instantMeant(when, seen) ?? new Date().toISOString();
}

interface WeighingProps {
  load: DryingView;
  seen?: Standing<"drying_weighing">;
}

export function LoadWeighing({ load, seen }: WeighingProps) {
  const fields = seen?.fields;
  const start: LoadScale = fields
    ? {
        typed: typedFrom(fields.typed, fields.mass_g),
        when: fieldTime(new Date(fields.at)),
        confirmed: fields.typed,
        cooled: fields.cooled,
      }
    : { ...blankScale(), cooled: true };
  const home = `#/drying/${load.id}`;
  const ask = (state: LoadScale, grams: number): Asked<LoadScale> | null => {
    const late = wrongTime(state.when, load.fields.started, Date.now());
    if (late) return { words: late, field: "when" };
    return answered(state, askWeighing(load, grams, timeOf(state), seen?.id));
  };
  const save = async (state: LoadScale, mass_g: number, draft: string) => {
    const made = {
      drying: load.id,
      at: timeOf(state, fields?.at),
      mass_g,
      typed: typedText(state.typed),
      cooled: state.cooled,
    };
    const words = `${typedText(state.typed)} of the load is on this phone.`;
    await keep([written("drying_weighing", made, seen)], words, [], draft);
  };
  return (
    <ScalePage
      title={seen ? "Correct a weighing" : "Weigh the load"}
      heading={<span class="who">{seen ? "Correct this weighing" : contents(load)}</span>}
      from={home}
      draft={seen ? draftOf(seen) : `drying/${load.id}/weigh`}
      start={start}
      ask={ask}
      save={save}
      saveWords={(text) => (text ? `Save ${text}` : "Save")}
      refused={seen?.refused?.message}
      below={
        <CoolHint>
          {seen && (
            <Drop row={seen} said={`Weighing of ${plain(seen.fields.mass_g)} deleted.`} home={home}>
              Delete this weighing
            </Drop>
          )}
        </CoolHint>
      }
    >
      {({ cooled, when }, change) => (
        <>
          <div class="two">
            <Choice
              name="How the mushrooms were weighed"
              bare
              value={cooled ? "cooled" : "warm"}
              options={[
                ["cooled", "Cooled"],
                ["warm", "Still warm"],
              ]}
              onPick={(how) => change({ cooled: how === "cooled" })}
            />
            <Earlier name="Weighed" when={when} timed={!!seen} onWhen={(to) => change({ when: to })} />
          </div>
          {!seen && <Before load={load} />}
        </>
      )}
    </ScalePage>
  );
}

/** What the scale showed last, and where this should end: to be held against the figure above. */
function Before({ load }: { load: DryingView }) {
  const last = load.weighings.at(-1)?.fields;
  const end = expectedEnd(loadOf(load));
  const said = [
    last
      ? `Last ${plain(last.mass_g)}, ${awayWords(Date.parse(last.at), now.value)}`
      : `${plain(load.wet_g)} went in ${awayWords(Date.parse(load.fields.started), now.value)}`,
    end && `likely to end at ${end}`,
  ];
  return <p class="quiet small">{said.filter(Boolean).join("; ")}.</p>;
}

/** Common practice, no source. */
function CoolHint({ children }: { children?: ComponentChildren }) {
  return (
    <>
      {children}
      <p class="care">
        Weigh the mushrooms alone, cooled to room warmth: a warm load reads light. Let them cool covered, as
        dry mushrooms draw damp from the air. Warm weighings are kept, but not held against the others.
      </p>
    </>
  );
}

export function OutOfDryer({ load }: { load: DryingView }) {
  const home = `#/drying/${load.id}`;
  const last = load.weighings.at(-1)?.fields;
  const ask = (state: LoadScale, grams: number): Asked<LoadScale> | null => {
    const late = wrongTime(state.when, load.fields.started, Date.now());
    return late ? { words: late, field: "when" } : answered(state, askDried(load, grams));
  };
  const save = async (state: LoadScale, dry_g: number, draft: string) => {
    const fields = { ended: timeOf(state), dry_g, dry_typed: typedText(state.typed) };
    const words = `Out of the dryer, ${fields.dry_typed}: on this phone.`;
    await keep([written("drying", fields, load.row)], words, [], draft);
  };
  return (
    <ScalePage
      title="Out of the dryer"
      from={home}
      draft={`drying/${load.id}/out`}
      start={{ ...blankScale(), cooled: true }}
      ask={ask}
      save={save}
      saveWords={(text) => (text ? `Out, dried ${text}` : "Out of the dryer")}
      below={
        <CoolHint>
          <p class="care">
            No weight tells that it is dry enough to seal. Cool a piece: it snaps and does not bend, or it
            goes back in.
          </p>
        </CoolHint>
      }
    >
      {({ when }, change) => (
        <div class="two">
          {last && (
            <Tap onTap={() => change({ typed: typedFrom(last.typed, last.mass_g) })}>
              As weighed {awayWords(Date.parse(last.at), now.value)}: {plain(last.mass_g)}
            </Tap>
          )}
          <Earlier name="Taken out" when={when} onWhen={(to) => change({ when: to })} />
        </div>
      )}
    </ScalePage>
  );
}
