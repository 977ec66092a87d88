/** The records that belong to this one, each with a history of its own; and where a record's history leads back to. */
import type { Id, Kind } from "../../records/types";
import { store } from "../here";
import { recordWords } from "../record_words";
import { addressOf } from "../route";
import { capital } from "../words";
import { historyOf } from "./say";

/** Kinds whose records are made up of others, which name them. */
export const WHOLES: readonly Kind[] = ["block", "delivery", "drying", "jar", "trial", "extract"];

export function Members({ kind, id }: { kind: Kind; id: Id }) {
  if (!WHOLES.includes(kind)) return null;
  const named = (fields: object) => (fields as Partial<Record<Kind, Id>>)[kind] === id;
  // Ids begin with the time of making: the newest stand first.
  const members = [...store().rows.value.values()]
    .filter(({ fields }) => named(fields))
    .sort((a, b) => (a.id < b.id ? 1 : -1));
  if (members.length === 0) return null;
  return (
    <section>
      <h2>What belongs to it</h2>
      <ul class="list">
        {members.map((row) => (
          <li class="line" key={row.id}>
            <a class="grow" href={historyOf(row.kind, row.id)}>
              {capital(recordWords(row))}
            </a>
            {row.deleted && <span class="quiet small">deleted</span>}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The page a record is read on: its own, or that of what it belongs to. */
export function placeOf(kind: Kind, id: Id): string {
  const fields = (store().rows.value.get(id)?.fields ?? {}) as Partial<Record<Kind, Id>>;
  const whole = WHOLES.find((each) => each !== kind && fields[each]);
  if (kind === "block") return `#/block/${id}`;
  return whole && kind !== "drying" && kind !== "jar" ? `#/${whole}/${fields[whole]}` : addressOf(kind, id);
}
