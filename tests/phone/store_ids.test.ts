import { describe, expect, test } from "vitest";
import { newId, uuid7 } from "../../static/src/store/ids";

const CHANCE = new Uint8Array(16).fill(0xff);

describe("an id made on the phone", () => {
  test("is the example of RFC 9562, appendix A.6, from that example's time and chance", () => {
    // 017F22E2-79B0-7CC3-98C4-DC0C0C07398F, made 2022-02-22 14:22:22 -05:00
    const chance = Uint8Array.from([
      0, 0, 0, 0, 0, 0, 0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f,
    ]);
    expect(uuid7(new Date("2022-02-22T19:22:22Z"), chance)).toBe("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  });

  test("sorts after one that was made earlier", () => {
    const [early, late] = ["2026-05-03T07:40:00.000Z", "2026-05-03T07:40:00.001Z"].map((at) =>
      uuid7(new Date(at), CHANCE),
    );
    expect([late, early].sort()).toEqual([early, late]);
  });

  test("says its version and variant whatever the chance", () => {
    expect(uuid7(new Date(0), CHANCE)).toMatch(/^00000000-0000-7fff-bfff-ffffffffffff$/);
  });

  test("is well formed on a clock before 1970", () => {
    expect(uuid7(new Date(-1), CHANCE)).toMatch(/^00000000-0000-7/);
  });

  test("differs from the next", () => {
    expect(newId()).not.toBe(newId());
  });
});
