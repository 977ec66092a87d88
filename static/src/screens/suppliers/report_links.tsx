/** Links under which whoever holds one can read the report: made, shown once, counted, taken back. */
import { useState } from "preact/hooks";
import type { Id } from "../../records/types";
import { sync } from "../../sync";
import { dayOf, dayWords, localDay, stampWords } from "../dates";
import { now } from "../here";
import { Address } from "../parts/address";
import { AskAgain, confirmed } from "../parts/ask_again";
import { Choice } from "../parts/field";
import { Tap } from "../parts/tap";
import { once, say } from "../saving";
import type { Answered } from "./ask";
import { openedTimes, REPORTS, type ReportLine, type Share } from "./wire";

interface Props {
  report: Id;
  shares: readonly Share[] | undefined;
  list: Answered<readonly ReportLine[]>;
}

type Days = "7" | "30" | "90";

export function Links({ report, shares, list }: Props) {
  const [days, setDays] = useState<Days>("30");
  const [fresh, setFresh] = useState<{ id: Id; address: string } | null>(null);
  const make = () =>
    once("make link", async () => {
      const path = `${REPORTS}/${report}/shares`;
      setFresh(await confirmed(() => sync.ask("POST", path, { days: Number(days) })));
      await list.askAgain();
    });
  return (
    <section>
      <h2>Links</h2>
      <p>
        Whoever has the link reads the report, without signing in, until its last day or until you take it
        back.
      </p>
      <Choice
        name="It works for"
        value={days}
        options={[
          ["7", "7 days"],
          ["30", "30 days"],
          ["90", "90 days"],
        ]}
        onPick={setDays}
      />
      <Tap onTap={make}>Make a link</Tap>
      <AskAgain />
      {fresh && !isOver(shares?.find(({ id }) => id === fresh.id)) && (
        <Address address={location.origin + fresh.address} title="Yield report">
          Send or copy it now: <strong>it is shown only this once.</strong>
        </Address>
      )}
      {shares && shares.length > 0 && (
        <ul class="list">
          {shares.map((share) => (
            <li class="line" key={share.id}>
              <OneLink share={share} onChange={list.askAgain} />
            </li>
          ))}
        </ul>
      )}
      {shares && shares.length > 0 && (
        <p class="quiet small">A link that is taken back cannot be given back.</p>
      )}
    </section>
  );
}

function isOver(share: Share | undefined): boolean {
  return !!share && (share.revoked !== null || Date.parse(share.expires) <= now.value);
}

function OneLink({ share, onChange }: { share: Share; onChange: () => Promise<void> }) {
  const today = localDay(new Date(now.value));
  const over = isOver(share);
  const end = share.revoked
    ? `taken back ${stampWords(share.revoked, now.value)}`
    : `${over ? "ended" : "until"} ${dayWords(dayOf(share.expires), today)}`;
  const revoke = () =>
    once(`revoke ${share.id}`, async () => {
      await sync.ask("DELETE", `/api/reports/shares/${share.id}`);
      await onChange();
      say("The link is taken back: it opens nothing any more.");
    });
  return (
    <>
      <span class="grow">
        <span>
          Made {stampWords(share.made, now.value)}, {end}
        </span>
        <span class="quiet small">
          {openedTimes([share]) || "not opened yet"}
          {share.last_opened && `, last ${stampWords(share.last_opened, now.value)}`}
        </span>
      </span>
      {!over && (
        <Tap look="heed" onTap={revoke}>
          Take it back
        </Tap>
      )}
    </>
  );
}
