/** What the screens see: confirmed rows with this phone's changes replayed over them, kept up row by row. */
import { batch, type Signal, signal } from "@preact/signals";
import { replay, whereabouts } from "../records/replay";
import { type Confirmed, type Id, KINDS, type Kind, type Op } from "../records/types";
import { type Errand, type Outvoted, ofKind, type Parked, type Row } from "./api";
import type { Survey } from "./database";
import { type Entry, type Mark, NO_PROGRESS, type PictureState, type Progress } from "./schema";

/** What a transaction did to the confirmed rows. */
export interface Arrived {
  rows: readonly Confirmed[];
  gone: readonly Id[];
  /** set when `rows` is everything there is */
  all: boolean;
}

export const NOTHING_ARRIVED: Arrived = { rows: [], gone: [], all: false };
const SHOWN: ReadonlySet<string> = new Set<Kind>(KINDS);

export class View {
  readonly rows = signal<ReadonlyMap<Id, Row>>(new Map());
  readonly outbox = signal<readonly Op[]>([]);
  readonly parked = signal<readonly Parked[]>([]);
  readonly outvoted = signal<readonly Outvoted[]>([]);
  readonly errands = signal<readonly Errand[]>([]);
  readonly picturesWaiting = signal(0);
  readonly refusedPictures = signal<ReadonlyMap<string, string>>(new Map());
  progress: Progress = NO_PROGRESS;
  entries: readonly Entry[] = [];
  #confirmed = new Map<Id, Confirmed>();
  #changes = new Map<Id, Entry[]>();
  #refused = new Set<Id>();
  #marks: ReadonlyMap<string, Mark> = new Map();

  /** Brings the view to what one transaction left behind. */
  take(seen: Survey, arrived: Arrived = NOTHING_ARRIVED): void {
    const stale = new Set<Id>([...this.#changes.keys(), ...this.#refused]);
    if (arrived.all) {
      for (const id of this.rows.peek().keys()) stale.add(id);
      this.#confirmed = new Map();
    }
    for (const row of arrived.rows) {
      this.#confirmed.set(row.id, row);
      stale.add(row.id);
    }
    for (const id of arrived.gone) {
      this.#confirmed.delete(id);
      stale.add(id);
    }
    this.#settle(seen);
    for (const id of this.#changes.keys()) stale.add(id);
    for (const id of this.#refused) stale.add(id);
    batch(() => {
      this.#showPictures(seen.marks, stale);
      this.#show(seen, stale);
    });
  }

  #settle(seen: Survey): void {
    this.progress = seen.progress;
    this.entries = seen.entries;
    this.#changes = new Map();
    for (const entry of seen.entries) {
      const row = this.#changes.get(entry.op.row);
      if (row) row.push(entry);
      else this.#changes.set(entry.op.row, [entry]);
    }
    this.#refused = new Set(seen.parked.map(({ op }) => op.row));
  }

  /** Screens are drawn again only for what is another than before: a pass that found nothing new leaves them alone. */
  #show(seen: Survey, stale: ReadonlySet<Id>): void {
    if (stale.size > 0) {
      const rows = new Map(this.rows.peek());
      for (const id of stale) {
        const row = this.#row(id);
        if (row) rows.set(id, row);
        else rows.delete(id);
      }
      this.rows.value = rows;
    }
    const unsent = seen.entries.filter(({ acked }) => acked === null).map(({ op }) => op);
    const refused = seen.parked;
    if (unlike(unsent, this.outbox.peek())) this.outbox.value = unsent;
    if (
      unlike(
        refused.map(({ op }) => op),
        this.parked.peek().map(({ op }) => op),
      )
    )
      this.parked.value = refused;
    for (const name of ["outvoted", "errands"] as const) {
      const shown: Signal<unknown> = this[name];
      if (JSON.stringify(seen[name]) !== JSON.stringify(shown.peek())) shown.value = seen[name];
    }
    this.picturesWaiting.value = this.#picturesWaiting();
  }

  /** Those of deleted records wait too, but for nothing: they would be counted for ever. */
  #picturesWaiting(): number {
    const waiting = [...this.#marks.values()].filter(({ state }) => state === "waiting");
    if (waiting.length === 0) return 0;
    const named = new Set(ofKind(this.rows.peek(), "photo").flatMap(names));
    return waiting.filter(({ sha256 }) => named.has(sha256)).length;
  }

  /** A picture that changed its state changes the word its photo record stands under. */
  #showPictures(marks: readonly Mark[], stale: Set<Id>): void {
    const before = this.#marks;
    this.#marks = new Map(marks.map((mark) => [mark.sha256, mark]));
    const moved = (sha256: string) => before.get(sha256)?.state !== this.#marks.get(sha256)?.state;
    if (![...before.keys(), ...this.#marks.keys()].some(moved)) return;
    const refused = marks.filter(({ state }) => state === "refused");
    this.refusedPictures.value = new Map(refused.map(({ sha256, message }) => [sha256, message]));
    for (const row of this.rows.peek().values()) if (names(row).some(moved)) stale.add(row.id);
  }

  #stateOf(row: { kind: Kind; fields: unknown }): Set<PictureState | undefined> {
    return new Set(names(row).map((sha256) => this.#marks.get(sha256)?.state));
  }

  #row(id: Id): Row | undefined {
    const changes = this.#changes.get(id) ?? [];
    const row = replay(this.#confirmed.get(id), changes);
    if (!row || !SHOWN.has(row.kind)) return undefined;
    const pictures = this.#stateOf(row);
    const where = whereabouts({
      refused: this.#refused.has(id) || pictures.has("refused"),
      unsent: changes.some(({ acked }) => acked === null) || pictures.has("waiting"),
    });
    return { ...row, where };
  }

  /** Pictures that may be sent now, thumbnails first: their record is on the server already, and not deleted. */
  picturesToSend(): string[] {
    if (this.picturesWaiting.peek() === 0) return [];
    const full: string[] = [];
    const thumbs: string[] = [];
    for (const row of ofKind(this.rows.peek(), "photo")) {
      const unsent = this.#changes.get(row.id)?.some(({ op, acked }) => op.verb === "add" && acked === null);
      if (unsent) continue;
      full.push(row.fields.sha256);
      thumbs.push(row.fields.thumb_sha256);
    }
    return [...new Set([...thumbs, ...full])].filter(
      (sha256) => this.#marks.get(sha256)?.state === "waiting",
    );
  }
}

/** The pictures a record names: full size, then thumbnail. */
export function names(row: { kind: Kind; fields: unknown }): string[] {
  if (row.kind !== "photo") return [];
  const { sha256, thumb_sha256 } = row.fields as { sha256: string; thumb_sha256: string };
  return [sha256, thumb_sha256];
}

function unlike(a: readonly Op[], b: readonly Op[]): boolean {
  return a.length !== b.length || a.some(({ id }, at) => id !== b[at]?.id);
}
