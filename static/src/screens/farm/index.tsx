/** The room of the farm itself: people, varieties, places, this phone. */

import type { Screens } from "../rooms";
import type { Route } from "../route";
import { Calendar } from "./calendar";
import { Exports } from "./exports";
import { Farm } from "./farm";
import { People } from "./people";
import { PlaceScreen, Places } from "./places";
import { ThisPhone } from "./this_phone";
import { Varieties, VarietyScreen } from "./varieties";

export const screens: Screens = {
  farm: farmPart,
  variety: ({ id }) => <VarietyScreen id={id} />,
  place: ({ id, part }) => <PlaceScreen id={id} part={part} />,
};

function farmPart({ id }: Route) {
  if (id === "people") return <People />;
  if (id === "varieties") return <Varieties />;
  if (id === "places") return <Places />;
  if (id === "phone") return <ThisPhone />;
  if (id === "calendar") return <Calendar />;
  if (id === "exports") return <Exports />;
  return <Farm />;
}
