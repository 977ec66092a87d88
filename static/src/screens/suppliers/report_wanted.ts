/** What a yield report is asked for with: which deliveries, which days, which photos. */
import type { BlockView, FarmView, Standing } from "../../records/farm_view";
import type { Day, Id } from "../../records/types";
import { REPORTS, zone } from "./wire";

/** All of them stand in one PDF; the server takes no more. */
export const MOST_PHOTOS = 24;

export interface Wanted {
  /** ticked off, so that a delivery is in unless it is left out */
  without: ReadonlySet<Id>;
  since: Day;
  until: Day;
  photos: ReadonlySet<Id>;
}

export const ALL: Wanted = { without: new Set(), since: "", until: "", photos: new Set() };

/** This supplier's deliveries within the days, the latest first. */
export function deliveriesOf(farm: FarmView, supplier: Id, { since, until }: Wanted): Standing<"delivery">[] {
  return [...farm.delivery.values()]
    .filter(({ fields }) => fields.supplier === supplier)
    .filter(({ fields: { received } }) => (!since || received >= since) && (!until || received <= until))
    .sort((a, b) => (a.fields.received < b.fields.received ? 1 : -1));
}

export interface Shot {
  photo: Standing<"photo">;
  block: BlockView;
  /** trouble, or of a block that was contaminated */
  trouble: boolean;
}

/** The photos of these deliveries' blocks: trouble first, then contaminated blocks, each the latest first. */
export function photosOf(farm: FarmView, deliveries: ReadonlySet<Id>): Shot[] {
  const shots: (Shot & { rank: number })[] = [];
  for (const block of farm.block.values()) {
    if (!block.delivery || !deliveries.has(block.delivery.id)) continue;
    const contaminated = block.happenings.some(({ fields }) => fields.what === "contamination");
    for (const photo of block.photos) {
      const rank = photo.fields.stage === "trouble" ? 0 : contaminated ? 1 : 2;
      shots.push({ photo, block, trouble: rank < 2, rank });
    }
  }
  return shots.sort((a, b) => a.rank - b.rank || (a.photo.fields.taken < b.photo.fields.taken ? 1 : -1));
}

/** What is wrong with it, in words; "" when it can be made. */
export function wrongWith({ since, until }: Wanted, deliveries: number, photos: number): string {
  if (since && until && since > until) return `${since} comes after ${until}: swap the days.`;
  if (deliveries === 0) return "Tick at least one delivery.";
  if (photos > MOST_PHOTOS)
    return `${photos} photos are ticked; a report takes ${MOST_PHOTOS}. Untick ${photos - MOST_PHOTOS}.`;
  return "";
}

/** The errand that has it made. All deliveries are none named, so that the report may say "all". */
export function errandFor(id: Id, supplier: Id, wanted: Wanted, shown: readonly Id[], photos: readonly Id[]) {
  const { without, since, until } = wanted;
  const deliveries = without.size === 0 ? [] : shown.filter((delivery) => !without.has(delivery));
  const body = {
    id,
    supplier,
    deliveries,
    since: since || null,
    until: until || null,
    photos: photos.filter((photo) => wanted.photos.has(photo)),
    zone: zone(),
  };
  return { id, path: REPORTS, body };
}

/** What a waiting errand is about. */
export function supplierIn(body: object): Id {
  return "supplier" in body && typeof body.supplier === "string" ? body.supplier : "";
}
