/** A code on this screen that signs another phone of one's own in: the server draws it, and keeps only its hash. */
import { useState } from "preact/hooks";
import { sync } from "../../sync";
import { whenWords } from "../dates";
import { now } from "../here";
import { confirmed } from "../parts/ask_again";
import { Tap } from "../parts/tap";
import { once } from "../saving";
import type { Props, Shown } from "./people";
import { tell } from "./people";

export function AnotherPhone({ page, onChanged }: Props) {
  const [shown, setShown] = useState<Shown | null>(null);
  const show = () =>
    once("pair", async () => {
      setShown(await confirmed(() => sync.ask<Shown>("POST", "/api/farm/pairings")));
      await onChanged();
    });
  const open =
    page.pairings.some(({ id }) => id === shown?.id) && Date.parse(shown?.expires ?? "") > now.value;
  return (
    <section class="form">
      <h2>Another phone of mine</h2>
      {shown && open ? (
        <Code shown={shown} onDone={onChanged} />
      ) : (
        <>
          <p>A code on this screen signs another phone in as you, with its own place in the list above.</p>
          <Tap onTap={show}>Show a code</Tap>
        </>
      )}
      <Open page={page} onChanged={onChanged} />
    </section>
  );
}

function Code({ shown, onDone }: { shown: Shown; onDone: () => Promise<void> }) {
  return (
    <div class="form sheet">
      <p>
        Point the other phone’s camera at it. It works once, until {whenWords(shown.expires, now.value)}.
        Whoever reads it is signed in as you: show it to nobody else.
      </p>
      <img src={shown.picture} width="264" height="264" alt="QR code that signs another phone in as you" />
      <p class="small">
        Or open this address there: <span class="address">{`${location.origin}/#/pair/${shown.code}`}</span>
      </p>
      <Tap onTap={onDone}>Done</Tap>
    </div>
  );
}

function Open({ page, onChanged }: Props) {
  const nameOf = (id: string) => page.people.find((person) => person.id === id)?.name ?? "";
  if (page.pairings.length === 0) return null;
  return (
    <ul class="list">
      {page.pairings.map(({ id, person, expires }) => (
        <li class="line" key={id}>
          <span class="grow">
            Code for a phone of {nameOf(person)}, until {whenWords(expires, now.value)}
          </span>
          <Tap
            onTap={() => tell("DELETE", `/api/farm/pairings/${id}`, undefined, "Code withdrawn.", onChanged)}
          >
            Withdraw
          </Tap>
        </li>
      ))}
    </ul>
  );
}
