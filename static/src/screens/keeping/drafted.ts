/** A form that goes on where its draft was left. */
import { useEffect, useState } from "preact/hooks";
import { store } from "../here";

/** null until the draft has been read, once for each key. A draft of an older release may lack fields: `blank` has them. */
export function useDrafted<T extends object>(key: string, blank: () => T): T | null {
  const [begun, setBegun] = useState<{ key: string; start: T } | null>(null);
  // Read once: what is typed meanwhile is kept by the form itself
  useEffect(() => {
    let wanted = true;
    const begin = (kept?: T) => wanted && setBegun({ key, start: { ...blank(), ...kept } });
    store()
      .draft<T>(key)
      .then(begin, () => begin());
    return () => {
      wanted = false;
    };
  }, [key]);
  return begun?.key === key ? begun.start : null;
}
