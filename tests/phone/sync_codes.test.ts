/** Codes and passwords on their way to the server: what is asked, and under which session. */
import { expect, test } from "vitest";
import { Http } from "../../static/src/sync/http";
import { json } from "./fake_phone";
import { phone } from "./two_people";

interface Asked {
  path: string;
  body: unknown;
  token: string | null;
}

/** A server that notes what it is asked and answers each path as told. */
function listening(answers: Record<string, Response | undefined>) {
  const asked: Asked[] = [];
  const fetch = async (path: string, init: RequestInit = {}): Promise<Response> => {
    asked.push({
      path,
      body: init.body === undefined ? undefined : JSON.parse(String(init.body)),
      token: new Headers(init.headers).get("X-CSRFToken"),
    });
    return answers[path]?.clone() ?? json(404, { code: "absent", message: "" });
  };
  return { asked, fetch: fetch as typeof globalThis.fetch };
}

test("over TLS the token is found under its __Host- name", async () => {
  const { asked, fetch } = listening({ "/api/x": new Response(null, { status: 204 }) });
  await new Http({ fetch, cookies: () => "a=b; __Host-csrftoken=abc" }).call("POST", "/api/x", {});
  expect(asked.map(({ token }) => token)).toEqual(["abc"]);
});

test("another cookie whose name ends alike is not taken for the token", async () => {
  const { asked, fetch } = listening({
    "/api/x": new Response(null, { status: 204 }),
    "/api/session": json(200, {}),
  });
  await new Http({ fetch, cookies: () => "notcsrftoken=abc" }).call("POST", "/api/x", {});
  expect(asked.at(-1)?.token).toBe("");
});

test("the password typed again goes to confirm, and with a new one to be changed", async () => {
  const { asked, fetch } = listening({
    "/api/session/confirm": new Response(null, { status: 204 }),
    "/api/session/password": new Response(null, { status: 204 }),
  });
  const sync = phone.sync({ fetch });
  await sync.retype({ password: "lamp" });
  await sync.retype({ password: "lamp", new: "lantern" });
  sync.stop();
  expect(
    asked.filter(({ path }) => path.startsWith("/api/session/")).map(({ path, body }) => [path, body]),
  ).toEqual([
    ["/api/session/confirm", { password: "lamp" }],
    ["/api/session/password", { password: "lamp", new: "lantern" }],
  ]);
});

test("a wrong password is said in the server's words, and nobody is signed out by it", async () => {
  const words = "That is not your password. Try again.";
  const { fetch } = listening({
    "/api/session/confirm": json(403, { code: "wrong_password", message: words }),
  });
  const sync = phone.sync({ fetch });
  await expect(sync.retype({ password: "x" })).rejects.toMatchObject({
    code: "wrong_password",
    message: words,
  });
  expect(sync.pass.value.trouble).not.toBe("signed out");
  sync.stop();
});

test("a code for a new password gives the address to sign in with", async () => {
  const { asked, fetch } = listening({ "/api/password": json(200, { email: "pia@example.org" }) });
  const sync = phone.sync({ fetch });
  expect(await sync.choosePassword({ code: "c", password: "lamp" })).toBe("pia@example.org");
  sync.stop();
  expect(asked[0]?.body).toEqual({ code: "c", password: "lamp" });
});
