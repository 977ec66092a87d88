/** One block in a list: its label, how it stands, and what it gave so far on a scale all rows share. */
import type { BlockView } from "../../records/farm_view";
import { whenWords } from "../dates";
import { figuresOf, mass, now, unpicked, varietyName } from "../here";
import { mouldWords, standingWords } from "../standing";
import { STAGES } from "../words";
import { Band } from "./band";
import { Label } from "./label";
import { Picture } from "./picture";
import { Where } from "./where";

export function BlockRow({ view, onOpen }: { view: BlockView; onOpen?: () => void }) {
  const { fields } = view;
  const photo = view.photos.at(-1);
  const last = view.picks.at(-1)?.fields;
  const figures = figuresOf(view);
  const mould = mouldWords(view);
  const per_kg = figures.yield_g_per_kg_wet;
  return (
    <li>
      <a href={`#/block/${view.id}`} onClick={onOpen}>
        <span class="text">
          <span class="first">
            <Label code={fields.label} />
            <strong>{varietyName(view)}</strong>
          </span>
          <span class="said">
            {mould ? <strong class="mark heed">{mould}</strong> : <span>{standingWords(view)}</span>}
            <span class="quiet">
              {last ? `${mass(last.wet_g)}, ${whenWords(last.at, now.value)}` : unpicked(view)}
            </span>
          </span>
          {per_kg !== null && per_kg > 0 && <Band figures={figures} />}
          <Where at={view.row.where} />
        </span>
        {photo && (
          <Picture
            sha256={photo.fields.thumb_sha256}
            alt={`Latest photo: ${STAGES[photo.fields.stage].toLowerCase()}`}
          />
        )}
      </a>
    </li>
  );
}
