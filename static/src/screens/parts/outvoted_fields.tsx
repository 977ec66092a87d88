/** Fields of one record that this person wrote and another phone wrote later: what stands, and the way to write them anew. */
import { groupOf } from "../../records/types";
import type { Outvoted } from "../../store/api";
import { stampWords } from "../dates";
import { now, store } from "../here";
import { recordWords, valueWords } from "../record_words";
import { addressOf } from "../route";
import { once } from "../saving";
import { capital, fieldName, kindWords } from "../words";
import { Tap } from "./tap";

export function OutvotedFields({ outvoted }: { outvoted: Outvoted }) {
  const { row: id, kind, at } = outvoted;
  const row = store().rows.value.get(id);
  const words = row ? recordWords(row) : kindWords(kind);
  return (
    <div class="form sheet">
      <p>
        <strong>{capital(words)}</strong>
        <br />
        <span class="quiet">Yours was written {stampWords(at, now.value)}.</span>
      </p>
      <table class="plain">
        <tbody>
          {standing(outvoted).map(([name, value]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{value}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <Tap onTap={() => once(`seen ${id}`, () => store().seen(id))}>Leave it so</Tap>
      {row?.deleted === false && (
        <a class="tap" href={addressOf(kind, id)}>
          Change it
        </a>
      )}
    </div>
  );
}

/** Each lost field with what stands there now. Of a group whose fields exclude one another the empty ones say nothing. */
function standing({ row: id, kind, fields }: Outvoted): [name: string, value: string][] {
  const row = store().rows.value.get(id);
  if (!row) return [["The record", "is not on this phone"]];
  if (row.deleted || fields.includes("deleted"))
    return [["The record", row.deleted ? "was deleted" : "was kept"]];
  return Object.entries(row.fields)
    .filter(([field]) => fields.includes(field) && !field.endsWith("typed"))
    .map(([field, value]) => [field, valueWords(field, value)] as const)
    .filter(([field, words]) => words || groupOf(kind, field).length < 3)
    .map(([field, words]) => [fieldName(field).replace(" in grams", ""), words || "nothing"]);
}
