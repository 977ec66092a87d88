/** When a pass runs by itself: at the start, when the page comes to the front, after a save, and every 30 s while it is seen. */
import { effect, type ReadonlySignal } from "@preact/signals";
import type { Phone } from "./device";

const EVERY_MS = 30_000;
const AFTER_SAVE_MS = 1_000;
/** While something is wrong: at most three tries a minute, whatever asks for them. */
const TROUBLED_MS = 20_000;

/** How many changes and pictures wait; a rise means somebody saved. */
export function passWhen(
  phone: Pick<Phone, "visible" | "onWake">,
  waiting: ReadonlySignal<number>,
  run: () => void,
): () => void {
  let after: ReturnType<typeof setTimeout> | undefined;
  let before = waiting.peek();
  const ifSeen = () => {
    if (phone.visible()) run();
  };
  const stopSaves = effect(() => {
    const now = waiting.value;
    if (now > before) {
      clearTimeout(after);
      after = setTimeout(run, AFTER_SAVE_MS);
    }
    before = now;
  });
  const stopWake = phone.onWake(ifSeen);
  const timer = setInterval(ifSeen, EVERY_MS);
  return () => {
    stopSaves();
    stopWake();
    clearInterval(timer);
    clearTimeout(after);
  };
}

/** Whether a pass that nobody asked for may run now. Times in ms. */
export function mayTry(last: { began: number; troubled: boolean }, now: number): boolean {
  // A clock that was set back must not stop passes for years.
  return !last.troubled || now < last.began || now - last.began >= TROUBLED_MS;
}
