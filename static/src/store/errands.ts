/** Requests that wait for a connection: each function is the inside of one transaction. */
import type { Id, Instant } from "../records/types";
import type { Errand } from "./api";
import type { WriteTx } from "./schema";

/** Added again after a refusal it stands as new: the server's words are forgotten. */
export async function putErrand(
  tx: WriteTx,
  { id, path, body }: Pick<Errand, "id" | "path" | "body">,
  made: Instant,
): Promise<void> {
  await tx.objectStore("errands").put({ id, path, body, made });
}

export async function dropErrand(tx: WriteTx, id: Id): Promise<void> {
  await tx.objectStore("errands").delete(id);
}

/** One that was dropped meanwhile must not come back. */
export async function refuseErrand(tx: WriteTx, errand: Errand, said: string): Promise<void> {
  if (await tx.objectStore("errands").get(errand.id))
    await tx.objectStore("errands").put({ ...errand, said });
}
