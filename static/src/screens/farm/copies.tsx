/** How the server's backups stand, and one more at a tap. */
import { useState } from "preact/hooks";
import type { Instant } from "../../records/types";
import { isThing } from "../../store/shapes";
import { sync } from "../../sync";
import { stampWords } from "../dates";
import { now } from "../here";
import { AskAgain, confirmed } from "../parts/ask_again";
import { Wrong } from "../parts/field";
import { Tap } from "../parts/tap";
import { once } from "../saving";
import { useAnswer } from "../suppliers/ask";
import { count } from "../words";

const PATH = "/api/farm/copies";

interface Copies {
  automatic: boolean;
  same_disk?: boolean;
  last: { made: Instant; verified: Instant; records: number; pictures_lost: number } | null;
  running: boolean;
  trouble: string | null;
}

const whole = (body: unknown): body is Copies => isThing(body) && "last" in body && "running" in body;

export function CopiesOfAll() {
  const { said, heard, trouble, askAgain } = useAnswer<Copies>({ name: "copies", path: PATH, whole });
  const [asked, setAsked] = useState("");
  const make = () =>
    once("copy", async () => {
      try {
        await confirmed(() => sync.ask("POST", PATH));
        setAsked("It is being made. Look again in a minute.");
      } catch (error) {
        setAsked(error instanceof Error ? error.message : String(error));
      }
      await askAgain();
    });
  return (
    <section>
      <h2>Backups on the server</h2>
      {said && <Said copies={said} />}
      {said === null && <p>Nothing is known of them on this phone yet.</p>}
      {heard && trouble && <p class="quiet small">As it stood {stampWords(heard, now.value)}.</p>}
      {asked && <p role="status">{asked}</p>}
      <Tap onTap={make}>Make a backup now</Tap>
      <AskAgain />
    </section>
  );
}

function Said({ copies: { automatic, same_disk, last, running, trouble } }: { copies: Copies }) {
  return (
    <>
      <p>
        {last
          ? `Last backup ${stampWords(last.made, now.value)}, ${count(last.records, "record")}; read back and verified ${stampWords(last.verified, now.value)}.`
          : "There is no backup yet."}
        {running && " One is being made."}
      </p>
      {!automatic && <p>Daily backups are switched off on this server.</p>}
      {last && last.pictures_lost > 0 && (
        <Wrong>{count(last.pictures_lost, "picture")} could not be found when it was made.</Wrong>
      )}
      {trouble && <Wrong>{trouble}</Wrong>}
      {same_disk !== false && (
        <p class="quiet small">
          It helps against a mistake, not against a broken disk: have backups made on another disk as well.
        </p>
      )}
    </>
  );
}
