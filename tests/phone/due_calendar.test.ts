/** The calendar file the phone writes: RFC 5545, and word for word what the server's tests read. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import example from "../../fixtures/calendar/entries.json";
import { calendarFile, type Entry } from "../../static/src/records/icalendar";

const made = Date.parse(example.made);
const entries = example.entries.map((each) => ({ ...each, at: each.at && Date.parse(each.at) })) as Entry[];
const written = calendarFile(entries, made, example.origin);
const octets = (line: string): number => new TextEncoder().encode(line).length;
const unfolded = (text: string): string[] => text.replaceAll("\r\n ", "").split("\r\n");

function one(more: Partial<Entry>): string[] {
  const entry = { ...entries[0], ...more } as Entry;
  return unfolded(calendarFile([entry], made, example.origin));
}

describe("the calendar file", () => {
  it("is the one the server's tests read", () => {
    const path = new URL("../../fixtures/calendar/phone.ics", import.meta.url);
    expect(written).toBe(readFileSync(path, "utf8"));
  });

  it("ends every line with CRLF and keeps each within 75 octets", () => {
    const lines = written.split("\r\n");
    expect(lines.at(-1)).toBe("");
    expect(lines.join("")).not.toMatch(/[\r\n]/);
    expect(Math.max(...lines.map(octets))).toBe(75);
  });

  it("cuts no character in two", () => {
    const name = "🍄".repeat(200);
    const sent = new TextEncoder().encode(calendarFile([{ ...entries[0], name } as Entry], made, ""));
    expect(new TextDecoder().decode(sent)).not.toContain("\ufffd");
    expect(one({ name })).toContain(`SUMMARY:Take ${name} out of the soak`);
  });

  it("takes a name for text, whatever stands in it", () => {
    const lines = one({ name: "a\r\nEND:VEVENT\rb;c,d\\n" });
    expect(lines.filter((line) => line === "END:VEVENT")).toHaveLength(1);
    expect(lines).toContain("SUMMARY:Take a\\nEND:VEVENT\\nb\\;c\\,d\\\\n out of the soak");
  });

  it("drops characters that no calendar text may hold", () => {
    expect(one({ name: "be\u0007ll\u0000\u009f" })).toContain("SUMMARY:Take bell out of the soak");
  });

  it("gives a moment in UTC and a day without an hour", () => {
    expect(one({})).toContain("DTSTART:20260510T180000Z");
    expect(one({ at: null })).toContain("DTSTART;VALUE=DATE:20260510");
  });

  it("ends a run of days on the day after its last", () => {
    expect(one({ at: null, day: "2026-02-26", until: "2026-02-28" })).toContain("DTEND;VALUE=DATE:20260301");
  });

  it("repeats what comes again instead of stretching it", () => {
    const lines = one({ kind: "shake", at: null, until: "2026-06-12", every_days: 3 });
    expect(lines).toContain("RRULE:FREQ=DAILY;UNTIL=20260612;INTERVAL=3");
    expect(lines.join()).not.toContain("DTEND");
  });

  it("rings for a soak and for nothing else", () => {
    const ringing = (kind: Entry["kind"]): boolean => one({ kind }).includes("BEGIN:VALARM");
    expect(ringing("soak_out")).toBe(true);
    expect(ringing("strain")).toBe(false);
  });

  it("is a calendar even with nothing in it", () => {
    const lines = unfolded(calendarFile([], made, example.origin));
    expect(lines.slice(0, 2)).toEqual(["BEGIN:VCALENDAR", "VERSION:2.0"]);
    expect(lines.at(-2)).toBe("END:VCALENDAR");
  });
});
