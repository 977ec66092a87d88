/** A two-stage extract begun, or corrected: mushrooms, spirit, times and the strength aimed at; what to expect before it is saved. */
import type { Standing } from "../../records/farm_view";
import type { Id } from "../../records/types";
import { useForm } from "../form";
import { keeping } from "../here";
import { FromFields } from "../keeping/taken_from";
import { MUSHROOMS } from "../keeping_words";
import type { Field } from "../parts/bound";
import { draftOf, useDrafted } from "../parts/drafted";
import { Choice, Select, Text } from "../parts/field";
import { Drop, EmptyForm } from "../parts/form_end";
import { varietiesByName } from "../parts/options";
import { Sure } from "../parts/sure";
import { Form } from "../parts/tap";
import { When } from "../parts/when";
import { back, replaceWith } from "../route";
import { MedicineCare, SpiritCare } from "./extract_cautions";
import { type ExtractDraft, extractDraftOf, freshExtract } from "./extract_draft";
import { expectedOf, volumesOf } from "./extract_expected";
import { ExtractFigures } from "./extract_figures";
import { extractFields, nameFor, readExtract } from "./extract_read";

export function NewExtract({ from }: { from: Id }) {
  const draft = `extract/of/${from}`;
  const start = useDrafted(draft, () => freshExtract(from));
  return start && <Fields start={start} draft={draft} />;
}

export function ExtractForm({ row }: { row: Standing<"extract"> }) {
  const draft = draftOf(row);
  const start = useDrafted(draft, () => extractDraftOf(row));
  return start && <Fields start={start} draft={draft} />;
}

interface Changing {
  shown: ExtractDraft;
  field: Field<ExtractDraft>;
  change: (part: Partial<ExtractDraft>) => void;
}

function Fields({ start, draft }: { start: ExtractDraft; draft: string }) {
  const { shown, change, field, odd, save } = useForm(start, draft, readExtract);
  const { seen } = shown;
  const submit = async () => {
    const id = await save();
    if (id && seen) back(`#/extract/${id}`);
    else if (id) replaceWith(`#/extract/${id}`);
  };
  return (
    <Form
      onSave={submit}
      save={seen ? "Save" : "Save this extract"}
      below={
        seen ? <DropExtract row={seen} /> : <EmptyForm onTap={() => change(freshExtract(shown.from.jar))} />
      }
    >
      <Mushrooms {...{ shown, field, change }} />
      <Sure odd={odd} onYes={(sure) => change({ sure })} />
      <Spirit field={field} />
      <Steeping field={field} />
      <Preview draft={shown} />
      <Text name="Name" most={80} example={nameFor(shown.from.variety || null)} {...field("name")} />
      <When name="Poured on" timed={!!seen} {...field("when")} />
      <Text name="Note (if any)" long most={2000} {...field("note")} />
      <MedicineCare />
    </Form>
  );
}

function Mushrooms({ shown, field, change }: Changing) {
  const fresh = shown.mushroom === "fresh";
  return (
    <>
      <Choice
        name="Mushrooms"
        {...field("mushroom")}
        options={Object.entries(MUSHROOMS) as ["dried" | "fresh", string][]}
        hint="Dried, crushed ones are preferred: fresh ones bring an unknown amount of water (common practice)."
      />
      {fresh ? (
        <Select
          name="Variety"
          value={shown.from.variety}
          options={[["", "Not noted"], ...varietiesByName()]}
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
        {...field("mass")}
      />
      {fresh && (
        <div class="side">
          <Text name="Water from, %" keys="decimal" most={20} example="85" {...field("waterLow")} />
          <Text name="Water to, %" keys="decimal" most={20} example="93" {...field("waterHigh")} />
        </div>
      )}
    </>
  );
}

function Spirit({ field }: Pick<Changing, "field">) {
  return (
    <>
      <Text name="Spirit" example="for example 500 mL" most={20} {...field("spirit")} />
      <Text
        name="Its strength, as on the bottle"
        example="95 % or 190 proof"
        most={20}
        {...field("strength")}
      />
      <SpiritCare />
    </>
  );
}

function Steeping({ field }: Pick<Changing, "field">) {
  return (
    <>
      <p class="quiet small">
        Four to six weeks in the spirit, shaken now and then; 25 to 30 % in the end is what makers usually
        bottle at (common practice). All of it is yours to change.
      </p>
      <div class="side">
        <Text name="Weeks, at least" keys="decimal" most={20} {...field("weeksLow")} />
        <Text name="Weeks, at most" keys="decimal" most={20} {...field("weeksHigh")} />
      </div>
      <Text
        name="Shake every so many days"
        keys="decimal"
        hint="Leave it empty for no reminder."
        most={20}
        {...field("shake")}
      />
      <div class="side">
        <Text name="Aim from, %" keys="decimal" most={20} {...field("targetLow")} />
        <Text name="Aim to, %" keys="decimal" most={20} {...field("targetHigh")} />
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

function DropExtract({ row }: { row: Standing<"extract"> }) {
  return (
    <Drop
      row={row}
      parts={keeping.value.extract.get(row.id)?.steps ?? []}
      said={`${row.fields.name} deleted.`}
      home="#/keeping"
      pageToo
    >
      Delete this extract
    </Drop>
  );
}
