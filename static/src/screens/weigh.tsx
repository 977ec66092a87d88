/** Weigh: one figure, one pad, one save. The same screen corrects a pick or adds its dried mass later. */
import { useEffect, useState } from "preact/hooks";
import type { BlockView, Standing } from "../records/farm_view";
import type { Id } from "../records/types";
import { farm, mayPick, padUnit, store } from "./here";
import { Absent, Barred } from "./parts/absent";
import { Saved } from "./parts/saved";
import { Scale } from "./parts/scale";
import { freshWeighing, type Weighing, weighingOf } from "./weighing";

export function Weigh({ id }: { id: string }) {
  const [saved, setSaved] = useState<{ weighing: Weighing; pick: Id } | null>(null);
  const view = farm.value.block.get(id);
  // Another block starts afresh
  useEffect(() => setSaved(null), [id]);
  if (!view) return <Absent what="block" to="#/blocks" />;
  if (!mayPick.value) return <Barred to={`#/block/${id}`} />;
  // Taken back meanwhile: then nothing is to be called saved.
  if (saved && farm.value.pick.has(saved.pick)) {
    return <Saved view={view} weighing={saved.weighing} onAgain={() => setSaved(null)} />;
  }
  return (
    <Drafted
      key={id}
      draft={`weigh/${id}`}
      view={view}
      onSaved={(weighing, pick) => setSaved({ weighing, pick })}
    />
  );
}

export function PickScreen({ id, part }: { id: string; part: string }) {
  const pick = farm.value.pick.get(id);
  const view = pick && farm.value.block.get(pick.fields.block);
  if (!pick || !view) return <Absent what="pick" to="#/blocks" />;
  if (!mayPick.value) return <Barred to={`#/block/${view.id}`} />;
  return <Drafted key={id} draft={`pick/${id}`} view={view} pick={pick} dried={part === "dry"} />;
}

interface Props {
  /** the name of the draft it is kept under */
  draft: string;
  view: BlockView;
  pick?: Standing<"pick">;
  dried?: boolean;
  onSaved?: (weighing: Weighing, pick: Id) => void;
}

/** Goes on where a draft was left. */
export function Drafted({ draft: key, view, pick, dried = false, onSaved }: Props) {
  const [start, setStart] = useState<Weighing | null>(null);
  // The draft is read once
  useEffect(() => {
    const empty = pick ? weighingOf(pick, padUnit()) : freshWeighing(view, padUnit());
    const begin = (draft?: Weighing) => setStart({ ...empty, ...draft, ...(dried ? { on: "dry" } : {}) });
    store()
      .draft<Weighing>(key)
      .then(begin, () => begin());
  }, [key]);
  if (!start) return null;
  return <Scale start={start} draft={key} view={view} pick={pick} onSaved={onSaved} />;
}
