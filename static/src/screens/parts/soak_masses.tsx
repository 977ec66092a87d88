/** The mass of a block before and after its soak, if it was weighed, and the water that it took up. */
import { format_mass } from "../../records/masses";
import { bothOf, NO_MASSES, readSoak, type SoakDraft, type SoakRead } from "../../records/soaked";
import { unit } from "../here";
import { bound } from "./bound";
import { Text, Wrong } from "./field";
import { waterWords } from "./soak_words";
import { Tap } from "./tap";

/** What a record holds has been said yes to. */
export function soakDraftOf(before: number | null, after: number | null): SoakDraft {
  const draft = { ...NO_MASSES, before: typed(before), after: typed(after) };
  return { ...draft, sure: bothOf(draft) };
}

interface Props {
  draft: SoakDraft;
  /** a save was tried: what is wrong or odd is said */
  tried: boolean;
  onChange: (part: Partial<SoakDraft>) => void;
}

export function Masses({ draft, tried, onChange }: Props) {
  const read = readSoak(draft, unit.value);
  const faults = tried && "wrong" in read ? read.wrong : {};
  const field = bound({ shown: draft, faults, change: onChange });
  return (
    <>
      <div class="side">
        <Text name="Mass before" example="2.5 kg" {...field("before")} />
        <Text name="Mass after" example="2.9 kg" {...field("after")} />
      </div>
      {tried && "asked" in read ? (
        <div class="form">
          <Wrong>{read.asked.words}</Wrong>
          <div class="row">
            {read.asked.answers.map(([name, part]) => (
              <Tap key={name} onTap={() => onChange(part)}>
                {name}
              </Tap>
            ))}
          </div>
        </div>
      ) : (
        <p class="quiet" aria-live="polite">
          {water(read)}
        </p>
      )}
    </>
  );
}

/** Half a figure is no loss of water: what grew lighter is asked on saving. */
function water(read: SoakRead): string {
  if (!("fields" in read)) return "";
  const { mass_before_g: before, mass_after_g: after } = read.fields;
  return before !== null && after !== null && after >= before ? `It ${waterWords(before, after)}.` : "";
}

function typed(grams: number | null): string {
  return grams === null ? "" : format_mass(grams, "g");
}
