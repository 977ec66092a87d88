/** The block's story, newest flush first: its pictures by stage, then what was picked and noted. */
import type { BlockView, Standing } from "../../records/farm_view";
import { type Chapter, type Entry, entryAt } from "../../records/timeline";
import { foreseen } from "../coming";
import { dayOf, stampWords, timeWords, whenWords } from "../dates";
import { farm, mass, mayPick, now } from "../here";
import { CONTAMINATIONS, HANDLINGS, STAGES, WHATS } from "../words";
import { Picture } from "./picture";
import { waterWords } from "./soak_words";
import { Where } from "./where";

export function Chapters({ view, chapters }: { view: BlockView; chapters: readonly Chapter[] }) {
  if (chapters.length === 0) return null;
  return (
    <section>
      <h2>Its story</h2>
      {chapters.map((chapter) => (
        <section class="chapter" key={chapter.flush ?? "next"}>
          <h3>{title(chapter, view)}</h3>
          {chapter.photos.length > 0 && <Pictures photos={chapter.photos} />}
          <ul class="entries">
            {chapter.entries.map((entry) =>
              entry.kind === "photo" ? null : <Line key={entry.id} entry={entry} />,
            )}
          </ul>
        </section>
      ))}
    </section>
  );
}

function title({ flush, grams }: Chapter, view: BlockView): string {
  if (flush !== null) return `Flush ${flush}, ${mass(grams)}`;
  const last = view.picks.at(-1)?.fields.flush;
  return last === undefined ? "Before the first flush" : `After flush ${last}`;
}

function Pictures({ photos }: { photos: readonly Standing<"photo">[] }) {
  return (
    <ul class="pictures">
      {photos.map(({ id, fields, where }) => (
        <li key={id}>
          <a href={`#/photo/${id}`}>
            <Picture sha256={fields.thumb_sha256} alt={`Photo, ${STAGES[fields.stage].toLowerCase()}`} />
            <strong>{STAGES[fields.stage]}</strong>{" "}
            <span class="quiet">{whenWords(fields.taken, now.value)}</span>
            <Where at={where} />
          </a>
        </li>
      ))}
    </ul>
  );
}

function Line({ entry }: { entry: Entry }) {
  const at = entryAt(entry);
  const today = dayOf(at) === dayOf(new Date(now.value).toISOString());
  return (
    <li>
      <time dateTime={at}>
        {whenWords(at, now.value)}
        {!today && <br />}
        {!today && timeWords(at)}
      </time>
      <span class="what">
        {entry.kind === "pick" ? (
          <Picked pick={entry as Standing<"pick">} />
        ) : (
          <Happened note={entry as Standing<"happening">} />
        )}
        <Where at={entry.where} />
      </span>
    </li>
  );
}

function Picked({ pick }: { pick: Standing<"pick"> }) {
  const { wet_g, dry_g, handling } = pick.fields;
  const Said = foreseen.value?.DriedShareSaid;
  return (
    <a {...(mayPick.value ? { href: `#/pick/${pick.id}` } : {})}>
      <span>
        <strong>Picked {mass(wet_g)}</strong> {HANDLINGS[handling].toLowerCase()}
        {dry_g === null ? Said && <Said pick={pick} /> : `, dried ${mass(dry_g)}`}
      </span>
    </a>
  );
}

function Happened({ note }: { note: Standing<"happening"> }) {
  return (
    <a class="told" href={`#/happening/${note.id}`}>
      <span>{happeningWords(note.fields)}</span>
    </a>
  );
}

export function happeningWords(fields: Standing<"happening">["fields"]): string {
  const { what, until, place, contamination, note, mass_before_g: before, mass_after_g: after } = fields;
  if (what === "note" && note) return note;
  const more =
    what === "soaked" && until
      ? `until ${stampWords(until, now.value)}`
      : what === "moved" && place
        ? `to ${farm.value.place.get(place)?.fields.name ?? "a place not here yet"}`
        : contamination && CONTAMINATIONS[contamination].toLowerCase();
  const masses = before && after && `${mass(before)} to ${mass(after)}, ${waterWords(before, after)}`;
  const said = [WHATS[what], more].filter(Boolean).join(" ");
  return [[said, masses].filter(Boolean).join(", "), note].filter(Boolean).join(": ");
}
