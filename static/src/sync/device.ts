/** Everything sync wants of the phone's browser, named once; tests hand in their own. */
import { type Device, newId } from "../store";

export interface Phone extends Device {
  /** how the phone is listed under Farm, e.g. "Android phone" */
  name: string;
  fetch(path: string, init: RequestInit): Promise<Response>;
  cookies(): string;
  /** Runs `work` while no other page of this phone runs anything under the same lock. */
  alone<T>(lock: string, work: () => Promise<T>): Promise<T>;
  visible(): boolean;
  /** Calls `run` when the page comes to the front or the network seems back; returns what ends that. */
  onWake(run: () => void): () => void;
  persist(): Promise<boolean>;
}

export function thisPhone(): Phone {
  return {
    now: () => new Date(),
    newId: () => newId(),
    name: nameOf(globalThis.navigator?.userAgent ?? ""),
    fetch: (path, init) => fetch(path, init),
    cookies: () => document.cookie,
    alone: lockedAlone,
    visible: () => document.visibilityState === "visible",
    onWake,
    persist: async () => (await navigator.storage?.persist?.()) ?? false,
  };
}

export function nameOf(agent: string): string {
  if (agent.includes("iPad")) return "iPad";
  if (agent.includes("iPhone")) return "iPhone";
  if (agent.includes("Android")) return agent.includes("Mobile") ? "Android phone" : "Android tablet";
  for (const system of ["Windows", "Macintosh", "Linux"]) {
    if (agent.includes(system)) return `${system === "Macintosh" ? "Mac" : system} computer`;
  }
  return "Browser";
}

function onWake(run: () => void): () => void {
  const away = new AbortController();
  const listen = (target: EventTarget, event: string) =>
    target.addEventListener(event, run, { signal: away.signal });
  listen(document, "visibilitychange");
  listen(window, "pageshow");
  listen(window, "online"); // a hint only: it also comes with no server in reach, or never
  return () => away.abort();
}

let last: Promise<unknown> = Promise.resolve();

/** Web Locks hold for all pages of this phone. Over plain http there are none: then at least this page takes turns. */
async function lockedAlone<T>(lock: string, work: () => Promise<T>): Promise<T> {
  if (navigator.locks) return (await navigator.locks.request(lock, work)) as T;
  const turn = last.then(work);
  last = turn.catch(() => undefined);
  return await turn;
}
