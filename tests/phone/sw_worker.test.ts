/** The service worker against a small stand-in for the browser's caches. */
import { beforeEach, describe, expect, test, vi } from "vitest";

const ORIGIN = "https://farm.example";

class FakeCache {
  readonly files = new Map<string, string>();

  async addAll(requests: Request[]): Promise<void> {
    const got = await Promise.all(requests.map(async ({ url }) => [url, await served(url)] as const));
    for (const [url, text] of got) this.files.set(url, text);
  }

  async put(address: string, response: Response): Promise<void> {
    this.files.set(new URL(address, ORIGIN).href, await response.text());
  }

  async match(asked: Request | string): Promise<Response | undefined> {
    const text = this.files.get(new URL(typeof asked === "string" ? asked : asked.url, ORIGIN).href);
    return text === undefined ? undefined : new Response(text);
  }
}

let disk: Map<string, FakeCache>;
let site: Map<string, string>;
let fetched: string[];
let listeners: Map<string, (event: never) => void>;
const skipWaiting = vi.fn();

async function served(url: string): Promise<string> {
  fetched.push(url);
  const text = site.get(new URL(url).pathname);
  if (text === undefined) throw new TypeError(`no ${url}`);
  return text;
}

beforeEach(() => {
  disk = new Map();
  fetched = [];
  skipWaiting.mockClear();
  publish("one");
});

/** Puts a release on the server. */
function publish(release: string): void {
  site = new Map([
    ["/", `<script src="/assets/app-${release}.js"></script>`],
    [`/assets/app-${release}.js`, `script of ${release}`],
    ["/api/session", "{}"],
    ["/admin/", "admin"],
  ]);
}

/** The worker of a release, as the browser starts it. */
async function worker(release: string): Promise<void> {
  listeners = new Map();
  vi.resetModules();
  const caches = {
    open: async (name: string) => {
      if (!disk.has(name)) disk.set(name, new FakeCache());
      return disk.get(name);
    },
    delete: async (name: string) => disk.delete(name),
    keys: async () => [...disk.keys()],
    match: async (asked: Request) => {
      for (const cache of disk.values()) if (await cache.match(asked)) return await cache.match(asked);
      return undefined;
    },
  };
  vi.stubGlobal("caches", caches);
  vi.stubGlobal("__PRECACHE__", ["/", `/assets/app-${release}.js`]);
  vi.stubGlobal("__BUILD__", release);
  vi.stubGlobal(
    "Request",
    class extends Request {
      constructor(address: string, init?: RequestInit) {
        super(new URL(address, ORIGIN), init);
      }
    },
  );
  vi.stubGlobal("fetch", async (request: Request) => new Response(await served(request.url)));
  vi.stubGlobal("self", {
    location: { origin: ORIGIN },
    addEventListener: (name: string, listener: (event: never) => void) => listeners.set(name, listener),
    skipWaiting,
    clients: { claim: async () => undefined },
  });
  await import("../../static/src/sw/sw");
}

async function happen(name: "install" | "activate"): Promise<void> {
  let work: Promise<unknown> = Promise.resolve();
  listeners.get(name)?.({ waitUntil: (promise: Promise<unknown>) => (work = promise) } as never);
  await work;
}

/** What a page gets, or undefined when the worker stays out of it. */
async function get(path: string, how: { mode?: string; method?: string } = {}): Promise<string | undefined> {
  let answer: Promise<Response> | undefined;
  const request = { method: "GET", mode: "no-cors", url: new URL(path, ORIGIN).href, ...how };
  listeners.get("fetch")?.({
    request,
    respondWith: (promise: Promise<Response>) => (answer = promise),
  } as never);
  return answer === undefined ? undefined : await (await answer).text();
}

async function installed(release: string): Promise<void> {
  publish(release);
  await worker(release);
  await happen("install");
}

async function active(release: string): Promise<void> {
  await installed(release);
  await happen("activate");
}

describe("an installed worker", () => {
  test("opens the app with no server", async () => {
    await active("one");
    site.clear();
    expect(await get("/", { mode: "navigate" })).toContain("app-one.js");
  });

  test("opens the app at whatever address of it", async () => {
    await active("one");
    site.clear();
    expect(await get("/?from=homescreen", { mode: "navigate" })).toContain("app-one.js");
  });

  test("gives the app's files with no server", async () => {
    await active("one");
    site.clear();
    expect(await get("/assets/app-one.js")).toBe("script of one");
  });

  test.each(["/api/session", "/api/photos/0123", "/admin/", "/admin"])("stays out of %s", async (path) => {
    await active("one");
    expect(await get(path)).toBeUndefined();
  });

  test.each(["/api/reports/blocks/1", "/admin/"])("stays out of %s also when it is a page", async (path) => {
    await active("one");
    expect(await get(path, { mode: "navigate" })).toBeUndefined();
  });

  test("stays out of what is sent", async () => {
    await active("one");
    expect(await get("/", { method: "POST" })).toBeUndefined();
  });

  test("stays out of other servers' addresses", async () => {
    await active("one");
    expect(await get("https://elsewhere.example/assets/app-one.js")).toBeUndefined();
  });

  test("keeps nothing that a page asked for", async () => {
    await active("one");
    const before = [...disk.values()].map(({ files }) => files.size);
    site.set("/robots.txt", "robots");
    await get("/robots.txt");
    expect([...disk.values()].map(({ files }) => files.size)).toEqual(before);
  });
});

describe("a release that cannot be had whole", () => {
  test("is not installed", async () => {
    publish("one");
    site.delete("/assets/app-one.js");
    await worker("one");
    await expect(happen("install")).rejects.toThrow();
    expect([...disk.keys()]).toEqual([]);
  });

  test("is not installed when the page is of another release already", async () => {
    publish("one");
    site.set("/", '<script src="/assets/app-two.js"></script>');
    await worker("one");
    await expect(happen("install")).rejects.toThrow("another release");
  });

  test("leaves the release before as it was", async () => {
    await active("one");
    publish("two");
    site.delete("/assets/app-two.js");
    await worker("two");
    await expect(happen("install")).rejects.toThrow();
    expect([...disk.keys()]).toEqual(["harvestlog-one"]);
  });
});

describe("a new release", () => {
  test("does not take over by itself", async () => {
    await active("one");
    await installed("two");
    expect(skipWaiting).not.toHaveBeenCalled();
  });

  test("takes over when the page says so", async () => {
    await active("one");
    await installed("two");
    listeners.get("message")?.({ data: "take over" } as never);
    expect(skipWaiting).toHaveBeenCalledTimes(1);
  });

  test("does not take over at any other word", async () => {
    await installed("two");
    listeners.get("message")?.({ data: "hello" } as never);
    expect(skipWaiting).not.toHaveBeenCalled();
  });

  test("keeps the release before for pages that are still open", async () => {
    await active("one");
    await active("two");
    expect(await get("/assets/app-one.js")).toBe("script of one");
  });

  test("opens with its own page", async () => {
    await active("one");
    await active("two");
    expect(await get("/", { mode: "navigate" })).toContain("app-two.js");
  });

  test("clears away what is older than the last two", async () => {
    for (const release of ["one", "two", "three", "four"]) await active(release);
    expect([...disk.keys()]).toEqual(["harvestlog-three", "harvestlog-four"]);
  });

  test("leaves caches that are not the app's", async () => {
    disk.set("somebody-else", new FakeCache());
    for (const release of ["one", "two", "three"]) await active(release);
    expect([...disk.keys()]).toContain("somebody-else");
  });

  test("that was there before counts as the newest when it comes back", async () => {
    vi.useFakeTimers();
    for (const release of ["one", "two", "one", "three"]) {
      await active(release);
      vi.advanceTimersByTime(60_000);
    }
    vi.useRealTimers();
    expect([...disk.keys()]).toEqual(["harvestlog-one", "harvestlog-three"]);
  });

  test("that was fetched and never opened is cleared away before one that a page may still have open", async () => {
    await active("one");
    await installed("two");
    await active("three");
    expect([...disk.keys()]).toEqual(["harvestlog-one", "harvestlog-three"]);
  });
});

describe("a worker of the very release that is open", () => {
  test("leaves its files as they are when there is no server any more", async () => {
    await active("one");
    site.clear();
    await worker("one");
    await happen("install");
    expect(await get("/", { mode: "navigate" })).toContain("app-one.js");
  });

  test("fetches what an installation that was cut off did not get", async () => {
    disk.set("harvestlog-one", new FakeCache());
    await active("one");
    site.clear();
    expect(await get("/assets/app-one.js")).toBe("script of one");
  });
});
