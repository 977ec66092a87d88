/** The room of what is written of a block: deliveries, labels, what it came with, what happened to it. */

import type { Screens } from "../rooms";
import type { Route } from "../route";
import { BlockEdit, BlockForm } from "./block_edit";
import { NewDelivery } from "./delivery";
import { DeliveryEdit, DeliveryForm } from "./delivery_edit";
import { Happened } from "./happened";
import { HappeningForm, HappeningScreen } from "./happening";
import { Labels } from "./labels";
import { PhotoScreen } from "./photo";

export const screens: Screens = {
  block: ({ id, part }) => (part === "edit" ? <BlockEdit id={id} /> : <Happened id={id} />),
  happening: ({ id }) => <HappeningScreen id={id} />,
  photo: ({ id }) => <PhotoScreen id={id} />,
  delivery: deliveryPart,
};

/** The form of each kind, for what the server refused. */
export const forms = { block: BlockForm, delivery: DeliveryForm, happening: HappeningForm };

function deliveryPart({ id, part }: Route) {
  if (id === "") return <NewDelivery />;
  return part === "edit" ? <DeliveryEdit id={id} /> : <Labels id={id} />;
}
