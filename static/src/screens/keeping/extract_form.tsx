/** A two-stage extract begun, or corrected: mushrooms, spirit, times and the strength aimed at; what to expect before it is saved. */
import type { Standing } from "../../records/farm_view";
import type { Id } from "../../records/types";
import type { Change } from "../../store";
import { useForm } from "../form";
import { keeping } from "../here";
import { MUSHROOMS } from "../keeping_words";
import { Choice, Select, Text } from "../parts/field";
import { Sure } from "../parts/sure";
import { Form, Tap } from "../parts/tap";
import { When } from "../parts/when";
import { back, replaceWith } from "../route";
import { keep, once } from "../saving";
import { useDrafted } from "./drafted";
import { MedicineCare, SpiritCare } from "./extract_cautions";
import { type ExtractDraft, type ExtractField, extractDraftOf, freshExtract } from "./extract_draft";
import { expectedOf, volumesOf } from "./extract_expected";
import { ExtractFigures } from "./extract_figures";
import { extractFields, nameFor, readExtract } from "./extract_read";
import { FromFields, varietyOptions } from "./soaking_from";

export function NewExtract({ from }: { from: Id }) {
  const draft = `extract/of/${from}`;
  const start = useDrafted(draft, () => freshExtract(from));
  return start && <Fields start={start} draft={draft} />;
}

export function ExtractForm({ row }: { row: Standing<"extract"> }) {
  const draft = row.refused ? `refused/${row.refused.op}` : `extract/${row.id}`;
  const start = useDrafted(draft, () => extractDraftOf(row));
  return start && <Fields start={start} draft={draft} />;
}

interface Changing {
  shown: ExtractDraft;
  faults: Partial<Record<ExtractField, string>>;
  change: (part: Partial<ExtractDraft>) => void;
}

function Fields({ start, draft }: { start: ExtractDraft; draft: string }) {
  const { shown, change, faults, odd, save } = useForm(start, draft, readExtract);
  const { seen } = shown;
  const submit = async () => {
    const id = await save();
    if (id && seen) back(`#/extract/${id}`);
    else if (id) replaceWith(`#/extract/${id}`);
  };
  const changing = { shown, faults, change };
  return (
    <Form
      onSave={submit}
      save={seen ? "Save" : "Save this extract"}
      below={
        seen ? (
          !seen.refused && <Drop row={seen} />
        ) : (
          <Tap look="plain" onTap={() => change(freshExtract(shown.from.jar))}>
            Empty this form
          </Tap>
        )
      }
    >
      <Mushrooms {...changing} />
      <Sure odd={odd} onYes={(sure) => change({ sure })} />
      <Spirit {...changing} />
      <Steeping {...changing} />
      <Preview draft={shown} />
      <Text
        name="Name"
        most={80}
        example={nameFor(shown.from.variety || null)}
        value={shown.name}
        onText={(name) => change({ name })}
      />
      <When
        name="Poured on"
        timed={!!seen}
        when={shown.when}
        wrong={faults.when}
        onWhen={(when) => change({ when })}
      />
      <Text name="Note (if any)" long most={2000} value={shown.note} onText={(note) => change({ note })} />
      <MedicineCare />
    </Form>
  );
}

function Mushrooms({ shown, faults, change }: Changing) {
  const fresh = shown.mushroom === "fresh";
  return (
    <>
      <Choice
        name="Mushrooms"
        value={shown.mushroom}
        options={Object.entries(MUSHROOMS) as ["dried" | "fresh", string][]}
        hint="Dried, crushed ones are preferred: fresh ones bring an unknown amount of water (common practice, no source)."
        onPick={(mushroom) => change({ mushroom })}
      />
      {fresh ? (
        <Select
          name="Variety"
          value={shown.from.variety}
          options={[["", "Not noted"], ...varietyOptions()]}
          onPick={(variety) => change({ from: { ...shown.from, variety } })}
        />
      ) : (
        <FromFields from={shown.from} fixed={!!shown.seen} onFrom={(from) => change({ from })} />
      )}
      <Text
        name={fresh ? "Fresh mass" : "Dry mass"}
        keys="decimal"
        example={fresh ? "for example 800 g" : "for example 100 g"}
        most={40}
        value={shown.mass}
        wrong={faults.mass}
        onText={(text) => change({ mass: text })}
      />
      {fresh && (
        <div class="side">
          <Figures name="Water from, %" of="waterLow" example="85" {...{ shown, faults, change }} />
          <Figures name="Water to, %" of="waterHigh" example="93" {...{ shown, faults, change }} />
        </div>
      )}
    </>
  );
}

interface FiguresProps extends Changing {
  name: string;
  of: Exclude<ExtractField, "when">;
  example?: string;
  hint?: string;
}

function Figures({ name, of, example, hint, shown, faults, change }: FiguresProps) {
  return (
    <Text
      name={name}
      keys="decimal"
      hint={hint}
      most={20}
      value={shown[of]}
      wrong={faults[of]}
      {...(example ? { example } : {})}
      onText={(text) => change({ [of]: text })}
    />
  );
}

function Spirit(changing: Changing) {
  const { shown, faults, change } = changing;
  return (
    <>
      <Text
        name="Spirit"
        example="for example 500 mL"
        most={20}
        value={shown.spirit}
        wrong={faults.spirit}
        onText={(spirit) => change({ spirit })}
      />
      <Text
        name="Its strength, as on the bottle"
        example="95 % or 190 proof"
        most={20}
        value={shown.strength}
        wrong={faults.strength}
        onText={(strength) => change({ strength })}
      />
      <SpiritCare />
    </>
  );
}

function Steeping(changing: Changing) {
  return (
    <>
      <p class="quiet small">
        Four to six weeks in the spirit, shaken now and then; 25 to 30 % in the end is what makers usually
        bottle at (common practice, no source). All of it is yours to change.
      </p>
      <div class="side">
        <Figures name="Weeks, at least" of="weeksLow" {...changing} />
        <Figures name="Weeks, at most" of="weeksHigh" {...changing} />
      </div>
      <Figures
        name="Shake every so many days"
        of="shake"
        hint="Leave it empty for no reminder."
        {...changing}
      />
      <div class="side">
        <Figures name="Aim from, %" of="targetLow" {...changing} />
        <Figures name="Aim to, %" of="targetHigh" {...changing} />
      </div>
    </>
  );
}

function Preview({ draft }: { draft: ExtractDraft }) {
  const read = extractFields(draft);
  const { seen } = draft;
  const view = seen && keeping.value.extract.get(seen.id);
  return (
    <section class="sheet" aria-live="polite">
      <h2>What to expect</h2>
      {"fields" in read ? (
        <ExtractFigures
          expected={expectedOf(read.fields, view ? volumesOf(view) : [])}
          fields={read.fields}
        />
      ) : (
        <p class="quiet">Its strengths stand here once mass, spirit and strength are written down.</p>
      )}
    </section>
  );
}

/** With its steps, which mean nothing without it; one undo brings all of them back. */
function Drop({ row }: { row: Standing<"extract"> }) {
  const drop = async () => {
    const steps = keeping.peek().extract.get(row.id)?.steps ?? [];
    const gone: Change[] = steps.map(({ kind, id }) => ({ verb: "delete", kind, id }));
    const changes: Change[] = [{ verb: "delete", kind: "extract", id: row.id }, ...gone];
    if (await once(`delete ${row.id}`, () => keep(changes, `${row.fields.name} deleted.`)))
      replaceWith("#/keeping");
  };
  return (
    <Tap look="heed" onTap={drop}>
      Delete this extract
    </Tap>
  );
}
