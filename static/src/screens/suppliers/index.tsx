/** The room of the suppliers: how they compare, the season, and the reports they are given. */
import type { Standing } from "../../records/farm_view";
import type { Screens } from "../rooms";
import { back } from "../route";
import { Suppliers } from "./comparison";
import { Report } from "./report";
import { NewReport } from "./report_new";
import { SeasonScreen } from "./season";
import { Supplier, SupplierForm } from "./supplier";

export const screens: Screens = {
  suppliers: () => <Suppliers />,
  supplier: ({ id }) => <Supplier id={id} />,
  season: () => <SeasonScreen />,
  report: ({ id, part }) => (id === "new" ? <NewReport supplier={part} /> : <Report key={id} id={id} />),
};

/** The form of each kind, for what the server refused. */
export const forms = { supplier: RefusedSupplier };

/** On a supplier's own page its form is folded away once it is saved; here it was a page of its own. */
function RefusedSupplier({ row }: { row: Standing<"supplier"> }) {
  return <SupplierForm row={row} onSaved={() => back("#/unsent")} />;
}
