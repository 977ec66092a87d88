/** A form that goes on where its draft was left. */
import { useEffect, useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import { store } from "../here";

/** Where a record's form keeps what is typed; the correction of a refused change is kept apart. */
export function draftOf(row: Standing, key = `${row.kind}/${row.id}`): string {
  return row.refused ? `refused/${row.refused.op}` : key;
}

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
