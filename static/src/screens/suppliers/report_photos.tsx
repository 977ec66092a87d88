/** Photos to be ticked one by one: trouble first, none ticked from the start. */
import { useState } from "preact/hooks";
import type { Id } from "../../records/types";
import { whenWords } from "../dates";
import { now } from "../here";
import { Label } from "../parts/label";
import { Picture } from "../parts/picture";
import { Tap } from "../parts/tap";
import { STAGES } from "../words";
import type { Shot } from "./report_wanted";

const FIRST = 6;

interface Props {
  shots: readonly Shot[];
  ticked: ReadonlySet<Id>;
  onTurn: (id: Id) => void;
}

export function PhotoTicks({ shots, ticked, onTurn }: Props) {
  const [all, setAll] = useState(false);
  const trouble = shots.filter((shot) => shot.trouble).length;
  const shown = all ? shots : shots.slice(0, Math.max(FIRST, trouble));
  if (shots.length === 0) return null;
  return (
    <fieldset class="field">
      <legend>Photos</legend>
      <span class="hint">
        None is in it until you tick it. {trouble > 0 && "Trouble and contaminated blocks come first."}
      </span>
      <ul class="pictures ticks">
        {shown.map((shot) => (
          <li key={shot.photo.id}>
            <OneShot shot={shot} on={ticked.has(shot.photo.id)} onTurn={() => onTurn(shot.photo.id)} />
          </li>
        ))}
      </ul>
      {shown.length < shots.length && <Tap onTap={() => setAll(true)}>Show all {shots.length} photos</Tap>}
    </fieldset>
  );
}

function OneShot({ shot, on, onTurn }: { shot: Shot; on: boolean; onTurn: () => void }) {
  const { photo, block } = shot;
  const { stage, taken, thumb_sha256 } = photo.fields;
  return (
    <label class={on ? "tick on" : "tick"}>
      <Picture sha256={thumb_sha256} alt="Photo" />
      <span>
        <input type="checkbox" checked={on} onChange={onTurn} />
        <span>
          <Label code={block.fields.label} />
          <span class="small">
            {STAGES[stage]}, {whenWords(taken, now.value)}
          </span>
        </span>
      </span>
    </label>
  );
}
