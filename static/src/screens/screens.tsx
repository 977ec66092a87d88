/** Which address shows which screen. */
import type { JSX } from "preact";
import { sync } from "../sync";
import { Block } from "./block";
import { BlockEdit } from "./block_edit";
import { Blocks } from "./blocks";
import { Correct } from "./correct";
import { NewDelivery } from "./delivery";
import { DeliveryEdit } from "./delivery_edit";
import { Door } from "./door";
import { Farm } from "./farm";
import { Happened } from "./happened";
import { HappeningScreen } from "./happening";
import { Labels } from "./labels";
import { People } from "./people";
import { PhotoScreen } from "./photo";
import { PlaceScreen, Places } from "./places";
import { type Route, route } from "./route";
import { Shoot } from "./shoot";
import { Supplier } from "./supplier";
import { Suppliers } from "./suppliers";
import { ThisPhone } from "./this_phone";
import { Today } from "./today";
import { Unsent } from "./unsent";
import { Varieties, VarietyScreen } from "./varieties";
import { PickScreen, Weigh } from "./weigh";

const SCREENS: Record<string, (route: Route) => JSX.Element> = {
  blocks: () => <Blocks />,
  block: blockPart,
  weigh: ({ id }) => <Weigh id={id} />,
  pick: ({ id, part }) => <PickScreen id={id} part={part} />,
  happening: ({ id }) => <HappeningScreen id={id} />,
  photo: ({ id }) => <PhotoScreen id={id} />,
  delivery: deliveryPart,
  suppliers: () => <Suppliers />,
  supplier: ({ id }) => <Supplier id={id} />,
  farm: farmPart,
  variety: ({ id }) => <VarietyScreen id={id} />,
  place: ({ id }) => <PlaceScreen id={id} />,
  unsent: ({ id }) => (id ? <Correct key={id} id={id} /> : <Unsent />),
};

function blockPart({ id, part }: Route) {
  if (part === "photo") return <Shoot id={id} />;
  if (part === "happened") return <Happened id={id} />;
  if (part === "edit") return <BlockEdit id={id} />;
  return <Block id={id} />;
}

function deliveryPart({ id, part }: Route) {
  if (id === "") return <NewDelivery />;
  return part === "edit" ? <DeliveryEdit id={id} /> : <Labels id={id} />;
}

function farmPart({ id }: Route) {
  if (id === "people") return <People />;
  if (id === "varieties") return <Varieties />;
  if (id === "places") return <Places />;
  if (id === "phone") return <ThisPhone />;
  return <Farm />;
}

export function Screens() {
  const { store } = sync.door.value;
  const here = route.value;
  if (!store || here.name === "join") return <Door />;
  const screen = SCREENS[here.name];
  return screen ? screen(here) : <Today />;
}
