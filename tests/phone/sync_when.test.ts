import { signal } from "@preact/signals";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { nameOf } from "../../static/src/sync/device";
import { mayTry, passWhen } from "../../static/src/sync/when";

const waiting = signal(0);
const run = vi.fn();
let seen = true;
let wake: () => void = () => undefined;
let stop: () => void;

beforeEach(() => {
  vi.useFakeTimers();
  waiting.value = 0;
  seen = true;
  run.mockClear();
  const onWake = (woken: () => void) => {
    wake = woken;
    return () => undefined;
  };
  stop = passWhen({ visible: () => seen, onWake }, waiting, run);
});

afterEach(() => {
  stop();
  vi.useRealTimers();
});

describe("a pass begins by itself", () => {
  test("every thirty seconds while the page is seen", () => {
    vi.advanceTimersByTime(90_000);
    expect(run).toHaveBeenCalledTimes(3);
  });

  test("when the page comes to the front", () => {
    wake();
    expect(run).toHaveBeenCalledTimes(1);
  });

  test("a second after a save", () => {
    waiting.value = 1;
    vi.advanceTimersByTime(1000);
    expect(run).toHaveBeenCalledTimes(1);
  });

  test("once for several saves in a row", () => {
    for (const count of [1, 2, 3]) {
      waiting.value = count;
      vi.advanceTimersByTime(400);
    }
    vi.advanceTimersByTime(1000);
    expect(run).toHaveBeenCalledTimes(1);
  });
});

describe("no pass begins by itself", () => {
  test("while the page is out of sight", () => {
    seen = false;
    wake();
    vi.advanceTimersByTime(90_000);
    expect(run).not.toHaveBeenCalled();
  });

  test("because something was sent", () => {
    waiting.value = 3;
    vi.advanceTimersByTime(1000);
    run.mockClear();
    waiting.value = 0;
    vi.advanceTimersByTime(5000);
    expect(run).not.toHaveBeenCalled();
  });

  test("after the page was told to stop", () => {
    waiting.value = 1;
    stop();
    vi.advanceTimersByTime(90_000);
    expect(run).not.toHaveBeenCalled();
  });
});

describe("while something is wrong", () => {
  test("at most three tries are made in a minute, however often they are asked for", () => {
    let last = { began: -1_000_000, troubled: true };
    let tries = 0;
    for (let now = 0; now < 60_000; now += 100) {
      if (!mayTry(last, now)) continue;
      last = { began: now, troubled: true };
      tries++;
    }
    expect(tries).toBe(3);
  });

  test("a clock that was set back does not end the trying", () => {
    expect(mayTry({ began: 4_000_000_000_000, troubled: true }, 1_700_000_000_000)).toBe(true);
  });
});

test("a pass that went well may be followed at once", () => {
  expect(mayTry({ began: 1000, troubled: false }, 1001)).toBe(true);
});

test.each([
  [
    "Mozilla/5.0 (Linux; Android 14; Pixel 7) AppleWebKit/537.36 Chrome/126.0 Mobile Safari/537.36",
    "Android phone",
  ],
  ["Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15", "iPhone"],
  ["Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Gecko/20100101 Firefox/128.0", "Linux computer"],
])("%s is called %s", (agent, name) => {
  expect(nameOf(agent)).toBe(name);
});
