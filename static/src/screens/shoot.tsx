/** A photo of a block: choose the stage, and the camera opens. */
import type { Stage } from "../records/types";
import { STAGES as ALL } from "../records/types";
import { farm, mayPick, openFlush, standingOf } from "./here";
import { Absent, Barred } from "./parts/absent";
import { PhotoButton } from "./parts/extras";
import { Frame } from "./parts/frame";
import { Titled } from "./parts/label";
import { back } from "./route";
import { keep } from "./saving";
import { photoRecord } from "./weighing";
import { STAGES } from "./words";

const PINS = new Set<Stage>(["before_pins", "knots", "pins"]);

export function Shoot({ id }: { id: string }) {
  const view = farm.value.block.get(id);
  if (!view) return <Absent what="block" to="#/blocks" />;
  if (!mayPick.value) return <Barred to={`#/block/${id}`} />;
  const { label } = view.fields;
  // A picture of pins, or one between flushes, shows the flush to come, which has no number until its first pick.
  const open = openFlush(view);
  const standing = view.picks.length > 0 && standingOf(view).flush === open ? open : null;
  return (
    <Frame title={`Photo of ${label}`} heading={<Titled code={label}>Photo</Titled>} from={`#/block/${id}`}>
      <p>Tap what it shows and the camera opens.</p>
      <ul class="kinds">
        {ALL.map((stage: Stage) => (
          <li key={stage}>
            <PhotoButton
              has={false}
              words={STAGES[stage]}
              onPhoto={async (pair) => {
                const flush = PINS.has(stage) ? null : standing;
                const about = { block: id, flush, pick: null, stage, taken: new Date().toISOString() };
                const words = `Photo of ${label}, ${STAGES[stage].toLowerCase()}, is on this phone.`;
                await keep([photoRecord(pair, about)], words, [pair.thumb, pair.full]);
                back(`#/block/${id}`);
              }}
            />
          </li>
        ))}
      </ul>
      <p class="care">No place is kept with the picture: the phone's notes in the file are left behind.</p>
    </Frame>
  );
}
