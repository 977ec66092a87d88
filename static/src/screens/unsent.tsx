/** What is only on this phone, and what the server would not take, with the way out of each. */
import { useState } from "preact/hooks";
import type { Op } from "../records/types";
import type { Parked } from "../store/api";
import { sync } from "../sync";
import { stampWords, whenWords } from "./dates";
import { farm, mass, now, store } from "./here";
import { Text } from "./parts/field";
import { Frame } from "./parts/frame";
import { SignIn } from "./parts/sign_in";
import { Tap } from "./parts/tap";
import { Twice } from "./parts/twice";
import { once, say } from "./saving";
import { count, fieldName, KIND_WORDS, VERB_WORDS } from "./words";

export function Unsent() {
  const { outbox, parked, picturesWaiting } = store();
  const pass = sync.pass.value;
  const { length: heeded } = parked.value;
  const { length: unsent } = outbox.value;
  const pictures = picturesWaiting.value;
  return (
    <Frame title="Sent and unsent" from="#/today" acts={<TryNow busy={pass.now !== "resting"} />}>
      {pass.trouble === "signed out" ? <SignAgain count={unsent + pictures} /> : <Pass />}
      {heeded > 0 && (
        <section>
          <h2>Needs attention</h2>
          <p>
            The server would not take {heeded === 1 ? "this" : "these"}. Nothing is lost: correct and send
            again.
          </p>
          {parked.value.map((each) => (
            <Refused key={each.op.id} parked={each} />
          ))}
        </section>
      )}
      <section>
        <h2>On this phone</h2>
        {unsent + pictures === 0 && <p>Nothing waits: everything from this phone is sent.</p>}
        {pictures > 0 && <p>{count(pictures, "picture file")} to send, small ones first.</p>}
        <ul class="list">
          {outbox.value.map((op) => (
            <li class="line" key={op.id}>
              <span class="grow">{opWords(op)}</span>
              <span class="quiet small">{whenWords(op.at, now.value)}</span>
            </li>
          ))}
        </ul>
      </section>
    </Frame>
  );
}

function TryNow({ busy }: { busy: boolean }) {
  return (
    <Tap look="main" onTap={() => sync.tryNow()}>
      {busy ? "Sending …" : "Try now"}
    </Tap>
  );
}

function Pass() {
  const pass = sync.pass.value;
  const ahead = sync.clockAheadMin.value ?? 0;
  const done = pass.lastDone && `Last sent and fetched ${stampWords(pass.lastDone, now.value)}.`;
  return (
    <div aria-live="polite">
      {pass.trouble !== null && <p>{pass.detail}</p>}
      <p class="quiet">{done ?? "Nothing was sent from this phone yet."}</p>
      {Math.abs(ahead) > 10 && (
        <p>
          This phone's clock is {Math.abs(ahead)} min {ahead > 0 ? "ahead of" : "behind"} the server's. Set
          it, so that picks get the right time.
        </p>
      )}
    </div>
  );
}

function SignAgain({ count: waiting }: { count: number }) {
  return (
    <section class="form sheet">
      <h2>{waiting > 0 ? `Sign in to send ${waiting}` : "Sign in again"}</h2>
      <p>Your sign-in has ended. You can go on recording; it is all kept on this phone.</p>
      <SignIn email={sync.door.value.who?.person.email ?? ""} />
    </section>
  );
}

/** Grams that are corrected are no longer what was typed. */
function untyped(field: string): Record<string, string> {
  if (field === "wet_g") return { typed: "" };
  return field === "dry_g" ? { dry_typed: "" } : {};
}

/** "New pick, 340 g of 7KQ4M" */
export function opWords(op: Op): string {
  const fields = { ...store().rows.value.get(op.row)?.fields, ...op.fields } as Record<string, unknown>;
  const block = farm.value.block.get(String(op.kind === "block" ? op.row : fields.block));
  const label = block?.fields.label ?? (typeof fields.label === "string" ? fields.label : "");
  const parts = [
    typeof fields.wet_g === "number" && op.kind === "pick" && mass(fields.wet_g),
    typeof fields.name === "string" && fields.name,
    typeof fields.received === "string" && `of ${fields.received}`,
    label && (op.kind === "block" ? label : `of ${label}`),
  ];
  const what = parts.filter(Boolean).join(" ");
  return `${VERB_WORDS[op.verb]} ${KIND_WORDS[op.kind]}${what && `, ${what}`}`;
}

function Refused({ parked }: { parked: Parked }) {
  const { op, field, message } = parked;
  const value = field ? (op.fields as Record<string, unknown>)[field] : undefined;
  const simple = typeof value === "string" || typeof value === "number";
  const [text, setText] = useState(simple ? String(value) : "");
  const send = () => {
    const fixed = typeof value === "number" ? Number(text.replace(",", ".")) : text;
    const changed = simple && field && text !== String(value) ? { [field]: fixed, ...untyped(field) } : {};
    return once(`resend ${op.id}`, async () => {
      if (Number.isNaN(fixed)) throw new Error(`“${text}” is no number.`);
      await store().resend(op.id, changed);
      say("It waits to be sent again.");
    });
  };
  return (
    <div class="form sheet">
      <p>
        <strong>{opWords(op)}</strong>
      </p>
      {field && simple ? (
        <Text name={fieldName(field)} value={text} wrong={message} onText={setText} />
      ) : (
        <p class="wrong">{message}</p>
      )}
      <Tap onTap={send}>Send again</Tap>
      <Twice
        words="Give it up"
        means={`${opWords(op)} is then gone from this phone and was never on the server.`}
        sure="Yes, give it up"
        onDo={() =>
          once(`discard ${op.id}`, async () => {
            await store().discard(op.id);
            say("Given up.");
          })
        }
      />
    </div>
  );
}
