/** The room of what came with a block: deliveries, labels, what is known of a block. */

import type { Screens } from "../rooms";
import type { Route } from "../route";
import { BlockEdit } from "./block_edit";
import { NewDelivery } from "./delivery";
import { DeliveryEdit } from "./delivery_edit";
import { Labels } from "./labels";

export const screens: Screens = {
  block: ({ id }) => <BlockEdit id={id} />,
  delivery: deliveryPart,
};

function deliveryPart({ id, part }: Route) {
  if (id === "") return <NewDelivery />;
  return part === "edit" ? <DeliveryEdit id={id} /> : <Labels id={id} />;
}
