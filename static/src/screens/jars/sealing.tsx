/** Closing a jar: how much air it holds, how many absorbers that takes, and the caution where the lid goes on. */
import { oxygen_ml } from "../../calc/sealing";
import { readNumber } from "../../records/typed_numbers";
import { readVolume } from "../keeping/typed_amounts";
import type { Field } from "../parts/bound";
import { Choice, Text } from "../parts/field";
import { count } from "../words";
import type { JarDraft } from "./jar_draft";
import { absorbersFor } from "./sealing_need";

interface Props {
  draft: JarDraft;
  field: Field<JarDraft>;
}

export function Sealing({ draft, field }: Props) {
  const { value: container = null } = { value: undefined, ...readVolume(draft.ml) };
  const need = absorbersFor(container, readNumber(draft.one, 0.001, 100_000));
  return (
    <section class="form">
      <h2>Closing it</h2>
      <Caution />
      <Text
        name="Volume of the container"
        hint="For example 580 mL or 1 L. All of it counts as air."
        {...field("ml")}
      />
      <Choice
        name="Oxygen absorbers"
        {...field("absorbers")}
        options={[
          ["no", "None"],
          ["yes", "In it"],
        ]}
      />
      {draft.absorbers === "yes" && (
        <>
          <p>{needWords(container, need)}</p>
          <div class="side">
            <Text name="One takes up, mL" hint="Of oxygen, as printed." keys="decimal" {...field("one")} />
            <Text
              name="How many"
              hint={need ? `Left empty: ${need.count}.` : "Left empty: worked out."}
              keys="numeric"
              {...field("count")}
              wrong={field("count").wrong ?? tooFew(draft, need)}
            />
          </div>
        </>
      )}
    </section>
  );
}

type Need = ReturnType<typeof absorbersFor>;

function needWords(container: number | null, need: Need): string {
  if (!container || Number.isNaN(container))
    return "The volume above says how much oxygen there is to take up.";
  const holds = `${container} mL of air hold ${oxygen_ml(container).toFixed(0)} mL of oxygen`;
  return need ? `${holds}: ${count(need.count, "absorber")} of the size you have.` : `${holds}.`;
}

/** Said, never in the way of a save. */
function tooFew(draft: JarDraft, need: Need): string | undefined {
  const number = readNumber(draft.count, 1, 1000);
  if (!need || number === null || !(number < need.count)) return undefined;
  return `${count(need.count, "absorber")} would take it all up.`;
}

/** The usual caution; no weight tells that a batch is dry enough, so nothing here ever says that it is. */
export function Caution() {
  return (
    <p class="sealing-care">
      <strong>Only what is crisp-dry, about 10 % moisture or less.</strong> Moist food sealed without oxygen
      risks botulism. No weight tells that it is dry enough: cool a piece and see that it snaps, does not
      bend. Follow your local food rules.
    </p>
  );
}
