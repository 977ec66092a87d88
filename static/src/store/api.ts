/** What the screens may ask of the phone's store. `store/index.ts` exports one object per signed-in farm that does it. */
import type { ReadonlySignal } from "@preact/signals";
import type { Whereabouts } from "../records/replay";
import type { FieldsOf, Id, Instant, Kind, Op } from "../records/types";

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

export interface Row<K extends Kind = Kind> {
  kind: K;
  id: Id;
  seq: number; // 0 until the server has confirmed it
  deleted: boolean;
  author: Id | null; // null: this person, not sent yet
  fields: FieldsOf[K];
  where: Whereabouts;
}

export type Change =
  | { [K in Kind]: { verb: "add"; kind: K; id: Id; fields: FieldsOf[K] } }[Kind]
  | { [K in Kind]: { verb: "patch"; kind: K; id: Id; fields: Partial<FieldsOf[K]> } }[Kind]
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

export interface FarmStore {
  /** Every row of the farm as this phone sees it: confirmed rows with the unsent changes replayed over them; deleted ones included. */
  readonly rows: ReadonlySignal<ReadonlyMap<Id, Row>>;
  /** Changes the server has not acknowledged, in the order they are sent. */
  readonly outbox: ReadonlySignal<readonly Op[]>;
  readonly parked: ReadonlySignal<readonly Parked[]>;
  /** How many pictures of shown records (thumbnails count too) are still only on this phone. */
  readonly picturesWaiting: ReadonlySignal<number>;
  /** Pictures the server could not take, by SHA-256, with its words; "try now" tries them again. Their photo record "needs attention". */
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
  /** A drafted form, kept per key press; `undefined` clears it. */
  keepDraft(key: string, value: unknown): Promise<void>;
  draft<T>(key: string): Promise<T | undefined>;
  /** A blob: URL for a picture on this phone, or fetched through `fetchPicture` and kept; undefined when neither is possible now. */
  pictureUrl(sha256: string): Promise<string | undefined>;
  /** The unsent and refused changes with their pictures, as a file to keep; and back. Returns how many changes were taken in. */
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
