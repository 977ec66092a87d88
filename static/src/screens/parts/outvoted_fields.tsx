/** Fields of one record that this person wrote and another phone wrote later: both values, and one tap to take either. */
import type { Id } from "../../records/types";
import type { Outvoted } from "../../store/api";
import { stampWords } from "../dates";
import { now, store } from "../here";
import { contested, type History, isHistory, isKnown, writerOf } from "../history/changes";
import { historyOf, mayWrite, nameWords, take, wordsOf, writtenWords } from "../history/say";
import { kindWords } from "../record_kinds";
import { recordWords } from "../record_words";
import { once, write } from "../saving";
import { useAnswer } from "../suppliers/ask";
import { capital } from "../words";
import { Tap } from "./tap";

interface Props {
  outvoted: Outvoted;
  /** where to go once it was taken */
  home?: string | undefined;
}

export function OutvotedFields({ outvoted, home }: Props) {
  const { row: id, kind, at } = outvoted;
  // Who wrote what stands is the server's to say; without it both values can be told all the same.
  const { said } = useAnswer({
    name: answerOf(id),
    path: `/api/sync/history/${kind}/${id}`,
    whole: isHistory,
  });
  const row = store().rows.value.get(id);
  const sentences = row ? sentencesOf(outvoted, row, said) : ["It is not on this phone."];
  if (sentences.length === 0) return null;
  return (
    <div class="form sheet">
      <p>
        <strong>{capital(row ? recordWords(row) : kindWords(kind))}</strong>
        <br />
        <span class="quiet">
          The later of two changes to one field stands. Yours was written {stampWords(at, now.value)}.
        </span>
      </p>
      {sentences.map((words) => (
        <p key={words}>{words}</p>
      ))}
      {row?.deleted === false && mayWrite(kind) && <TakeMine outvoted={outvoted} home={home} />}
      <Tap onTap={() => leave(id)}>Leave it</Tap>
      <a href={historyOf(kind, id)}>What was changed</a>
    </div>
  );
}

function sentencesOf(
  outvoted: Outvoted,
  row: { seq: number; deleted: boolean; fields: object },
  said: History | null | undefined,
): string[] {
  if (row.deleted) return ["The record was deleted since."];
  if (outvoted.fields.includes("deleted")) return ["You deleted it, and it was brought back later."];
  return contested(outvoted, { ...row.fields }).map(({ field, stands, mine }) => {
    const writer = writerOf(said?.changes ?? [], field);
    const by = writer?.after[field] === stands && writer ? ` by ${writtenWords(writer)},` : "";
    const yours = mine === undefined ? "not what you wrote" : `you wrote ${wordsOf(field, mine)}`;
    if (!isKnown(outvoted, row))
      return `${nameWords(field)}: ${yours}; what stands is not on this phone yet.`;
    return `${nameWords(field)}: ${wordsOf(field, stands)}${by} stands; ${yours}.`;
  });
}

/** A new change, made by somebody who has seen the other value: it stands. */
function TakeMine({ outvoted: { row: id, kind, fields, mine = {} }, home }: Props) {
  const known = fields.filter((field) => field in mine);
  if (known.length === 0) return null;
  const tap = () =>
    known.includes("deleted")
      ? write({ verb: "delete", kind, id }, "Deleted.", home)
      : take(kind, id, Object.fromEntries(known.map((field) => [field, mine[field]])), home);
  return <Tap onTap={tap}>Take mine</Tap>;
}

const answerOf = (id: Id) => `history ${id}`;

function leave(id: Id): Promise<boolean> {
  return once(`seen ${id}`, async () => {
    await store().seen(id);
    await store().keepAnswer(answerOf(id), undefined);
  });
}
