import { describe, expect, test } from "vitest";
import {
  inUnit,
  type Key,
  press,
  readings,
  readTyped,
  type Typed,
  typedFrom,
  typedText,
} from "../../static/src/records/typed";

function keys(unit: Typed["unit"], ...pressed: Key[]): Typed {
  return pressed.reduce(press, { digits: "", unit });
}

describe("the number pad", () => {
  test("keeps what was typed with its unit", () => {
    expect(typedText(keys("kg", "1", "2", ",", "5"))).toBe("12,5 kg");
  });

  test("takes the same digit twice in a row", () => {
    expect(typedText(keys("g", "1", "1", "0", "0"))).toBe("1100 g");
  });

  test("types pounds and then ounces", () => {
    const typed = keys("lb", "1", "lb", "3", ".", "5");
    expect(typedText(typed)).toBe("1 lb 3.5 oz");
    expect(readTyped(typed)).toMatchObject({ grams: 552.816 });
  });

  test("takes pounds alone", () => {
    expect(typedText(keys("lb", "2", "lb"))).toBe("2 lb");
  });

  test("rubs out the pounds' mark in one step", () => {
    expect(keys("lb", "2", "lb", "rub").digits).toBe("2");
  });

  test("replaces a leading zero, but not before a decimal mark", () => {
    expect([keys("g", "0", "5").digits, keys("kg", "0", ".", "5").digits]).toEqual(["5", "0.5"]);
    expect(keys("kg", ".", "5").digits).toBe("0.5");
  });

  test("takes no thirteenth character", () => {
    const long = keys("g", ..."1234567890123".split("").map((digit) => digit as Key));
    expect(long.digits).toBe("123456789012");
  });
});

describe("another unit", () => {
  test("keeps the digits", () => {
    expect(inUnit(keys("g", "3", "4", "0"), "oz")).toEqual({ digits: "340", unit: "oz" });
  });

  test("drops pounds and ounces, which mean nothing in it", () => {
    expect(inUnit(keys("lb", "1", "lb", "3"), "g")).toEqual({ digits: "", unit: "g" });
  });
});

describe("1,250", () => {
  const typed = keys("g", "1", ",", "2", "5", "0");

  test("is not read, but asked back", () => {
    expect(readTyped(typed)).toMatchObject({ code: "ambiguous" });
  });

  test("offers both of its readings, each of which is read", () => {
    const both = readings(typed)?.map((reading) => readTyped(reading));
    expect(both).toMatchObject([{ grams: 1.25 }, { grams: 1250 }]);
  });
});

describe("a pick to correct", () => {
  test.each(["340 g", "12,5 kg", "1 lb 3.5 oz", "2 lb"])("is typed again as it was: %s", (text) => {
    expect(typedText(typedFrom(text, 1))).toBe(text);
  });

  test("is shown in grams when nobody knows how it was typed", () => {
    expect(typedText(typedFrom("", 118.4))).toBe("118.4 g");
  });
});
