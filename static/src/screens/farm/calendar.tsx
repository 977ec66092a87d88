/** Calendar: what falls due in the next weeks, as a file for the phone's own calendar and as a secret address. */
import { later_day } from "../../calc/later_day";
import { calendarFile, DUE_PAGES, DUE_WORDS, type Entry } from "../../records/icalendar";
import { dayWords, localDay, timeWords } from "../dates";
import { handOver } from "../hand_over";
import { now } from "../here";
import { Frame } from "../parts/frame";
import { Tap } from "../parts/tap";
import { once, say } from "../saving";
import { CalendarAddress } from "./calendar_address";
import { datesToCome } from "./dates_to_come";

const SHOWN_DAYS = 28;
const weekday = new Intl.DateTimeFormat("en-GB", { weekday: "long" });

export function Calendar() {
  const entries = datesToCome();
  const today = localDay(new Date(now.value));
  const last = later_day(today, SHOWN_DAYS);
  const shown = entries.filter(({ day }) => day <= last);
  const more = entries.length - shown.length;
  return (
    <Frame title="Calendar" from="#/farm">
      {shown.length === 0 && <p>Nothing falls due in the next four weeks.</p>}
      {byDay(shown, today).map(([day, theirs]) => (
        <section key={day} aria-labelledby={`on-${day}`}>
          <h2 id={`on-${day}`}>{day === today ? "Today" : `${weekdayOf(day)} ${dayWords(day, today)}`}</h2>
          <ul class="list">
            {theirs.map((entry) => (
              <Line key={`${entry.kind} ${entry.key}`} entry={entry} today={today} />
            ))}
          </ul>
        </section>
      ))}
      {more > 0 && <p class="quiet">{more} more after these four weeks; the file below has them.</p>}
      <Keep entries={entries} />
      <CalendarAddress />
    </Frame>
  );
}

/** What began before today, and is not done, stands under today. */
function byDay(entries: readonly Entry[], today: string): [string, Entry[]][] {
  const apart = new Map<string, Entry[]>();
  for (const entry of entries) {
    const day = entry.day < today ? today : entry.day;
    apart.set(day, [...(apart.get(day) ?? []), entry]);
  }
  return [...apart].sort(([one], [other]) => (one < other ? -1 : 1));
}

function weekdayOf(day: string): string {
  return weekday.format(new Date(`${day}T12:00:00`));
}

function Line({ entry, today }: { entry: Entry; today: string }) {
  const { kind, key, name, about } = entry;
  const beside = [...about, whenWords(entry, today)].filter(Boolean);
  return (
    <li class="line">
      <a class="grow" href={`#/${DUE_PAGES[kind]}/${key}`}>
        <strong>{DUE_WORDS[kind].says(name)}</strong>
        {beside.length > 0 && <span class="quiet small">{beside.join(", ")}</span>}
      </a>
    </li>
  );
}

function whenWords({ day, at, until, every_days }: Entry, today: string): string {
  if (at !== null && at <= now.value)
    return `was due ${day < today ? `${dayWords(day, today)} ` : ""}${timeWords(at)}`;
  if (at !== null) return timeWords(at);
  const late = day < today && (until === null || until < today || every_days !== null);
  const due = late ? `was due ${dayWords(day, today)}` : "";
  if (until === null || until < today) return due;
  if (every_days === null) return `to ${dayWords(until, today)}`;
  const often = every_days === 1 ? "daily" : `every ${every_days} days`;
  return [every_days === 1 ? "" : due, `${often} until ${dayWords(until, today)}`].filter(Boolean).join(", ");
}

function Keep({ entries }: { entries: readonly Entry[] }) {
  const keep = () =>
    once("calendar file", async () => {
      const text = calendarFile(entries, now.peek(), location.origin);
      const blob = new Blob([text], { type: "text/calendar" });
      if (await handOver(blob, `harvestlog-${localDay(new Date())}.ics`)) say("The calendar file is made.");
    });
  return (
    <section>
      <h2>As a file</h2>
      <p>Works with no signal. Your calendar keeps it as it is today: nothing in it moves by itself.</p>
      <Tap off={entries.length === 0} onTap={keep}>
        Keep as a calendar file
      </Tap>
    </section>
  );
}
