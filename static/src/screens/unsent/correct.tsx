/** A refused change in the form of its record: saved there, it is that same change, corrected, that is sent again. */
import { useEffect, useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import type { Id, Kind } from "../../records/types";
import { Wrong } from "../parts/field";
import { Frame } from "../parts/frame";
import { recordWords } from "../record_words";
import { asWritten } from "../refusals";
import { back } from "../route";
import { Drafted } from "../weigh";
import { type Forms, ON_A_PAD, ROOM_OF } from "./forms";
import { Unsent } from "./unsent";

const HOME = "#/unsent";

export function Correct({ id }: { id: Id }) {
  // Once it waits again it is refused no more, while the form is still on its way out.
  const [opened] = useState(() => asWritten(id));
  if (!opened) return <Unsent />;
  const { row, farm } = opened;
  const pick = row.kind === "pick" ? (row as Standing<"pick">) : undefined;
  const view = pick && farm.block.get(pick.fields.block);
  if (view) return <Drafted draft={`refused/${id}`} view={view} pick={pick} />;
  if (ON_A_PAD.has(row.kind)) return <RecordForm row={row} />;
  return (
    <Frame title={`Correct: ${recordWords(row)}`} from={HOME}>
      <Wrong>{row.refused?.message}</Wrong>
      <RecordForm row={row} />
    </Frame>
  );
}

function RecordForm({ row }: { row: Standing }) {
  const Form = useForms(row.kind)[row.kind];
  // The table has for each kind the form of its own rows.
  return Form ? <Form row={row as never} /> : null;
}

/** Those of the room that has this kind's, once it is fetched. */
function useForms(kind: Kind): Forms {
  const [forms, setForms] = useState<Forms>({});
  useEffect(() => {
    let wanted = true;
    ROOM_OF[kind]?.().then(
      (room) => wanted && setForms(room.forms),
      // Not fetched yet and no signal: the list of refusals has the other ways out.
      () => wanted && back(HOME),
    );
    return () => {
      wanted = false;
    };
  }, [kind]);
  return forms;
}
