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

/** A file the server made, under the name it gave it. */
export interface File {
  name: string;
  blob: Blob;
}

type Read = (response: Response) => Promise<Answer>;

export type Method = "GET" | "POST" | "PUT" | "PATCH" | "DELETE";

const JSON_MS = 30_000;
const PICTURE_MS = 120_000; // 3 MB at 50 kB/s take a minute
const NO_FILE = "No answer from the server, so there is no file. Try again where there is a signal.";
const NO_SERVER = "No answer from the server. Your records are kept on this phone and are sent later.";

export class Http {
  readonly #inFlight = new Set<AbortController>();

  constructor(private readonly phone: Pick<Phone, "fetch" | "cookies">) {}

  /** `body` goes out as a JPEG when it is bytes, else as JSON. Throws `Trouble` when no server answers. */
  async call(method: Method, path: string, body?: unknown, reading = read): Promise<Answer> {
    const unsafe = method !== "GET";
    if (unsafe && this.#token() === "") await this.#fetchToken();
    const answer = await this.#once(method, path, body, reading);
    if (!(unsafe && answer.status === 403 && codeOf(answer.body) === "csrf")) return answer;
    await this.#fetchToken();
    return await this.#once(method, path, body, reading);
  }

  /** An answer of 200 has a `File` for its body. */
  async file(path: string, body?: unknown): Promise<Answer> {
    return await this.call(body === undefined ? "GET" : "POST", path, body, fileOf(path));
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

  async #once(method: Method, path: string, body?: unknown, reading: Read = read): Promise<Answer> {
    const bytes = body instanceof ArrayBuffer;
    const headers: Record<string, string> = { Accept: reading === read ? "application/json" : "*/*" };
    if (body !== undefined) headers["Content-Type"] = bytes ? "image/jpeg" : "application/json";
    if (method !== "GET") headers["X-CSRFToken"] = this.#token();
    const init: RequestInit = { ...PLAIN, method, headers };
    if (body !== undefined) init.body = bytes ? body : JSON.stringify(body);
    const file = reading !== read;
    return await this.#timed(
      bytes || file ? PICTURE_MS : JSON_MS,
      async (signal) => reading(await this.phone.fetch(path, { ...init, signal })),
      file ? NO_FILE : NO_SERVER,
    );
  }

  /** The time runs until the body has been read: a line can die in the middle of it. */
  async #timed<T>(ms: number, work: (signal: AbortSignal) => Promise<T>, none = NO_SERVER): Promise<T> {
    const abort = new AbortController();
    const timer = setTimeout(() => abort.abort(), ms);
    this.#inFlight.add(abort);
    try {
      return await work(abort.signal);
    } catch (error) {
      throw error instanceof Trouble ? error : new Trouble("no server", none);
    } finally {
      clearTimeout(timer);
      this.#inFlight.delete(abort);
    }
  }

  #token(): string {
    return /(?:^|; )(?:__Host-)?csrftoken=([^;]*)/.exec(this.phone.cookies())?.[1] ?? "";
  }

  async #fetchToken(): Promise<void> {
    await this.#once("GET", "/api/session");
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

const TYPES: Record<string, string> = {
  html: "text/html",
  json: "application/json",
  pdf: "application/pdf",
  zip: "application/zip",
};

/** Its type is known by the address' ending, else a PDF is wanted. A portal's page is no file: nothing sends that as one. */
function fileOf(path: string): Read {
  const last = path.split("?")[0]?.split("/").at(-1) ?? "";
  const wanted = TYPES[last.split(".")[1] ?? ""] ?? TYPES["pdf"];
  return async (response) => {
    if (response.status !== 200) return await read(response);
    const sent = response.headers.get("Content-Disposition") ?? "";
    if (typeOf(response) !== wanted || !sent.startsWith("attachment"))
      throw new Trouble("no server", NO_FILE);
    const name = /filename="([^"]+)"/.exec(sent)?.[1] ?? last;
    return { status: 200, body: { name, blob: await response.blob() } };
  };
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

/** The answer to something a person asked for; where there was none, why, as a refusal. */
export async function reached(call: Promise<Answer>): Promise<Answer> {
  try {
    return await call;
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    throw new Refused(error.kind.replaceAll(" ", "_"), error.message);
  }
}
