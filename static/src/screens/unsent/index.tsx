/** The room of what is unsent and what did not stand: the list, the form for what was refused, the history of a record. */
import type { Kind } from "../../records/types";
import { beside } from "../beside";
import { HistoryScreen } from "../history/history";
import { OfRecord } from "../history/of_record";
import type { Screens } from "../rooms";
import { Correct } from "./correct";
import { Unsent } from "./unsent";

beside.value = OfRecord;

export const screens: Screens = {
  unsent: ({ id }) => (id ? <Correct key={id} id={id} /> : <Unsent />),
  history: ({ id, part }) => <HistoryScreen key={part} kind={id as Kind} id={part} />,
};
