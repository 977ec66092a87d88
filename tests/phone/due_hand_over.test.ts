/** A file given out of the app: by the share sheet where the phone has one, else as a download. */
import { beforeEach, describe, expect, it, vi } from "vitest";
import { handOver } from "../../static/src/screens/hand_over";

const FILE = new Blob(["BEGIN:VCALENDAR"], { type: "text/calendar" });
const link = { href: "", download: "", click: vi.fn() };

function phone(share?: () => Promise<void>): void {
  const canShare = ({ files }: { files: File[] }) => files[0]?.type === "text/calendar";
  vi.stubGlobal("navigator", share ? { canShare, share } : {});
}

beforeEach(() => {
  link.click.mockReset();
  vi.stubGlobal("document", { createElement: () => link });
  vi.useFakeTimers();
});

describe("a file given out of the app", () => {
  it("goes to the share sheet, and is not downloaded beside it", async () => {
    const share = vi.fn(async () => undefined);
    phone(share);
    expect(await handOver(FILE, "dates.ics")).toBe(true);
    expect(share).toHaveBeenCalledOnce();
    expect(link.click).not.toHaveBeenCalled();
  });

  it("is neither shared nor downloaded when the sheet is closed", async () => {
    phone(async () => Promise.reject(new DOMException("", "AbortError")));
    expect(await handOver(FILE, "dates.ics")).toBe(false);
    expect(link.click).not.toHaveBeenCalled();
  });

  it("is downloaded where the sheet then refuses it", async () => {
    phone(async () => Promise.reject(new DOMException("", "NotAllowedError")));
    expect(await handOver(FILE, "dates.ics")).toBe(true);
    expect(link.click).toHaveBeenCalledOnce();
  });

  it("is downloaded under its name where there is no sheet", async () => {
    phone();
    expect(await handOver(FILE, "dates.ics")).toBe(true);
    expect([link.download, link.href.startsWith("blob:")]).toEqual(["dates.ics", true]);
  });
});
