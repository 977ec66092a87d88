/** The room of what is unsent: the list, and the form of each kind for what the server refused. */
import type { Screens } from "../rooms";
import { Correct } from "./correct";
import { Unsent } from "./unsent";

export const screens: Screens = {
  unsent: ({ id }) => (id ? <Correct key={id} id={id} /> : <Unsent />),
};
