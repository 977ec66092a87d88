/** Rooms that are fetched once the first screen stands: what is needed at a block comes before everything else. */
import { type Signal, signal } from "@preact/signals";
import type { JSX } from "preact";
import { Frame } from "./parts/frame";
import type { Route } from "./route";

export type Screen = (route: Route) => JSX.Element;
/** Screens by the first word of their address. */
export type Screens = Readonly<Record<string, Screen>>;

interface Room {
  screens: Screens;
}

interface Fetched<T> {
  /** null until it is here */
  readonly part: Signal<T | null>;
  readonly failed: Signal<boolean>;
  fetchIt(): Promise<void>;
}

const waiting: Fetched<unknown>[] = [];

/** A part of the app that is fetched with the rooms. */
export function lazily<T>(load: () => Promise<T>): Fetched<T> {
  const part = signal<T | null>(null);
  const failed = signal(false);
  const fetchIt = async () => {
    if (part.peek()) return;
    try {
      part.value = await load();
      failed.value = false;
    } catch {
      failed.value = true;
    }
  };
  const fetched = { part, failed, fetchIt };
  waiting.push(fetched);
  return fetched;
}

/** The screen of a room that may not be here yet; its address finds it as soon as it is. */
export function later(load: () => Promise<Room>): Screen {
  const { part, failed, fetchIt } = lazily(load);
  return (route) => {
    const screen = part.value?.screens[route.name];
    if (screen) return screen(route);
    if (!failed.value) return <Frame title="One moment">{null}</Frame>;
    return (
      <Frame title="Not on this phone yet">
        <Missing onTry={fetchIt} />
      </Frame>
    );
  };
}

function Missing({ onTry }: { onTry: () => Promise<void> }) {
  return (
    <>
      <p>This part of the app has not been fetched. Open the app once where there is a signal.</p>
      <button type="button" class="tap main" onClick={() => void onTry()}>
        Try again
      </button>
    </>
  );
}

/** What stands before a farm is open: fetched at once where it is needed, else with the rooms. */
export function outside(load: () => Promise<{ Door: () => JSX.Element }>): () => JSX.Element {
  const { part, failed, fetchIt } = lazily(load);
  return () => {
    const Door = part.value?.Door;
    if (Door) return <Door />;
    if (!failed.value) void fetchIt();
    return <main class="door">{failed.value && <Missing onTry={fetchIt} />}</main>;
  };
}

/** Fetches every room, one after another, so that none is missing when the signal goes. */
export async function fetchRooms(): Promise<void> {
  for (const each of waiting) await each.fetchIt();
}
