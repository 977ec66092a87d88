/** A yield report for one supplier: which deliveries, which photos, and what will be in it before it is made. */
import { useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import type { Id } from "../../records/types";
import { newId } from "../../store";
import { dayWords, localDay } from "../dates";
import { farm, isOwner, now, store } from "../here";
import { useKept } from "../kept";
import { Absent, Barred } from "../parts/absent";
import { bound } from "../parts/bound";
import { Text, Wrong } from "../parts/field";
import { Frame } from "../parts/frame";
import { Form } from "../parts/tap";
import { replaceWith } from "../route";
import { once } from "../saving";
import { count } from "../words";
import { PhotoTicks } from "./report_photos";
import { ALL, deliveriesOf, errandFor, photosOf, type Wanted, wrongWith } from "./report_wanted";

export function NewReport({ supplier }: { supplier: Id }) {
  const row = farm.value.supplier.get(supplier);
  const home = `#/supplier/${supplier}`;
  if (!row) return <Absent what="supplier" to="#/suppliers" />;
  if (!isOwner.value) return <Barred to={home} />;
  return (
    <Frame title={`Yield report for ${row.fields.name}`} from={home}>
      <Fields supplier={supplier} />
    </Frame>
  );
}

function Fields({ supplier }: { supplier: Id }) {
  const { shown: wanted, latest, change } = useKept<Wanted>(ALL);
  const field = bound({ shown: wanted, faults: {}, change });
  const [tried, setTried] = useState(false);
  const deliveries = deliveriesOf(farm.value, supplier, wanted);
  const chosen = deliveries.filter(({ id }) => !wanted.without.has(id)).map(({ id }) => id);
  const shots = photosOf(farm.value, new Set(chosen));
  const photos = shots.map(({ photo }) => photo.id);
  const ticked = photos.filter((id) => wanted.photos.has(id)).length;
  const wrong = tried ? wrongWith(wanted, chosen.length, ticked) : "";
  const make = async () => {
    setTried(true);
    if (wrongWith(latest(), chosen.length, ticked)) return;
    const id = newId();
    const errand = errandFor(
      id,
      supplier,
      latest(),
      deliveries.map((each) => each.id),
      photos,
    );
    if (await once("make report", () => store().addErrand(errand))) replaceWith(`#/report/${id}`);
  };
  return (
    <Form onSave={make} save="Make the report" below={<Contents />}>
      <Deliveries
        deliveries={deliveries}
        without={wanted.without}
        onTurn={(id) => change(({ without }) => ({ without: turned(without, id) }))}
      />
      <details>
        <summary>Only what arrived in some days</summary>
        <div class="side">
          <Text name="Arrived from" type="date" {...field("since")} />
          <Text name="Arrived until" type="date" {...field("until")} />
        </div>
      </details>
      <PhotoTicks
        shots={shots}
        ticked={wanted.photos}
        onTurn={(id) => change((now) => ({ photos: turned(now.photos, id) }))}
      />
      <p>
        In it: {count(chosen.length, "delivery", "deliveries")} and{" "}
        {ticked === 0 ? "no photo" : count(ticked, "photo")}.
      </p>
      {wrong && <Wrong>{wrong}</Wrong>}
    </Form>
  );
}

function turned(set: ReadonlySet<Id>, id: Id): Set<Id> {
  const next = new Set(set);
  if (!next.delete(id)) next.add(id);
  return next;
}

interface DeliveriesProps {
  deliveries: readonly Standing<"delivery">[];
  without: ReadonlySet<Id>;
  onTurn: (id: Id) => void;
}

function Deliveries({ deliveries, without, onTurn }: DeliveriesProps) {
  const today = localDay(new Date(now.value));
  return (
    <fieldset class="field">
      <legend>Deliveries</legend>
      {deliveries.length === 0 && <p class="quiet">None arrived in these days.</p>}
      <ul class="list">
        {deliveries.map(({ id, fields }) => (
          <li key={id}>
            <label class="tick">
              <input type="checkbox" checked={!without.has(id)} onChange={() => onTurn(id)} />
              <span>
                {dayWords(fields.received, today)}
                <span class="quiet small">
                  {[count(fields.count, "block"), fields.lot && `lot ${fields.lot}`]
                    .filter(Boolean)
                    .join(", ")}
                </span>
              </span>
            </label>
          </li>
        ))}
      </ul>
    </fieldset>
  );
}

function Contents() {
  return (
    <section class="care">
      <p>
        The report says your farm's name, and of each block: lot, label, masses and how its dry mass is known,
        every flush with its days, soaks, contamination, how it ended, and how warm and damp it stood.
      </p>
      <p>
        It never says prices, notes, contacts, names of people or places, or anything of another supplier.
        Photos only those you tick.
      </p>
    </section>
  );
}
