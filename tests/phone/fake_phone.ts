/** A phone for tests: its own IndexedDB, its own clock and chance, and a line to the fake server that can fail. */
import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import type { Confirmed, Id, Op } from "../../static/src/records/types";
import { Farm } from "../../static/src/store";
import { uuid7 } from "../../static/src/store/ids";
import { makeSync, type PhoneSync } from "../../static/src/sync";
import { canonical } from "./fake_farm";
import { type FakeServer, type Person, refuse, type Session, type Wanted } from "./fake_server";

/** What happens to one call: undefined lets it through. */
export type Fault = (wanted: Wanted, through: () => Response) => Response | Promise<Response> | undefined;

export class FakePhone {
  readonly calls: Wanted[] = [];
  factory = new IDBFactory();
  session: Session | null = null;
  fault: Fault | null = null;
  /** how far this phone's clock is ahead of true time, in ms */
  ahead = 0;
  persisted = 0;
  #chance: number;
  #lock: Promise<unknown> = Promise.resolve();

  constructor(
    readonly server: FakeServer,
    readonly name: string,
    readonly person: Person,
    seed = 1,
  ) {
    this.#chance = seed;
  }

  /** Everything that opens a database from here on opens this phone's. */
  take(): this {
    globalThis.indexedDB = this.factory;
    return this;
  }

  readonly device = {
    now: () => new Date(this.server.time++ + this.ahead),
    newId: () => uuid7(new Date(this.server.time++ + this.ahead), this.#bytes()),
    persist: async () => {
      this.persisted += 1;
      return true;
    },
    fetchPicture: async () => undefined as ArrayBuffer | undefined,
  };

  /** The store of this phone's person, as a page opens it. */
  async farm(): Promise<Farm> {
    this.take();
    return await Farm.open({ farm: this.person.farm, person: this.person.id }, this.device);
  }

  /** A page of the app on this phone, with timers and events left out. */
  sync(more: object = {}): PhoneSync {
    this.take();
    return makeSync({
      ...this.device,
      name: this.name,
      cookies: () => "csrftoken=abc",
      fetch: (path, init) => this.#fetch(path, init),
      alone: (_, work) => this.#alone(work),
      visible: () => true,
      onWake: () => () => undefined,
      ...more,
    });
  }

  /** Signed in before, so that its pages know whom they belong to. */
  signedIn(): this {
    this.session = { person: this.person.id, device: "" };
    return this;
  }

  /** One lock for all pages of the phone, as the browser's. */
  async #alone<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.#lock.then(work);
    this.#lock = turn.catch(() => undefined);
    return await turn;
  }

  async #fetch(path: string, init: RequestInit): Promise<Response> {
    const { signal } = init;
    const aborted = new Promise<never>((_, reject) => {
      signal?.addEventListener("abort", () => reject(new DOMException("aborted", "AbortError")));
    });
    return await Promise.race([this.#send(path, init), aborted]);
  }

  async #send(path: string, init: RequestInit): Promise<Response> {
    const url = new URL(path, "https://farm.example");
    const { body } = init;
    const wanted: Wanted = {
      method: init.method ?? "GET",
      path: url.pathname,
      query: url.searchParams,
      body: typeof body === "string" ? JSON.parse(body) : body,
    };
    this.calls.push(wanted);
    const through = () => this.#through(wanted);
    return (await this.fault?.(wanted, through)) ?? through();
  }

  #through(wanted: Wanted): Response {
    const { method, path } = wanted;
    if (method === "POST" && !path.startsWith("/api/sync")) return this.#admit(wanted);
    if (method === "DELETE" && path === "/api/session") {
      this.session = null;
      return new Response(null, { status: 204 });
    }
    const { status, body } = this.server.answer(this.session, wanted);
    return body instanceof Uint8Array
      ? new Response(new Uint8Array(body), { status, headers: { "Content-Type": "image/jpeg" } })
      : json(status, body);
  }

  #admit({ body }: Wanted): Response {
    const { email, device } = body as { email?: string; device: Id };
    const person = [...this.server.people.values()].find(
      (each) => each.email === (email ?? this.person.email),
    );
    if (!person) {
      const { status, body: refusal } = refuse(401, "wrong_sign_in", "No such address and password.");
      return json(status, refusal);
    }
    this.session = { person: person.id, device };
    return json(200, this.server.describe(this.session));
  }

  #bytes(): Uint8Array {
    // Lehmer's generator: the same ids for the same seed, on every machine.
    return Uint8Array.from({ length: 16 }, () => {
      this.#chance = (this.#chance * 48271) % 2147483647;
      return this.#chance % 256;
    });
  }
}

export function json(status: number, body: unknown): Response {
  return new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json" } });
}

export const PORTAL = () =>
  new Response("<html>Welcome to the station's network</html>", {
    status: 200,
    headers: { "Content-Type": "text/html" },
  });

export const NO_SERVER: Fault = () => Promise.reject(new TypeError("Failed to fetch"));

/** What the phone shows, in the server's canonical spelling. */
export function shown(farm: Farm): string {
  return canonical([...farm.rows.value.values()]);
}

/** A page on a signed-in phone, after its first pass. */
export async function opened(phone: FakePhone): Promise<{ sync: PhoneSync; farm: Farm }> {
  const sync = phone.signedIn().sync();
  await sync.start();
  await sync.tryNow();
  return { sync, farm: sync.door.value.store as Farm };
}

let others = 0;

/** What another phone of the same farm does and sends meanwhile. */
export async function elsewhere(here: FakePhone, work: (farm: Farm) => Promise<void>): Promise<void> {
  const { server, person } = here;
  const home = server.farms.get(person.farm);
  if (!home) throw new Error("no farm");
  others += 1;
  const { sync, farm } = await opened(
    new FakePhone(server, "house", server.addPerson(home, "Bo"), 77 + others),
  );
  await work(farm);
  await sync.tryNow();
  sync.stop();
  here.take();
}

/** Everything a database holds, straight from the disk. */
/** As a browser does that is short of room. */
export async function throwsAway(phone: FakePhone, sha256: string): Promise<void> {
  await new Promise<void>((resolve) => {
    const opening = phone.factory.open(`harvestlog/${phone.person.farm}/${phone.person.id}`);
    opening.onsuccess = () => {
      const tx = opening.result.transaction("photos", "readwrite");
      tx.objectStore("photos").delete(sha256);
      tx.oncomplete = () => resolve(opening.result.close());
    };
  });
}

export async function onDisk(phone: FakePhone) {
  const db = await new Promise<IDBDatabase>((resolve, reject) => {
    const opening = phone.factory.open(`harvestlog/${phone.person.farm}/${phone.person.id}`);
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });
  const all = async <T>(store: string): Promise<T[]> =>
    await new Promise((resolve) => {
      const request = db.transaction(store).objectStore(store).getAll();
      request.onsuccess = () => resolve(request.result);
    });
  const found = {
    confirmed: await all<Confirmed>("confirmed"),
    outbox: await all<{ n: number; op: Op; acked: number | null; tries: number }>("outbox"),
    parked: await all<{ op: Op; code: string; message: string }>("parked"),
    sent: await all<{ n: number; op: Op; until: number }>("sent"),
    photos: await all<{ sha256: string; bytes: ArrayBuffer }>("photos"),
    marks: await all<{ sha256: string; state: string }>("marks"),
    meta: (await all<{ epoch: string; cursor: number; checkpoint: number }>("meta"))[0],
    drafts: await all("drafts"),
  };
  db.close();
  return found;
}
