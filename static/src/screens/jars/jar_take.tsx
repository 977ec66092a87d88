/** Taking from a jar: how much, what for; more than it holds is asked back. The same pad corrects a taking. */
import type { Standing } from "../../records/farm_view";
import type { JarView } from "../../records/keeping_view";
import { typedFrom, typedText } from "../../records/typed";
import type { Use } from "../../records/types";
import { fieldTime } from "../dates";
import { keeping } from "../here";
import { plain } from "../keeping/amounts";
import { OwnerMissing } from "../keeping/owner_missing";
import { type Asked, blankScale, Earlier, type Scaled, ScalePage } from "../keeping/scale_page";
import { USES } from "../keeping_words";
import { draftOf } from "../parts/drafted";
import { type Option, Select } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Titled } from "../parts/label";
import { Tap } from "../parts/tap";
import { instantMeant, NO_TIME } from "../parts/when";
import { written } from "../patch";
import { keep } from "../saving";

export interface TakingDraft extends Scaled {
  use: Use;
}

/** Corrects a taking, also one that the server refused. */
export function TakingForm({ row }: { row: Standing<"taking"> }) {
  const view = keeping.value.jar.get(row.fields.jar);
  if (!view) return <OwnerMissing what="taking" of="jar" />;
  return <Taking view={view} seen={row} />;
}

/** "The jar holds 62 g by the record; 80 g typed", with the ways out of it. */
export function askTaking(state: TakingDraft, grams: number, left_g: number): Asked<TakingDraft> | null {
  const text = typedText(state.typed);
  if (grams <= left_g || state.confirmed === text) return null;
  const takeIt = [`Take ${text} all the same`, { confirmed: text }] as const;
  if (left_g <= 0) return { words: `The jar is empty by the record; you typed ${text}.`, answers: [takeIt] };
  const all = [`Take all ${plain(left_g)}`, { typed: { digits: String(left_g), unit: "g" } }] as const;
  return {
    words: `The jar holds ${plain(left_g)} by the record; you typed ${text}.`,
    answers: [all, takeIt],
  };
}

export function Taking({ view, seen }: { view: JarView; seen?: Standing<"taking"> }) {
  const fields = seen?.fields;
  const left_g = view.left_g + (fields && !seen.refused ? fields.mass_g : 0);
  const start: TakingDraft = fields
    ? {
        typed: typedFrom(fields.typed, fields.mass_g),
        when: fieldTime(new Date(fields.at)),
        confirmed: fields.typed,
        use: fields.use,
      }
    : { ...blankScale(), use: "kitchen" };
  const home = `#/jar/${view.id}`;
  const ask = (state: TakingDraft, grams: number): Asked<TakingDraft> | null => {
    const at = instantMeant(state.when, fields?.at);
    if (!at) return { words: NO_TIME, field: "when" };
    return askTaking(state, grams, left_g);
  };
  const save = async (state: TakingDraft, mass_g: number, draft: string) => {
    const at = instantMeant(state.when, fields?.at) ?? new Date().toISOString();
    const typed = typedText(state.typed);
    const made = { jar: view.id, at, mass_g, typed, use: state.use, note: fields?.note ?? "" };
    await keep(
      [written("taking", made, seen)],
      `${typed} taken from ${view.fields.label}: on this phone.`,
      [],
      draft,
    );
  };
  return (
    <ScalePage
      title={seen ? `Correct a taking from ${view.fields.label}` : `Take from ${view.fields.label}`}
      heading={
        <Titled code={view.fields.label}>
          {seen ? "Correct this" : `${plain(Math.max(0, left_g))} in it`}
        </Titled>
      }
      from={home}
      draft={seen ? draftOf(seen) : `jar/${view.id}/take`}
      start={start}
      ask={ask}
      save={save}
      saveWords={(text) => (text ? `Take ${text}` : "Take")}
      refused={seen?.refused?.message}
      below={
        seen && (
          <Drop row={seen} said={`Taking of ${plain(seen.fields.mass_g)} deleted.`} home={home}>
            Delete this taking
          </Drop>
        )
      }
    >
      {({ use, when }, change) => (
        <>
          <Select
            name="What for"
            bare
            value={use}
            options={Object.entries(USES) as Option[]}
            onPick={(picked) => change({ use: picked as Use })}
          />
          <div class="two">
            {left_g > 0 && (
              <Tap onTap={() => change({ typed: { digits: String(left_g), unit: "g" } })}>
                All {plain(left_g)}
              </Tap>
            )}
            <Earlier name="Taken" when={when} timed={!!seen} onWhen={(to) => change({ when: to })} />
          </div>
        </>
      )}
    </ScalePage>
  );
}
