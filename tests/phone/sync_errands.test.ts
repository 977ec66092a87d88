/** Requests that wait for a connection: run after the records, by pass after pass, with one effect. */
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Farm } from "../../static/src/store";
import { type PhoneSync, Refused } from "../../static/src/sync";
import { aPick, ids } from "./cast";
import { FakePhone, type Fault, json, opened, PORTAL } from "./fake_phone";
import { FakeServer } from "./fake_server";

const PATH = "/api/reports/supplier-reports";
const [FIRST, SECOND] = ids(2) as [string, string];

let phone: FakePhone;
let sync: PhoneSync;
let farm: Farm;

beforeEach(async () => {
  const server = new FakeServer();
  phone = new FakePhone(server, "shed", server.addPerson(server.addFarm("Nordhang"), "Ada"));
  ({ sync, farm } = await opened(phone));
  phone.calls.length = 0;
});

afterEach(() => sync.stop());

const errand = (id = FIRST) => ({ id, path: PATH, body: { id } });
const posted = () =>
  phone.calls.filter(({ path }) => path === PATH).map(({ body }) => (body as { id: string }).id);
const waiting = () => farm.errands.value.map(({ id }) => id);

/** The server's answer to an errand; everything else goes its usual way. */
function answers(reply: (id: string) => Response | Promise<Response>): void {
  phone.fault = ({ path, body }) => (path === PATH ? reply((body as { id: string }).id) : undefined);
}

describe("an errand", () => {
  test("is gone once the server has answered with its id", async () => {
    answers((id) => json(201, { id }));
    await farm.addErrand(errand());
    await sync.tryNow();
    expect([posted(), waiting()]).toEqual([[FIRST], []]);
  });

  test("is posted after the records it speaks of", async () => {
    answers((id) => json(201, { id }));
    await farm.addErrand(errand());
    await farm.save([aPick()]);
    await sync.tryNow();
    const order = phone.calls.filter(({ method }) => method === "POST").map(({ path }) => path);
    expect(order).toEqual(["/api/sync/push", PATH]);
  });

  test("waits while a record is held up", async () => {
    answers((id) => json(201, { id }));
    const busy = { status: "retry", code: "busy" };
    const run = phone.fault as Fault;
    phone.fault = (wanted, through) => {
      if (wanted.path !== "/api/sync/push") return run(wanted, through);
      const { epoch, ops } = wanted.body as { epoch: string; ops: { id: string }[] };
      const results = [{ id: ops[0]?.id, ...busy }];
      return json(200, { epoch, server_time: new Date(phone.server.time).toISOString(), results });
    };
    await farm.save([aPick()]);
    await farm.addErrand(errand());
    await sync.tryNow();
    expect([posted(), waiting()]).toEqual([[], [FIRST]]);
  });

  test("whose answer was lost is posted again under the same id", async () => {
    phone.fault = ({ path }) => {
      if (path === PATH) throw new TypeError("Failed to fetch");
      return undefined;
    };
    await farm.addErrand(errand());
    await sync.tryNow();
    answers((id) => json(200, { id }));
    await sync.tryNow();
    expect([posted(), waiting()]).toEqual([[FIRST, FIRST], []]);
  });

  test.each([403, 404, 409, 413, 422])(
    "that the server refuses with %i is kept with its words",
    async (status) => {
      answers(() => json(status, { code: "absent", message: "No such photo." }));
      await farm.addErrand(errand());
      await sync.tryNow();
      expect(farm.errands.value).toMatchObject([{ id: FIRST, said: "No such photo." }]);
    },
  );

  test("that was refused is not posted again by itself", async () => {
    answers(() => json(422, { code: "invalid", message: "No such photo." }));
    await farm.addErrand(errand());
    await sync.tryNow();
    await sync.tryNow();
    expect(posted()).toEqual([FIRST]);
  });

  test.each([401, 408, 429, 500, 503])("stays as it is when the server answers %i", async (status) => {
    answers(() => json(status, { code: "later", message: "Later." }));
    await farm.addErrand(errand());
    await sync.tryNow();
    expect(farm.errands.value.map(({ id, said }) => [id, said])).toEqual([[FIRST, undefined]]);
  });

  test.each([
    ["a portal's page", PORTAL],
    ["a friendly answer that names nothing", () => json(200, { welcome: true })],
  ])("is not taken as done by %s", async (_, reply) => {
    answers(reply);
    await farm.addErrand(errand());
    await sync.tryNow();
    expect(waiting()).toEqual([FIRST]);
  });

  test("that the server fails on does not hold up the next one", async () => {
    answers((id) => (id === FIRST ? json(500, {}) : json(201, { id })));
    await farm.addErrand(errand());
    await farm.addErrand(errand(SECOND));
    await sync.tryNow();
    expect([waiting(), sync.pass.value.trouble]).toEqual([[FIRST], "server is ill"]);
  });

  test("counts among what is unsent at sign-out", async () => {
    await farm.addErrand(errand());
    await expect(sync.signOut()).rejects.toMatchObject({ code: "unsent", detail: 1 });
  });
});

describe("a file", () => {
  const file =
    (type: string, sent = 'attachment; filename="report.pdf"') =>
    () =>
      new Response("%PDF", { status: 200, headers: { "Content-Type": type, "Content-Disposition": sent } });

  test("comes with the server's name for it", async () => {
    phone.fault = file("application/pdf");
    const { name, blob } = await sync.fetchFile("/api/x/report.pdf");
    expect([name, await blob.text()]).toEqual(["report.pdf", "%PDF"]);
  });

  test.each([
    ["a portal's page", "/api/x/report.pdf", PORTAL],
    ["a portal's page where a page is wanted", "/api/x/report.html", PORTAL],
    ["another type than the address says", "/api/x/report.pdf", file("application/zip")],
    ["JSON where a PDF is wanted", "/api/x/jar-labels", () => json(200, {})],
    ["what is not sent as a file", "/api/x/report.pdf", file("application/pdf", "inline")],
  ])("is not %s", async (_, path, fault) => {
    phone.fault = fault as Fault;
    await expect(sync.fetchFile(path)).rejects.toMatchObject({ code: "no_server" });
  });

  test("may be asked for with a body", async () => {
    phone.fault = file("application/pdf");
    await sync.fetchFile("/api/reports/jar-labels", { jars: [] });
    expect(phone.calls[0]).toMatchObject({ method: "POST", body: { jars: [] } });
  });

  test("that the server refuses brings its words", async () => {
    phone.fault = () => json(404, { code: "absent", message: "There is no such report." });
    const asked = sync.fetchFile("/api/x/report.pdf");
    await expect(asked).rejects.toBeInstanceOf(Refused);
    await expect(asked).rejects.toMatchObject({ message: "There is no such report." });
  });
});
