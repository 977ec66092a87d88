/** Varieties grown here, with the grower's own temperatures. */
import { useState } from "preact/hooks";
import type { Read, Wrong } from "../../records/block_draft";
import { CATALOGUE } from "../../records/catalogue";
import type { Standing } from "../../records/farm_view";
import { noCelsius, readCelsius } from "../../records/typed_numbers";
import type { Variety } from "../../records/types";
import { farm, isOwner } from "../here";
import { useKept } from "../kept";
import { Absent, Barred } from "../parts/absent";
import { bound } from "../parts/bound";
import { Doors } from "../parts/doors";
import { Text } from "../parts/field";
import { Drop } from "../parts/form_end";
import { Frame } from "../parts/frame";
import { Form } from "../parts/tap";
import { Teach } from "../parts/teach";
import { type VarietyDraft, VarietyFields } from "../parts/variety_fields";
import { written } from "../patch";
import { write } from "../saving";

const HOME = "#/farm/varieties";

export function Varieties() {
  return (
    <Frame
      title="Varieties"
      from="#/farm"
      acts={
        isOwner.value && (
          <a class="tap" href="#/variety/new">
            New variety
          </a>
        )
      }
    >
      {farm.value.variety.size === 0 && <Teach words="A variety is what a block was sold as." />}
      <Doors
        shut={!isOwner.value}
        to={[...farm.value.variety.values()].map(({ id, fields }) => [
          `#/variety/${id}`,
          fields.name,
          about(fields),
        ])}
      />
    </Frame>
  );
}

function about({ species, strain, temp_low_c: low, temp_high_c: high }: Variety): string {
  const range = [low, high].filter((end) => end !== null).join(" to ");
  const latin = CATALOGUE.species.get(species)?.latin ?? "species not noted";
  return [latin, strain && `strain ${strain}`, range && `${range} °C`].filter(Boolean).join(", ");
}

export function VarietyScreen({ id }: { id: string }) {
  const row = farm.value.variety.get(id);
  if (!isOwner.value) return <Barred to={HOME} />;
  if (!row && id !== "new") return <Absent what="variety" to={HOME} />;
  return (
    <Frame title={row ? row.fields.name : "New variety"} from={HOME}>
      <VarietyForm key={id} row={row} />
    </Frame>
  );
}

const BLANK: Variety = { name: "", species: "", strain: "", temp_low_c: null, temp_high_c: null, note: "" };

interface Draft extends VarietyDraft {
  low: string; // °C, as typed
  high: string;
  note: string;
}

function draftFrom({ temp_low_c: low, temp_high_c: high, ...texts }: Variety): Draft {
  return { ...texts, low: String(low ?? ""), high: String(high ?? "") };
}

function readVariety({ low, high, ...texts }: Draft): Read<Variety, "name" | "low" | "high"> {
  const [temp_low_c, temp_high_c] = [readCelsius(low), readCelsius(high)];
  const wrong: Wrong<"name" | "low" | "high"> = {};
  if (texts.name.trim() === "") wrong.name = "Write a name.";
  if (Number.isNaN(temp_low_c)) wrong.low = noCelsius(low);
  if (Number.isNaN(temp_high_c)) wrong.high = noCelsius(high);
  else if (temp_low_c !== null && temp_high_c !== null && temp_low_c > temp_high_c)
    wrong.high = `${temp_high_c} °C is below ${temp_low_c} °C: swap the two.`;
  if (Object.keys(wrong).length > 0) return { wrong };
  return { fields: { ...texts, name: texts.name.trim(), temp_low_c, temp_high_c } };
}

export function VarietyForm({ row }: { row: Standing<"variety"> | undefined }) {
  const [seen] = useState(row);
  const { shown: draft, latest, change } = useKept(draftFrom(row?.fields ?? BLANK));
  const [tried, setTried] = useState(false);
  const faults = (tried && readVariety(draft).wrong) || {};
  const field = bound({ shown: draft, faults, change });
  const save = () => {
    setTried(true);
    const { fields } = readVariety(latest());
    return fields && write(written("variety", fields, seen), `${fields.name} is on this phone.`, HOME);
  };
  const used = [...farm.value.block.values()].some((view) => view.fields.variety === row?.id);
  return (
    <Form onSave={save} below={row && !used && <DropVariety row={row} />}>
      <VarietyFields draft={draft} wrong={faults.name} onChange={change} />
      <fieldset class="field">
        <legend>Your own range for fruiting, °C</legend>
        <div class="side">
          <Text name="From" {...field("low")} />
          <Text name="To" {...field("high")} />
        </div>
        <span class="hint">It stands above what others say of the species.</span>
      </fieldset>
      <Text name="Note" long most={2000} {...field("note")} />
    </Form>
  );
}

function DropVariety({ row }: { row: Standing<"variety"> }) {
  return (
    <Drop row={row} said={`${row.fields.name} deleted.`} home={HOME}>
      Delete this variety
    </Drop>
  );
}
