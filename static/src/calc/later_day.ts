/** The calendar day so many days after another, without a clock or a time zone. */
import { days_between } from "./days";

const MARCH_1 = "0001-03-01";
const DAYS_IN_400_YEARS = 146097;

/** YYYY-MM-DD, `days` whole days later (earlier when below 0). Valid for years 1 to 9999 of the Gregorian calendar. */
export function later_day(day: string, days: number): string {
  const since = days_between(MARCH_1, day) + days + 365; // days since 1 March of the year 0
  const era = Math.floor(since / DAYS_IN_400_YEARS);
  const of_era = since - era * DAYS_IN_400_YEARS;
  const year_of_era = Math.floor(
    (of_era - Math.floor(of_era / 1460) + Math.floor(of_era / 36524) - Math.floor(of_era / 146096)) / 365,
  );
  const of_year = of_era - (365 * year_of_era + Math.floor(year_of_era / 4) - Math.floor(year_of_era / 100));
  const month_from_march = Math.floor((5 * of_year + 2) / 153);
  const date = of_year - Math.floor((153 * month_from_march + 2) / 5) + 1;
  const month = month_from_march < 10 ? month_from_march + 3 : month_from_march - 9;
  return [year_of_era + era * 400 + (month <= 2 ? 1 : 0), month, date]
    .map((part, i) => String(part).padStart(i === 0 ? 4 : 2, "0"))
    .join("-");
}
