/** One block: its picture and label, what it gave, and its story flush by flush. */
import type { BlockView } from "../records/farm_view";
import { chapters } from "../records/timeline";
import { awayWords, dayWords, localDay } from "./dates";
import {
  farm,
  figuresOf,
  hasEnded,
  isOwner,
  mass,
  mayPick,
  now,
  stateOf,
  unpicked,
  varietyName,
} from "./here";
import { Absent } from "./parts/absent";
import { Chapters } from "./parts/chapters";
import { FactsTable, type Noted } from "./parts/facts_table";
import { FlushBars } from "./parts/flush_bars";
import { Frame } from "./parts/frame";
import { Label } from "./parts/label";
import { Numbers } from "./parts/numbers";
import { Picture } from "./parts/picture";
import { Sign } from "./parts/signs";
import { SpeciesNotes } from "./parts/species_notes";
import { StillToCome } from "./parts/still_to_come";
import { Tap } from "./parts/tap";
import { Where } from "./parts/where";
import { CARRY_OUT, EAT_NOTHING, mouldWords, noteNow, standingWords } from "./standing";
import { BASES, FORMS, STAGES } from "./words";

export function Block({ id }: { id: string }) {
  const view = farm.value.block.get(id);
  if (!view) return <Absent what="block" to="#/blocks" />;
  const figures = figuresOf(view);
  return (
    <Frame
      title={`${view.fields.label} ${varietyName(view)}`}
      heading={<Front view={view} />}
      from="#/blocks"
      acts={mayPick.value && <Acts view={view} />}
    >
      <Mould view={view} />
      <Standing view={view} />
      <Numbers view={view} figures={figures} />
      {figures.fresh_g > 0 && (
        <FlushBars
          title="Flushes"
          shares={figures.share_by_flush}
          gave={(flush) => mass(figures.grams_by_flush[flush] ?? 0)}
        />
      )}
      <StillToCome view={view} />
      <Chapters view={view} chapters={chapters(view)} />
      <SpeciesNotes view={view} />
      <Papers view={view} />
    </Frame>
  );
}

function Front({ view }: { view: BlockView }) {
  const photo = view.photos.at(-1)?.fields;
  return (
    <>
      {photo && <Picture sha256={photo.sha256} alt={`Latest photo: ${STAGES[photo.stage].toLowerCase()}`} />}
      <Label code={view.fields.label} big />
      <span>{varietyName(view)}</span>
    </>
  );
}

function Acts({ view }: { view: BlockView }) {
  const { id } = view;
  return (
    <>
      {mouldWords(view) ? (
        <Tap look="main" onTap={() => noteNow(view, "discarded")}>
          Discard
        </Tap>
      ) : (
        <a class={hasEnded(view) ? "tap" : "tap main"} href={`#/weigh/${id}`}>
          Weigh
        </a>
      )}
      <a class="tap" href={`#/block/${id}/photo`}>
        Photo
      </a>
      <a class="tap" href={`#/block/${id}/happened`}>
        Note
      </a>
    </>
  );
}

/** Contamination before all else, with the caution where the block is carried out. */
function Mould({ view }: { view: BlockView }) {
  const mould = mouldWords(view);
  if (!mould) return null;
  return (
    <>
      <p class="wrong">
        <Sign of="heed" />
        <span>
          {mould}. {EAT_NOTHING}
        </span>
      </p>
      <p class="care">{CARRY_OUT}</p>
      {mayPick.value && (
        <a class="tap plain" href={`#/weigh/${view.id}`}>
          Weigh what was picked before
        </a>
      )}
    </>
  );
}

/** The state as a sentence, with what makes it so. */
function Standing({ view }: { view: BlockView }) {
  const state = stateOf(view);
  const soak = view.happenings.findLast(({ fields }) => fields.what === "soaked")?.fields;
  const last = view.picks.at(-1)?.fields;
  const since =
    state === "soaking" && soak?.until
      ? `out ${awayWords(Date.parse(soak.until), now.value)}`
      : last
        ? `last pick ${awayWords(Date.parse(last.at), now.value)}`
        : unpicked(view);
  return (
    <div>
      <p>
        <strong>{standingWords(view)}</strong>, {since}
      </p>
      <p class="quiet">
        {[
          view.place?.fields.name,
          view.supplier?.fields.name,
          view.delivery?.fields.lot && `lot ${view.delivery.fields.lot}`,
        ]
          .filter(Boolean)
          .join(" · ")}
      </p>
      <Where at={view.row.where} />
    </div>
  );
}

/** What the block came with. */
function Papers({ view }: { view: BlockView }) {
  const { fields, delivery, supplier } = view;
  const today = localDay(new Date(now.value));
  const rows: Noted[] = [
    ["Supplier", supplier?.fields.name],
    ["Lot", delivery?.fields.lot],
    ["Arrived", delivery && dayWords(delivery.fields.received, today)],
    ["Form", FORMS[fields.form]],
    ["Wet on arrival", fields.wet_g === null ? "not weighed" : mass(fields.wet_g)],
    ["Dry basis", basisWords(view)],
    ["Strain", view.variety?.fields.strain],
    ["Note", fields.note],
  ];
  return (
    <section>
      <h2>What it came with</h2>
      <FactsTable rows={rows} />
      {isOwner.value && (
        <a class="tap" href={`#/block/${view.id}/edit`}>
          Change this block
        </a>
      )}
    </section>
  );
}

function basisWords({ fields }: BlockView): string {
  const { name } = BASES[fields.dry_basis];
  if (fields.dry_g !== null) return `${name}, ${mass(fields.dry_g)}`;
  if (fields.moisture_pct !== null) return `${name}, ${fields.moisture_pct} %`;
  if (fields.moisture_low_pct !== null)
    return `${name}, ${fields.moisture_low_pct} to ${fields.moisture_high_pct} %`;
  return name;
}
