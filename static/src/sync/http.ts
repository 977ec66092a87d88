/** Calls of the server. An answer counts only when it is JSON: a captive portal answers everything with a page. */

import { isText, isThing, type Thing } from "../store/shapes";
import { Refused } from "./api";
import type { Phone } from "./device";

/** Why a pass ended early. */
export class Trouble extends Error {
  constructor(
    readonly kind: "no server" | "signed out" | "server is ill",
    message: string,
    /** it is not about what was sent, and goes by itself or by somebody's hand */
    readonly passing = false,
  ) {
    super(message);
  }
}

export interface Answer {
  status: number;
  body: unknown;
}

export type Method = "GET" | "POST" | "PUT" | "PATCH" | "DELETE";

const JSON_MS = 30_000;
const PICTURE_MS = 120_000; // 3 MB at 50 kB/s take a minute
const NO_SERVER = "No answer from the server. Your records are kept on this phone and are sent later.";

export class Http {
  readonly #inFlight = new Set<AbortController>();

  constructor(private readonly phone: Pick<Phone, "fetch" | "cookies">) {}

  /** `body` goes out as a JPEG when it is bytes, else as JSON. Throws `Trouble` when no server answers. */
  async call(method: Method, path: string, body?: unknown): Promise<Answer> {
    const unsafe = method !== "GET";
    if (unsafe && this.#token() === "") await this.#fetchToken();
    const answer = await this.#once(method, path, body);
    if (!(unsafe && answer.status === 403 && codeOf(answer.body) === "csrf")) return answer;
    await this.#fetchToken();
    return await this.#once(method, path, body);
  }

  /** A picture's bytes, or undefined when there is none to be had now. */
  async picture(sha256: string): Promise<ArrayBuffer | undefined> {
    try {
      return await this.#timed(PICTURE_MS, async (signal) => {
        const response = await this.phone.fetch(`/api/photos/${sha256}`, { ...PLAIN, method: "GET", signal });
        return response.status === 200 && typeOf(response).startsWith("image/")
          ? await response.arrayBuffer()
          : undefined;
      });
    } catch {
      return undefined;
    }
  }

  /** Ends every call under way, as if no server answered. */
  stop(): void {
    for (const abort of this.#inFlight) abort.abort();
  }

  async #once(method: Method, path: string, body: unknown): Promise<Answer> {
    const bytes = body instanceof ArrayBuffer;
    const headers: Record<string, string> = { Accept: "application/json" };
    if (body !== undefined) headers["Content-Type"] = bytes ? "image/jpeg" : "application/json";
    if (method !== "GET") headers["X-CSRFToken"] = this.#token();
    const init: RequestInit = { ...PLAIN, method, headers };
    if (body !== undefined) init.body = bytes ? body : JSON.stringify(body);
    return await this.#timed(bytes ? PICTURE_MS : JSON_MS, async (signal) =>
      read(await this.phone.fetch(path, { ...init, signal })),
    );
  }

  /** The time runs until the body has been read: a line can die in the middle of it. */
  async #timed<T>(ms: number, work: (signal: AbortSignal) => Promise<T>): Promise<T> {
    const abort = new AbortController();
    const timer = setTimeout(() => abort.abort(), ms);
    this.#inFlight.add(abort);
    try {
      return await work(abort.signal);
    } catch (error) {
      throw error instanceof Trouble ? error : new Trouble("no server", NO_SERVER);
    } finally {
      clearTimeout(timer);
      this.#inFlight.delete(abort);
    }
  }

  #token(): string {
    return /(?:^|; )csrftoken=([^;]*)/.exec(this.phone.cookies())?.[1] ?? "";
  }

  async #fetchToken(): Promise<void> {
    await this.#once("GET", "/api/session", undefined);
  }
}

// The API never sends one elsewhere; a portal does.
const PLAIN = { credentials: "same-origin", cache: "no-store", redirect: "error" } as const;

function typeOf(response: Response): string {
  return (response.headers.get("Content-Type") ?? "").split(";")[0]?.trim().toLowerCase() ?? "";
}

async function read(response: Response): Promise<Answer> {
  const { status } = response;
  if (status === 204) return { status, body: undefined };
  // The server waited in vain for the rest of the request.
  if (status === 408) throw new Trouble("no server", NO_SERVER);
  if (typeOf(response) === "application/json") return { status, body: await response.json() };
  // A server in trouble may fail before it can say so in JSON; a proxy with nothing behind it says 502 to 504.
  if (status === 500)
    throw new Trouble("server is ill", "The server failed (500). Your records are kept on this phone.");
  throw new Trouble("no server", NO_SERVER);
}

export function codeOf(body: unknown): string {
  return isThing(body) && isText(body["code"]) ? body["code"] : "";
}

export function messageOf(body: unknown, otherwise: string): string {
  return isThing(body) && isText(body["message"]) ? body["message"] : otherwise;
}

/** Cut off on the way, too many at once, busy, no room: the same may go well later. */
const PASSING: readonly number[] = [400, 429, 503, 507];

/** What any answer but a good one means for a pass. */
export function troubleOf({ status, body }: Answer): Trouble {
  if (status === 401 || status === 403)
    return new Trouble("signed out", messageOf(body, "Sign in again to send your records."));
  return new Trouble(
    "server is ill",
    messageOf(body, `The server answered ${status}. Your records are kept on this phone.`),
    PASSING.includes(status),
  );
}

/** A bad answer to something a person asked for, in words; `detail` is the whole answer. */
export function refusalOf({ status, body }: Answer): Refused {
  const code = codeOf(body) || `http_${status}`;
  const errors: unknown = isThing(body) ? body["errors"] : undefined;
  const first: Thing = Array.isArray(errors) && isThing(errors[0]) ? errors[0] : {};
  const field = isText(first["field"]) ? first["field"] : null;
  const words = isText(first["reason"])
    ? first["reason"]
    : messageOf(body, `The server answered ${status}. Try again later.`);
  return new Refused(code, words, field, body);
}
