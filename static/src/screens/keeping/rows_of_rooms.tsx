/** The rows of soaking trials and of extracts on the front page. They come with their own rooms, fetched right after this one. */
import { signal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";

type Rows = () => JSX.Element | null;

/** Without a signal they come another time; their own address says so. */
function rowsOf(room: () => Promise<{ Rows: Rows }>): Rows {
  const rows = signal<Rows | null>(null);
  const fetched = ({ Rows }: { Rows: Rows }) => {
    rows.value = Rows;
  };
  return () => {
    useEffect(() => void room().then(fetched, () => undefined), []);
    const Rows = rows.value;
    return Rows && <Rows />;
  };
}

export const Trials = rowsOf(() => import("../soaking"));
export const Extracts = rowsOf(() => import("../extracts"));
