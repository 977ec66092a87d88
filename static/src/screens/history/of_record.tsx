/** What stands on every record's page beside its own: values of this person that did not stand, and the way to its history. */
import type { Id, Kind } from "../../records/types";
import { store } from "../here";
import { OutvotedFields } from "../parts/outvoted_fields";
import { route } from "../route";
import { placeOf, WHOLES } from "./members";
import { historyOf } from "./say";

export function OfRecord({ top = false }: { top?: boolean }) {
  const { name, id, part } = route.value;
  const { rows, outvoted } = store();
  const row = rows.value.get(id);
  if (row?.kind !== name) return null;
  // A step's own form is about what is to come.
  if (!top && part !== "" && part !== "edit") return null;
  if (!top)
    return (
      <p>
        <a class="tap plain" href={historyOf(row.kind, id)}>
          What was changed
        </a>
      </p>
    );
  // A form goes on showing what it was opened with.
  const formed = part === "edit" || !WHOLES.includes(row.kind);
  const told = outvoted.value.filter((each) => each.row === id || belongs(each.row, row.kind, id));
  return (
    <>
      {told.map((each) => (
        <OutvotedFields key={each.row} outvoted={each} home={formed ? placeOf(row.kind, id) : undefined} />
      ))}
    </>
  );
}

/** A block's page tells of its picks too. */
function belongs(row: Id, kind: Kind, id: Id): boolean {
  const fields = store().rows.value.get(row)?.fields as Partial<Record<Kind, Id>> | undefined;
  return fields?.[kind] === id;
}
