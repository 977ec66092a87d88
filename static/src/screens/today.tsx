/** Today: what spoils first stands first; with nothing due, the next useful act. */
import type { BlockView } from "../records/farm_view";
import { type Due, dueToday, type Reason } from "../records/today";
import { type Change, newId } from "../store";
import { Nothing } from "./blocks";
import { comingOf, keptDue, paceOf } from "./coming";
import { awayWords, daysWords, localDay, spanWords, timeWords, weekdayWords } from "./dates";
import {
  farm,
  fetching,
  keeping,
  mass,
  mayPick,
  now,
  openFlush,
  standingOf,
  store,
  varietyName,
} from "./here";
import { Frame } from "./parts/frame";
import { KeptDue } from "./parts/kept_due";
import { Label } from "./parts/label";
import { Tap } from "./parts/tap";
import { Teach } from "./parts/teach";
import { keep, once } from "./saving";
import { mouldWords, NOTHING_TOLD, noteNow } from "./standing";
import { chanceWords, count, rough } from "./words";

const GROUPS: Record<Reason, string> = {
  contaminated: "Contaminated: eat nothing from it",
  soak: "Take out of the soak",
  ready: "Look: ready to pick?",
  picking: "Flush open",
  pins: "Pins to check",
  lost: "What became of them?",
  look: "Look for pins",
  resting: "Resting long",
  soon: "In the next days",
};

const DAY = 86_400_000;

export function Today() {
  const blocks = [...farm.value.block.values()].map((view) => ({ view, ...standingOf(view) }));
  const due = dueToday(blocks, now.value, paceOf);
  const reasons = (Object.keys(GROUPS) as Reason[]).filter((why) => due.some((item) => item.why === why));
  const kept = keptDue(keeping.value, now.value);
  const growing = blocks.filter(({ state }) => state !== "spent" && state !== "discarded").length;
  return (
    <Frame title="Today">
      <Heeded />
      {(blocks.length === 0 || fetching.value) && <Nothing />}
      {blocks.length > 0 && !fetching.value && due.length + kept.length === 0 && (
        <Teach
          words={`Nothing needs a look. ${count(growing, "block")} growing.`}
          act="See the blocks"
          to="#/blocks"
        />
      )}
      {reasons.map((why) => (
        <section key={why} aria-labelledby={`due-${why}`}>
          <h2 id={`due-${why}`}>{GROUPS[why]}</h2>
          <ul class="list">
            {due
              .filter((item) => item.why === why)
              .map((item) => (
                <Item key={item.view.id} item={item} />
              ))}
          </ul>
        </section>
      ))}
      <KeptDue dues={kept} />
    </Frame>
  );
}

/** What was refused comes before everything that grows. */
function Heeded() {
  const heeded = store().parked.value.length;
  if (heeded === 0) return null;
  return (
    <a class="tap heed" href="#/unsent">
      {count(heeded, "record")} {heeded === 1 ? "needs" : "need"} attention
    </a>
  );
}

function Item({ item }: { item: Due }) {
  const { view, why } = item;
  return (
    <li class="line">
      <a class="grow" href={`#/block/${view.id}`}>
        <span class="first">
          <Label code={view.fields.label} />
          <strong>{varietyName(view)}</strong>
        </span>
        {why === "contaminated" && <strong class="mark heed">{mouldWords(view)}</strong>}
        <span class="quiet small">{[words(item), view.place?.fields.name].filter(Boolean).join(", ")}</span>
      </a>
      {mayPick.value && <Acts item={item} />}
    </li>
  );
}

const ENDS = { pins_dried: "They dried up", flush_over: "Flush is over" } as const;

function Acts({ item }: { item: Due }) {
  const { view, end } = item;
  if (!end) return <Act item={item} />;
  return (
    <div class="row">
      <Tap name={`${ENDS[end]}: ${view.fields.label}`} onTap={() => noteNow(view, end)}>
        {ENDS[end]}
      </Tap>
      <Act item={item} />
    </div>
  );
}

function Act({ item }: { item: Due }) {
  const { why, view } = item;
  const { id, fields } = view;
  if (why === "contaminated") {
    return (
      <Tap look="heed" name={`Discard ${fields.label}`} onTap={() => noteNow(view, "discarded")}>
        Discard
      </Tap>
    );
  }
  if (why === "soak") {
    return (
      <Tap name={`It is out: ${fields.label}`} onTap={() => outOfSoak(item)}>
        It is out
      </Tap>
    );
  }
  if (why === "soon") return null;
  if (why === "resting" || why === "look")
    return (
      <a class="tap" href={`#/block/${id}/happened`}>
        Note
      </a>
    );
  return (
    <a class="tap" href={`#/weigh/${id}`} aria-label={`Weigh ${fields.label}`}>
      Weigh
    </a>
  );
}

function words({ why, view, since, end }: Due): string {
  const away = awayWords(since, now.value);
  if (why === "contaminated") return "";
  if (why === "soak") {
    if (since <= now.value) return `was due out ${away}`;
    // A soak is listed from a day before its end.
    const sameDay = localDay(new Date(since)) === localDay(new Date(now.value));
    return `due out ${timeWords(since)}${sameDay ? `, ${away}` : " tomorrow"}`;
  }
  if (why === "ready") return end ? `pins seen ${away}` : `looked ready ${away}`;
  if (why === "lost") return `seen ${away}, and nothing since`;
  if (why === "picking") return `flush ${openFlush(view)}, last pick ${away}`;
  if (why === "pins") return `seen ${away}`;
  if (why === "soon") return `look for pins from ${weekdayWords(since)}`;
  if (why === "look") return expected(view);
  return `nothing for ${daysWords(Math.floor((now.value - since) / DAY))}${over(view)}`;
}

/** "flush 2 likely 3 to 9 May, about 310 g" */
function expected(view: BlockView): string {
  const next = comingOf(view)?.next;
  if (!next?.first_day || !next.last_day) return "";
  const days = spanWords(next.first_day, next.last_day, localDay(new Date(now.value)));
  return `flush ${next.flush} likely ${days}${next.grams ? `, about ${mass(rough(next.grams.value))}` : ""}`;
}

/** A long rest is worth a decision: how likely it is that nothing comes. */
function over(view: BlockView): string {
  const next = comingOf(view)?.next;
  if (!next || next.chance_of_nothing === null) return "";
  return `, ${chanceWords(next.chance_of_nothing)} of nothing${next.flush > 1 ? " more" : ""}`;
}

/** The planned end becomes the real one, and a note says that somebody did it. */
async function outOfSoak({ view, soak }: Due): Promise<void> {
  if (!soak) return;
  const at = new Date().toISOString();
  const note = { ...NOTHING_TOLD, block: view.id, what: "note", at, note: "Out of the soak" } as const;
  const changes: Change[] = [
    { verb: "patch", kind: "happening", id: soak.id, fields: { until: at } },
    { verb: "add", kind: "happening", id: newId(), fields: note },
  ];
  await once(`out ${soak.id}`, () => keep(changes, `${view.fields.label} is out of the soak.`));
}
