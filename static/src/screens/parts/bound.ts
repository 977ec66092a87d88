/** Ties the fields of a form to its draft by their names: `<Text name="Lot, as printed" {...field("lot")} />`. */

interface Drafted<T> {
  shown: T;
  /** what is wrong with it, by field */
  faults: Readonly<Record<string, string | undefined>>;
  change: (part: Partial<T>) => void;
}

/** What of a draft a field can hold: texts, and words out of a few. */
type Texts<T> = { [K in keyof T]-?: T[K] extends string ? K : never }[keyof T] & string;

interface Bound<V> {
  value: V;
  wrong: string | undefined;
  /** of a text field */
  onText(text: string): void;
  /** of a choice or a list */
  onPick(picked: V): void;
}

export type Field<T> = <K extends Texts<T>>(of: K) => Bound<T[K]>;

export function bound<T extends object>({ shown, faults, change }: Drafted<T>): Field<T> {
  return (of) => {
    const put = (text: unknown) => change({ [of]: text } as Partial<T>);
    return { value: shown[of], wrong: faults[of], onText: put, onPick: put };
  };
}
