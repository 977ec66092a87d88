/** The labels of a delivery, large, to be written on the blocks; and the delivery's own papers. */
import type { BlockView } from "../../records/farm_view";
import { dayWords, localDay } from "../dates";
import { farm, isOwner, now, varietyName } from "../here";
import { Absent } from "../parts/absent";
import { Frame } from "../parts/frame";
import { Label } from "../parts/label";
import { Where } from "../parts/where";
import { count } from "../words";

export function Labels({ id }: { id: string }) {
  const delivery = farm.value.delivery.get(id);
  if (!delivery) return <Absent what="delivery" to="#/blocks" />;
  const { supplier, received, lot, price, currency, note } = delivery.fields;
  const blocks = [...farm.value.block.values()].filter((view) => view.delivery?.id === id);
  const from = farm.value.supplier.get(supplier)?.fields.name ?? "a supplier not here yet";
  return (
    <Frame
      title={`${count(blocks.length, "block")} from ${from}`}
      from="#/blocks"
      acts={
        <a class="tap main" href="#/blocks">
          Written on the blocks
        </a>
      }
    >
      <p>
        Write each label on its block, large, with a marker that stands water. <Where at={delivery.where} />
      </p>
      <p class="quiet">
        {dayWords(received, localDay(new Date(now.value)))}
        {lot && `, lot ${lot}`}
        {price !== null && `, ${price} ${currency}`}
      </p>
      {note && <p>{note}</p>}
      {varieties(blocks).map(([name, theirs]) => (
        <section key={name}>
          <h2>{name}</h2>
          <ul class="made">
            {theirs.map((view) => (
              <li key={view.id}>
                <a href={`#/block/${view.id}`}>
                  <Label code={view.fields.label} big />
                </a>
              </li>
            ))}
          </ul>
        </section>
      ))}
      {isOwner.value && (
        <a class="tap" href={`#/delivery/${id}/edit`}>
          Change this delivery
        </a>
      )}
    </Frame>
  );
}

function varieties(blocks: readonly BlockView[]): [string, BlockView[]][] {
  const apart = new Map<string, BlockView[]>();
  for (const view of blocks) apart.set(varietyName(view), [...(apart.get(varietyName(view)) ?? []), view]);
  return [...apart];
}
