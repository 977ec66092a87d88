/** New delivery: who from, when, and how many blocks of what; their labels are made on saving. */
import { useState } from "preact/hooks";
import { readCount } from "../../records/block_draft";
import { sync } from "../../sync";
import { localDay } from "../dates";
import { farm, isOwner, store, unit } from "../here";
import { useKept } from "../kept";
import { Barred } from "../parts/absent";
import { BlockFields } from "../parts/block_fields";
import { DeliveryFields } from "../parts/delivery_fields";
import { useDrafted } from "../parts/drafted";
import { Select, Text } from "../parts/field";
import { EmptyForm } from "../parts/form_end";
import { Frame } from "../parts/frame";
import { namesOf } from "../parts/options";
import { Form, Tap } from "../parts/tap";
import { VarietyFields } from "../parts/variety_fields";
import { replaceWith } from "../route";
import { once } from "../saving";
import { usedLabels } from "../used_labels";
import { count } from "../words";
import { blankLine, type Faults, type Line, NEW, readWritten, type Written } from "./delivery_draft";

const DRAFT = "delivery";
const NO_FAULTS: Faults = { delivery: {}, lines: [] };

export function NewDelivery() {
  const start = useDrafted(DRAFT, blank);
  if (!isOwner.value) return <Barred to="#/blocks" />;
  return start && <Writing start={start} />;
}

/** The first delivery of a farm has nothing to choose from: supplier and variety are new ones then. */
function blank(): Written {
  const currency = sync.door.value.who?.farm.currency ?? "";
  const supplier = farm.value.supplier.size > 0 ? "" : NEW;
  const about = { supplier, supplierName: "", lot: "", price: "", currency, stored: "", note: "" };
  return { ...about, received: localDay(new Date()), lines: [nextLine()] };
}

function nextLine(before?: Line): Line {
  return { ...blankLine(before), variety: farm.value.variety.size > 0 ? "" : NEW };
}

function Writing({ start }: { start: Written }) {
  const { shown: written, latest, change, saving } = useKept(start, DRAFT);
  const [tried, setTried] = useState(false);
  const read = () => readWritten(latest(), localDay(new Date()), unit.value, usedLabels());
  const found = tried ? read() : null;
  const faults = found && "faults" in found ? found.faults : NO_FAULTS;
  const changeLine = (at: number, part: Partial<Line>) =>
    change(({ lines }) => ({
      lines: lines.map((line, place) => (place === at ? { ...line, ...part } : line)),
    }));
  const save = async () => {
    setTried(true);
    const now = read();
    if ("faults" in now) return;
    const { changes, delivery } = now.made;
    const saved = await once("delivery", () => saving(() => store().save(changes, [], DRAFT)));
    if (saved) replaceWith(`#/delivery/${delivery}`);
  };
  const total = written.lines.reduce((sum, line) => sum + counted(line), 0);
  return (
    <Frame title="New delivery" from="#/blocks">
      <Form
        onSave={save}
        save={total > 0 ? `Save ${count(total, "block")}` : "Save"}
        below={<EmptyForm onTap={() => change(blank())} />}
      >
        <About written={written} faults={faults} onChange={change} />
        {written.lines.map((line, at) => (
          <LineFields
            key={at}
            line={line}
            n={written.lines.length > 1 ? at + 1 : 0}
            wrong={faults.lines[at] ?? {}}
            onChange={(part) => changeLine(at, part)}
            onDrop={() => change({ lines: written.lines.filter((_, place) => place !== at) })}
          />
        ))}
        <Tap onTap={() => change({ lines: [...written.lines, nextLine(written.lines.at(-1))] })}>
          Another variety in this delivery
        </Tap>
      </Form>
    </Frame>
  );
}

/** What is no number of blocks promises none on the button. */
function counted(line: Line): number {
  const read = readCount(line.count);
  return typeof read === "number" ? read : 0;
}

interface AboutProps {
  written: Written;
  faults: Faults;
  onChange: (part: Partial<Written>) => void;
}

function About({ written, faults, onChange }: AboutProps) {
  const suppliers = namesOf("supplier");
  const { supplier } = written;
  const isNew = supplier === NEW;
  return (
    <>
      {suppliers.length > 0 && (
        <Select
          name="Supplier"
          value={supplier}
          options={[["", "Choose"], ...suppliers, [NEW, "A new supplier"]]}
          wrong={isNew ? undefined : faults.supplier}
          onPick={(picked) => onChange({ supplier: picked })}
        />
      )}
      {isNew && (
        <Text
          name={suppliers.length > 0 ? "Name of the new supplier" : "Supplier"}
          hint="Your own name, if you made them."
          most={80}
          value={written.supplierName}
          wrong={faults.supplier}
          onText={(supplierName) => onChange({ supplierName })}
        />
      )}
      <DeliveryFields draft={written} wrong={faults.delivery} onChange={onChange} />
    </>
  );
}

interface LineProps {
  line: Line;
  n: number;
  wrong: Faults["lines"][number];
  onChange: (part: Partial<Line>) => void;
  onDrop: () => void;
}

function LineFields({ line, n, wrong, onChange, onDrop }: LineProps) {
  const varieties = namesOf("variety");
  const fresh = line.variety === NEW;
  return (
    <section class="form sheet">
      <h2>{n > 0 ? `Blocks, variety ${n}` : "Blocks"}</h2>
      {varieties.length > 0 && (
        <Select
          name="Variety"
          value={line.variety}
          options={[["", "Choose"], ...varieties, [NEW, "A new variety"]]}
          wrong={fresh ? undefined : wrong.variety}
          onPick={(variety) => onChange({ variety })}
        />
      )}
      {fresh && (
        <VarietyFields
          draft={line.fresh}
          wrong={wrong.variety}
          onChange={(part) => onChange({ fresh: { ...line.fresh, ...part } })}
        />
      )}
      <Text
        name="How many blocks"
        keys="numeric"
        value={line.count}
        wrong={wrong.count}
        onText={(text) => onChange({ count: text })}
      />
      <BlockFields each draft={line} wrong={wrong} onChange={onChange} />
      {n > 0 && (
        <Tap look="plain" onTap={onDrop}>
          Take this variety off
        </Tap>
      )}
    </section>
  );
}
