/** What goes into the water: new, or corrected. */
import type { Standing } from "../../records/farm_view";
import type { Id } from "../../records/types";
import type { Change } from "../../store";
import { useForm } from "../form";
import { keeping, mass } from "../here";
import { Text } from "../parts/field";
import { Sure } from "../parts/sure";
import { Form, Tap } from "../parts/tap";
import { When } from "../parts/when";
import { back, replaceWith } from "../route";
import { keep, once } from "../saving";
import { useDrafted } from "./drafted";
import { FromFields } from "./soaking_from";
import { freshTrial, readTrial, type TrialDraft, trialDraftOf } from "./trial_draft";

export function NewTrial({ from }: { from: Id }) {
  const draft = `trial/of/${from}`;
  const start = useDrafted(draft, () => freshTrial(from));
  return start && <Fields start={start} draft={draft} />;
}

export function TrialForm({ row }: { row: Standing<"trial"> }) {
  const draft = row.refused ? `refused/${row.refused.op}` : `trial/${row.id}`;
  const start = useDrafted(draft, () => trialDraftOf(row));
  return start && <Fields start={start} draft={draft} />;
}

function Fields({ start, draft }: { start: TrialDraft; draft: string }) {
  const { shown, change, faults, odd, save } = useForm(start, draft, readTrial);
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
      below={
        seen ? (
          !seen.refused && <Drop row={seen} />
        ) : (
          <Tap look="plain" onTap={() => change(freshTrial(shown.from.jar))}>
            Empty this form
          </Tap>
        )
      }
    >
      <FromFields from={shown.from} fixed={!!seen} onFrom={(from) => change({ from })} />
      <Text
        name="Dry mass"
        keys="decimal"
        example="for example 30 g"
        most={40}
        value={shown.mass}
        wrong={faults.mass}
        onText={(text) => change({ mass: text })}
      />
      <Sure odd={odd} onYes={(sure) => change({ sure })} />
      <div class="side">
        <Text
          name="Water, °C"
          keys="decimal"
          value={shown.celsius}
          wrong={faults.celsius}
          onText={(celsius) => change({ celsius })}
        />
        <Text
          name="Water, mL"
          most={20}
          value={shown.water}
          wrong={faults.water}
          onText={(water) => change({ water })}
        />
      </div>
      <When
        name="Into the water"
        timed={!!seen}
        when={shown.when}
        wrong={faults.when}
        onWhen={(when) => change({ when })}
      />
      <Text name="Note (if any)" long most={2000} value={shown.note} onText={(note) => change({ note })} />
    </Form>
  );
}

/** With its weighings, which mean nothing without it; one undo brings all of them back. */
function Drop({ row }: { row: Standing<"trial"> }) {
  const drop = async () => {
    const weighings = keeping.peek().trial.get(row.id)?.weighings ?? [];
    const gone: Change[] = weighings.map(({ kind, id }) => ({ verb: "delete", kind, id }));
    const changes: Change[] = [{ verb: "delete", kind: "trial", id: row.id }, ...gone];
    const words = `Trial of ${mass(row.fields.dry_g)} deleted.`;
    if (await once(`delete ${row.id}`, () => keep(changes, words))) replaceWith("#/keeping");
  };
  return (
    <Tap look="heed" onTap={drop}>
      Delete this trial
    </Tap>
  );
}
