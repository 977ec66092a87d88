/** Varieties grown here, with the grower's own temperatures. */
import { useState } from "preact/hooks";
import { CATALOGUE } from "../../records/catalogue";
import type { Standing } from "../../records/farm_view";
import { noCelsius, readCelsius } from "../../records/typed_numbers";
import type { Variety } from "../../records/types";
import { farm, isOwner } from "../here";
import { useKept } from "../kept";
import { Absent, Barred } from "../parts/absent";
import { Doors } from "../parts/doors";
import { Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { Form, Tap } from "../parts/tap";
import { Teach } from "../parts/teach";
import { VarietyFields } from "../parts/variety_fields";
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

export function VarietyForm({ row }: { row: Standing<"variety"> | undefined }) {
  const [seen] = useState(row);
  const { shown: draft, change } = useKept(row?.fields ?? BLANK);
  const [ends, setEnds] = useState([draft.temp_low_c, draft.temp_high_c].map((end) => String(end ?? "")));
  const [tried, setTried] = useState(false);
  const [low = "", high = ""] = ends;
  const range = [readCelsius(low), readCelsius(high)] as const;
  const wrong = {
    name: draft.name.trim() === "" ? "Write a name." : "",
    low: Number.isNaN(range[0]) ? noCelsius(low) : "",
    high: Number.isNaN(range[1]) ? noCelsius(high) : crossed(range),
  };
  const save = () => {
    setTried(true);
    if (wrong.name || wrong.low || wrong.high) return;
    const fields = { ...draft, name: draft.name.trim(), temp_low_c: range[0], temp_high_c: range[1] };
    return write(written("variety", fields, seen), `${fields.name} is on this phone.`, HOME);
  };
  const shown = tried ? wrong : { name: "", low: "", high: "" };
  const used = [...farm.value.block.values()].some((view) => view.fields.variety === row?.id);
  const drop =
    row && (() => write({ verb: "delete", kind: "variety", id: row.id }, `${draft.name} deleted.`, HOME));
  return (
    <Form
      onSave={save}
      below={
        drop &&
        !row.refused &&
        !used && (
          <Tap look="heed" onTap={drop}>
            Delete this variety
          </Tap>
        )
      }
    >
      <VarietyFields draft={draft} wrong={shown.name} onChange={change} />
      <fieldset class="field">
        <legend>Your own range for fruiting, °C</legend>
        <div class="side">
          <Text name="From" value={low} wrong={shown.low} onText={(text) => setEnds([text, high])} />
          <Text name="To" value={high} wrong={shown.high} onText={(text) => setEnds([low, text])} />
        </div>
        <span class="hint">It stands above what others say of the species.</span>
      </fieldset>
      <Text name="Note" long most={2000} value={draft.note} onText={(note) => change({ note })} />
    </Form>
  );
}

function crossed([low, high]: readonly [number | null, number | null]): string {
  return low !== null && high !== null && low > high ? `${high} °C is below ${low} °C: swap the two.` : "";
}
