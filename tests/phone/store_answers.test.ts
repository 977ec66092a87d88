/** What the server last said, kept for when it cannot be asked, and the requests that wait for it. */
import { expect, test } from "vitest";
import { ids } from "./cast";
import { farm, phone, reopened } from "./one_store";

const [FIRST, SECOND] = ids(2) as [string, string];
const errand = (id = FIRST) => ({ id, path: "/api/reports/supplier-reports", body: { id, photos: [] } });

test("an answer is there after the page was opened anew, with the time it was heard", async () => {
  await farm.keepAnswer("comparison", { suppliers: [] });
  const kept = await (await reopened()).answer("comparison");
  expect(kept?.body).toEqual({ suppliers: [] });
  expect(Math.abs(Date.parse(kept?.heard ?? "") - phone.server.time)).toBeLessThan(1000);
});

test("a question that was never answered has no answer", async () => {
  expect(await farm.answer("season")).toBeUndefined();
});

test("a later answer stands in place of the earlier", async () => {
  await farm.keepAnswer("season", 1);
  await farm.keepAnswer("season", 2);
  expect((await farm.answer("season"))?.body).toBe(2);
});

test("an answer can be forgotten", async () => {
  await farm.keepAnswer("season", 1);
  await farm.keepAnswer("season", undefined);
  expect(await farm.answer("season")).toBeUndefined();
});

test("an answer that comes after the sign-out is let go in silence", async () => {
  farm.close();
  await expect(farm.keepAnswer("season", 1)).resolves.toBeUndefined();
});

test("errands wait in the order they were made, also after the page was opened anew", async () => {
  await farm.addErrand(errand());
  await farm.addErrand(errand(SECOND));
  expect((await reopened()).errands.value.map(({ id }) => id)).toEqual([FIRST, SECOND]);
});

test("a dropped errand is gone", async () => {
  await farm.addErrand(errand());
  await farm.dropErrand(FIRST);
  expect((await reopened()).errands.value).toEqual([]);
});

test("a refused errand keeps the server's words", async () => {
  await farm.addErrand(errand());
  await farm.errandRefused(farm.errands.value[0]!, "No such photo.");
  expect((await reopened()).errands.value[0]?.said).toBe("No such photo.");
});

test("a refused errand that is added again waits once more", async () => {
  await farm.addErrand(errand());
  await farm.errandRefused(farm.errands.value[0]!, "No such photo.");
  await farm.addErrand(errand());
  expect(farm.errands.value).toMatchObject([errand()]);
  expect(farm.errands.value[0]?.said).toBeUndefined();
});

test("an errand that was dropped while the server refused it does not come back", async () => {
  await farm.addErrand(errand());
  const refused = farm.errands.value[0]!;
  await farm.dropErrand(FIRST);
  await farm.errandRefused(refused, "No such photo.");
  expect(farm.errands.value).toEqual([]);
});

test("the unsent file leaves errands out", async () => {
  await farm.addErrand(errand());
  expect(await (await farm.exportUnsent()).text()).not.toContain("supplier-reports");
});
