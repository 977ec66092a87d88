/** A small server in memory: one farm or several, people, sessions, and the addresses a phone asks. */
import type { Id, Op } from "../../static/src/records/types";
import { FakeFarm } from "./fake_farm";

export interface Person {
  id: Id;
  name: string;
  email: string;
  role: "owner" | "picker" | "viewer";
  farm: Id;
}

export interface Session {
  person: Id;
  device: Id;
}

export interface Wanted {
  method: string;
  path: string;
  query: URLSearchParams;
  body: unknown;
}

export class FakeServer {
  readonly farms = new Map<Id, FakeFarm>();
  readonly people = new Map<Id, Person>();
  /** True time, in ms; it moves on whenever anybody looks at a clock. */
  time = Date.parse("2026-05-03T07:40:00Z");
  now = () => new Date(this.time++);
  #made = 0;

  addFarm(name: string): FakeFarm {
    const farm = new FakeFarm(this.#id(), name, this.#id());
    this.farms.set(farm.id, farm);
    return farm;
  }

  addPerson(farm: FakeFarm, name: string, role: Person["role"] = "owner"): Person {
    const person = { id: this.#id(), name, email: `${name.toLowerCase()}@example.org`, role, farm: farm.id };
    this.people.set(person.id, person);
    return person;
  }

  restore(farm: FakeFarm, backup: string, how: "command" | "swap" = "command"): void {
    farm.restore(backup, how === "command" ? this.#id() : null);
  }

  answer(session: Session | null, wanted: Wanted): { status: number; body: unknown } {
    const { method, path } = wanted;
    if (path === "/api/session" && method === "GET") return { status: 200, body: this.describe(session) };
    const person = session && this.people.get(session.person);
    const farm = person && this.farms.get(person.farm);
    if (!session || !person || !farm) return refuse(401, "signed_out", "Sign in again.");
    if (path === "/api/sync/push") {
      const { epoch, device, ops } = wanted.body as { epoch: Id; device: Id; ops: Op[] };
      const sender = { role: person.role, person: person.id, device, now: this.now() };
      return { status: 200, body: farm.push(sender, epoch, ops, wanted.query) };
    }
    if (path === "/api/sync/pull") return { status: 200, body: farm.pull(wanted.query) };
    const sha256 = /^\/api\/photos\/([0-9a-f]+)$/.exec(path)?.[1];
    if (sha256) return this.#picture(farm, sha256, wanted);
    return refuse(404, "absent", "There is nothing here.");
  }

  describe(session: Session | null): unknown {
    const server = { first_run: false, demo: true, version: "0.1.0" };
    const person = session && this.people.get(session.person);
    const farm = person && this.farms.get(person.farm);
    if (!person || !farm) return { signed_in: false, ...server };
    const { id, name, email, role } = person;
    return {
      signed_in: true,
      ...server,
      person: { id, name, email },
      farm: { id: farm.id, name: farm.name, role, currency: "EUR", is_demo: false },
      epoch: farm.epoch,
      server_time: this.now().toISOString(),
    };
  }

  #picture(farm: FakeFarm, sha256: string, { method, body }: Wanted): { status: number; body: unknown } {
    const named = [...farm.rows.values()].some(({ kind, fields }) => {
      const photo = fields as { sha256?: string; thumb_sha256?: string };
      return kind === "photo" && (photo.sha256 === sha256 || photo.thumb_sha256 === sha256);
    });
    if (!named) return refuse(404, "absent", "There is no picture of this name.");
    if (method === "GET") {
      const size = farm.pictures.get(sha256);
      return size === undefined
        ? refuse(404, "absent", "Not here yet.")
        : { status: 200, body: new Uint8Array(size) };
    }
    const status = farm.pictures.has(sha256) ? 200 : 201;
    farm.pictures.set(sha256, (body as ArrayBuffer).byteLength);
    return { status, body: { sha256 } };
  }

  #id(): Id {
    this.#made += 1;
    return `00000000-0000-7000-8000-${String(this.#made).padStart(12, "0")}`;
  }
}

export function refuse(status: number, code: string, message: string) {
  return { status, body: { code, message } };
}
