/** What the server answers about suppliers and the season, by the names of the wire. */
import type { Day, Id, Instant } from "../../records/types";

/** value, low and high are null where it cannot be said; the sentence says why. */
export interface Figured {
  value: number | null;
  low: number | null;
  high: number | null;
  n: number;
  unfinished: number;
  sentence: string;
}

export interface Behind {
  block: Id;
  label: string;
  variety: Id;
  counted: string;
  so_far: number | null;
  taken_as: number | null;
  weight: number | null;
}

export interface Compared {
  id: Id;
  name: string;
  received: number;
  finished: number;
  unfinished: number;
  failed: number;
  contaminated: number;
  typical: Figured;
  expected: Figured;
  failures: Figured;
  days_to_first_harvest: Figured;
  currency: string;
  price_per_kg_fresh: Figured;
  price_per_100_g_dried: Figured;
  behind: readonly Behind[];
}

export interface Comparison {
  day: Day;
  unit: "g_per_kg_wet" | "efficiency_pct";
  level: number;
  sentence: string;
  price_sentence?: string; // an earlier release of the server says none
  suppliers: readonly Compared[];
  pairs: readonly { first: Id; second: Id; times: Figured }[];
  troubles: readonly string[];
}

export interface Lot {
  delivery: Id;
  supplier: Id;
  lot: string;
  received: Day;
  variety: Id;
  blocks: number;
  finished: number;
  failed: number;
  g_per_kg_wet: { median: number; low: number; high: number; n: number } | null;
  early?: string; // in place of a middle; an earlier release of the server says none
}

export interface Season {
  from: Day;
  to: Day;
  weeks: readonly { monday: Day; varieties: Readonly<Record<Id, number>> }[];
  varieties: readonly {
    id: Id;
    name: string;
    fresh_g: number;
    dried_g: number | null; // of those picks whose dried mass is known
    blocks: number;
    picks: number;
  }[];
  flush_shares: Readonly<Record<string, number>>;
  lots: readonly Lot[];
  spent: readonly { currency: string; total: string; deliveries: number; without_price: number }[];
  sentence: string;
  troubles: readonly string[];
}

/** What of a report's snapshot the phone tells; the whole stands in its page, its PDF and its tables. */
export interface Snapshot {
  day: Day;
  title: string;
  supplier: string;
  counts: {
    recorded: number;
    opened: number;
    finished: number;
    failed: number;
    unfinished: number;
    contaminated: number;
  };
  g_per_kg_wet: { median: number; low: number; high: number; n: number } | null;
  sentences: readonly string[];
  varieties: readonly { name: string; g_per_kg_wet: Snapshot["g_per_kg_wet"] }[];
  deliveries: readonly { lot: string; received: Day }[];
  photos: readonly unknown[];
}

export interface Share {
  id: Id;
  made: Instant;
  expires: Instant;
  revoked: Instant | null;
  opened: number;
  last_opened: Instant | null;
}

export interface ReportLine {
  id: Id;
  made: Instant;
  supplier: Id;
  supplier_name: string;
  title: string;
  blocks: number;
  shares: readonly Share[];
}

export const REPORTS = "/api/reports/supplier-reports";

/** Another release of the server may say other things: what lacks these lists is not shown. */
export function has<T>(...lists: (keyof T & string)[]) {
  return (body: unknown): body is T =>
    typeof body === "object" && body !== null && lists.every((name) => Array.isArray(body[name as never]));
}

/** The calendar the grower lives by; the server counts days in it. */
export function zone(): string {
  return Intl.DateTimeFormat().resolvedOptions().timeZone || "UTC";
}

export function isReports(body: unknown): body is readonly ReportLine[] {
  return Array.isArray(body);
}

export const isSnapshot = has<Snapshot>("sentences", "varieties", "deliveries", "photos");

/** "opened 3 times", over all of the links; "" when never. */
export function openedTimes(shares: readonly Share[]): string {
  const opened = shares.reduce((sum, share) => sum + share.opened, 0);
  if (opened === 0) return "";
  return opened === 1 ? "opened once" : `opened ${opened} times`;
}
