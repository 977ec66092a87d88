/** The room of the farm itself: people, varieties, places, this phone. */

import type { Screens } from "../rooms";
import type { Route } from "../route";
import { Calendar } from "./calendar";
import { Exports } from "./exports";
import { Farm } from "./farm";
import { People } from "./people";
import { PlaceForm, PlaceScreen, Places } from "./places";
import { ReadingForm } from "./readings_form";
import { ThisPhone } from "./this_phone";
import { Varieties, VarietyForm, VarietyScreen } from "./varieties";

export const screens: Screens = {
  farm: farmPart,
  variety: ({ id }) => <VarietyScreen id={id} />,
  place: ({ id, part }) => <PlaceScreen id={id} part={part} />,
};

/** The form of each kind, for what the server refused. */
export const forms = { variety: VarietyForm, place: PlaceForm, reading: ReadingForm };

function farmPart({ id }: Route) {
  if (id === "people") return <People />;
  if (id === "varieties") return <Varieties />;
  if (id === "places") return <Places />;
  if (id === "phone") return <ThisPhone />;
  if (id === "calendar") return <Calendar />;
  if (id === "exports") return <Exports />;
  return <Farm />;
}
