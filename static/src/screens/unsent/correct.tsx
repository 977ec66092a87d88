/** A refused change in the form of its record: saved there, it is that same change, corrected, that is sent again. */
import { useEffect, useState } from "preact/hooks";
import type { FarmView, Standing } from "../../records/farm_view";
import type { Id, Kind } from "../../records/types";
import { PlaceForm } from "../farm/places";
import { ReadingForm } from "../farm/readings_form";
import { VarietyForm } from "../farm/varieties";
import { BlockForm } from "../papers/block_edit";
import { DeliveryForm } from "../papers/delivery_edit";
import { HappeningForm } from "../papers/happening";
import { Wrong } from "../parts/field";
import { Frame } from "../parts/frame";
import { recordWords } from "../record_words";
import { asWritten } from "../refusals";
import { back } from "../route";
import { SupplierForm } from "../suppliers/supplier";
import { Drafted } from "../weigh";
import { FORMS_OF, type Forms, ON_A_PAD } from "./forms";
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
  if (ON_A_PAD.has(row.kind)) return <RecordForm row={row} farm={farm} />;
  return (
    <Frame title={`Correct: ${recordWords(row)}`} from={HOME}>
      <Wrong>{row.refused?.message}</Wrong>
      <RecordForm row={row} farm={farm} />
    </Frame>
  );
}

function RecordForm({ row, farm }: { row: Standing; farm: FarmView }) {
  const forms = useForms(row.kind);
  const view = farm.block.get(row.id);
  if (view) return <BlockForm view={view} />;
  const Form = forms[row.kind];
  // The table has for each kind the form of its own rows.
  return Form ? <Form row={row as never} /> : null;
}

const HERE: Forms = {
  delivery: DeliveryForm,
  happening: ({ row }) => <HappeningForm note={row} />,
  variety: VarietyForm,
  place: PlaceForm,
  supplier: ({ row }) => <SupplierForm row={row} onSaved={() => back(HOME)} />,
  reading: ReadingForm,
};

/** With those of the room that has this kind's, once it is fetched. */
function useForms(kind: Kind): Forms {
  const [forms, setForms] = useState(HERE);
  useEffect(() => {
    let wanted = true;
    FORMS_OF[kind]?.().then(
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
