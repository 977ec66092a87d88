/** How much is still only on this phone. */
import type { FarmStore } from "../store";

/** What a pass would send by itself; a rise means that somebody saved. Read inside a `computed`. */
export function toSend(store: FarmStore | null): number {
  if (!store) return 0;
  const errands = store.errands.value.filter(({ said }) => said === undefined);
  return store.outbox.value.length + store.picturesWaiting.value + errands.length;
}

/** What a sign-out would leave behind, refused or not. */
export function unsent({ outbox, parked, errands, picturesWaiting }: FarmStore): number {
  return outbox.peek().length + parked.peek().length + errands.peek().length + picturesWaiting.peek();
}
