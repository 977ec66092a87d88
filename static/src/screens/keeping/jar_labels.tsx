/** Labels to print: the chosen jars on an A4 sheet that the server makes, each with its code and the way to its page. */
import { useState } from "preact/hooks";
import type { JarView } from "../../records/keeping_view";
import { readNumber } from "../../records/typed_numbers";
import type { Id } from "../../records/types";
import { sync } from "../../sync";
import { dayWords, localDay } from "../dates";
import { handOver } from "../hand_over";
import { keeping, now } from "../here";
import { Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { Label } from "../parts/label";
import { Tap } from "../parts/tap";
import { Teach } from "../parts/teach";
import { once, say } from "../saving";
import { count } from "../words";
import { jarWords } from "./jar_words";

// As the server makes them: ten sheets at most.
const ON_A_SHEET = 24;
const MOST = 10 * ON_A_SHEET;

export function JarLabels() {
  const jars = [...keeping.value.jar.values()]
    .filter(({ left_g }) => left_g > 0)
    .sort((a, b) => (a.id > b.id ? -1 : 1));
  const [chosen, setChosen] = useState<ReadonlySet<Id>>(() => packedLatest(jars));
  const [busy, setBusy] = useState(false);
  const [from, setFrom] = useState("");
  const start = readNumber(from, 1, ON_A_SHEET) ?? 1;
  const turn = (id: Id) =>
    setChosen(new Set(chosen.has(id) ? [...chosen].filter((each) => each !== id) : [...chosen, id]));
  const make = async () => {
    setBusy(true);
    await once("jar labels", () =>
      printed(
        jars.filter(({ id }) => chosen.has(id)),
        start,
      ),
    );
    setBusy(false);
  };
  const here = jars.filter(({ id }) => chosen.has(id)).length;
  return (
    <Frame
      title="Labels to print"
      from="#/keeping"
      acts={
        jars.length > 0 && (
          <Tap look="main" off={here === 0 || busy || Number.isNaN(start)} onTap={make}>
            {busy ? "Making the sheet …" : `Make the sheet, ${count(here, "label")}`}
          </Tap>
        )
      }
    >
      {jars.length === 0 && (
        <Teach words="No jar holds anything yet. Close one first: its label is made with it." />
      )}
      {jars.length > 0 && (
        <p>
          Choose the jars. The server makes the sheet, so this needs a signal. With none, write the five
          characters on the jar by hand.
        </p>
      )}
      <ul class="putins">
        {jars.map((view) => (
          <li key={view.id}>
            <Choosing view={view} chosen={chosen.has(view.id)} onTap={() => turn(view.id)} />
          </li>
        ))}
      </ul>
      {jars.length > 0 && (
        <Text
          name="Begin at label"
          hint={`1 to ${ON_A_SHEET}, row by row, where the first sheet is used in part.`}
          keys="numeric"
          example="1"
          value={from}
          wrong={
            Number.isNaN(start) ? `A sheet has ${ON_A_SHEET} labels: write 1 to ${ON_A_SHEET}.` : undefined
          }
          onText={setFrom}
        />
      )}
    </Frame>
  );
}

/** Those packed on the last day that anything was are the likeliest to lack a label. */
function packedLatest(jars: readonly JarView[]): Set<Id> {
  const last = jars
    .map(({ fields }) => fields.packed)
    .sort()
    .at(-1);
  return new Set(jars.filter(({ fields }) => fields.packed === last).map(({ id }) => id));
}

async function printed(jars: readonly JarView[], start: number): Promise<void> {
  const unsent = jars.filter(({ row }) => row.where !== "sent");
  if (unsent.length > 0) await sync.tryNow();
  const body = { jars: jars.slice(0, MOST).map(({ id }) => id), start };
  const { blob, name } = await sync.fetchFile("/api/reports/jar-labels", body);
  if (await handOver(blob, name)) say("The sheet is made. Print it at its true size.");
}

function Choosing({ view, chosen, onTap }: { view: JarView; chosen: boolean; onTap: () => void }) {
  const { label, packed } = view.fields;
  return (
    <button type="button" class="putin" aria-pressed={chosen} onClick={onTap}>
      <Label code={label} />
      <span class="grow">
        <strong>{jarWords(view)}</strong>
        <span class="small">packed {dayWords(packed, localDay(new Date(now.value)))}</span>
      </span>
    </button>
  );
}
