/** What falls due on a whole farm, joined from the phone's rows: for Today, and for the calendar. */
import { signal } from "@preact/signals";
import { beforeEach, describe, expect, it } from "vitest";
import type { Standing } from "../../static/src/records/farm_view";
import { keepingView } from "../../static/src/records/keeping_view";
import type { Drying, Extract, Jar } from "../../static/src/records/types";
import { keepingDue } from "../../static/src/screens/due";
import { datesToCome } from "../../static/src/screens/farm/dates_to_come";
import { now } from "../../static/src/screens/here";
import { sync } from "../../static/src/sync";
import { AROUND, block, farmOf, happening, pick, row, SHED, VARIETY } from "./farm_cast";

const NOON = Date.parse("2026-05-10T12:00:00");
/** Hours from that noon, on the clock of wherever the tests run. */
const at = (hours: number): string => new Date(NOON + hours * 3_600_000).toISOString();

function drying(id: string, more: Partial<Drying> = {}) {
  const fields = {
    method: "warm_air",
    started: at(-20),
    ended: null,
    temp_c: null,
    scale_step_g: 1,
  } as const;
  return row("drying", id, { ...fields, dry_g: null, dry_typed: "", note: "", ...more });
}

function part(id: string, load: string, more: { pick?: string; variety?: string }) {
  const fields = { drying: load, pick: null, variety: null, wet_g: 300, typed: "", note: "" };
  return row("drying_part", id, { ...fields, ...more });
}

function weighing(id: string, load: string, hours: number, mass_g: number) {
  return row("drying_weighing", id, { drying: load, at: at(hours), mass_g, typed: "", cooled: true });
}

function jar(id: string, more: Partial<Jar> = {}) {
  const known = { label: "J4V2N", what: "Oyster", variety: null, drying: null, cut: "sliced" } as const;
  const held = { dry_g: 80, dry_typed: "", container: "jar", container_ml: null, absorber_ml: null } as const;
  const kept = { packed: "2026-02-01", place: SHED, best_before: null, note: "" };
  return row("jar", id, { ...known, ...held, ...kept, ...more });
}

function extract(id: string, more: Partial<Extract> = {}) {
  const mushroom = { mushroom: "dried", mass_g: 100, typed: "", variety: null, jar: null } as const;
  const water = { fresh_water_low_pct: null, fresh_water_high_pct: null };
  const spirit = { spirit_ml: 500, spirit_pct: 95, started: at(-28 * 24), target_low_pct: 25 };
  const days = { steep_low_days: 28, steep_high_days: 42, shake_days: null, target_high_pct: 30 };
  return row("extract", id, { name: "Reishi", ...mushroom, ...water, ...spirit, ...days, note: "", ...more });
}

function step(id: string, of: string, what: "shaken" | "strained", hours: number) {
  return row("extract_step", id, { extract: of, what, at: at(hours), volume_ml: null, note: "" });
}

const kinds = (...rows: Standing[]) => keepingDue(keepingView(farmOf(...rows)), NOON).map(({ kind }) => kind);

describe("what of the kept crop stands on Today", () => {
  it("is a load to weigh again, from its last weighing until it weighs the same", () => {
    expect(kinds(drying("l"), weighing("w", "l", -1, 130))).toEqual(["weigh_again"]);
    expect(kinds(drying("l"), weighing("w", "l", -1, 130), weighing("v", "l", -0.25, 130))).toEqual([]);
    expect(kinds(drying("l", { ended: at(-0.5) }), weighing("w", "l", -1, 130))).toEqual([]);
  });

  it("is an extract to strain from the day on that its steeping may end", () => {
    expect(kinds(extract("x"))).toEqual(["strain"]);
    expect(kinds(extract("x", { started: at(-27 * 24) }))).toEqual([]);
    expect(kinds(extract("x"), step("s", "x", "strained", -1))).toEqual([]);
  });

  it("is an extract to shake when its days are up", () => {
    const steeping = extract("x", { started: at(-10 * 24), shake_days: 3 });
    expect(kinds(steeping)).toEqual(["shake"]);
    expect(kinds(steeping, step("s", "x", "shaken", -24))).toEqual([]);
  });

  it("is a jar of the last week, not one closed today", () => {
    expect(kinds(jar("j", { packed: "2026-05-08" }))).toEqual(["look_into_jars"]);
    expect(kinds(jar("j", { packed: "2026-05-10" }))).toEqual([]);
  });

  it("is the grower's own best-before day a week ahead, while something is left", () => {
    const dated = jar("j", { best_before: "2026-05-17" });
    const taken = { jar: "j", at: at(-1), mass_g: 80, typed: "", use: "kitchen", note: "" } as const;
    expect(kinds(dated)).toEqual(["best_before"]);
    expect(kinds(dated, row("taking", "t", taken))).toEqual([]);
    expect(kinds(jar("j", { best_before: "2026-05-18" }))).toEqual([]);
    expect(kinds(jar("j"))).toEqual([]);
  });

  it("comes with the record it is about", () => {
    const [one] = keepingDue(keepingView(farmOf(extract("x"))), NOON);
    expect(one?.view.fields).toMatchObject({ name: "Reishi" });
  });
});

describe("what stands in the calendar", () => {
  const rows = signal(new Map<string, Standing>());

  beforeEach(() => {
    Object.assign(sync.door, {
      value: {
        server: null,
        who: null,
        store: { rows },
      },
    });
    now.value = NOON;
  });

  function told(...more: Standing[]) {
    rows.value = new Map([...AROUND, ...more].map((each) => [each.id, each]));
    return datesToCome().map(({ kind, name, about }) => ({ kind, name, about }));
  }

  it("names a block with its variety and where it stands", () => {
    const soak = happening("h", "soaked", at(-18), { until: at(6) });
    const moved = happening("m", "moved", at(-40), { place: SHED });
    const about = ["Grey oyster", "Shed"];
    expect(told(block(), moved, soak)).toEqual([{ kind: "soak_out", name: "K7M3P", about }]);
  });

  it("looks for the pins of a block that rests", () => {
    const opened = happening("o", "opened", at(-30 * 24));
    const picked = pick("p", at(-9 * 24), { flush: 1 });
    expect(told(block(), opened, picked)).toMatchObject([{ kind: "look_for_pins", name: "K7M3P" }]);
  });

  it("names a load after the varieties in it, each once", () => {
    const spent = happening("h", "spent", at(-30));
    const load = [drying("l"), part("q", "l", { pick: "p" }), part("r", "l", { variety: VARIETY })];
    const found = told(block(), pick("p", at(-32)), spent, ...load, weighing("w", "l", -1, 130));
    expect(found).toEqual([{ kind: "weigh_again", name: "Grey oyster", about: [] }]);
  });

  it("names a jar with what is in it and where it stands", () => {
    const about = ["Oyster", "Shed"];
    expect(told(jar("j", { best_before: "2027-01-01" }))).toEqual([
      { kind: "best_before", name: "J4V2N", about },
    ]);
  });

  it("is empty on an empty farm", () => {
    expect(told()).toEqual([]);
  });
});
