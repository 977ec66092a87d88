/** The room of extracts, from the spirit poured on to the bottle. Fetched after keeping. */
import type { Screens } from "../rooms";
import { ExtractScreen } from "./extract";
import { ExtractForm } from "./extract_form";
import { ExtractRows } from "./extract_rows";
import { ExtractStepForm } from "./extract_step";

export const screens: Screens = { extract: (here) => <ExtractScreen {...here} /> };

/** The form of each kind, for what the server refused. */
export const forms = { extract: ExtractForm, extract_step: ExtractStepForm };

/** What the front page of keeping shows of them. */
export const Rows = ExtractRows;
