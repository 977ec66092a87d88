/** What was just done, said aloud, with the way back. It stays until the next act or until it is put away. */
import { said, sayWrong } from "../saving";
import { Tap } from "./tap";

export function Undo() {
  const now = said.value;
  return (
    <div aria-live="polite" role="status">
      {now && (
        <div class="undo come" key={now.words}>
          <p>{now.words}</p>
          {now.undo && <Tap onTap={() => takeBack(now.undo)}>Undo</Tap>}
          <Tap onTap={putAway}>Close</Tap>
        </div>
      )}
    </div>
  );
}

function putAway(): void {
  said.value = null;
}

async function takeBack(undo: (() => Promise<void>) | null): Promise<void> {
  try {
    await undo?.();
  } catch (error) {
    sayWrong(error);
  }
}
