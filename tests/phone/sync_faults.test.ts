/** Networks and servers that answer wrongly: nothing counts as an acknowledgement that is none. */
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Farm } from "../../static/src/store";
import type { PhoneSync } from "../../static/src/sync";
import { aPick, aSupplier, ids, PICK } from "./cast";
import { FakePhone, type Fault, json, NO_SERVER, onDisk, PORTAL } from "./fake_phone";
import { FakeServer } from "./fake_server";

let server: FakeServer;
let phone: FakePhone;
let sync: PhoneSync;
let farm: Farm;

beforeEach(async () => {
  server = new FakeServer();
  phone = new FakePhone(server, "shed", server.addPerson(server.addFarm("Nordhang"), "Ada")).signedIn();
  sync = phone.sync();
  await sync.start();
  await sync.tryNow();
  farm = sync.door.value.store as Farm;
  await farm.save([aPick(), aSupplier(ids(1)[0]!)]);
});

afterEach(() => sync.stop());

const theFarm = () => server.farms.get(phone.person.farm)!;

/** The server does its work, but what comes back of a push is `change`d. */
function answering(change: (body: Record<string, unknown>) => unknown): Fault {
  return ({ path }, through) => {
    if (path !== "/api/sync/push") return undefined;
    const answer = through();
    return answer.json().then((body) => json(200, change(body as Record<string, unknown>)));
  };
}

const WRONG: [string, Fault][] = [
  ["a captive portal's page", ({ path }) => (path.startsWith("/api/sync") ? PORTAL() : undefined)],
  ["a captive portal's page for everything", () => PORTAL()],
  ["a portal's JSON", () => json(200, { welcome: true })],
  [
    "an answer under another epoch",
    answering((body) => ({ ...body, epoch: "00000000-0000-7000-8000-00000000eeee" })),
  ],
  ["an answer without an epoch", answering(({ epoch: _, ...body }) => body)],
  [
    "answers to other changes",
    answering((body) => ({
      ...body,
      results: (body["results"] as object[]).map((result) => ({ ...result, id: PICK })),
    })),
  ],
  [
    "answers in another order",
    answering((body) => ({ ...body, results: [...(body["results"] as object[])].reverse() })),
  ],
  ["no answers", answering((body) => ({ ...body, results: [] }))],
  [
    "more answers than changes",
    answering((body) => ({
      ...body,
      results: [...(body["results"] as object[]), ...(body["results"] as object[])],
    })),
  ],
  [
    "a status that does not exist",
    answering((body) => ({
      ...body,
      results: (body["results"] as object[]).map((result) => ({ ...result, status: "fine" })),
    })),
  ],
  [
    "a number that is no number",
    answering((body) => ({
      ...body,
      results: (body["results"] as object[]).map((result) => ({ ...result, seq: "1" })),
    })),
  ],
  [
    "JSON cut in the middle",
    ({ path }) =>
      path === "/api/sync/push"
        ? new Response('{"epoch":"', { headers: { "Content-Type": "application/json" } })
        : undefined,
  ],
  [
    "good JSON under another type",
    ({ path }, through) =>
      path === "/api/sync/push"
        ? through()
            .text()
            .then((text) => new Response(text, { headers: { "Content-Type": "text/html" } }))
        : undefined,
  ],
  ["no network", NO_SERVER],
  ["a failing server", () => json(500, { code: "failed", message: "The server failed." })],
  [
    "a proxy with nothing behind it",
    () => new Response("<h1>502</h1>", { status: 502, headers: { "Content-Type": "text/html" } }),
  ],
];

describe.each(WRONG)("after %s", (_, fault) => {
  test("every change is still in the outbox, unacknowledged", async () => {
    phone.fault = fault;
    await sync.tryNow();
    expect((await onDisk(phone)).outbox.map(({ acked }) => acked)).toEqual([null, null]);
  });

  test("the phone says that something is wrong", async () => {
    phone.fault = fault;
    await sync.tryNow();
    expect(sync.pass.value).toMatchObject({
      now: "resting",
      trouble: expect.stringMatching(/no server|server is ill/),
    });
  });

  test("all arrives once when it is over", async () => {
    phone.fault = fault;
    await sync.tryNow();
    phone.fault = null;
    await sync.tryNow();
    expect([theFarm().rows.size, theFarm().applied.length, farm.outbox.value.length]).toEqual([2, 2, 0]);
  });
});

describe("a page of rows", () => {
  const pulling = (change: (body: Record<string, unknown>) => unknown): Fault => {
    return ({ path }, through) =>
      path === "/api/sync/pull"
        ? through()
            .json()
            .then((body) => json(200, change(body as Record<string, unknown>)))
        : undefined;
  };

  test.each<[string, Fault]>([
    ["whose outvoted values say nothing", pulling((body) => ({ ...body, outvoted: [{}] }))],
    ["whose cursor falls", pulling((body) => ({ ...body, upto: -1 }))],
    ["of another epoch", pulling((body) => ({ ...body, epoch: "00000000-0000-7000-8000-00000000eeee" }))],
    ["that promises more and does not move", pulling((body) => ({ ...body, rows: [], upto: 0, more: true }))],
    [
      "with a row without an id",
      pulling((body) => ({
        ...body,
        rows: [{ kind: "pick", seq: 1, deleted: false, author: null, fields: {} }],
      })),
    ],
  ])("%s is not taken", async (_, fault) => {
    phone.fault = fault;
    await sync.tryNow();
    expect([farm.progress.cursor, sync.pass.value.trouble]).toEqual([0, "server is ill"]);
  });

  test("with keys of a later release is taken as it is", async () => {
    phone.fault = pulling((body) => ({
      ...body,
      weather: "fog",
      rows: (body["rows"] as object[]).map((row) => ({ ...row, colour: "blue" })),
    }));
    await sync.tryNow();
    expect(farm.rows.value.get(PICK)?.where).toBe("sent");
  });
});

describe("a sign-in that has ended", () => {
  beforeEach(async () => {
    phone.session = null;
    await sync.tryNow();
  });

  test("is told apart from a missing server", () => {
    expect(sync.pass.value.trouble).toBe("signed out");
  });

  test("keeps the farm open, and its records", () => {
    expect([sync.door.value.who?.person.name, farm.outbox.value.length]).toEqual(["Ada", 2]);
  });

  test("lets recording go on", async () => {
    await farm.save([aSupplier(ids(1, 5)[0]!)]);
    expect(farm.outbox.value).toHaveLength(3);
  });

  test("is mended by signing in, and everything is sent", async () => {
    await sync.signIn({ email: phone.person.email, password: "correct" });
    await sync.tryNow();
    expect([theFarm().rows.size, sync.pass.value.trouble]).toEqual([2, null]);
  });
});

test.each([401, 403])("a %i in the middle of a pass keeps the outbox", async (status) => {
  phone.fault = ({ path }) =>
    path === "/api/sync/push" ? json(status, { code: "signed_out", message: "Sign in again." }) : undefined;
  await sync.tryNow();
  expect([sync.pass.value.trouble, farm.outbox.value.length]).toEqual(["signed out", 2]);
});

describe("an answer that says nothing of what was sent", () => {
  const says = (status: number, code: string): Fault => {
    return ({ path }) =>
      path === "/api/sync/push" ? json(status, { code, message: "In words." }) : undefined;
  };

  test.each<[number, string, string]>([
    [400, "cut_off", "server is ill"],
    [408, "timeout", "no server"],
    [429, "slow_down", "server is ill"],
    [503, "busy", "server is ill"],
    [507, "full", "server is ill"],
  ])("%i %s sets no change aside, however often it comes", async (status, code, trouble) => {
    phone.fault = says(status, code);
    for (let pass = 0; pass < 4; pass++) await sync.tryNow();
    expect([farm.parked.value, farm.outbox.value.length]).toEqual([[], 2]);
    expect(sync.pass.value.trouble).toBe(trouble);
    phone.fault = null;
    await sync.tryNow();
    expect([theFarm().applied.length, farm.outbox.value.length]).toEqual([2, 0]);
  });

  test("is told in the server's words where it has some", async () => {
    phone.fault = says(507, "full");
    await sync.tryNow();
    expect(sync.pass.value).toMatchObject({ detail: "In words." });
  });
});

test("a worn-out security token is fetched again, and the call repeated once", async () => {
  let refusals = 1;
  phone.fault = ({ path }) =>
    path === "/api/sync/push" && refusals-- > 0
      ? json(403, { code: "csrf", message: "Token missing." })
      : undefined;
  await sync.tryNow();
  expect(theFarm().rows.size).toBe(2);
});

test("unsafe calls carry the security token, safe ones need none", async () => {
  const tokens: [string, string | null][] = [];
  const line = phone.sync();
  line.stop();
  const spy = phone.sync({
    fetch: async (path: string, init: RequestInit) => {
      tokens.push([init.method ?? "", new Headers(init.headers).get("X-CSRFToken")]);
      return json(path.startsWith("/api") ? 200 : 404, {});
    },
  });
  await spy.ask("POST", "/api/farm/invitations", { role: "picker" });
  await spy.ask("GET", "/api/farm");
  expect(tokens).toEqual([
    ["POST", "abc"],
    ["GET", null],
  ]);
});
