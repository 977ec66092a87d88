/** Registers the service worker, and lets a new release take over only when that disturbs nobody. */

export interface Updating {
  /** True while a form is half filled in or a pass runs: then the old release stays. */
  busy(): boolean;
  /** A new release is on this phone and waits. `takeOver` brings it in at once, e.g. by a button. */
  waiting?(takeOver: () => void): void;
}

const LOOK_AGAIN_MS = 5_000;
const WORKER = "/sw.js";

/** The page's policy lets nothing run a script by its address except through here, and here there is one. */
function workerAddress(): string {
  const { trustedTypes } = globalThis as { trustedTypes?: TrustedTypes };
  const policy = trustedTypes?.createPolicy("harvestlog", { createScriptURL: () => WORKER });
  return policy?.createScriptURL(WORKER) ?? WORKER;
}

// TypeScript's own library does not know them yet; a trusted address is passed where a text is asked for.
interface TrustedTypes {
  createPolicy(
    name: string,
    rules: { createScriptURL(address: string): string },
  ): { createScriptURL(address: string): string };
}

/** Does nothing where there are no service workers; the app then needs the server to open. */
export async function registerWorker({ busy, waiting }: Updating): Promise<void> {
  const container = navigator.serviceWorker;
  if (!container) return;
  // A first installation takes the page in hand too, but there is nothing newer to load.
  let hadWorker = container.controller !== null;
  container.addEventListener("controllerchange", () => {
    if (hadWorker) whenFree(busy, () => location.reload());
    hadWorker = true;
  });
  const registration = await container.register(workerAddress(), { updateViaCache: "none" });
  const offer = (worker: ServiceWorker) => {
    const takeOver = () => worker.postMessage("take over");
    waiting?.(takeOver);
    whenFree(busy, takeOver);
  };
  const follow = (worker: ServiceWorker | null) =>
    worker?.addEventListener("statechange", () => {
      if (worker.state === "installed" && container.controller) offer(worker);
    });
  if (registration.waiting && container.controller) offer(registration.waiting);
  follow(registration.installing); // found before anybody listened here
  registration.addEventListener("updatefound", () => follow(registration.installing));
  document.addEventListener("visibilitychange", () => {
    // With no server in reach there is nothing to learn.
    if (document.visibilityState === "visible") void registration.update().catch(() => undefined);
  });
}

function whenFree(busy: () => boolean, act: () => void): void {
  if (busy()) setTimeout(() => whenFree(busy, act), LOOK_AGAIN_MS);
  else act();
}
