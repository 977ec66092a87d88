/** A refused change in the form of its record: saved there, it is that same change, corrected, that is sent again. */
import { useState } from "preact/hooks";
import type { FarmView, Standing } from "../records/farm_view";
import type { Id } from "../records/types";
import { BlockForm } from "./block_edit";
import { DeliveryForm } from "./delivery_edit";
import { HappeningForm } from "./happening";
import { Wrong } from "./parts/field";
import { Frame } from "./parts/frame";
import { PlaceForm } from "./places";
import { recordWords } from "./record_words";
import { asWritten } from "./refusals";
import { back } from "./route";
import { SupplierForm } from "./supplier";
import { Unsent } from "./unsent";
import { VarietyForm } from "./varieties";
import { Drafted } from "./weigh";

const HOME = "#/unsent";

export function Correct({ id }: { id: Id }) {
  // Once it waits again it is refused no more, while the form is still on its way out.
  const [opened] = useState(() => asWritten(id));
  if (!opened) return <Unsent />;
  const { row, farm } = opened;
  const pick = row.kind === "pick" ? (row as Standing<"pick">) : undefined;
  const view = pick && farm.block.get(pick.fields.block);
  if (view) return <Drafted draft={`refused/${id}`} view={view} pick={pick} />;
  return (
    <Frame title={`Correct: ${recordWords(row)}`} from={HOME}>
      <Wrong>{row.refused?.message}</Wrong>
      <RecordForm row={row} farm={farm} />
    </Frame>
  );
}

function RecordForm({ row, farm }: { row: Standing; farm: FarmView }) {
  const view = farm.block.get(row.id);
  if (view) return <BlockForm view={view} />;
  if (row.kind === "delivery") return <DeliveryForm row={row as Standing<"delivery">} />;
  if (row.kind === "happening") return <HappeningForm note={row as Standing<"happening">} />;
  if (row.kind === "variety") return <VarietyForm row={row as Standing<"variety">} />;
  if (row.kind === "place") return <PlaceForm row={row as Standing<"place">} />;
  return <SupplierForm row={row as Standing<"supplier">} onSaved={() => back(HOME)} />;
}
