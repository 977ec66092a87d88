/** A form of one record: its draft on every change, what is wrong with it once a save was tried, and the one save. */
import { useState } from "preact/hooks";
import type { Id } from "../records/types";
import type { Change } from "../store";
import { useKept } from "./kept";
import { bound, type Field } from "./parts/bound";
import { keep, once } from "./saving";

/** Unlikely, but possible: saved once the grower has said yes to `key`. */
export interface Odd {
  words: string;
  key: string;
  yes: string;
}

/** What a form comes to: everything that is wrong at once, by field, or one thing to ask; else what is saved. */
export type Read<F extends string> =
  | { faults: Partial<Record<F, string>>; odd?: Odd | undefined }
  | { changes: readonly Change[]; words: string };

interface Form<T, F extends string> {
  shown: T;
  change: (part: Partial<T>) => void;
  /** what a field of this name shows and changes */
  field: Field<T>;
  faults: Partial<Record<F, string>>;
  odd: Odd | undefined;
  /** Resolves to the id of the first record once all is on this phone; to null where it is not. */
  save: () => Promise<Id | null>;
}

export function useForm<T extends object, F extends string>(
  start: T,
  draft: string,
  read: (written: T) => Read<F>,
): Form<T, F> {
  const { shown, latest, change, saving } = useKept(start, draft);
  const [tried, setTried] = useState(false);
  const found = tried ? read(shown) : undefined;
  const save = async () => {
    setTried(true);
    const now = read(latest());
    if ("faults" in now) return null;
    const done = await once(`save ${draft}`, () => saving(() => keep(now.changes, now.words, [], draft)));
    return done ? (now.changes[0]?.id ?? null) : null;
  };
  const wrong = found && "faults" in found ? found : undefined;
  const faults: Partial<Record<F, string>> = wrong?.faults ?? {};
  return { shown, change, field: bound({ shown, change, faults }), faults, odd: wrong?.odd, save };
}
