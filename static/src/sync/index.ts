/** Who this phone belongs to, and when and how its records travel. */
import { computed, type Signal, signal } from "@preact/signals";
import { version } from "../../package.json";
import type { Id } from "../records/types";
import { Farm, NotSaved, PhoneMemory } from "../store";
import { readSession, readWho, type Session } from "./answers";
import { type Door, type PassState, Refused, type SignedIn, type Sync } from "./api";
import { fetchCatalogue } from "./catalogue";
import { type Phone, thisPhone } from "./device";
import { type Answer, type File, Http, reached, refusalOf, Trouble, troubleOf } from "./http";
import { Line } from "./line";
import { runPass } from "./pass";
import { toSend, unsent } from "./waiting";
import { mayTry, passWhen } from "./when";

export type { Door, PassState, SignedIn, Sync } from "./api";
export { Refused } from "./api";

const LOCK = "harvestlog-pass";

/** The one object the screens talk to. `device` may stand in for parts of the browser, for tests. */
export function makeSync(device: Partial<Phone> = {}): PhoneSync {
  return new PhoneSync({ ...thisPhone(), ...device });
}

export class PhoneSync implements Sync {
  readonly door: Signal<Door> = signal<Door>({ server: null, who: null, store: null });
  readonly pass: Signal<PassState> = signal<PassState>({ now: "resting", lastDone: null, trouble: null });
  readonly clockAheadMin: Signal<number | null> = signal<number | null>(null);
  readonly #http: Http;
  readonly #line = new Line();
  #memory: PhoneMemory | null = null;
  #farm: Farm | null = null;
  #running: Promise<void> | null = null;
  #again = false;
  #last = { began: 0, troubled: false };
  #stop: () => void = () => undefined;

  constructor(private readonly phone: Phone) {
    this.#http = new Http(phone);
  }

  async start(): Promise<void> {
    await Promise.all([this.#openRemembered(), fetchCatalogue(this.phone)]);
    const waiting = computed(() => toSend(this.door.value.store));
    this.#stop = passWhen(this.phone, waiting, () => {
      if (mayTry(this.#last, this.phone.now().getTime())) void this.#try();
    });
    void this.#try();
  }

  async #openRemembered(): Promise<void> {
    const who = readWho((await this.#remembered()).who);
    if (who) await this.#enter(who);
  }

  /** Ends the timers and calls; what is stored stays. */
  stop(): void {
    this.#stop();
    this.#http.stop();
    this.#farm?.close();
  }

  async tryNow(): Promise<void> {
    await this.#farm?.tryPicturesAgain().catch(() => undefined);
    await this.#try();
  }

  async signIn(form: { email: string; password: string; farm?: Id }): Promise<void> {
    await this.#admit("/api/session", form);
  }

  async openDemo(): Promise<void> {
    await this.#admit("/api/demo", {});
  }

  async setUp(form: Parameters<Sync["setUp"]>[0]): Promise<void> {
    await this.#admit("/api/setup", form);
  }

  async join(form: Parameters<Sync["join"]>[0]): Promise<void> {
    await this.#admit("/api/join", form);
  }

  async pair(code: string): Promise<void> {
    await this.#admit("/api/pair", { code });
  }

  async choosePassword(form: { code: string; password: string }): Promise<string> {
    return (await this.ask<{ email: string }>("POST", "/api/password", form)).email;
  }

  /** The session goes on under another key: no pass may be under way with the old one. */
  async retype(form: { password: string; new?: string }): Promise<void> {
    const path = form.new === undefined ? "/api/session/confirm" : "/api/session/password";
    this.#http.stop();
    await this.phone.alone(LOCK, () => this.#good(this.#http.call("POST", path, form)));
    void this.#try();
  }

  async signOut(evenUnsent = false): Promise<void> {
    const farm = this.#farm;
    const left = farm ? unsent(farm) : 0;
    if (left > 0 && !evenUnsent) {
      const words = `${left} of your records, pictures and reports to be made are only on this phone. They stay here until you sign in again.`;
      throw new Refused("unsent", words, null, left);
    }
    this.#http.stop(); // a pass under way would keep the lock
    const memory = await this.#remembered();
    await this.phone.alone(LOCK, () => memory.forget());
    this.#farm = null;
    this.door.value = { ...this.door.peek(), who: null, store: null };
    farm?.close();
    this.#rest(null);
    void this.#try(); // which tells the server
  }

  async ask<T>(method: "GET" | "POST" | "PATCH" | "DELETE", path: string, body?: unknown): Promise<T> {
    return (await this.#good(this.#http.call(method, path, body))) as T;
  }

  async fetchFile(path: string, body?: unknown): Promise<File> {
    return (await this.#good(this.#http.file(path, body))) as File;
  }

  async #good(call: Promise<Answer>): Promise<unknown> {
    const answer = await reached(call);
    if (answer.status >= 200 && answer.status < 300) return answer.body;
    if (answer.status === 401) this.#rest(troubleOf(answer));
    throw refusalOf(answer);
  }

  async #remembered(): Promise<PhoneMemory> {
    this.#memory ??= await PhoneMemory.open(this.phone.newId);
    return this.#memory;
  }

  /** Under the lock of the passes: no record may leave under a session that changes meanwhile. */
  async #admit(path: string, form: object): Promise<void> {
    const memory = await this.#remembered();
    const { device } = memory;
    this.#http.stop(); // a pass under way would keep the lock
    await this.phone.alone(LOCK, async () => {
      const answer = await reached(
        this.#http.call("POST", path, { ...form, device, device_name: this.phone.name }),
      );
      if (answer.status !== 200) throw refusalOf(answer);
      await memory.readAgain();
      await this.#hear(readSession(answer.body));
    });
    void this.#try();
  }

  /** Runs a pass, or lets the one under way be followed by another. */
  #try(): Promise<void> {
    this.#again = true;
    this.#running ??= this.#passes().finally(() => {
      this.#running = null;
    });
    return this.#running;
  }

  async #passes(): Promise<void> {
    while (this.#again) {
      this.#again = false;
      this.#last = { began: this.phone.now().getTime(), troubled: false };
      try {
        await this.phone.alone(LOCK, () => this.#round());
        this.#rest(null);
      } catch (error) {
        this.#last.troubled = true;
        this.#again = false;
        this.#rest(error);
      }
    }
  }

  /** Asks who is signed in before anything is sent: another page may have signed somebody in or out. */
  async #round(): Promise<void> {
    const memory = await this.#remembered();
    await memory.readAgain();
    if (memory.leaving) await this.#leave(memory);
    const answer = await this.#http.call("GET", "/api/session");
    if (answer.status !== 200) throw troubleOf(answer);
    const session = readSession(answer.body);
    await this.#hear(session);
    const farm = this.#farm;
    if (farm && !session.inside) throw new Trouble("signed out", "Sign in again to send your records.");
    if (!farm || !session.inside) return;
    const { device } = memory;
    const tell = (now: "sending" | "fetching") => {
      this.pass.value = { now, lastDone: farm.progress.lastDone, trouble: null };
    };
    const hearTime = (time: Date) => this.#hearTime(time);
    await runPass(
      { farm, http: this.#http, line: this.#line, device, appVersion: version, tell, hearTime },
      session.inside.epoch,
    );
    this.#line.passed();
  }

  /** The server is told of a sign-out as soon as it can be; until then nobody is let in by the old session. */
  async #leave(memory: PhoneMemory): Promise<void> {
    const answer = await this.#http.call("DELETE", "/api/session");
    if (answer.status !== 204 && answer.status !== 401) throw troubleOf(answer);
    await memory.left();
  }

  async #hear({ server, inside }: Session): Promise<void> {
    if (!alike(server, this.door.peek().server)) this.door.value = { ...this.door.peek(), server };
    if (!inside) return;
    await this.#enter(inside.who);
    const memory = await this.#remembered();
    if (memory.leaving || !alike(memory.who, inside.who)) await memory.remember(inside.who);
    this.#hearTime(inside.serverTime);
  }

  #hearTime(serverTime: Date): void {
    const aheadMs = this.phone.now().getTime() - serverTime.getTime();
    this.clockAheadMin.value = Math.round(aheadMs / 60_000);
    if (this.#farm) this.#farm.aheadMs = aheadMs;
  }

  /** Opens the person's own database. A former person's stays as it is, and open for a form that is still being saved. */
  async #enter(who: SignedIn): Promise<void> {
    const former = this.door.peek().who;
    if (former?.person.id !== who.person.id || former.farm.id !== who.farm.id || !this.#farm) {
      const owner = { farm: who.farm.id, person: who.person.id };
      this.#farm = await Farm.open(owner, {
        now: this.phone.now,
        newId: this.phone.newId,
        persist: this.phone.persist,
        fetchPicture: (sha256) => this.#fetchPicture(sha256),
      });
      this.#rest(null);
    }
    if (!alike(former, who)) this.door.value = { ...this.door.peek(), who, store: this.#farm };
  }

  /** With no server in reach a page of pictures must not ask for each of them. */
  async #fetchPicture(sha256: string): Promise<ArrayBuffer | undefined> {
    return this.pass.peek().trouble === null ? await this.#http.picture(sha256) : undefined;
  }

  #rest(error: unknown): void {
    const lastDone = this.#farm?.progress.lastDone ?? null;
    if (error === null) this.pass.value = { now: "resting", lastDone, trouble: null };
    else {
      const trouble = error instanceof Trouble ? error.kind : "storage trouble";
      const detail = error instanceof Trouble || error instanceof NotSaved ? error.message : String(error);
      this.pass.value = { now: "resting", lastDone, trouble, detail };
    }
  }
}

function alike(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** This page's own. */
export const sync: Sync = makeSync();
