import { describe, expect, test } from "vitest";
import { chapters } from "../../static/src/records/timeline";
import { happening, photo, pick, viewOf } from "./farm_cast";

const FLUSHES = [
  pick("k1", "2026-04-20T08:00:00Z", { flush: 1, wet_g: 300 }),
  pick("k2", "2026-04-22T08:00:00Z", { flush: 1, wet_g: 200 }),
  pick("k3", "2026-05-10T08:00:00Z", { flush: 2, wet_g: 150 }),
];

function storyOf(...rows: Parameters<typeof viewOf>) {
  return chapters(viewOf(...FLUSHES, ...rows)).map(({ flush, grams, entries }) => ({
    flush,
    grams,
    ids: entries.map(({ id }) => id),
  }));
}

describe("a block's story", () => {
  test("has one chapter for each flush, the newest first, with its grams", () => {
    expect(storyOf().map(({ flush, grams }) => [flush, grams])).toEqual([
      [2, 150],
      [1, 500],
    ]);
  });

  test("puts what was noted on the way to a flush into that flush", () => {
    const story = storyOf(happening("soak", "soaked", "2026-04-30T08:00:00Z"));
    expect(story[0]?.ids).toEqual(["k3", "soak"]);
  });

  test("keeps what came after the last pick in a chapter of its own, on top", () => {
    const story = storyOf(happening("pins", "pins_seen", "2026-05-20T08:00:00Z"));
    expect(story[0]).toEqual({ flush: null, grams: 0, ids: ["pins"] });
  });

  test("believes a photo that names its flush, whenever it was taken", () => {
    const story = storyOf(photo("f", "picked", "2026-05-12T08:00:00Z", { flush: 2 }));
    expect(story[0]?.ids).toContain("f");
  });

  test("takes a photo of a flush without picks as one of the flush to come", () => {
    const story = storyOf(photo("f", "ready", "2026-05-12T08:00:00Z", { flush: 3 }));
    expect(story[0]).toEqual({ flush: null, grams: 0, ids: ["f"] });
  });

  test("is empty for a block of which nothing was noted", () => {
    expect(chapters(viewOf())).toEqual([]);
  });
});
