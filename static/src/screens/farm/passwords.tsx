/** One's own password changed, and a code for a member who forgot theirs. */
import { useState } from "preact/hooks";
import { sync } from "../../sync";
import { stampWords } from "../dates";
import { now } from "../here";
import { Address } from "../parts/address";
import { confirmed } from "../parts/ask_again";
import { Text, Wrong } from "../parts/field";
import { Form, Tap } from "../parts/tap";
import { useDoor } from "../parts/use_door";
import { once, say } from "../saving";
import type { Page, Shown } from "./people";

export function ChangePassword() {
  const [password, setPassword] = useState("");
  const [fresh, setFresh] = useState("");
  const { wrong, busy, run } = useDoor();
  const save = () =>
    run(async () => {
      await sync.retype({ password, new: fresh });
      setPassword("");
      setFresh("");
      say("Your password is changed. Your other phones sign in with it.");
    });
  return (
    <details>
      <summary>Change my password</summary>
      <Form onSave={save} save={busy ? "Wait …" : "Change it"}>
        <Text
          name="Present password"
          type="password"
          fill="current-password"
          value={password}
          wrong={wrong.password}
          onText={setPassword}
        />
        <Text
          name="New password"
          type="password"
          fill="new-password"
          hint="A few words in a row are hard to guess. Your other phones are signed out."
          value={fresh}
          wrong={wrong.new}
          onText={setFresh}
        />
        {wrong.all && <Wrong>{wrong.all}</Wrong>}
      </Form>
    </details>
  );
}

export function PasswordCode({ person }: { person: Page["people"][number] }) {
  const [made, setMade] = useState<Shown | null>(null);
  const path = `/api/farm/people/${person.id}/password-code`;
  const make = () =>
    once(path, async () => {
      setMade(await confirmed(() => sync.ask<Shown>("POST", path)));
    });
  return (
    <>
      <Tap onTap={make}>{person.name} forgot the password</Tap>
      {made && (
        <Address
          address={`${location.origin}/#/password/${made.code}`}
          title={`A new password for ${person.name}`}
          picture={made.picture}
          alt={`QR code with which ${person.name} chooses a new password`}
        >
          Send {person.name} this address, or let their camera read it, and nobody else. It works once, until{" "}
          {stampWords(made.expires, now.value)}, and is shown only now.
        </Address>
      )}
    </>
  );
}
