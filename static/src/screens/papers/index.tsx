/** The room of what is written of a block: deliveries, labels, what it came with, what happened to it. */

import type { Screens } from "../rooms";
import type { Route } from "../route";
import { BlockEdit } from "./block_edit";
import { NewDelivery } from "./delivery";
import { DeliveryEdit } from "./delivery_edit";
import { Happened } from "./happened";
import { HappeningScreen } from "./happening";
import { Labels } from "./labels";
import { PhotoScreen } from "./photo";

export const screens: Screens = {
  block: ({ id, part }) => (part === "edit" ? <BlockEdit id={id} /> : <Happened id={id} />),
  happening: ({ id }) => <HappeningScreen id={id} />,
  photo: ({ id }) => <PhotoScreen id={id} />,
  delivery: deliveryPart,
};

function deliveryPart({ id, part }: Route) {
  if (id === "") return <NewDelivery />;
  return part === "edit" ? <DeliveryEdit id={id} /> : <Labels id={id} />;
}
