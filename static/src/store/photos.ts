/** The bytes of pictures on this phone, and addresses the page can show them under. */
import type { Database } from "./database";
import type { Mark, WriteTx } from "./schema";

export type FetchPicture = (sha256: string) => Promise<ArrayBuffer | undefined>;

// More than any page shows at once: one that is given back while it is shown leaves a hole there.
const MOST_URLS = 1000;
const MOST_TRIES = 3;

export class Pictures {
  /** oldest first, so that the first is the one to give back */
  #urls = new Map<string, Promise<string | undefined>>();

  constructor(
    private readonly db: Database,
    private readonly fetchPicture: FetchPicture,
  ) {}

  url(sha256: string): Promise<string | undefined> {
    const known = this.#urls.get(sha256);
    if (known !== undefined) return known;
    const url = this.#make(sha256);
    this.#urls.set(sha256, url);
    void url.then((made) => made ?? this.#urls.delete(sha256));
    if (this.#urls.size > MOST_URLS) this.#giveBack(this.#urls.keys().next().value as string);
    return url;
  }

  async bytes(sha256: string): Promise<ArrayBuffer | undefined> {
    return await this.db.read(async (tx) => (await tx.objectStore("photos").get(sha256))?.bytes);
  }

  close(): void {
    for (const sha256 of [...this.#urls.keys()]) this.#giveBack(sha256);
  }

  async #make(sha256: string): Promise<string | undefined> {
    try {
      const bytes = (await this.bytes(sha256)) ?? (await this.#fetch(sha256));
      return bytes && URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" }));
    } catch {
      return undefined; // a picture that cannot be shown now is asked for again later
    }
  }

  async #fetch(sha256: string): Promise<ArrayBuffer | undefined> {
    const bytes = await this.fetchPicture(sha256);
    if (!bytes) return undefined;
    // A phone without room for a copy shows the picture all the same.
    await this.db.write((tx) => putFetched(tx, sha256, bytes)).catch(() => undefined);
    return bytes;
  }

  #giveBack(sha256: string): void {
    void this.#urls.get(sha256)?.then((url) => url && URL.revokeObjectURL(url));
    this.#urls.delete(sha256);
  }
}

async function putFetched(tx: WriteTx, sha256: string, bytes: ArrayBuffer): Promise<void> {
  if (await tx.objectStore("marks").get(sha256)) return;
  await tx.objectStore("photos").put({ sha256, bytes });
  await tx.objectStore("marks").put({ sha256, state: "fetched", thumb: false, tries: 0, message: "" });
}

/** Pictures the server has are given up before a record of this phone is refused for lack of room. */
export async function giveUpFetched(tx: WriteTx): Promise<number> {
  const fetched = await tx.objectStore("marks").index("state").getAllKeys("fetched");
  for (const sha256 of fetched) {
    await tx.objectStore("photos").delete(sha256);
    await tx.objectStore("marks").delete(sha256);
  }
  return fetched.length;
}

/** The server has the picture: a thumbnail stays here, a full one goes at the next checkpoint. */
export async function pictureTaken(tx: WriteTx, sha256: string): Promise<void> {
  await remark(tx, sha256, ({ thumb }) => ({ state: thumb ? "kept" : "sent", tries: 0 }));
}

const LOST =
  "The browser threw this picture away before it was sent. Take it again if you can, and delete this photo.";

/** The bytes are not on this phone any more: there is nothing left to send, which must not pass for sent. */
export async function pictureLost(tx: WriteTx, sha256: string): Promise<void> {
  await remark(tx, sha256, () => ({ state: "refused", message: LOST }));
}

/** A picture the server could not take; set aside at once when it never will, else after three passes. */
export async function pictureFailed(
  tx: WriteTx,
  sha256: string,
  message: string,
  never: boolean,
): Promise<void> {
  await remark(tx, sha256, (mark) => {
    const tries = mark.tries + 1;
    return { state: never || tries >= MOST_TRIES ? "refused" : "waiting", tries, message };
  });
}

export async function tryPicturesAgain(tx: WriteTx): Promise<void> {
  for (const mark of await tx.objectStore("marks").index("state").getAll("refused")) {
    await tx.objectStore("marks").put({ ...mark, state: "waiting", tries: 0, message: "" });
  }
}

async function remark(tx: WriteTx, sha256: string, change: (mark: Mark) => Partial<Mark>): Promise<void> {
  const mark = await tx.objectStore("marks").get(sha256);
  if (mark) await tx.objectStore("marks").put({ ...mark, ...change(mark) });
}
