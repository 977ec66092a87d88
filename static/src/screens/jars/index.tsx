/** The room of the jars: filled, closed, taken from. Fetched after keeping. */
import type { Screens } from "../rooms";
import { JarScreen } from "./jar";
import { JarForm } from "./jar_form";
import { TakingForm } from "./jar_take";

export const screens: Screens = { jar: (here) => <JarScreen {...here} /> };

/** The form of each kind, for what the server refused. */
export const forms = { jar: JarForm, taking: TakingForm };
