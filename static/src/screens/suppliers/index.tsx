/** The room of the suppliers: how they compare, the season, and the reports they are given. */
import type { Screens } from "../rooms";
import { Suppliers } from "./comparison";
import { Report } from "./report";
import { NewReport } from "./report_new";
import { SeasonScreen } from "./season";
import { Supplier } from "./supplier";

export const screens: Screens = {
  suppliers: () => <Suppliers />,
  supplier: ({ id }) => <Supplier id={id} />,
  season: () => <SeasonScreen />,
  report: ({ id, part }) => (id === "new" ? <NewReport supplier={part} /> : <Report key={id} id={id} />),
};
