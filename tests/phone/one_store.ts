/** One person's phone with its store open, new for every test of a file that imports this. */
import { afterEach, beforeEach, vi } from "vitest";
import type { Farm } from "../../static/src/store";
import { FakePhone } from "./fake_phone";
import { FakeServer } from "./fake_server";

export let phone: FakePhone;
export let farm: Farm;

beforeEach(async () => {
  const server = new FakeServer();
  phone = new FakePhone(server, "shed", server.addPerson(server.addFarm("Nordhang"), "Ada"));
  farm = await phone.farm();
});

afterEach(() => {
  vi.restoreAllMocks();
  farm.close();
});

/** The store as a page opened anew finds it. */
export async function reopened(): Promise<Farm> {
  farm.close();
  farm = await phone.farm();
  return farm;
}
