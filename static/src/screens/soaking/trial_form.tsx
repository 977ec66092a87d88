/** What goes into the water: new, or corrected. */
import type { Standing } from "../../records/farm_view";
import type { Id } from "../../records/types";
import { useForm } from "../form";
import { keeping, mass } from "../here";
import { FromFields } from "../keeping/taken_from";
import { draftOf, useDrafted } from "../parts/drafted";
import { Text } from "../parts/field";
import { Drop, EmptyForm } from "../parts/form_end";
import { Sure } from "../parts/sure";
import { Form } from "../parts/tap";
import { When } from "../parts/when";
import { back, replaceWith } from "../route";
import { freshTrial, readTrial, type TrialDraft, trialDraftOf } from "./trial_draft";

export function NewTrial({ from }: { from: Id }) {
  const draft = `trial/of/${from}`;
  const start = useDrafted(draft, () => freshTrial(from));
  return start && <Fields start={start} draft={draft} />;
}

export function TrialForm({ row }: { row: Standing<"trial"> }) {
  const draft = draftOf(row);
  const start = useDrafted(draft, () => trialDraftOf(row));
  return start && <Fields start={start} draft={draft} />;
}

function Fields({ start, draft }: { start: TrialDraft; draft: string }) {
  const { shown, change, field, odd, save } = useForm(start, draft, readTrial);
  const { seen } = shown;
  const submit = async () => {
    const id = await save();
    if (id && seen) back(`#/trial/${id}`);
    else if (id) replaceWith(`#/trial/${id}`);
  };
  return (
    <Form
      onSave={submit}
      save={seen ? "Save" : "Save and start the clock"}
      below={seen ? <DropTrial row={seen} /> : <EmptyForm onTap={() => change(freshTrial(shown.from.jar))} />}
    >
      <FromFields from={shown.from} fixed={!!seen} onFrom={(from) => change({ from })} />
      <Text name="Dry mass" keys="decimal" example="for example 30 g" most={40} {...field("mass")} />
      <Sure odd={odd} onYes={(sure) => change({ sure })} />
      <div class="side">
        <Text name="Water, °C" keys="decimal" {...field("celsius")} />
        <Text name="Water, mL" most={20} {...field("water")} />
      </div>
      <When name="Into the water" timed={!!seen} {...field("when")} />
      <Text name="Note (if any)" long most={2000} {...field("note")} />
    </Form>
  );
}

function DropTrial({ row }: { row: Standing<"trial"> }) {
  return (
    <Drop
      row={row}
      parts={keeping.value.trial.get(row.id)?.weighings ?? []}
      said={`Trial of ${mass(row.fields.dry_g)} deleted.`}
      home="#/keeping"
      pageToo
    >
      Delete this trial
    </Drop>
  );
}
