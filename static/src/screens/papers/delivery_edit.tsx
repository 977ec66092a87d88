/** Correcting a delivery: who it came from, when, its lot, its price. How many came is told by its blocks. */
import { useState } from "preact/hooks";
import { deliveryDraftOf, firstPick, readDelivery } from "../../records/block_draft";
import type { Standing } from "../../records/farm_view";
import { sync } from "../../sync";
import { dayOf, dayWords, localDay } from "../dates";
import { farm, isOwner } from "../here";
import { useKept } from "../kept";
import { Absent, Barred } from "../parts/absent";
import { bound } from "../parts/bound";
import { DeliveryFields } from "../parts/delivery_fields";
import { Select, Text } from "../parts/field";
import { Frame } from "../parts/frame";
import { namesOf } from "../parts/options";
import { Form } from "../parts/tap";
import { written } from "../patch";
import { write } from "../saving";

export function DeliveryEdit({ id }: { id: string }) {
  const row = farm.value.delivery.get(id);
  if (!row) return <Absent what="delivery" to="#/blocks" />;
  if (!isOwner.value) return <Barred to={`#/delivery/${id}`} />;
  return (
    <Frame title="Change this delivery" from={`#/delivery/${id}`}>
      <DeliveryForm key={id} row={row} />
    </Frame>
  );
}

export function DeliveryForm({ row }: { row: Standing<"delivery"> }) {
  const [seen] = useState(row);
  const { id, fields } = seen;
  const ours = sync.door.value.who?.farm.currency ?? "";
  const offered = { ...deliveryDraftOf(fields, ours), supplier: fields.supplier };
  const { shown: draft, latest, change } = useKept(offered);
  const [tried, setTried] = useState(false);
  const read = () => {
    const today = localDay(new Date());
    const said = (day: string) => dayWords(day, today);
    return readDelivery(latest(), today, said, firstPick(farm.value, id, dayOf));
  };
  const wrong = (tried && read().wrong) || {};
  const save = () => {
    setTried(true);
    const { fields: made } = read();
    if (!made) return;
    const all = { ...made, supplier: latest().supplier };
    return write(written("delivery", all, seen), "Delivery changed on this phone.", `#/delivery/${id}`);
  };
  const field = bound({ shown: draft, faults: wrong, change });
  const suppliers = namesOf("supplier");
  // One that is not on this phone stays what it is until another is chosen.
  if (!farm.value.supplier.has(fields.supplier)) suppliers.unshift([fields.supplier, "Not on this phone"]);
  return (
    <Form onSave={save}>
      <Select name="Supplier" {...field("supplier")} options={suppliers} />
      <DeliveryFields draft={draft} wrong={wrong} onChange={change} />
      <Text name="Note" long most={2000} {...field("note")} />
    </Form>
  );
}
