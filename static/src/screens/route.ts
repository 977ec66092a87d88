/** Which screen is open, from the part of the address behind the #. */
import { signal } from "@preact/signals";
import type { Id, Kind } from "../records/types";

export interface Route {
  name: string;
  id: string;
  /** a page within the screen, such as "edit" */
  part: string;
}

export const route = signal<Route>(read());
// Where "back" leads when the page was opened straight at this address is decided by each screen.
let steps = 0;

export function go(hash: string): void {
  if (location.hash === hash) return;
  location.hash = hash;
}

/** Goes where the grower is sent after an act, without leaving the finished form behind the back button. */
export function replaceWith(hash: string): void {
  history.replaceState(null, "", hash);
  turn();
}

/** One step back within the app, or to `otherwise` when the app was opened here. */
export function back(otherwise: string): void {
  if (steps > 0) history.back();
  else replaceWith(otherwise);
}

/** Where a record is read and corrected. */
export function addressOf(kind: Kind, id: Id): string {
  return `#/${kind}/${id}${kind === "block" || kind === "delivery" ? "/edit" : ""}`;
}

export function watchRoute(): void {
  window.addEventListener("hashchange", () => {
    steps += 1;
    turn();
  });
}

function turn(): void {
  route.value = read();
}

function read(): Route {
  const [name = "", id = "", part = ""] = location.hash.replace(/^#\/?/, "").split("/").map(decoded);
  return { name: name || "today", id, part };
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
