/** A reading of a place's air: new, or corrected. */
import type { Standing } from "../../records/farm_view";
import { noCelsius, readCelsius, readNumber } from "../../records/typed_numbers";
import type { Id } from "../../records/types";
import { fieldTime } from "../dates";
import { type Read, useForm } from "../form";
import { draftOf, useDrafted } from "../parts/drafted";
import { Text } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Form } from "../parts/tap";
import { timeMeant, When } from "../parts/when";
import { written } from "../patch";
import { back } from "../route";
import { readingWords } from "./readings_words";

export interface ReadingDraft {
  celsius: string;
  humidity: string;
  co2: string;
  when: string; // "" is now
  note: string;
  seen?: Standing<"reading">;
}

export type ReadingField = "celsius" | "humidity" | "co2" | "when";

const MOST_PPM = 100_000;
const BLANK: ReadingDraft = { celsius: "", humidity: "", co2: "", when: "", note: "" };

function draftFrom(seen: Standing<"reading">): ReadingDraft {
  const { temp_c, rh_pct, co2_ppm, at, note } = seen.fields;
  const shown = (value: number | null) => (value === null ? "" : String(value));
  const when = fieldTime(new Date(at));
  return { celsius: shown(temp_c), humidity: shown(rh_pct), co2: shown(co2_ppm), when, note, seen };
}

export function readReading({ seen, note, ...draft }: ReadingDraft, place: Id): Read<ReadingField> {
  const temp_c = readCelsius(draft.celsius);
  const rh_pct = readNumber(draft.humidity, 0, 100);
  const co2_ppm = readNumber(draft.co2, 0, MOST_PPM);
  const at = timeMeant(draft.when, seen?.fields.at);
  const faults: Partial<Record<ReadingField, string>> = {};
  if (Number.isNaN(temp_c)) faults.celsius = noCelsius(draft.celsius);
  if (Number.isNaN(rh_pct))
    faults.humidity = `“${draft.humidity}” is no humidity from 0 to 100 %: at 100 % water condenses.`;
  if (Number.isNaN(co2_ppm)) faults.co2 = `“${draft.co2}” is no number of ppm from 0 to ${MOST_PPM}.`;
  if (at.wrong !== undefined) faults.when = at.wrong;
  if (temp_c === null && rh_pct === null && co2_ppm === null && note.trim() === "")
    faults.celsius = "Write down one of the three, or a note.";
  if (at.wrong !== undefined || Object.keys(faults).length > 0) return { faults };
  const fields = { place, at: at.value, temp_c, rh_pct, co2_ppm, note };
  const words = seen ? "Changed on this phone." : `${readingWords(fields)}: on this phone.`;
  return { changes: [written("reading", fields, seen)], words };
}

export function NewReading({ place }: { place: Id }) {
  const draft = `reading/${place}`;
  const start = useDrafted(draft, () => BLANK);
  return start && <Fields start={start} draft={draft} place={place} />;
}

export function ReadingForm({ row }: { row: Standing<"reading"> }) {
  const draft = draftOf(row);
  const start = useDrafted(draft, () => draftFrom(row));
  return start && <Fields start={start} draft={draft} place={row.fields.place} />;
}

function Fields({ start, draft, place }: { start: ReadingDraft; draft: string; place: Id }) {
  const { shown, field, save } = useForm(start, draft, (made) => readReading(made, place));
  const { seen } = shown;
  const home = `#/place/${place}`;
  const submit = async () => {
    if (await save()) back(home);
  };
  return (
    <Form
      onSave={submit}
      save={seen ? "Save" : "Save this reading"}
      below={
        seen && (
          <Drop row={seen} said="Reading deleted." home={home}>
            Delete this reading
          </Drop>
        )
      }
    >
      <div class="side">
        <Text name="Temperature, °C" keys="text" most={10} {...field("celsius")} />
        <Text name="Humidity, %" keys="decimal" most={10} {...field("humidity")} />
      </div>
      <Text name="Carbon dioxide, ppm (if you have a meter)" keys="decimal" most={10} {...field("co2")} />
      <When name="Read" timed={!!seen} {...field("when")} />
      <Text name="Note (if any)" long most={2000} {...field("note")} />
    </Form>
  );
}
