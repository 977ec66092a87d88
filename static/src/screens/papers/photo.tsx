/** One photo, as large as the phone allows; its stage can be corrected. */
import type { Stage } from "../../records/types";
import { stampWords } from "../dates";
import { farm, mayPick, now } from "../here";
import { Absent } from "../parts/absent";
import { Choice } from "../parts/field";
import { Frame } from "../parts/frame";
import { Titled } from "../parts/label";
import { Picture } from "../parts/picture";
import { Tap } from "../parts/tap";
import { Where } from "../parts/where";
import { written } from "../patch";
import { write } from "../saving";
import { STAGES } from "../words";

export function PhotoScreen({ id }: { id: string }) {
  const photo = farm.value.photo.get(id);
  const view = photo && farm.value.block.get(photo.fields.block);
  if (!photo || !view) return <Absent what="photo" to="#/blocks" />;
  const { stage: now_shown, taken, sha256 } = photo.fields;
  const stage = STAGES[now_shown];
  const { label } = view.fields;
  const home = `#/block/${view.id}`;
  const setStage = (picked: Stage) =>
    void write(written("photo", { stage: picked }, photo), `Stage: ${STAGES[picked].toLowerCase()}.`);
  return (
    <Frame title={`${stage}, ${label}`} heading={<Titled code={label}>{stage}</Titled>} from={home}>
      <Picture whole sha256={sha256} alt={`${label}, ${stage.toLowerCase()}`} />
      <p>
        {stampWords(taken, now.value)} <Where at={photo.where} />
      </p>
      {mayPick.value && (
        <>
          <Choice
            name="Stage"
            value={now_shown}
            options={Object.entries(STAGES) as [Stage, string][]}
            onPick={setStage}
          />
          <Tap look="heed" onTap={() => write({ verb: "delete", kind: "photo", id }, "Photo deleted.", home)}>
            Delete this photo
          </Tap>
        </>
      )}
    </Frame>
  );
}
