/** A form's state that never goes back on a fast finger, and that may be kept as a draft on every change. */
import { useRef, useState } from "preact/hooks";
import { store } from "./here";

interface Kept<T> {
  /** as drawn */
  shown: T;
  /** as it is now, which may be a key press ahead of what is drawn */
  latest: () => T;
  change: (part: Partial<T> | ((now: T) => Partial<T>)) => void;
  /** While a save runs nothing is drafted, or a draft would outlive what it became. */
  saving: (save: () => Promise<void>) => Promise<void>;
}

export function useKept<T extends object>(start: T, draft?: string): Kept<T> {
  const [shown, show] = useState(start);
  const now = useRef(start);
  const drafting = useRef(true);
  const change: Kept<T>["change"] = (part) => {
    now.current = { ...now.current, ...(typeof part === "function" ? part(now.current) : part) };
    show(now.current);
    // A draft that cannot be kept costs nothing yet: the save will say so.
    if (draft && drafting.current)
      store()
        .keepDraft(draft, now.current)
        .catch(() => undefined);
  };
  const saving: Kept<T>["saving"] = async (save) => {
    drafting.current = false;
    try {
      await save();
    } catch (error) {
      drafting.current = true;
      throw error;
    }
  };
  return { shown, latest: () => now.current, change, saving };
}
