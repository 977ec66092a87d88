/** What the screens may ask of sync: who is signed in, how the last pass went, and "try now". */
import type { ReadonlySignal } from "@preact/signals";
import type { Id, Instant, Role } from "../records/types";
import type { FarmStore } from "../store/api";

export { Refused } from "../store/api";

export interface SignedIn {
  person: { id: Id; name: string; email: string };
  farm: { id: Id; name: string; role: Role; currency: string; is_demo: boolean };
}

/** `server` is what the server last said of itself; null when it has never been reached from this page. */
export interface Door {
  server: { first_run: boolean; demo: boolean; version: string } | null;
  /** Who this phone belongs to: remembered on the phone, so that it opens with no server. */
  who: SignedIn | null;
  store: FarmStore | null;
}

export type PassState =
  | { now: "resting" | "sending" | "fetching"; lastDone: Instant | null; trouble: null }
  | {
      now: "resting";
      lastDone: Instant | null;
      trouble: "no server" | "signed out" | "server is ill" | "storage trouble";
      detail: string;
    };

export interface Sync {
  readonly door: ReadonlySignal<Door>;
  readonly pass: ReadonlySignal<PassState>;
  /** Minutes this phone's clock is ahead of the server's; null until known. */
  readonly clockAheadMin: ReadonlySignal<number | null>;
  /** Opens what the phone remembers, then asks the server in the background. Resolves as soon as the screens can be drawn. */
  start(): Promise<void>;
  /** A pass now: push everything, pull to the head, send pictures. */
  tryNow(): Promise<void>;
  /** More than one farm: Refused("choose_farm") whose `detail` is the answer, {farms: [{id, name}]}. */
  signIn(form: { email: string; password: string; farm?: Id }): Promise<void>;
  openDemo(): Promise<void>;
  setUp(form: { code: string; farm: string; name: string; email: string; password: string }): Promise<void>;
  join(form: { code: string; name: string; email: string; password: string }): Promise<void>;
  /** Signs this phone in as whoever shows the code on theirs. */
  pair(code: string): Promise<void>;
  /** A new password for whoever has the code for it; gives the e-mail address to sign in with. */
  choosePassword(form: { code: string; password: string }): Promise<string>;
  /** The password once more, after the server refused an act with "confirm"; with `new` it is changed to that. */
  retype(form: { password: string; new?: string }): Promise<void>;
  /** Signs out. With unsent records and no `evenUnsent` it throws Refused("unsent"): they stay on the phone for this person either way. */
  signOut(evenUnsent?: boolean): Promise<void>;
  /**
   * The farm's people, phones and invitations, and acts on them: thin calls of the server, which must be reachable.
   * Rejects with Refused: the server's code, words and field, `detail` its whole answer; "no_server" when none answers.
   */
  ask<T>(method: "GET" | "POST" | "PATCH" | "DELETE", path: string, body?: unknown): Promise<T>;
  /** A file the server makes (pdf, zip, html, json by the address' ending), posted for when there is a body. Rejects as `ask`. */
  fetchFile(path: string, body?: unknown): Promise<{ name: string; blob: Blob }>;
}
