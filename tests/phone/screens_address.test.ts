import { afterEach, describe, expect, test, vi } from "vitest";
import { copy, send } from "../../static/src/screens/send_on";

const ADDRESS = "https://farm.example.org/#/join/abc";

afterEach(() => vi.unstubAllGlobals());

describe("an address that is sent on", () => {
  test("goes to the phone's own sheet with its name", async () => {
    const share = vi.fn(async () => undefined);
    vi.stubGlobal("navigator", { share });
    await send(ADDRESS, "Invitation to Alder Yard");
    expect(share).toHaveBeenCalledWith({ url: ADDRESS, title: "Invitation to Alder Yard" });
  });

  test("is not wrong when the sheet is closed", async () => {
    vi.stubGlobal("navigator", { share: async () => Promise.reject(new DOMException("", "AbortError")) });
    await expect(send(ADDRESS, "")).resolves.toBeUndefined();
  });

  test("says so when the phone will not send it", async () => {
    vi.stubGlobal("navigator", { share: async () => Promise.reject(new DOMException("no", "DataError")) });
    await expect(send(ADDRESS, "")).rejects.toThrow("no");
  });
});

describe("an address that is copied", () => {
  const marked = vi.fn();
  const page = (done: boolean) => {
    vi.stubGlobal("navigator", {});
    vi.stubGlobal("getSelection", () => ({ selectAllChildren: marked }));
    vi.stubGlobal("document", { execCommand: () => done });
  };

  test("lies on the clipboard", async () => {
    const writeText = vi.fn(async () => undefined);
    vi.stubGlobal("navigator", { clipboard: { writeText } });
    await copy(ADDRESS, null);
    expect(writeText).toHaveBeenCalledWith(ADDRESS);
  });

  test("is copied off the page where there is no clipboard, as without TLS", async () => {
    page(true);
    const shown = {} as Node;
    await copy(ADDRESS, shown);
    expect(marked).toHaveBeenCalledWith(shown);
  });

  test("says how to copy it where the page may not", async () => {
    page(false);
    await expect(copy(ADDRESS, null)).rejects.toThrow("Press long on the address");
  });
});
