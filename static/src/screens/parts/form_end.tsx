/** What may stand below a form's save button. */
import type { Standing } from "../../records/farm_view";
import type { Change } from "../../store";
import { back, replaceWith } from "../route";
import { keep, once } from "../saving";
import { Tap } from "./tap";

interface DropProps {
  row: Standing;
  /** what means nothing without it: goes in the same act, and one undo brings all of it back */
  parts?: readonly Standing[];
  /** said once it is gone */
  said: string;
  home: string;
  /** the page that is one step back goes with it, so `home` takes this one's place */
  pageToo?: boolean;
  children: string;
}

/** Deletes the record that is corrected. Where a refused change is corrected, the list of refusals drops it. */
export function Drop({ row, parts = [], said, home, pageToo = false, children }: DropProps) {
  if (row.refused) return null;
  const changes = [row, ...parts].map(({ kind, id }): Change => ({ verb: "delete", kind, id }));
  const drop = async () => {
    if (!(await once(`delete ${row.id}`, () => keep(changes, said)))) return;
    if (pageToo) replaceWith(home);
    else back(home);
  };
  return (
    <Tap look="heed" onTap={drop}>
      {children}
    </Tap>
  );
}

export function EmptyForm({ onTap }: { onTap: () => void }) {
  return (
    <Tap look="plain" onTap={onTap}>
      Empty this form
    </Tap>
  );
}
