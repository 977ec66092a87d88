/** What happened to a block: one tap for what needs no words, a short form for what does. */
import { useState } from "preact/hooks";
import type { BlockView } from "../../records/farm_view";
import type { Happening, What } from "../../records/types";
import { type Change, newId } from "../../store";
import { farm, mayPick } from "../here";
import { Absent, Barred } from "../parts/absent";
import { Frame } from "../parts/frame";
import { Titled } from "../parts/label";
import { Tap } from "../parts/tap";
import { timeAfter, When } from "../parts/when";
import { back } from "../route";
import { keep, once } from "../saving";
import { NOTHING_TOLD } from "../standing";
import { WHATS } from "../words";
import { Details } from "./happened_details";

// These say all there is to say by their name; the others want a word more.
const AT_ONCE: readonly What[] = ["pins_seen", "pins_dried", "flush_over", "opened", "spent", "discarded"];
const ORDER: readonly What[] = [
  "pins_seen",
  "pins_dried",
  "flush_over",
  "opened",
  "soaked",
  "moved",
  "contamination",
  "note",
  "spent",
  "discarded",
];

export function Happened({ id }: { id: string }) {
  const view = farm.value.block.get(id);
  if (!view) return <Absent what="block" to="#/blocks" />;
  if (!mayPick.value) return <Barred to={`#/block/${id}`} />;
  const { label } = view.fields;
  return (
    <Frame
      title={`What happened to ${label}?`}
      heading={<Titled code={label}>What happened?</Titled>}
      from={`#/block/${id}`}
    >
      <Telling key={id} view={view} />
    </Frame>
  );
}

function Telling({ view }: { view: BlockView }) {
  const [what, setWhat] = useState<What | null>(null);
  const [when, setWhen] = useState("");
  const [tried, setTried] = useState(false);
  const read = () => timeAfter(view.delivery?.fields.received, when);
  const at = () => {
    setTried(true);
    const { value } = { value: undefined, ...read() };
    // The time stands above what is told, maybe out of sight.
    if (!value)
      requestAnimationFrame(() => document.querySelector<HTMLElement>("main [aria-invalid]")?.focus());
    return value;
  };
  const pick = (picked: What) => {
    if (!AT_ONCE.includes(picked)) return setWhat(picked);
    const now = at();
    return now && note(view, { what: picked, at: now });
  };
  return (
    <>
      <div class="form">
        <When name="When" value={when} wrong={tried ? read().wrong : undefined} onText={setWhen} />
      </div>
      {what === null ? (
        <Kinds onPick={pick} />
      ) : (
        <Details
          key={what}
          what={what}
          begun={read()}
          at={at}
          onSave={(told, places) => note(view, { ...told, what }, places)}
          onOther={() => setWhat(null)}
        />
      )}
    </>
  );
}

function Kinds({ onPick }: { onPick: (what: What) => unknown }) {
  return (
    <ul class="kinds">
      {ORDER.map((each) => (
        <li key={each}>
          <Tap onTap={() => onPick(each)}>
            {WHATS[each]}
            {!AT_ONCE.includes(each) && " …"}
          </Tap>
        </li>
      ))}
    </ul>
  );
}

export type Told = Partial<Omit<Happening, "block" | "what" | "at">> & { at: string };

async function note(
  view: BlockView,
  told: Told & { what: What },
  places: readonly Change[] = [],
): Promise<void> {
  const { what } = told;
  const done = await once(`happened ${view.id} ${what}`, () => {
    const fields = { ...NOTHING_TOLD, ...told, block: view.id };
    const words = `${WHATS[what]}: ${view.fields.label}, on this phone.`;
    return keep([...places, { verb: "add", kind: "happening", id: newId(), fields }], words);
  });
  if (done) back(`#/block/${view.id}`);
}
