/** The secret address from which a calendar reads what falls due. Only the server knows of it. */
import { useCallback, useEffect, useState } from "preact/hooks";
import { sync } from "../../sync";
import { stampWords } from "../dates";
import { now } from "../here";
import { Address } from "../parts/address";
import { Wrong } from "../parts/field";
import { Tap } from "../parts/tap";
import { Twice } from "../parts/twice";
import { once, say } from "../saving";

const PATH = "/api/reports/calendar";

interface Made {
  made: string | null;
  last_read: string | null;
  zone: string | null;
}

export function CalendarAddress() {
  const [made, setMade] = useState<Made | null>(null);
  const [address, setAddress] = useState("");
  const [wrong, setWrong] = useState("");
  const load = useCallback(async () => {
    try {
      setMade(await sync.ask<Made>("GET", PATH));
      setWrong("");
    } catch (error) {
      setWrong(error instanceof Error ? error.message : String(error));
    }
  }, []);
  useEffect(() => void load(), [load]);
  const make = () =>
    once("calendar address", async () => {
      const { timeZone: zone } = Intl.DateTimeFormat().resolvedOptions();
      const { address: path } = await sync.ask<{ address: string }>("POST", PATH, { zone });
      setAddress(`${location.origin}${path}`);
      await load();
    });
  const revoke = () =>
    once("no calendar address", async () => {
      await sync.ask("DELETE", PATH);
      setAddress("");
      say("The address is dead.");
      await load();
    });
  return (
    <section class="form">
      <h2>As an address</h2>
      <p>
        Your calendar reads it by itself and stays up to date. Whoever knows the address can read what falls
        due on this farm, with the names of blocks, varieties, places, jars and extracts. They can read
        nothing else and change nothing.
      </p>
      {wrong && <NoServer wrong={wrong} onAgain={load} />}
      {address && (
        <Address address={address} title="What falls due on the farm">
          Add it to your calendar as a subscription. It is shown only now.
        </Address>
      )}
      {made?.made && <Standing made={made} madeAt={made.made} />}
      {made && !made.made && <Tap onTap={make}>Make an address</Tap>}
      {made?.made && (
        <>
          <Twice
            words="Make a new address"
            means="The address you have stops at once: calendars that read it need the new one."
            sure="Yes, make a new one"
            onDo={make}
          />
          <Twice
            words="Take the address back"
            means="Calendars that read it get nothing more."
            sure="Yes, take it back"
            onDo={revoke}
          />
        </>
      )}
    </section>
  );
}

function NoServer({ wrong, onAgain }: { wrong: string; onAgain: () => Promise<void> }) {
  return (
    <>
      <Wrong>{wrong}</Wrong>
      <p>The address needs the server; the file above does not.</p>
      <Tap onTap={onAgain}>Try again</Tap>
    </>
  );
}

function Standing({ made, madeAt }: { made: Made; madeAt: string }) {
  const read = made.last_read ? `last read ${stampWords(made.last_read, now.value)}` : "not read yet";
  return (
    <p class="quiet">
      You have an address, made {stampWords(madeAt, now.value)}, {read}. Its days are those of {made.zone}.
    </p>
  );
}
