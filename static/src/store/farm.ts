/** One farm's records on this phone, as one person's: what the screens may do (FarmStore), then what sync may do. */
import type { Id, Instant } from "../records/types";
import type { Change, Device, Errand, FarmStore, Heard, Picture } from "./api";
import { acknowledge, type Page, park, progressOf, type Result, reset, takePage } from "./arrivals";
import { discard, operations, putOps, putPictures, resend } from "./changes";
import { confirmedOf, Database, type News, nameOf, notSaved, survey } from "./database";
import { dropErrand, putErrand, refuseErrand } from "./errands";
import * as photos from "./photos";
import { type Entry, farmBaseName, type Progress, type Witness, type WriteTx } from "./schema";
import * as slips from "./slips";
import { type Owner, putUnsent, readUnsent, writeUnsent } from "./unsent_file";
import { type Arrived, names, View } from "./view";

export interface FarmDevice extends Device {
  /** Asks the browser never to throw this origin's data away. */
  persist(): Promise<boolean>;
  fetchPicture: photos.FetchPicture;
}

export class Farm implements FarmStore {
  /** Set by sync: this phone's clock minus the server's. It corrects the time of new operations, which settles ties only. */
  aheadMs: number | null = null;
  readonly #view = new View();
  readonly #db: Database;
  readonly #pictures: photos.Pictures;
  readonly #channel: BroadcastChannel;

  readonly rows = this.#view.rows;
  readonly outbox = this.#view.outbox;
  readonly parked = this.#view.parked;
  readonly outvoted = this.#view.outvoted;
  readonly errands = this.#view.errands;
  readonly picturesWaiting = this.#view.picturesWaiting;
  readonly refusedPictures = this.#view.refusedPictures;

  private constructor(
    private readonly owner: Owner,
    private readonly device: FarmDevice,
  ) {
    const name = farmBaseName(owner.farm, owner.person);
    this.#db = new Database(name);
    this.#pictures = new photos.Pictures(this.#db, device.fetchPicture);
    this.#channel = new BroadcastChannel(name);
    this.#channel.onmessage = ({ data }: MessageEvent<News>) => {
      // What is missed here is read at the start of the next pass.
      this.#readAgain(data).catch(() => undefined);
    };
  }

  static async open(owner: Owner, device: FarmDevice): Promise<Farm> {
    const farm = new Farm(owner, device);
    try {
      await farm.#readAgain("all");
    } catch (error) {
      farm.close();
      throw notSaved(error);
    }
    farm.aheadMs = farm.progress.aheadMs;
    return farm;
  }

  close(): void {
    this.#channel.close();
    this.#db.close();
    this.#pictures.close();
  }

  async save(changes: readonly Change[], pictures: readonly Picture[] = [], draft?: string): Promise<void> {
    const drafts = operations(changes, this.rows.peek(), this.#made());
    await this.#keep(async (tx) => {
      await putOps(tx, drafts);
      await putPictures(tx, pictures, drafts);
      if (draft !== undefined) await tx.objectStore("drafts").delete(draft);
    });
    if (!this.progress.askedToKeep) void this.#askToKeep().catch(() => undefined);
  }

  async resend(op: Id, fields: Record<string, unknown> = {}): Promise<void> {
    await this.#keep((tx) => resend(tx, op, { ...this.#made(), fields }));
  }

  async discard(op: Id): Promise<void> {
    const others = this.parked.peek().filter((parked) => parked.op.id !== op);
    const waiting = this.#view.entries.map((entry) => entry.op);
    const naming = [...this.rows.peek().values(), ...others.map((parked) => parked.op), ...waiting];
    await this.#keep((tx) => discard(tx, op, new Set(naming.flatMap(names))));
  }

  async seen(row: Id): Promise<void> {
    await this.#keep((tx) => tx.objectStore("outvoted").delete(row));
  }

  async keepDraft(key: string, value: unknown): Promise<void> {
    await slips.keepDraft(this.#db, key, value);
  }

  async draft<T>(key: string): Promise<T | undefined> {
    return (await this.#db.slip("drafts", key)) as T | undefined;
  }

  async answer(question: string): Promise<Heard | undefined> {
    return (await this.#db.slip("answers", question)) as Heard | undefined;
  }

  async keepAnswer(question: string, body: unknown): Promise<void> {
    await slips.keepAnswer(this.#db, question, body, this.#now());
  }

  async addErrand(errand: Pick<Errand, "id" | "path" | "body">): Promise<void> {
    await this.#keep((tx) => putErrand(tx, errand, this.#now()));
  }

  async dropErrand(id: Id): Promise<void> {
    await this.#keep((tx) => dropErrand(tx, id));
  }

  pictureUrl(sha256: string): Promise<string | undefined> {
    return this.#pictures.url(sha256);
  }

  async exportUnsent(): Promise<Blob> {
    return await writeUnsent(this.#db, this.owner, this.#made().at);
  }

  async importUnsent(file: Blob): Promise<number> {
    const unsent = await readUnsent(file, this.owner);
    return await this.#keep((tx) => putUnsent(tx, unsent, this.progress.epoch));
  }

  // ---- for sync

  get progress(): Progress {
    return this.#view.progress;
  }

  /** Changes the server has not acknowledged, in the order they were made. */
  get unsent(): readonly Entry[] {
    return this.#view.entries.filter(({ acked }) => acked === null);
  }

  /** Another page may have read or sent meanwhile, and its word may still be on the way here. */
  async refresh(): Promise<void> {
    const seen = await this.#db.read(survey);
    const { epoch, cursor } = this.progress;
    if (seen.progress.epoch !== epoch || seen.progress.cursor !== cursor) await this.#readAgain("all");
    else this.#view.take(seen);
  }

  async acknowledge(epoch: string, results: readonly Result[], witness?: Witness): Promise<void> {
    await this.#change((tx) => acknowledge(tx, epoch, results, this.#now(), witness));
  }

  async park(entry: Entry, code: string, message: string): Promise<void> {
    await this.#change((tx) => park(tx, entry, { code, message, field: null }, this.#now()));
  }

  async takePage(page: Page): Promise<void> {
    await this.#arrive((tx) => takePage(tx, page, this.device.now(), this.aheadMs));
  }

  async reset(epoch: string): Promise<void> {
    await this.#arrive((tx) => reset(tx, epoch));
  }

  async errandRefused(errand: Errand, said: string): Promise<void> {
    await this.#change((tx) => refuseErrand(tx, errand, said));
  }

  picturesToSend(): string[] {
    return this.#view.picturesToSend();
  }

  /** The bytes to send; undefined, and set aside, when the browser has lost them. */
  async pictureBytes(sha256: string): Promise<ArrayBuffer | undefined> {
    const bytes = await this.#pictures.bytes(sha256);
    if (!bytes) await this.#change((tx) => photos.pictureLost(tx, sha256));
    return bytes;
  }

  async pictureTaken(sha256: string): Promise<void> {
    await this.#change((tx) => photos.pictureTaken(tx, sha256));
  }

  async pictureFailed(sha256: string, message: string, never: boolean): Promise<void> {
    await this.#change((tx) => photos.pictureFailed(tx, sha256, message, never));
  }

  async tryPicturesAgain(): Promise<void> {
    if (this.refusedPictures.peek().size > 0) await this.#change(photos.tryPicturesAgain);
  }

  // ---- within

  #now(): Instant {
    return this.device.now().toISOString();
  }

  #made() {
    const at = new Date(this.device.now().getTime() - (this.aheadMs ?? 0)).toISOString();
    return { at, newId: () => this.device.newId() };
  }

  /** A write of the person's own: on the disk before it counts as done, and in words when it fails. */
  async #keep<T>(work: (tx: WriteTx) => Promise<T>): Promise<T> {
    try {
      return await this.#change(work, true).catch(async (error) => {
        const full = nameOf(error) === "QuotaExceededError";
        if (!full || !(await this.#makeRoom())) throw error;
        return await this.#change(work, true);
      });
    } catch (error) {
      throw notSaved(error);
    }
  }

  async #makeRoom(): Promise<boolean> {
    return (await this.#db.write(photos.giveUpFetched)).result > 0;
  }

  async #change<T>(work: (tx: WriteTx) => Promise<T>, strict = false): Promise<T> {
    const { result, survey: seen } = await this.#db.write(work, strict);
    this.#view.take(seen);
    this.#tell([]);
    return result;
  }

  async #arrive(work: (tx: WriteTx) => Promise<Arrived>): Promise<void> {
    const { result, survey: seen } = await this.#db.write(work);
    this.#view.take(seen, result);
    this.#tell(result.all ? "all" : [...result.rows.map(({ id }) => id), ...result.gone]);
  }

  #tell(news: News): void {
    try {
      this.#channel.postMessage(news);
    } catch {
      // closed: nobody of this page listens any more
    }
  }

  async #readAgain(news: News): Promise<void> {
    const { seen, arrived } = await this.#db.read(async (tx) => ({
      seen: await survey(tx),
      arrived: await confirmedOf(tx, news),
    }));
    this.#view.take(seen, arrived);
  }

  async #askToKeep(): Promise<void> {
    await this.device.persist();
    await this.#change(async (tx) => {
      await tx.objectStore("meta").put({ ...(await progressOf(tx)), askedToKeep: true }, "progress");
    });
  }
}
