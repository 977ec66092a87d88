/** What the screens may ask of the phone's store. `store/index.ts` exports one object per signed-in farm that does it. */
import type { ReadonlySignal } from "@preact/signals";
import type { Whereabouts } from "../records/replay";
import type { Confirmed, FieldsOf, Id, Instant, Kind, Op } from "../records/types";

export type { Whereabouts };

/** Everything wanted of the device, named once, so that logic runs without a browser. */
export interface Device {
  now(): Date;
  newId(): Id;
}

/** A refusal with words for a person; `field` when it stands beside one, `detail` for what else was said of it. */
export class Refused extends Error {
  constructor(
    readonly code: string,
    message: string,
    readonly field: string | null = null,
    readonly detail: unknown = null,
  ) {
    super(message);
  }
}

/** Nothing was saved, and why, in words for a person. `code`: "full" (no room on the phone) or "storage". */
export class NotSaved extends Refused {}

/** A row as this phone sees it: `seq` is 0 until the server has confirmed it, `author` null while it is this person's and unsent. */
export interface Row<K extends Kind = Kind> extends Confirmed<K> {
  where: Whereabouts;
}

/** A row as a form showed it when it was opened; a `Row` kept from then is one. */
export type Seen<K extends Kind = Kind> = Pick<Row<K>, "seq" | "fields">;

/**
 * Of a patch only those fields are sent that differ from what the person saw, and fields that belong together
 * (`TOGETHER`) with one another. A form that stays open while passes run has to give `seen`, the row it was opened
 * with: else it is compared with the row as it is at the save, and takes back what came in from other phones meanwhile.
 */
export type Change =
  | { [K in Kind]: { verb: "add"; kind: K; id: Id; fields: FieldsOf[K] } }[Kind]
  | { [K in Kind]: { verb: "patch"; kind: K; id: Id; fields: Partial<FieldsOf[K]>; seen?: Seen<K> } }[Kind]
  | { verb: "delete" | "restore"; kind: Kind; id: Id };

/** JPEG bytes made on this phone, stored under their SHA-256 together with the photo record that names them. */
export interface Picture {
  sha256: string;
  bytes: ArrayBuffer;
}

export interface Parked {
  op: Op;
  code: string;
  message: string;
  field: string | null;
  since: Instant;
}

/** Fields of a row for which another phone's later value stands instead of what this person wrote. */
export interface Outvoted {
  row: Id;
  kind: Kind;
  fields: readonly string[];
  /** what this person wrote; releases before this one kept no values */
  mine?: Readonly<Record<string, unknown>>;
  /** the farm's number of that loss: a row with a smaller one does not show yet what stands */
  seq?: number;
  at: Instant; // of the last of this person's changes that lost
}

/** What the server last said to a question, and when this phone heard it. */
export interface Heard {
  heard: Instant;
  body: unknown;
}

/**
 * A request that waits for a connection: posted to `path` after the records, by pass after pass until the server
 * answers with its id. The id is made here and stands in the body too, so that a repeat has no second effect.
 */
export interface Errand {
  id: Id;
  path: string;
  body: object;
  made: Instant;
  /** the server's words, once it has refused; then it waits for the person */
  said?: string;
}

export interface FarmStore {
  /** Every row of the farm as this phone sees it: confirmed rows with the unsent changes replayed over them; deleted ones included. */
  readonly rows: ReadonlySignal<ReadonlyMap<Id, Row>>;
  /** Changes the server has not acknowledged, in the order they are sent. */
  readonly outbox: ReadonlySignal<readonly Op[]>;
  readonly parked: ReadonlySignal<readonly Parked[]>;
  /** To be told to the person, at the record, until it is put away with `seen`. */
  readonly outvoted: ReadonlySignal<readonly Outvoted[]>;
  /** How many pictures of shown records (thumbnails count too) are still only on this phone. */
  readonly picturesWaiting: ReadonlySignal<number>;
  /** Pictures the server could not take or the browser has lost, by SHA-256, with words; "try now" tries them again. Their photo record "needs attention". */
  readonly refusedPictures: ReadonlySignal<ReadonlyMap<string, string>>;
  /**
   * Saves all changes and pictures in ONE strict transaction, and clears the draft named with them in the same one.
   * Resolves only when they are on this phone; rejects with `NotSaved` (words for a person) and has then changed nothing.
   */
  save(changes: readonly Change[], pictures?: readonly Picture[], draft?: string): Promise<void>;
  /** Puts a refused change back in the outbox, with other fields if given. */
  resend(op: Id, fields?: Record<string, unknown>): Promise<void>;
  /** Gives a refused change up, visibly. */
  discard(op: Id): Promise<void>;
  /** The person knows of the values that were outvoted in this row: they are told no more. */
  seen(row: Id): Promise<void>;
  /** A drafted form, kept per key press; `undefined` clears it. */
  keepDraft(key: string, value: unknown): Promise<void>;
  draft<T>(key: string): Promise<T | undefined>;
  /** What the server said when it was last asked this; undefined when it never was. Never unsent, so it may be lost. */
  answer(question: string): Promise<Heard | undefined>;
  /** `undefined` forgets it. */
  keepAnswer(question: string, body: unknown): Promise<void>;
  /** In the order they were made. One that is gone was done or dropped. */
  readonly errands: ReadonlySignal<readonly Errand[]>;
  /** Kept as safely as a record; the same one added again after a refusal is tried again. */
  addErrand(errand: Pick<Errand, "id" | "path" | "body">): Promise<void>;
  dropErrand(id: Id): Promise<void>;
  /** A blob: URL for a picture on this phone, or fetched through `fetchPicture` and kept; undefined when neither is possible now. */
  pictureUrl(sha256: string): Promise<string | undefined>;
  /** The unsent and refused changes with their pictures, as a file to keep (errands stay out); and back. Returns how many changes were taken in. */
  exportUnsent(): Promise<Blob>;
  importUnsent(file: Blob): Promise<number>;
  close(): void;
}

/** Rows of one kind that are not deleted. */
export function ofKind<K extends Kind>(rows: ReadonlyMap<Id, Row>, kind: K): Row<K>[] {
  const found: Row<K>[] = [];
  for (const row of rows.values()) if (row.kind === kind && !row.deleted) found.push(row as Row<K>);
  return found;
}
