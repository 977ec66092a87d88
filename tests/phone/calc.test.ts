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
import {
  block_state,
  contaminated_since,
  flush_to_pick,
  open_flush,
  pins_since,
} from "../../static/src/calc/states";
import { early_words, history_by_variety, supplier_history } from "../../static/src/calc/suppliers";
import * as yield_functions from "../../static/src/calc/yields";
import { agrees, type Call, check_call } from "./worked";

describe("yields", () => {
  it.each(yields.cases as unknown as Call[])("$name", (example) => check_call(example, yield_functions));
});

describe("drying", () => {
  it.each(drying.cases as unknown as Call[])("$name", (example) => check_call(example, drying_functions));
});

interface NotedCase {
  happenings: { what: string; at: string; until?: string | null }[];
  now: string;
  expect: string | number | null;
}

interface StateCase extends NotedCase {
  picks: { at: string; flush: number }[];
  photos: { stage: string; taken: string }[];
}

function happeningsOf({ happenings }: NotedCase) {
  return happenings.map(({ what, at, until }) => ({
    what,
    at: Date.parse(at),
    until: until ? Date.parse(until) : null,
  }));
}

/** Calls a calculation with what a worked example notes, picks and photographs, at its moment. */
function called<T>(call: (...args: Parameters<typeof block_state>) => T, example: StateCase): T {
  const picks = example.picks.map(({ at, flush }) => ({ at: Date.parse(at), flush }));
  const photos = example.photos.map(({ stage, taken }) => ({ stage, taken: Date.parse(taken) }));
  return call(happeningsOf(example), picks, photos, Date.parse(example.now));
}

function at({ expect }: NotedCase): number | null {
  return expect === null ? null : Date.parse(String(expect));
}

describe("flush of the next pick", () => {
  it.each(states.flush_to_pick as unknown as StateCase[])("$name", (example) => {
    expect(called(flush_to_pick, example)).toBe(example.expect);
  });
});

describe("since when pins or caps stand", () => {
  it.each(states.pins_since as unknown as StateCase[])("$name", (example) => {
    expect(called(pins_since, example)).toBe(at(example));
  });
});

describe("contamination that nobody has dealt with", () => {
  it.each(states.contaminated_since as unknown as NotedCase[])("$name", (example) => {
    expect(contaminated_since(happeningsOf(example), Date.parse(example.now))).toBe(at(example));
  });
});

describe("state of a block", () => {
  it.each(states.cases as unknown as StateCase[])("$name", (example) => {
    expect(called(block_state, example)).toBe(example.expect);
  });

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
  words: string;
  by_variety?: object;
  words_by_variety?: object;
}

describe("history of a supplier", () => {
  it.each(suppliers.cases as unknown as SupplierCase[])(
    "$name",
    ({ blocks, expect: expected, words, by_variety, words_by_variety }) => {
      const history = supplier_history(blocks);
      expect(agrees(history, expected), JSON.stringify(history)).toBe(true);
      expect(early_words(history)).toBe(words);
      if (!by_variety) return;
      const apart = [...history_by_variety(blocks)];
      expect(agrees(Object.fromEntries(apart), by_variety)).toBe(true);
      expect(Object.fromEntries(apart.map(([name, of]) => [name, early_words(of)]))).toEqual(
        words_by_variety,
      );
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
