/** What happened to a block: one tap for what needs no words, a short form for what does. */
import { useState } from "preact/hooks";
import type { BlockView } from "../../records/farm_view";
import type { Contamination, Happening, What } from "../../records/types";
import { newId } from "../../store";
import { fieldTime, instantOf } from "../dates";
import { farm, mayPick } from "../here";
import { Absent, Barred } from "../parts/absent";
import { Choice, type Option, Select, Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { Titled } from "../parts/label";
import { Masses, type Masses as Soaked } from "../parts/soak_masses";
import { Form, Tap } from "../parts/tap";
import { back } from "../route";
import { keep, once } from "../saving";
import { CONTAMINATIONS, WHATS } from "../words";

// These say all there is to say by their name; the others want a word more.
const AT_ONCE: readonly What[] = ["pins_seen", "opened", "spent", "discarded"];
const ORDER: readonly What[] = [
  "pins_seen",
  "opened",
  "soaked",
  "moved",
  "contamination",
  "note",
  "spent",
  "discarded",
];

export function Happened({ id }: { id: string }) {
  const [what, setWhat] = useState<What | null>(null);
  const [when, setWhen] = useState("");
  const view = farm.value.block.get(id);
  if (!view) return <Absent what="block" to="#/blocks" />;
  if (!mayPick.value) return <Barred to={`#/block/${id}`} />;
  const { label } = view.fields;
  const pick = (picked: What) => (AT_ONCE.includes(picked) ? note(view, picked, when) : setWhat(picked));
  return (
    <Frame
      title={`What happened to ${label}?`}
      heading={<Titled code={label}>What happened?</Titled>}
      from={`#/block/${id}`}
    >
      <When when={when} onWhen={setWhen} />
      {what === null ? (
        <ul class="kinds">
          {ORDER.map((each) => (
            <li key={each}>
              <Tap onTap={() => pick(each)}>
                {WHATS[each]}
                {!AT_ONCE.includes(each) && " …"}
              </Tap>
            </li>
          ))}
        </ul>
      ) : (
        <Details view={view} what={what} when={when} onOther={() => setWhat(null)} />
      )}
    </Frame>
  );
}

function When({ when, onWhen }: { when: string; onWhen: (when: string) => void }) {
  const [earlier, setEarlier] = useState(false);
  const pick = (picked: "now" | "earlier") => {
    setEarlier(picked === "earlier");
    onWhen(picked === "earlier" ? fieldTime(new Date()) : "");
  };
  return (
    <div class="form">
      <Choice
        name="When"
        value={earlier ? "earlier" : "now"}
        options={[
          ["now", "Now"],
          ["earlier", "Earlier"],
        ]}
        onPick={pick}
      />
      {earlier && <Text name="Day and time" type="datetime-local" value={when} onText={onWhen} />}
    </div>
  );
}

type Told = Partial<Omit<Happening, "block" | "what" | "at">>;

const NOTHING_TOLD = {
  until: null,
  mass_before_g: null,
  mass_after_g: null,
  place: null,
  contamination: "",
  note: "",
} as const;

async function note(view: BlockView, what: What, when: string, told: Told = {}): Promise<void> {
  const done = await once(`happened ${view.id} ${what}`, async () => {
    const at = when === "" ? new Date().toISOString() : instantOf(when);
    if (!at) throw new Error("Choose the day and the time, or leave it at now.");
    const fields = { ...NOTHING_TOLD, ...told, block: view.id, what, at };
    const words = `${WHATS[what]}: ${view.fields.label}, on this phone.`;
    await keep([{ verb: "add", kind: "happening", id: newId(), fields }], words);
  });
  if (done) back(`#/block/${view.id}`);
}

interface DetailProps {
  view: BlockView;
  what: What;
  when: string;
  onOther: () => void;
}

function Details({ view, what, when, onOther }: DetailProps) {
  const [told, setTold] = useState<Told>({});
  const [masses, setMasses] = useState<Soaked | null>(null);
  const [wrong, setWrong] = useState("");
  const tell = (part: Told) => {
    setTold({ ...told, ...part });
    setWrong("");
  };
  const save = () => {
    const lack = lacking(what, told, when) || (masses?.wrong ?? "");
    setWrong(lack);
    return lack === "" ? note(view, what, when, { ...told, ...masses?.fields }) : undefined;
  };
  const places = [...farm.value.place.values()].map(({ id, fields }): Option => [id, fields.name]);
  return (
    <Form
      onSave={save}
      below={
        <Tap look="plain" onTap={onOther}>
          Something else happened
        </Tap>
      }
    >
      <h2>{WHATS[what]}</h2>
      {what === "soaked" && (
        <>
          <Soak when={when} told={told} wrong={wrong} onTell={tell} />
          <Masses onMasses={setMasses} />
        </>
      )}
      {what === "moved" && (
        <Select
          name="Where it stands now"
          value={told.place ?? ""}
          options={[["", "Choose"], ...places]}
          wrong={places.length > 0 ? wrong : "There are no places yet: add them under Farm."}
          onPick={(id) => tell({ place: id || null })}
        />
      )}
      {what === "contamination" && (
        <>
          <Select
            name="What it looks like"
            value={told.contamination ?? ""}
            options={[["", "Choose"], ...Object.entries(CONTAMINATIONS)]}
            wrong={wrong}
            onPick={(kind) => tell({ contamination: kind as Contamination })}
          />
          <p class="care">Carry it out closed and wear a fitted mask. Eat nothing that grew on it.</p>
        </>
      )}
      <Text
        name={what === "note" ? "Your note" : "Note (if any)"}
        long
        most={2000}
        value={told.note ?? ""}
        wrong={what === "note" ? wrong : undefined}
        onText={(words) => tell({ note: words })}
      />
    </Form>
  );
}

function lacking(what: What, told: Told, when: string): string {
  const begun = when === "" ? Date.now() : Date.parse(instantOf(when) ?? "");
  if (what === "moved" && !told.place) return "Choose the place it went to.";
  if (what === "contamination" && !told.contamination)
    return "Choose what it looks like; “Something else” will do.";
  if (what === "note" && !told.note?.trim()) return "Write a word or two.";
  return told.until && Date.parse(told.until) < begun ? OUT_BEFORE_IN : "";
}

export const OUT_BEFORE_IN = "It comes out before it goes in: check the times.";

interface Telling {
  when: string;
  told: Told;
  wrong: string;
  onTell: (part: Told) => void;
}

const SOAK_HOURS = [6, 12, 24];

function Soak({ when, told, wrong, onTell }: Telling) {
  const begun = when === "" ? new Date() : new Date(when);
  const after = (hours: number) => new Date(begun.getTime() + hours * 3_600_000).toISOString();
  return (
    <>
      <div class="row">
        {SOAK_HOURS.map((hours) => (
          <Tap key={hours} name={`Out after ${hours} hours`} onTap={() => onTell({ until: after(hours) })}>
            {hours} h
          </Tap>
        ))}
      </div>
      <Text
        name="Out at"
        type="datetime-local"
        value={told.until ? fieldTime(new Date(told.until)) : ""}
        wrong={wrong}
        hint="Today will remind you."
        onText={(text) => onTell({ until: instantOf(text) ?? null })}
      />
    </>
  );
}
