import { beforeEach, describe, expect, test, vi } from "vitest";
import { registerWorker } from "../../static/src/sw/register";

class FakeWorker extends EventTarget {
  state = "installing";
  readonly postMessage = vi.fn();

  become(state: string): void {
    this.state = state;
    this.dispatchEvent(new Event("statechange"));
  }
}

class FakeRegistration extends EventTarget {
  waiting: FakeWorker | null = null;
  installing: FakeWorker | null = null;
  readonly update = vi.fn(async () => undefined);

  found(): FakeWorker {
    this.installing = new FakeWorker();
    this.dispatchEvent(new Event("updatefound"));
    return this.installing;
  }
}

class FakeContainer extends EventTarget {
  controller: FakeWorker | null = new FakeWorker();
  readonly registration = new FakeRegistration();
  readonly register = vi.fn(async (_address: string, _how: object) => this.registration);
}

let container: FakeContainer;
let page: EventTarget & { visibilityState: string };
const reload = vi.fn();
let busy: boolean;

beforeEach(() => {
  vi.useFakeTimers();
  container = new FakeContainer();
  page = Object.assign(new EventTarget(), { visibilityState: "visible" });
  reload.mockClear();
  busy = false;
  vi.stubGlobal("navigator", { serviceWorker: container });
  vi.stubGlobal("document", page);
  vi.stubGlobal("location", { reload });
});

const register = (waiting?: (takeOver: () => void) => void) =>
  registerWorker(waiting ? { busy: () => busy, waiting } : { busy: () => busy });

describe("a new release on the phone", () => {
  test("takes over at once when nobody is disturbed", async () => {
    await register();
    const worker = container.registration.found();
    worker.become("installed");
    expect(worker.postMessage).toHaveBeenCalledWith("take over");
  });

  test("waits while a form is half filled in or a pass runs", async () => {
    busy = true;
    await register();
    const worker = container.registration.found();
    worker.become("installed");
    vi.advanceTimersByTime(60_000);
    expect(worker.postMessage).not.toHaveBeenCalled();
  });

  test("takes over soon after that has ended", async () => {
    busy = true;
    await register();
    const worker = container.registration.found();
    worker.become("installed");
    busy = false;
    vi.advanceTimersByTime(5_000);
    expect(worker.postMessage).toHaveBeenCalledTimes(1);
  });

  test("that waited since an earlier visit takes over too", async () => {
    container.registration.waiting = new FakeWorker();
    await register();
    expect(container.registration.waiting.postMessage).toHaveBeenCalledWith("take over");
  });

  test("that was being fetched when the page opened takes over too", async () => {
    const worker = new FakeWorker();
    container.registration.installing = worker;
    await register();
    worker.become("installed");
    expect(worker.postMessage).toHaveBeenCalledWith("take over");
  });

  test("is told to the page, which may bring it in itself", async () => {
    busy = true;
    const waiting = vi.fn((takeOver: () => void) => takeOver());
    await register(waiting);
    const worker = container.registration.found();
    worker.become("installed");
    expect(worker.postMessage).toHaveBeenCalledWith("take over");
  });

  test("loads the page anew once it has taken over", async () => {
    await register();
    container.dispatchEvent(new Event("controllerchange"));
    expect(reload).toHaveBeenCalledTimes(1);
  });

  test("brought in by another page does not load this one anew over a half filled form", async () => {
    busy = true;
    await register();
    container.dispatchEvent(new Event("controllerchange"));
    vi.advanceTimersByTime(60_000);
    expect(reload).not.toHaveBeenCalled();
  });

  test("is looked for when the page comes to the front", async () => {
    await register();
    page.dispatchEvent(new Event("visibilitychange"));
    expect(container.registration.update).toHaveBeenCalledTimes(1);
  });
});

test("the worker's address goes through the page's one policy for scripts, where there are such policies", async () => {
  const createPolicy = vi.fn((_: string, rules: { createScriptURL(address: string): string }) => ({
    createScriptURL: (address: string) => `trusted ${rules.createScriptURL(address)}`,
  }));
  vi.stubGlobal("trustedTypes", { createPolicy });
  await register();
  vi.stubGlobal("trustedTypes", undefined);
  expect([createPolicy.mock.calls[0]?.[0], container.register.mock.calls.flat()[0]]).toEqual([
    "harvestlog",
    "trusted /sw.js",
  ]);
});

describe("a first installation", () => {
  beforeEach(() => {
    container.controller = null;
  });

  test("is no new release to take over", async () => {
    await register();
    const worker = container.registration.found();
    worker.become("installed");
    expect(worker.postMessage).not.toHaveBeenCalled();
  });

  test("does not load the page anew when the worker takes it in hand", async () => {
    await register();
    container.dispatchEvent(new Event("controllerchange"));
    expect(reload).not.toHaveBeenCalled();
  });
});

test("a browser without service workers is left as it is", async () => {
  vi.stubGlobal("navigator", {});
  await expect(register()).resolves.toBeUndefined();
});
