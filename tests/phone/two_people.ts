/** Two people of one farm and one phone that they share, new for every test of a file that imports this. */
import { afterEach, beforeEach } from "vitest";
import type { PhoneSync } from "../../static/src/sync";
import { FakePhone } from "./fake_phone";
import { FakeServer, type Person } from "./fake_server";

export let server: FakeServer;
export let ada: Person;
export let bo: Person;
export let phone: FakePhone;
const open: PhoneSync[] = [];

beforeEach(() => {
  server = new FakeServer();
  const farm = server.addFarm("Nordhang");
  ada = server.addPerson(farm, "Ada");
  bo = server.addPerson(farm, "Bo", "picker");
  phone = new FakePhone(server, "shed", ada);
});

afterEach(() => {
  for (const sync of open.splice(0)) sync.stop();
});

export async function page(): Promise<PhoneSync> {
  const sync = phone.sync();
  open.push(sync);
  await sync.start();
  return sync;
}

/** A page whose person has signed in, with everything sent that there was. */
export async function signedIn(who: Person): Promise<PhoneSync> {
  const sync = await page();
  await sync.signIn({ email: who.email, password: "correct" });
  await sync.tryNow();
  return sync;
}

export const rowsOf = (sync: PhoneSync) => [...(sync.door.value.store?.rows.value.keys() ?? [])];
export const farmOf = (person: Person) => server.farms.get(person.farm)!;
