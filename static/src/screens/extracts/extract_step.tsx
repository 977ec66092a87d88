/** A step of an extract: one tap for what has no volume, a short form for what has; the same form corrects one. */
import type { Standing } from "../../records/farm_view";
import type { ExtractView } from "../../records/keeping_view";
import type { ExtractStep, Id, Step } from "../../records/types";
import { newId } from "../../store";
import { fieldTime } from "../dates";
import { type Read, useForm } from "../form";
import { faultsOf, readVolume, volumeText } from "../keeping/typed_amounts";
import { STEPS } from "../keeping_words";
import { draftOf, useDrafted } from "../parts/drafted";
import { Text } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Form } from "../parts/tap";
import { timeMeant, When } from "../parts/when";
import { written } from "../patch";
import { back } from "../route";
import { keep, once } from "../saving";
import { MedicineCare, SpiritCare } from "./extract_cautions";

/** What a volume is of; a step without one is a single tap. */
const VOLUMES: Partial<Record<Step, { name: string; hint: string }>> = {
  strained: { name: "Strained off, spirit", hint: "What ran off and was pressed out, as a jug shows it." },
  boiled: {
    name: "Water stage, strained",
    hint: "What is left of the water after boiling the mushrooms and straining them off.",
  },
  bottled: { name: "Filled into bottles", hint: "All bottles together." },
};

export function atOnce(what: Step): boolean {
  return what === "shaken" || what === "joined";
}

export async function stepDone(view: ExtractView, what: Step): Promise<void> {
  const fields: ExtractStep = {
    extract: view.id,
    what,
    at: new Date().toISOString(),
    volume_ml: null,
    note: "",
  };
  await once(`${what} ${view.id}`, () =>
    keep([{ verb: "add", kind: "extract_step", id: newId(), fields }], `${STEPS[what]}: on this phone.`),
  );
}

interface StepDraft {
  what: Step;
  volume: string;
  when: string;
  note: string;
  seen?: Standing<"extract_step">;
}

type StepField = "volume" | "when" | "note";

function readStep({ what, volume, when, note, seen }: StepDraft, extract: Id): Read<StepField> {
  const read = readVolume(volume);
  const at = timeMeant(when, seen?.fields.at);
  const lack = what === "note" && note.trim() === "" ? "Write a word or two." : "";
  if (read.wrong !== undefined || at.wrong !== undefined || lack)
    return { faults: faultsOf({ volume: read, when: at, note: lack }) };
  const fields = { extract, what, at: at.value, volume_ml: read.value, note };
  const words = seen ? "Changed on this phone." : `${STEPS[what]}: on this phone.`;
  return { changes: [written("extract_step", fields, seen)], words };
}

export function NewStep({ view, what }: { view: ExtractView; what: Step }) {
  const draft = `extract/${view.id}/${what}`;
  const start = useDrafted<StepDraft>(draft, () => ({ what, volume: "", when: "", note: "" }));
  return start && <Fields start={start} draft={draft} extract={view.id} />;
}

export function ExtractStepForm({ row }: { row: Standing<"extract_step"> }) {
  const draft = draftOf(row);
  const { what, volume_ml, at, note, extract } = row.fields;
  const start = useDrafted<StepDraft>(draft, () => ({
    what,
    volume: volumeText(volume_ml),
    when: fieldTime(new Date(at)),
    note,
    seen: row,
  }));
  return start && <Fields start={start} draft={draft} extract={extract} />;
}

function Fields({ start, draft, extract }: { start: StepDraft; draft: string; extract: Id }) {
  const { shown, field, save } = useForm(start, draft, (written) => readStep(written, extract));
  const { what, seen } = shown;
  const home = `#/extract/${extract}`;
  const volume = VOLUMES[what];
  const submit = async () => {
    if (await save()) back(home);
  };
  return (
    <Form
      onSave={submit}
      below={
        seen && (
          <Drop row={seen} said={`${STEPS[what]}: deleted.`} home={home}>
            Delete
          </Drop>
        )
      }
    >
      {what === "strained" && <SpiritCare />}
      {what === "boiled" && (
        <p class="care">
          Is the spirit strained off and well away from the stove? Mushrooms still wet with it give off its
          vapour when heated: let air through, no open flame.
        </p>
      )}
      {volume && (
        <Text
          name={volume.name}
          hint={volume.hint}
          example="for example 420 mL"
          most={20}
          {...field("volume")}
        />
      )}
      <When name="When" timed={!!seen} {...field("when")} />
      <Text name={what === "note" ? "Your note" : "Note (if any)"} long most={2000} {...field("note")} />
      {what === "bottled" && <MedicineCare />}
    </Form>
  );
}
