/** What lies in the farm's database by a key and in no view: half filled forms, and the server's last answers. */

import type { Instant } from "../records/types";
import type { Heard } from "./api";
import { type Database, notSaved } from "./database";

export async function keepDraft(db: Database, key: string, value: unknown): Promise<void> {
  try {
    await db.keepSlip("drafts", key, value);
  } catch (error) {
    throw notSaved(error);
  }
}

/** It can be asked for again, so a full phone does without. */
export async function keepAnswer(
  db: Database,
  question: string,
  body: unknown,
  heard: Instant,
): Promise<void> {
  const kept: Heard | undefined = body === undefined ? undefined : { heard, body };
  await db.keepSlip("answers", question, kept).catch(() => undefined);
}
