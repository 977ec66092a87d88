/**
 * What was just done, said aloud, with the way back. It stays until the next act or until it is put away.
 *
 * Above a number pad it is one line where the figure will stand, so that no key is covered; the first key puts it away.
 */
import { said, sayWrong } from "../saving";
import { Tap } from "./tap";

export function Undo() {
  const now = said.value;
  return (
    <div aria-live="polite" role="status">
      {now && (
        <div class={now.wrong ? "undo wrongly come" : "undo come"} key={now.words}>
          <p>{now.words}</p>
          {now.undo && <Tap onTap={() => takeBack(now.undo)}>Undo</Tap>}
          <Tap onTap={putAway}>Close</Tap>
        </div>
      )}
    </div>
  );
}

/** The line above a pad on which nothing is typed yet. What went wrong keeps its place below, where there is room to read it. */
export function UndoLine() {
  const now = said.value;
  if (!now || now.wrong) return null;
  return (
    <div class="undo come">
      <p>{now.words}</p>
      {now.undo && <Tap onTap={() => takeBack(now.undo)}>Undo</Tap>}
    </div>
  );
}

export function putAway(): void {
  said.value = null;
}

async function takeBack(undo: (() => Promise<void>) | null): Promise<void> {
  try {
    await undo?.();
  } catch (error) {
    sayWrong(error);
  }
}
