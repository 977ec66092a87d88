/** Calendar days as YYYY-MM-DD, counted without a clock or a time zone. */
import { NotATime } from "./errors";

/** Whole days from one calendar day to another; below zero when the second comes first. Valid for years 1 to 9999 of the Gregorian calendar. */
export function days_between(from: string, to: string): number {
  return day_number(to) - day_number(from);
}

/** Days since 1 March of the year 0: with March first, the leap day ends the year. */
function day_number(day: string): number {
  const [year, month, date] = parts(day);
  const shifted = month > 2 ? year : year - 1;
  const leaps = Math.floor(shifted / 4) - Math.floor(shifted / 100) + Math.floor(shifted / 400);
  return 365 * shifted + leaps + before_month(month) + date - 1;
}

/** Days from 1 March to the first of a month: months alternate 31, 30, 31, 30, 31 from March on. */
function before_month(month: number): number {
  return Math.floor((153 * ((month + 9) % 12) + 2) / 5);
}

function parts(day: string): [number, number, number] {
  const match = /^([0-9]{4})-([0-9]{2})-([0-9]{2})$/.exec(day);
  const [year, month, date] = match ? match.slice(1).map(Number) : [0, 0, 0];
  if (!year || !month || !date || month > 12 || date > month_length(year, month))
    throw new NotATime(`"${day}" is no day: write it like 2026-05-03.`);
  return [year, month, date];
}

function month_length(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
  return [4, 6, 9, 11].includes(month) ? 30 : 31;
}
