/** Who the phone belongs to: opening with no server, signing in, and the clock. */
import { describe, expect, test, vi } from "vitest";
import { type PhoneSync, Refused } from "../../static/src/sync";
import { aPick, PICK } from "./cast";
import { json, NO_SERVER } from "./fake_phone";
import { refuse } from "./fake_server";
import { ada, bo, farmOf, page, phone, rowsOf, signedIn } from "./two_people";

describe("a phone that belongs to nobody yet", () => {
  test("opens with no server, with an empty door", async () => {
    phone.fault = NO_SERVER;
    const sync = await page();
    expect(sync.door.value).toEqual({ server: null, who: null, store: null });
  });

  test("learns from the server whether there is a demo to look round", async () => {
    const sync = await page();
    await sync.tryNow();
    expect(sync.door.value.server).toEqual({ first_run: false, demo: true, version: "0.1.0" });
  });

  test("has its person's farm after signing in", async () => {
    const { who, store } = (await signedIn(ada)).door.value;
    expect([who?.person.name, who?.farm.name, who?.farm.role, store === null]).toEqual([
      "Ada",
      "Nordhang",
      "owner",
      false,
    ]);
  });

  test("tells the server its own name and id when it signs in", async () => {
    await signedIn(ada);
    const { body } = phone.calls.find(({ method }) => method === "POST")!;
    expect(body).toMatchObject({ device_name: "shed", device: expect.stringMatching(/^[0-9a-f-]{36}$/) });
  });

  test("keeps its id when it is opened again", async () => {
    await signedIn(ada);
    await signedIn(bo);
    const devices = phone.calls
      .filter(({ method }) => method === "POST")
      .map(({ body }) => (body as { device?: string }).device);
    expect(new Set(devices).size).toBe(1);
  });
});

describe("a phone that is opened again with no server", () => {
  test("shows its person's records", async () => {
    const sync = await signedIn(ada);
    await sync.door.value.store?.save([aPick()]);
    phone.fault = NO_SERVER;
    expect(rowsOf(await page())).toEqual([PICK]);
  });

  test("takes new records", async () => {
    await signedIn(ada);
    phone.fault = NO_SERVER;
    const sync = await page();
    await sync.door.value.store?.save([aPick()]);
    expect(sync.door.value.store?.rows.value.get(PICK)?.where).toBe("on this phone");
  });

  test("can be drawn before any answer", async () => {
    await signedIn(ada);
    phone.fault = () => new Promise(() => undefined);
    expect((await page()).door.value.who?.person.name).toBe("Ada");
  });

  test("says when records were last fetched", async () => {
    await signedIn(ada);
    phone.fault = NO_SERVER;
    expect((await page()).pass.value.lastDone).toMatch(/^2026-05-03T07:4/);
  });
});

describe("signing in", () => {
  test("with a wrong password is refused in the server's words", async () => {
    const sync = await page();
    await expect(sync.signIn({ email: "nobody@example.org", password: "x" })).rejects.toThrow(
      "No such address and password.",
    );
  });

  test("with no server is refused with a code of its own", async () => {
    const sync = await page();
    phone.fault = NO_SERVER;
    await expect(sync.signIn({ email: ada.email, password: "x" })).rejects.toMatchObject({
      code: "no_server",
    });
  });

  test("to one of several farms hands the choice over", async () => {
    const sync = await page();
    const farms = [{ id: ada.farm, name: "Nordhang" }];
    phone.fault = ({ method }) =>
      method === "POST" ? json(409, { ...refuse(409, "choose_farm", "Which farm?").body, farms }) : undefined;
    await expect(sync.signIn({ email: ada.email, password: "x" })).rejects.toMatchObject({
      code: "choose_farm",
      detail: { farms },
    });
  });

  test("with something left out names the field and the reason", async () => {
    const sync = await page();
    const errors = [{ field: "email", reason: "Write your address." }];
    phone.fault = ({ method }) =>
      method === "POST" ? json(422, { code: "invalid", message: "Not complete.", errors }) : undefined;
    const refusal = await sync
      .setUp({ code: "c", farm: "f", name: "n", email: "", password: "p" })
      .catch((error) => error);
    expect(refusal).toBeInstanceOf(Refused);
    expect(refusal).toMatchObject({ field: "email", message: "Write your address." });
  });
});

describe("two pages, one of which signed out where no server was in reach", () => {
  async function leftBehind(): Promise<[PhoneSync, PhoneSync]> {
    const [one, two] = [await signedIn(ada), await page()];
    await two.tryNow();
    phone.fault = NO_SERVER;
    await one.signOut();
    await one.tryNow();
    phone.fault = null;
    return [one, two];
  }

  test("leave the person in who signs in on the other", async () => {
    const [one, two] = await leftBehind();
    await two.signIn({ email: bo.email, password: "correct" });
    await one.tryNow();
    await two.tryNow();
    expect(phone.session?.person).toBe(bo.id);
  });

  test("leave the same person in who comes back on the other", async () => {
    const [one, two] = await leftBehind();
    await two.signIn({ email: ada.email, password: "correct" });
    await one.tryNow();
    expect([phone.session?.person, one.door.value.who?.person.name]).toEqual([ada.id, "Ada"]);
  });

  test("both tell the server before anything else is sent", async () => {
    const [, two] = await leftBehind();
    await two.tryNow();
    expect([phone.session, two.pass.value.trouble]).toEqual([null, "signed out"]);
  });
});

describe("the clock", () => {
  test("that is ahead is measured in minutes", async () => {
    phone.ahead = 90 * 60_000;
    expect((await signedIn(ada)).clockAheadMin.value).toBe(90);
  });

  test("that is ten years off does not go into the time of a change", async () => {
    phone.ahead = 10 * 365 * 86_400_000;
    const sync = await signedIn(ada);
    await sync.door.value.store?.save([aPick()]);
    expect(sync.door.value.store?.outbox.value[0]?.at).toMatch(/^2026-05-03T07:40:0/);
  });

  test("that is off leaves a stated time as it was stated", async () => {
    phone.ahead = 10 * 365 * 86_400_000;
    const sync = await signedIn(ada);
    await sync.door.value.store?.save([aPick(PICK, { at: "2026-04-30T18:00:00Z" })]);
    await sync.tryNow();
    expect(farmOf(ada).rows.get(PICK)?.fields).toMatchObject({ at: "2026-04-30T18:00:00Z" });
  });
});

test("a call of the farm's pages answers what the server says", async () => {
  const sync = await signedIn(ada);
  phone.fault = ({ path }) => (path === "/api/farm" ? json(200, { name: "Nordhang" }) : undefined);
  expect(await sync.ask("GET", "/api/farm")).toEqual({ name: "Nordhang" });
});

test("what waits is sent a second after a save, without anybody asking", async () => {
  const sync = await signedIn(ada);
  await sync.door.value.store?.save([aPick()]);
  expect(farmOf(ada).rows.size).toBe(0);
  await vi.waitFor(() => expect(farmOf(ada).rows.size).toBe(1), { timeout: 3000 });
});
