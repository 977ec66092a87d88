/** What falls due as a calendar file (RFC 5545), for the phone's own calendar. Pure; the server's feed says the same of the same records. */

/** The words of each kind of date. The server has the same ones, and both are tested on fixtures/calendar. */
export const DUE_WORDS = {
  soak_out: { says: (name: string) => `Take ${name} out of the soak`, note: "" },
  weigh_again: {
    says: (name: string) => `Weigh the load again${name && `: ${name}`}`,
    note: "Cool it before you weigh it.",
  },
  look_for_pins: {
    says: (name: string) => `Look for pins: ${name}`,
    note: "A forecast: they may come earlier, later or not at all.",
  },
  pick_window: {
    says: (name: string) => `Ready to pick? ${name}`,
    note: "What is usual from pins to picking. Look every day.",
  },
  strain: {
    says: (name: string) => `Strain: ${name}`,
    note: "The steeping time is your own setting. Strong spirit burns: no flame, no hot plate, air the room.",
  },
  shake: { says: (name: string) => `Shake: ${name}`, note: "" },
  look_into_jars: {
    says: (name: string) => `Look into ${name} and shake it`,
    note: "Drops on the wall, or pieces that bend: dry them again. Common practice, no source.",
  },
  best_before: { says: (name: string) => `Your best-before day: ${name}`, note: "The day you set yourself." },
} as const;

/** Which page of the app shows the record. */
export const DUE_PAGES = {
  soak_out: "block",
  weigh_again: "drying",
  look_for_pins: "block",
  pick_window: "block",
  strain: "extract",
  shake: "extract",
  look_into_jars: "jar",
  best_before: "jar",
} as const satisfies Record<keyof typeof DUE_WORDS, string>;

/** One date: as calc/due has it, with the name of the record and what else tells it from others (variety, place). */
export interface Entry {
  kind: keyof typeof DUE_WORDS;
  key: string;
  day: string;
  at: number | null;
  until: string | null;
  every_days: number | null;
  name: string;
  about: readonly string[];
}

const FOLDED_AT = 75; // octets, RFC 5545 section 3.1
const utf8 = new TextEncoder();

/** The whole file. made: when, in ms since 1970; origin: where the app is, so that each entry links to its record. */
export function calendarFile(entries: readonly Entry[], made: number, origin: string): string {
  const lines = [
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    "PRODID:-//harvestlog//harvestlog//EN",
    "NAME:harvestlog",
    ...entries.flatMap((entry) => event(entry, made, origin)),
    "END:VCALENDAR",
  ];
  return lines.map((line) => `${folded(line)}\r\n`).join("");
}

function event(entry: Entry, made: number, origin: string): string[] {
  const { kind, key, name, about } = entry;
  const { says, note } = DUE_WORDS[kind];
  const summary = text(says(name));
  const description = text([about.filter(Boolean).join(", "), note].filter(Boolean).join("\n"));
  return [
    "BEGIN:VEVENT",
    `UID:${kind}-${key}@harvestlog`,
    `DTSTAMP:${stamp(made)}`,
    ...when(entry),
    `SUMMARY:${summary}`,
    ...(description ? [`DESCRIPTION:${description}`] : []),
    `URL:${origin}/#/${DUE_PAGES[kind]}/${key}`,
    "TRANSP:TRANSPARENT",
    ...(kind === "soak_out" ? alarm(summary) : []),
    "END:VEVENT",
  ];
}

function when({ day, at, until, every_days }: Entry): string[] {
  if (at !== null) return [`DTSTART:${stamp(at)}`];
  const first = `DTSTART;VALUE=DATE:${date(day)}`;
  if (until === null) return [first];
  if (every_days === null) return [first, `DTEND;VALUE=DATE:${date(dayAfter(until))}`];
  return [first, `RRULE:FREQ=DAILY;UNTIL=${date(until)};INTERVAL=${every_days}`];
}

/** A block drowns while nobody looks: the one date that rings. */
function alarm(summary: string): string[] {
  return ["BEGIN:VALARM", "ACTION:DISPLAY", `DESCRIPTION:${summary}`, "TRIGGER:PT0S", "END:VALARM"];
}

function stamp(at: number): string {
  return `${new Date(at).toISOString().slice(0, 19).replace(/[-:]/g, "")}Z`;
}

function date(day: string): string {
  return day.replaceAll("-", "");
}

/** DTEND is the first day that is no longer part of it. */
function dayAfter(day: string): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + 86_400_000).toISOString().slice(0, 10);
}

/** TEXT of RFC 5545 section 3.3.11: control characters cannot be written in it. */
function text(words: string): string {
  return words
    .replace(/\r\n?/g, "\n")
    .replace(/[^\P{Cc}\t\n]/gu, "")
    .replace(/[\\;,]/g, "\\$&")
    .replaceAll("\n", "\\n");
}

/** Cut where 75 octets are full, never inside a character. */
function folded(line: string): string {
  let [cut, octets] = ["", 0];
  for (const character of line) {
    const size = utf8.encode(character).length;
    if (octets + size > FOLDED_AT) {
      cut += "\r\n ";
      octets = 1;
    }
    cut += character;
    octets += size;
  }
  return cut;
}
