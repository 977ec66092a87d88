/** What was changed of one record: who, when, from what to what, and what did not stand. The server has it. */
import { useEffect, useState } from "preact/hooks";
import type { Id, Kind } from "../../records/types";
import { sync } from "../../sync";
import { stampWords } from "../dates";
import { now, store } from "../here";
import { Frame } from "../parts/frame";
import { Tap } from "../parts/tap";
import { kindWords } from "../record_kinds";
import { opWords, recordWords } from "../record_words";
import { once, write } from "../saving";
import { type Answered, useAnswer } from "../suppliers/ask";
import { NoAnswer } from "../suppliers/dated";
import { capital, count } from "../words";
import { type History, isHistory, type Told } from "./changes";
import { Entry } from "./entry";
import { Members, placeOf } from "./members";
import { mayWrite } from "./say";

export function HistoryScreen({ kind, id }: { kind: Kind; id: Id }) {
  const path = `/api/sync/history/${kind}/${id}`;
  const answer = useAnswer({ name: "history", path, whole: isHistory, anew: "on visits" });
  const row = store().rows.value.get(id);
  const seq = row?.seq ?? 0;
  const [first] = useState(seq);
  // What was taken here is in the history as soon as it is sent.
  useEffect(() => {
    if (seq !== first) void answer.askAgain();
  }, [seq]);
  return (
    <Frame title="What was changed" from={placeOf(kind, id)}>
      <p class="lead">{capital(row ? recordWords(row) : kindWords(kind))}</p>
      <Waiting id={id} />
      {answer.said ? (
        <Changes key={answer.said.changes.at(-1)?.seq} kind={kind} id={id} path={path} said={answer.said} />
      ) : (
        <NoAnswer answer={answer} what="the changes of this record" />
      )}
      {answer.said && <Heard answer={answer} />}
      <Members kind={kind} id={id} />
    </Frame>
  );
}

/** Changes of it that are only on this phone. */
function Waiting({ id }: { id: Id }) {
  const waiting = store().outbox.value.filter(({ row }) => row === id);
  if (waiting.length === 0) return null;
  return (
    <section>
      <h2>On this phone, not sent yet</h2>
      <ul class="list">
        {waiting.map((op) => (
          <li class="line" key={op.id}>
            <span class="grow">{opWords(op)}</span>
            <span class="quiet small">{stampWords(op.at, now.value)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

interface ChangesProps {
  kind: Kind;
  id: Id;
  path: string;
  said: History;
}

function Changes({ kind, id, path, said }: ChangesProps) {
  const { changes, more, ask } = useEarlier(path, said);
  const row = store().rows.value.get(id);
  const standing = row?.deleted === false && mayWrite(kind) ? { ...row.fields } : null;
  const deletion = row?.deleted && mayWrite(kind) ? changes.find(({ verb }) => verb === "delete") : undefined;
  const restore = () => write({ verb: "restore", kind, id }, "Brought back.");
  return (
    <section>
      <ol class="list">
        {changes.map((change, at) => (
          <li class="member" key={change.seq}>
            <Entry kind={kind} id={id} change={change} older={changes.slice(at + 1)} standing={standing} />
            {change === deletion && <Tap onTap={restore}>Bring it back</Tap>}
          </li>
        ))}
      </ol>
      {more && <Tap onTap={ask}>Show earlier changes</Tap>}
    </section>
  );
}

/** Of a long history the server tells the newest part; what came before is asked for, and not kept. */
function useEarlier(path: string, said: History) {
  const [earlier, setEarlier] = useState<readonly Told[]>([]);
  const [more, setMore] = useState(said.more);
  const changes = [...said.changes, ...earlier];
  const ask = () =>
    once(`earlier ${path}`, async () => {
      const older = await sync.ask<History>("GET", `${path}?before=${changes.at(-1)?.seq}`);
      setEarlier([...earlier, ...older.changes]);
      setMore(older.more);
    });
  return { changes, more, ask };
}

function Heard({ answer }: { answer: Answered<History> }) {
  const { asking, trouble, heard, said } = answer;
  const end = asking ? "Asking anew …" : trouble && `${trouble} What came later is told where there is one.`;
  return (
    <p class="quiet small" role="status">
      {count(said?.changes.length ?? 0, "change")}, as heard {stampWords(heard, now.value)}. {end}
    </p>
  );
}
