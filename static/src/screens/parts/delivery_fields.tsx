/** The papers of a delivery, when it is written down and when it is corrected. */
import type { DeliveryDraft, Wrong } from "../../records/block_draft";
import { Text } from "./field";

interface Props {
  draft: DeliveryDraft;
  wrong: Wrong<keyof DeliveryDraft>;
  onChange: (part: Partial<DeliveryDraft>) => void;
}

export function DeliveryFields({ draft, wrong, onChange }: Props) {
  return (
    <>
      <div class="side">
        <Text
          name="Arrived"
          type="date"
          value={draft.received}
          wrong={wrong.received}
          onText={(received) => onChange({ received })}
        />
        <Text name="Lot, as printed" most={60} value={draft.lot} onText={(lot) => onChange({ lot })} />
      </div>
      <div class="side">
        <Text
          name="Price of it all"
          keys="decimal"
          value={draft.price}
          wrong={wrong.price}
          onText={(price) => onChange({ price })}
        />
        <Text
          name="Currency"
          capitals
          most={3}
          value={draft.currency}
          wrong={wrong.currency}
          onText={(currency) => onChange({ currency })}
        />
      </div>
      <Text
        name="Kept at, °C, before opening (if you know)"
        value={draft.stored}
        wrong={wrong.stored}
        onText={(stored) => onChange({ stored })}
      />
    </>
  );
}
