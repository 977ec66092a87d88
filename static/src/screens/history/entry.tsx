/** One change in words: what it made of what, what of it did not stand and why, and the way to have it back. */
import type { Id, Kind } from "../../records/types";
import { stampWords } from "../dates";
import { now } from "../here";
import { Tap } from "../parts/tap";
import { VERB_WORDS } from "../record_kinds";
import { capital } from "../words";
import { type Part, partsOf, type Told, type Values } from "./changes";
import { byWords, nameWords, take, takeWords, wordsOf, writtenWords } from "./say";

const LATE_MS = 10 * 60_000;

interface Props {
  kind: Kind;
  id: Id;
  change: Told;
  older: readonly Told[];
  standing: Values | null;
}

export function Entry({ kind, id, change, older, standing }: Props) {
  const { at, received, verb, lost } = change;
  const late = received !== null && Date.parse(received) - Date.parse(at) > LATE_MS;
  return (
    <>
      <p>
        <strong>{capital(stampWords(at, now.value))}</strong>, {byWords(change)}
        {late && <span class="quiet small">; reached the farm {stampWords(received, now.value)}</span>}
      </p>
      {verb !== "patch" && <p>{VERB_WORDS[verb]}.</p>}
      {"deleted" in lost && <p>It was kept, because it was brought back later than this.</p>}
      {partsOf(kind, change, older, standing).map((part) => (
        <OnePart key={part.shown[0]?.field} kind={kind} id={id} part={part} isNew={verb === "add"} />
      ))}
    </>
  );
}

function OnePart({ kind, id, part, isNew }: { kind: Kind; id: Id; part: Part; isNew: boolean }) {
  const { take: fields, lost } = part;
  return (
    <div class="form">
      {part.shown.map(({ field, was, value }) => (
        <p key={field}>
          {nameWords(field)}: {!lost && !isNew && `from ${wordsOf(field, was)} to `}
          <strong>{wordsOf(field, value)}</strong>
          {lost && " did not stand"}
        </p>
      ))}
      <Why part={part} />
      {fields && <Tap onTap={() => take(kind, id, fields)}>{takeWords(part)}</Tap>}
    </div>
  );
}

/** Two wrote without knowing of each other: which of them stands, and by which rule. */
function Why({ part: { lost, other, shown } }: { part: Part }) {
  const [first] = shown;
  if (!first || !(lost || other)) return null;
  const rule = "the later of two changes to one field stands";
  const was = wordsOf(first.field, first.was);
  const words = lost
    ? `Because ${rule}: ${was}${other ? ` by ${writtenWords(other)}` : ""}.`
    : other && `${capital(was)} by ${writtenWords(other)}, was not known here yet; ${rule}.`;
  return <p class="quiet small">{words}</p>;
}
