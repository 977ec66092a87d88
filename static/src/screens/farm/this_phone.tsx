/** This phone: what it keeps and how safely, a copy of what is unsent, units, and signing out. */
import { useEffect, useState } from "preact/hooks";
import { Refused, sync } from "../../sync";
import { stampWords } from "../dates";
import { chooseUnit, now, store, unit } from "../here";
import { Choice } from "../parts/field";
import { Frame } from "../parts/frame";
import { Tap } from "../parts/tap";
import { Twice } from "../parts/twice";
import { go } from "../route";
import { once, say } from "../saving";
import { count } from "../words";

export function ThisPhone() {
  const { lastDone } = sync.pass.value;
  const { errands, outbox, parked, picturesWaiting } = store();
  const waiting = outbox.value.length + parked.value.length;
  return (
    <Frame title="This phone" from="#/farm">
      <section>
        <table class="plain">
          <tbody>
            <Row name="Only on this phone">{count(waiting, "record")}</Row>
            <Row name="Picture files to send">{String(picturesWaiting.value)}</Row>
            <Row name="Last sent and fetched">{lastDone ? stampWords(lastDone, now.value) : "not yet"}</Row>
            <Room />
          </tbody>
        </table>
        <a class="tap" href="#/unsent">
          See what is unsent
        </a>
      </section>
      <Choice
        name="Show masses in"
        value={unit.value === "g" || unit.value === "kg" ? "g" : "lb"}
        options={[
          ["g", "Grams, kilograms"],
          ["lb", "Pounds, ounces"],
        ]}
        hint="Weigh takes any of them at any time."
        onPick={chooseUnit}
      />
      <Copies waiting={waiting} />
      <Leave waiting={waiting + picturesWaiting.value + errands.value.length} />
    </Frame>
  );
}

function Row({ name, children }: { name: string; children: string }) {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{children}</td>
    </tr>
  );
}

/** What the browser says of its own storage. */
function Room() {
  const [used, setUsed] = useState("");
  const [kept, setKept] = useState<boolean | null>(null);
  useEffect(() => {
    const { storage } = navigator;
    storage
      ?.estimate?.()
      .then(({ usage = 0, quota = 0 }) => setUsed(`${megabytes(usage)} of ${megabytes(quota)}`))
      .catch(() => undefined);
    storage?.persisted?.().then(setKept, () => undefined);
  }, []);
  return (
    <>
      <Row name="Room used">{used || "the browser does not say"}</Row>
      <Row name="Kept for good">
        {kept ? "yes: the browser throws nothing away" : "The phone may clear it, so send often"}
      </Row>
    </>
  );
}

function megabytes(bytes: number): string {
  return bytes >= 1e9 ? `${(bytes / 1e9).toFixed(1)} GB` : `${(bytes / 1e6).toFixed(1)} MB`;
}

function Copies({ waiting }: { waiting: number }) {
  const save = () =>
    once("export", async () => {
      const url = URL.createObjectURL(await store().exportUnsent());
      const link = document.createElement("a");
      link.href = url;
      link.download = `harvestlog-unsent-${new Date().toISOString().slice(0, 10)}.json`;
      link.click();
      setTimeout(() => URL.revokeObjectURL(url), 60_000);
    });
  const take = (input: HTMLInputElement) =>
    once("import", async () => {
      const file = input.files?.[0];
      input.value = "";
      if (file) say(`${count(await store().importUnsent(file), "record")} taken in.`);
    });
  return (
    <section>
      <h2>A copy of what is unsent</h2>
      <p>The records and pictures that only this phone has, in a file. Keep it somewhere else.</p>
      <div class="row">
        <Tap off={waiting === 0} onTap={save}>
          Save a copy
        </Tap>
        <label class="tap">
          Take a copy in
          <input
            type="file"
            accept="application/json,.json"
            onChange={(event) => void take(event.currentTarget)}
          />
        </label>
      </div>
    </section>
  );
}

function Leave({ waiting }: { waiting: number }) {
  const leave = async (evenUnsent: boolean) => {
    try {
      await sync.signOut(evenUnsent);
      go("#/today");
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      say(error.message);
    }
  };
  const unsent = `${count(waiting, "record")} and pictures are only on this phone. They stay here, and are sent when you sign in again on it.`;
  return (
    <Twice
      words="Sign out"
      means={waiting > 0 ? unsent : "Sign out? You need a signal to come back in."}
      sure="Sign out"
      onDo={() => once("leave", () => leave(waiting > 0))}
    />
  );
}
