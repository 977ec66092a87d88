/** The service worker: one release's files, kept whole, so that the app opens with no server. It keeps no record and no picture. */
// With types of its own, since a page's `self` is declared as the window.
const worker = self as unknown as ServiceWorkerGlobalScope;

declare const __PRECACHE__: string[]; // every address of this release, "/" among them
declare const __BUILD__: string; // changes with every file, this one included

const OURS = "harvestlog-";
const CACHE = OURS + __BUILD__;
const SINCE = "/since"; // beside the files: when this release last took over, in ms
const RELEASES_KEPT = 2;
const LOOSE = { ignoreVary: true }; // files are the same for everybody
const NEVER = ["/api/", "/admin/", "/r/", "/c/"]; // shared reports and calendars are the server's own pages

worker.addEventListener("install", (event) => event.waitUntil(keepRelease()));
worker.addEventListener("activate", (event) => event.waitUntil(takeOver()));
worker.addEventListener("message", ({ data }) => {
  // The page says when: no form is half filled in and no pass is under way.
  if (data === "take over") void worker.skipWaiting();
});
worker.addEventListener("fetch", (event) => {
  const { method, url, mode } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== worker.location.origin) return;
  if (NEVER.some((start) => `${pathname}/`.startsWith(start))) return;
  event.respondWith(mode === "navigate" ? shell(event.request) : asset(event.request));
});

/**
 * All or nothing: half a release would open to a blank page in the shed. A cache of this name that holds the release
 * stays as it is, since a worker may be opening the app from it; equal names mean equal files.
 */
async function keepRelease(): Promise<void> {
  if (await isWhole()) return;
  try {
    await caches.delete(CACHE);
    const cache = await caches.open(CACHE);
    await cache.addAll(__PRECACHE__.map((address) => new Request(address, { cache: "no-cache" })));
    // A server that was updated between the worker and the page gives a page of another release.
    if (!(await isWhole())) throw new Error("the page is of another release");
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

async function isWhole(): Promise<boolean> {
  const cache = await caches.open(CACHE);
  const found = await Promise.all(__PRECACHE__.map((address) => cache.match(address, LOOSE)));
  const page = await (await cache.match("/", LOOSE))?.text();
  const script = __PRECACHE__.find((address) => /^\/assets\/app-.*\.js$/.test(address));
  return found.every(Boolean) && !!page && !!script && page.includes(script);
}

/** A page of the release before may still be open, and ask for its own files. */
async function takeOver(): Promise<void> {
  await (await caches.open(CACHE)).put(SINCE, new Response(String(Date.now())));
  const names = (await caches.keys()).filter((name) => name.startsWith(OURS) && name !== CACHE);
  const releases = await Promise.all(names.map(async (name) => ({ name, since: await sinceOf(name) })));
  releases.sort((a, b) => a.since - b.since);
  const older = releases.slice(0, -(RELEASES_KEPT - 1));
  await Promise.all(older.map(({ name }) => caches.delete(name)));
  await worker.clients.claim();
}

/** 0 for a release that was fetched and never opened. */
async function sinceOf(name: string): Promise<number> {
  return Number(await (await (await caches.open(name)).match(SINCE))?.text()) || 0;
}

async function shell(request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  return (await cache.match("/", LOOSE)) ?? (await fetch(request));
}

async function asset(request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  return (
    (await cache.match(request, LOOSE)) ?? (await caches.match(request, LOOSE)) ?? (await fetch(request))
  );
}
