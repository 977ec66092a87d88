/** The phone's arithmetic, on the same worked examples as the server's. */
import { describe, expect, it } from "vitest";
import drying from "../../fixtures/calc/drying.json";
import figures from "../../fixtures/calc/figures.json";
import states from "../../fixtures/calc/states.json";
import suppliers from "../../fixtures/calc/suppliers.json";
import yields from "../../fixtures/calc/yields.json";
import { days_between } from "../../static/src/calc/days";
import * as drying_functions from "../../static/src/calc/drying";
import * as errors from "../../static/src/calc/errors";
import { block_figures, type Grown } from "../../static/src/calc/figures";
import { block_state, open_flush } from "../../static/src/calc/states";
import { history_by_variety, supplier_history } from "../../static/src/calc/suppliers";
import * as yield_functions from "../../static/src/calc/yields";
import { agrees, type Call, check_call } from "./worked";

describe("yields", () => {
  it.each(yields.cases as unknown as Call[])("$name", (example) => check_call(example, yield_functions));
});

describe("drying", () => {
  it.each(drying.cases as unknown as Call[])("$name", (example) => check_call(example, drying_functions));
});

interface StateCase {
  happenings: { what: string; at: string; until?: string | null }[];
  picks: { at: string; flush: number }[];
  photos: { stage: string; taken: string }[];
  now: string;
  expect: string;
}

describe("state of a block", () => {
  it.each(states.cases as unknown as StateCase[])(
    "$name",
    ({ happenings, picks, photos, now, expect: state }) => {
      const found = block_state(
        happenings.map((h) => ({
          what: h.what,
          at: Date.parse(h.at),
          until: h.until ? Date.parse(h.until) : null,
        })),
        picks.map((pick) => ({ at: Date.parse(pick.at), flush: pick.flush })),
        photos.map((photo) => ({ stage: photo.stage, taken: Date.parse(photo.taken) })),
        Date.parse(now),
      );
      expect(found).toBe(state);
    },
  );

  it("refuses an instant that is none", () => {
    const broken = [{ what: "opened", at: Date.parse("yesterday") }];
    expect(() => block_state(broken, [], [], 0)).toThrow(errors.NotATime);
  });
});

describe("open flush", () => {
  it.each(states.open_flush)("$name", ({ flushes, expect: number, refuses }) => {
    const find = (): number => open_flush(flushes.map((flush) => ({ flush })));
    if (refuses === undefined) expect(find()).toBe(number);
    else expect(find).toThrow(expect.objectContaining({ name: refuses }));
  });
});

interface FiguresCase {
  block: Grown;
  expect?: object;
  troubles?: number;
  refuses?: string;
}

describe("figures of a block", () => {
  it.each(figures.cases as unknown as FiguresCase[])(
    "$name",
    ({ block, expect: expected, troubles, refuses }) => {
      if (refuses !== undefined) {
        expect(() => block_figures(block)).toThrow(expect.objectContaining({ name: refuses }));
        return;
      }
      const { troubles: found, ...rest } = block_figures(block);
      expect(found).toHaveLength(troubles ?? 0);
      expect(agrees(rest, expected), JSON.stringify(rest)).toBe(true);
    },
  );
});

interface SupplierCase {
  blocks: Grown[];
  expect: object;
  by_variety?: object;
}

describe("history of a supplier", () => {
  it.each(suppliers.cases as unknown as SupplierCase[])(
    "$name",
    ({ blocks, expect: expected, by_variety }) => {
      const history = supplier_history(blocks);
      expect(agrees(history, expected), JSON.stringify(history)).toBe(true);
      if (by_variety) expect(agrees(Object.fromEntries(history_by_variety(blocks)), by_variety)).toBe(true);
    },
  );
});

describe("days between", () => {
  it("agrees with the calendar of the machine from 1900 to 2100", () => {
    const start = Date.UTC(1900, 0, 1);
    for (let day = 0; day < 200 * 365; day += 1) {
      const text = new Date(start + day * 86_400_000).toISOString().slice(0, 10);
      if (days_between("1900-01-01", text) !== day) expect.unreachable(text);
    }
  });

  it("counts backwards below zero", () => {
    expect(days_between("2026-03-01", "2026-02-27")).toBe(-2);
  });

  it.each(["2026-02-29", "2026-13-01", "2026-04-31", "2026-00-10", "2026-1-1", "soon", ""])(
    'refuses "%s"',
    (day) => {
      expect(() => days_between("2026-01-01", day)).toThrow(errors.NotATime);
    },
  );
});

describe("errors", () => {
  it("are each called by the name of their class", () => {
    for (const [name, Named] of Object.entries(errors)) expect(new Named("").name).toBe(name);
  });
});
