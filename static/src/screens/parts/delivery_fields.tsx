/** The papers of a delivery, when it is written down and when it is corrected. */
import type { DeliveryDraft, Wrong } from "../../records/block_draft";
import { bound } from "./bound";
import { Text } from "./field";

interface Props {
  draft: DeliveryDraft;
  wrong: Wrong<keyof DeliveryDraft>;
  onChange: (part: Partial<DeliveryDraft>) => void;
}

export function DeliveryFields({ draft, wrong, onChange }: Props) {
  const field = bound({ shown: draft, faults: wrong, change: onChange });
  return (
    <>
      <div class="side">
        <Text name="Arrived" type="date" {...field("received")} />
        <Text name="Lot, as printed" most={60} {...field("lot")} />
      </div>
      <div class="side">
        <Text name="Price of it all" keys="decimal" {...field("price")} />
        <Text name="Currency" capitals most={3} {...field("currency")} />
      </div>
      <Text name="Kept at, °C, before opening (if you know)" {...field("stored")} />
    </>
  );
}
