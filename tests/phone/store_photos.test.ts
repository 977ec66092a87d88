import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Farm, Picture } from "../../static/src/store";
import { aPhoto, aPicture, PHOTO } from "./cast";
import { FakePhone, onDisk, throwsAway } from "./fake_phone";
import { FakeServer } from "./fake_server";

let phone: FakePhone;
let farm: Farm;
let full: Picture;
let thumb: Picture;

beforeEach(async () => {
  const server = new FakeServer();
  phone = new FakePhone(server, "shed", server.addPerson(server.addFarm("Nordhang"), "Ada"));
  farm = await phone.farm();
  await farm.reset("e1");
  [full, thumb] = [await aPicture(1), await aPicture(2)];
});

afterEach(() => farm.close());

/** Saves the photo and lets the server acknowledge and confirm its record. */
async function recordSent(): Promise<void> {
  await farm.save([aPhoto(full, thumb)], [full, thumb]);
  const op = farm.outbox.value[0]!;
  await farm.acknowledge("e1", [
    { id: op.id, status: "applied", seq: 1, code: null, message: null, field: null, lost: [] },
  ]);
}

async function lastPage(upto: number): Promise<void> {
  await farm.takePage({ epoch: "e1", since: farm.progress.cursor, rows: [], upto, more: false });
}

async function kept(): Promise<string[]> {
  return (await onDisk(phone)).photos.map(({ sha256 }) => sha256);
}

describe("a picture", () => {
  test("is not to be sent before its record is on the server", async () => {
    await farm.save([aPhoto(full, thumb)], [full, thumb]);
    expect(farm.picturesToSend()).toEqual([]);
  });

  test("is to be sent once its record is, the thumbnail first", async () => {
    await recordSent();
    expect(farm.picturesToSend()).toEqual([thumb.sha256, full.sha256]);
  });

  test("of a deleted record is not to be sent", async () => {
    await recordSent();
    await farm.save([{ verb: "delete", kind: "photo", id: PHOTO }]);
    expect(farm.picturesToSend()).toEqual([]);
  });

  test("of a deleted record is waited for no longer, until it is brought back", async () => {
    await recordSent();
    await farm.save([{ verb: "delete", kind: "photo", id: PHOTO }]);
    const deleted = farm.picturesWaiting.value;
    await farm.save([{ verb: "restore", kind: "photo", id: PHOTO }]);
    expect([deleted, farm.picturesWaiting.value]).toEqual([0, 2]);
  });

  test("holds its record on this phone until both sizes are sent", async () => {
    await recordSent();
    await farm.pictureTaken(thumb.sha256);
    expect(farm.rows.value.get(PHOTO)?.where).toBe("on this phone");
  });

  test("lets its record be sent when both sizes are", async () => {
    await recordSent();
    await farm.pictureTaken(thumb.sha256);
    await farm.pictureTaken(full.sha256);
    expect(farm.rows.value.get(PHOTO)?.where).toBe("sent");
  });

  test("in full size stays until a checkpoint after the server took it", async () => {
    await recordSent();
    await farm.pictureTaken(full.sha256);
    expect(await kept()).toContain(full.sha256);
  });

  test("in full size is dropped at the checkpoint after the server took it", async () => {
    await recordSent();
    await farm.pictureTaken(full.sha256);
    await lastPage(2);
    expect(await kept()).not.toContain(full.sha256);
  });

  test("in full size is not dropped by a page that is not the last", async () => {
    await recordSent();
    await farm.pictureTaken(full.sha256);
    await farm.takePage({ epoch: "e1", since: 0, rows: [], upto: 2, more: true });
    expect(await kept()).toContain(full.sha256);
  });

  test("that the server did not take outlives every checkpoint", async () => {
    await recordSent();
    await lastPage(2);
    expect((await kept()).sort()).toEqual([full.sha256, thumb.sha256].sort());
  });

  test("in thumbnail size is kept after the server took it", async () => {
    await recordSent();
    await farm.pictureTaken(thumb.sha256);
    await lastPage(2);
    expect(await kept()).toContain(thumb.sha256);
  });

  test("the server fails on is tried in three passes, then set aside", async () => {
    await recordSent();
    for (const _ of [1, 2, 3]) await farm.pictureFailed(thumb.sha256, "The server failed.", false);
    expect(farm.picturesToSend()).toEqual([full.sha256]);
  });

  test("that is set aside asks for attention at its record", async () => {
    await recordSent();
    await farm.pictureFailed(thumb.sha256, "This is no picture.", true);
    expect(farm.rows.value.get(PHOTO)?.where).toBe("needs attention");
  });

  test("that is set aside is waiting again when it is tried again", async () => {
    await recordSent();
    await farm.pictureFailed(thumb.sha256, "This is no picture.", true);
    await farm.tryPicturesAgain();
    expect(farm.picturesToSend()).toEqual([thumb.sha256, full.sha256]);
  });

  test("whose bytes the browser lost is waited for no longer, and asks for attention with words", async () => {
    await recordSent();
    await throwsAway(phone, thumb.sha256);
    expect(await farm.pictureBytes(thumb.sha256)).toBeUndefined();
    expect(farm.picturesToSend()).toEqual([full.sha256]);
    expect(farm.rows.value.get(PHOTO)?.where).toBe("needs attention");
    expect(farm.refusedPictures.value.get(thumb.sha256)).toMatch(/threw this picture away/);
  });
});

describe("a picture to look at", () => {
  async function bytesAt(url: string | undefined): Promise<Uint8Array> {
    return new Uint8Array(await (await fetch(url ?? "")).arrayBuffer());
  }

  test("comes from this phone when it is here", async () => {
    await farm.save([aPhoto(full, thumb)], [full, thumb]);
    expect(await bytesAt(await farm.pictureUrl(full.sha256))).toEqual(new Uint8Array(full.bytes));
  });

  test("is fetched once, and kept", async () => {
    const theirs = await aPicture(7);
    const fetchPicture = vi.fn(async () => theirs.bytes as ArrayBuffer | undefined);
    phone.device.fetchPicture = fetchPicture;
    farm.close();
    farm = await phone.farm();
    await Promise.all([farm.pictureUrl(theirs.sha256), farm.pictureUrl(theirs.sha256)]);
    farm.close();
    farm = await phone.farm();
    expect(await bytesAt(await farm.pictureUrl(theirs.sha256))).toEqual(new Uint8Array(theirs.bytes));
    expect(fetchPicture).toHaveBeenCalledTimes(1);
  });

  test("keeps its address while hundreds of others are shown beside it", async () => {
    phone.device.fetchPicture = async () => new ArrayBuffer(1);
    farm.close();
    farm = await phone.farm();
    const revoked = vi.spyOn(URL, "revokeObjectURL");
    for (let n = 0; n < 300; n++) await farm.pictureUrl(`${n}`.padStart(64, "0"));
    expect(revoked).not.toHaveBeenCalled();
  });

  test("is asked for again later when it cannot be had now", async () => {
    const theirs = await aPicture(7);
    let inReach = false;
    phone.device.fetchPicture = async () => (inReach ? theirs.bytes : undefined);
    farm.close();
    farm = await phone.farm();
    const now = await farm.pictureUrl(theirs.sha256);
    inReach = true;
    expect([now, await farm.pictureUrl(theirs.sha256)]).toEqual([undefined, expect.stringMatching(/^blob:/)]);
  });

  test("that was fetched is never sent back", async () => {
    const theirs = await aPicture(7);
    phone.device.fetchPicture = async () => theirs.bytes;
    farm.close();
    farm = await phone.farm();
    await farm.pictureUrl(theirs.sha256);
    expect(farm.picturesWaiting.value).toBe(0);
  });
});

describe("a refused photo that is given up", () => {
  async function refused(): Promise<void> {
    await farm.save([aPhoto(full, thumb)], [full, thumb]);
    const { id } = farm.outbox.value[0]!;
    await farm.acknowledge("e1", [
      {
        id,
        status: "rejected",
        seq: null,
        code: "not_acceptable",
        message: "stage: unknown.",
        field: "stage",
        lost: [],
      },
    ]);
  }

  test("takes its pictures with it", async () => {
    await refused();
    await farm.discard(farm.parked.value[0]!.op.id);
    expect(await kept()).toEqual([]);
  });

  test("leaves a picture that another record names", async () => {
    await refused();
    await farm.save([aPhoto(full, thumb, "0196a000-0000-7000-8000-0000000000f1")], [full, thumb]);
    await farm.discard(farm.parked.value[0]!.op.id);
    expect((await kept()).sort()).toEqual([full.sha256, thumb.sha256].sort());
  });

  test("keeps its pictures while it only waits to be looked at", async () => {
    await refused();
    expect(await kept()).toHaveLength(2);
  });
});
