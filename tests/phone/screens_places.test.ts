import { expect, test, vi } from "vitest";
import { moves } from "../../static/src/screens/farm/moves";
import { CELLAR } from "./farm_cast";

vi.hoisted(() => vi.stubGlobal("location", { hash: "" }));

test("blocks that are put at a place are each noted as moved there, at one time", () => {
  const at = new Date("2026-05-03T12:00:00Z");
  const made = moves([{ id: "b1" }, { id: "b2" }], CELLAR, at);
  expect(made).toHaveLength(2);
  expect(made.map((change) => "fields" in change && change.fields)).toEqual(
    ["b1", "b2"].map((block) => ({
      ...{ block, what: "moved", place: CELLAR, at: "2026-05-03T12:00:00.000Z", until: null },
      ...{ mass_before_g: null, mass_after_g: null, contamination: "", note: "" },
    })),
  );
});
