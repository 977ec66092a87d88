/** Days and times as the grower's calendar has them. */
import type { Day, Instant } from "../records/types";

const DAY_MS = 86_400_000;
const short = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short" });
const withYear = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short", year: "numeric" });
const clock = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" });

const two = (n: number): string => String(n).padStart(2, "0");

export function localDay(date: Date): Day {
  return `${String(date.getFullYear()).padStart(4, "0")}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

export function dayOf(at: Instant): Day {
  return localDay(new Date(at));
}

/** What a datetime-local field holds. */
export function fieldTime(date: Date): string {
  return `${localDay(date)}T${two(date.getHours())}:${two(date.getMinutes())}`;
}

/** The instant a datetime-local field means here; undefined while it is empty or half typed. */
export function instantOf(field: string): Instant | undefined {
  const date = new Date(field);
  return Number.isNaN(date.getTime()) ? undefined : date.toISOString();
}

export function dayWords(day: Day, today: Day): string {
  const date = new Date(`${day}T12:00:00`);
  return (day.slice(0, 4) === today.slice(0, 4) ? short : withYear).format(date);
}

/** "3 to 9 May", "28 Apr to 3 May" */
export function spanWords(from: Day, to: Day, today: Day): string {
  if (from === to) return dayWords(to, today);
  const start = from.slice(0, 7) === to.slice(0, 7) ? String(Number(from.slice(8))) : dayWords(from, today);
  return `${start} to ${dayWords(to, today)}`;
}

const weekday = new Intl.DateTimeFormat("en-GB", { weekday: "long" });

/** "Thursday": said only of the days just ahead. */
export function weekdayWords(at: number): string {
  return weekday.format(new Date(at));
}

export function timeWords(at: Instant | number): string {
  return clock.format(new Date(at));
}

/** "3 May", and the time of day where it is today's. */
export function whenWords(at: Instant, now: number): string {
  const day = dayOf(at);
  const today = localDay(new Date(now));
  return day === today ? timeWords(at) : dayWords(day, today);
}

/** "today 07:39", "3 May 07:39" */
export function stampWords(at: Instant, now: number): string {
  const day = whenWords(at, now);
  const time = timeWords(at);
  return day === time ? `today ${time}` : `${day} ${time}`;
}

/** "20 min ago", "in 3 h", "4 days ago". */
export function awayWords(at: number, now: number): string {
  const ms = Math.abs(at - now);
  if (ms < 60_000) return "just now";
  const words =
    ms < 3_600_000
      ? `${Math.round(ms / 60_000)} min`
      : ms < DAY_MS
        ? `${Math.round(ms / 3_600_000)} h`
        : daysWords(Math.round(ms / DAY_MS));
  return at > now ? `in ${words}` : `${words} ago`;
}

export function daysWords(days: number): string {
  return days === 1 ? "1 day" : `${days} days`;
}
