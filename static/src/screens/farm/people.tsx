/** People, invitations and phones of the farm. Only the server knows them, so this page needs it. */
import { useCallback, useEffect, useState } from "preact/hooks";
import type { Role } from "../../records/types";
import { sync } from "../../sync";
import { stampWords, whenWords } from "../dates";
import { isOwner, now } from "../here";
import { Address } from "../parts/address";
import { AskAgain, confirmed } from "../parts/ask_again";
import { Choice, Text, Wrong } from "../parts/field";
import { Frame } from "../parts/frame";
import { Form, Tap } from "../parts/tap";
import { Twice } from "../parts/twice";
import { once, say } from "../saving";
import { ROLES } from "../words";
import { AnotherPhone } from "./another_phone";
import { ChangePassword, PasswordCode } from "./passwords";

export interface Page {
  name: string;
  currency: string;
  people: { id: string; name: string; email: string | null; role: Role; you: boolean }[];
  phones: { device: string; name: string; person: string; last_seen: string; this: boolean }[];
  invitations: { id: string; role: Role; expires: string }[];
  pairings: { id: string; person: string; expires: string }[];
}

const ROLE_OPTIONS = Object.entries(ROLES).map(([role, { name }]) => [role, name] as [Role, string]);

export function People() {
  const [page, setPage] = useState<Page | null>(null);
  const [wrong, setWrong] = useState("");
  const load = useCallback(async () => {
    try {
      setPage(await sync.ask<Page>("GET", "/api/farm"));
      setWrong("");
    } catch (error) {
      setWrong(error instanceof Error ? error.message : String(error));
    }
  }, []);
  useEffect(() => void load(), [load]);
  const isDemo = sync.door.value.who?.farm.is_demo;
  return (
    <Frame title="People and phones" from="#/farm">
      {wrong && (
        <>
          <Wrong>{wrong}</Wrong>
          <p>This page needs the server.</p>
          <Tap onTap={load}>Try again</Tap>
        </>
      )}
      {page && <Members page={page} onChanged={load} />}
      {page && isOwner.value && <Invite page={page} onChanged={load} />}
      {page && <Phones page={page} onChanged={load} />}
      {page && !isDemo && <AnotherPhone page={page} onChanged={load} />}
      {page && !isDemo && <ChangePassword />}
      {page && isOwner.value && <FarmName page={page} onChanged={load} />}
      <AskAgain />
    </Frame>
  );
}

function roleWords(role: Role): string {
  return `${ROLES[role].name}s ${ROLES[role].may}.`;
}

export interface Props {
  page: Page;
  onChanged: () => Promise<void>;
}

/** One call of the server, said aloud when done. */
export function tell(
  method: "POST" | "PATCH" | "DELETE",
  path: string,
  body: unknown,
  words: string,
  after: () => Promise<void>,
) {
  return once(`${method} ${path}`, async () => {
    await confirmed(() => sync.ask(method, path, body));
    say(words);
    await after();
  });
}

function Members({ page, onChanged }: Props) {
  return (
    <section>
      <h2>People</h2>
      <ul class="list">
        {page.people.map((person) => (
          <li key={person.id} class="member">
            <p>
              <strong>{person.name}</strong> {person.you && "(you)"}{" "}
              <span class="quiet small">
                {person.email} {ROLES[person.role].name.toLowerCase()}
              </span>
            </p>
            {isOwner.value && !person.you && <MemberActs person={person} onChanged={onChanged} />}
          </li>
        ))}
      </ul>
    </section>
  );
}

function MemberActs({
  person,
  onChanged,
}: {
  person: Page["people"][number];
  onChanged: () => Promise<void>;
}) {
  const path = `/api/farm/people/${person.id}`;
  return (
    <details>
      <summary>Change role, new password, remove</summary>
      <div class="form">
        <Choice
          name={`Role of ${person.name}`}
          value={person.role}
          options={ROLE_OPTIONS}
          hint={roleWords(person.role)}
          onPick={(role) =>
            void tell(
              "PATCH",
              path,
              { role },
              `${person.name}: ${ROLES[role].name.toLowerCase()}.`,
              onChanged,
            )
          }
        />
        <PasswordCode person={person} />
        <Twice
          words={`Remove ${person.name}`}
          means={`${person.name} can then see and send nothing more of this farm. What they recorded stays.`}
          sure="Yes, remove"
          onDo={() => tell("DELETE", path, undefined, `${person.name} removed.`, onChanged)}
        />
      </div>
    </details>
  );
}

/** What the server shows once: a code, and the address with it as a QR code. */
export interface Shown {
  id: string;
  code: string;
  expires: string;
  picture: string;
}

function Invite({ page, onChanged }: Props) {
  const [role, setRole] = useState<Role>("picker");
  const [shown, setShown] = useState<Shown | null>(null);
  const invite = () =>
    once("invite", async () => {
      const path = "/api/farm/invitations";
      setShown(await confirmed(() => sync.ask<Shown>("POST", path, { role })));
      await onChanged();
    });
  return (
    <section class="form">
      <h2>Invite</h2>
      <Choice name="As" value={role} options={ROLE_OPTIONS} hint={roleWords(role)} onPick={setRole} />
      <Tap onTap={invite}>Make an invitation</Tap>
      {shown && page.invitations.some(({ id }) => id === shown.id) && (
        <Address
          address={`${location.origin}/#/join/${shown.code}`}
          title={`Invitation to ${page.name}`}
          picture={shown.picture}
          alt="QR code that opens the invitation on another phone"
        >
          Send this address, or let the other phone’s camera read it. It works once, until{" "}
          {stampWords(shown.expires, now.value)}, and is shown only now.
        </Address>
      )}
    </section>
  );
}

function Phones({ page, onChanged }: Props) {
  const nameOf = (id: string) => page.people.find((person) => person.id === id)?.name ?? "";
  return (
    <section>
      {page.invitations.length > 0 && <h2>Open invitations</h2>}
      <ul class="list">
        {page.invitations.map(({ id, role, expires }) => (
          <li class="line" key={id}>
            <span class="grow">
              {ROLES[role].name}, until {whenWords(expires, now.value)}
            </span>
            <Tap
              onTap={() =>
                tell("DELETE", `/api/farm/invitations/${id}`, undefined, "Invitation withdrawn.", onChanged)
              }
            >
              Withdraw
            </Tap>
          </li>
        ))}
      </ul>
      <h2>Phones</h2>
      <ul class="list">
        {page.phones.map(({ device, name, person, last_seen, this: own }) => (
          <li class="member" key={device}>
            <p>
              <strong>{name || "A phone"}</strong> {own && "(this one)"}{" "}
              <span class="quiet small">
                {nameOf(person)}, last here {whenWords(last_seen, now.value)}
              </span>
            </p>
            {!own && (
              <Twice
                words="Sign this phone out"
                means="What it has not sent stays on it."
                sure="Yes, sign it out"
                onDo={() =>
                  tell("DELETE", `/api/farm/phones/${device}`, undefined, "Phone signed out.", onChanged)
                }
              />
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function FarmName({ page, onChanged }: Props) {
  const [name, setName] = useState(page.name);
  const [currency, setCurrency] = useState(page.currency);
  const save = () =>
    tell("PATCH", "/api/farm", { name, currency: currency.toUpperCase() }, "Changed.", async () => {
      await onChanged();
      await sync.tryNow();
    });
  return (
    <details>
      <summary>Name and currency of the farm</summary>
      <Form onSave={save}>
        <Text name="Name" most={80} value={name} onText={setName} />
        <Text name="Currency" most={3} capitals value={currency} onText={setCurrency} />
      </Form>
    </details>
  );
}
