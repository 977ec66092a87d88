/** The password once more, right at the act that wants it; then the act goes on by itself. */
import { signal } from "@preact/signals";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import { Refused, sync } from "../../sync";
import { Text, Wrong } from "./field";
import { Form, Tap } from "./tap";
import { useDoor } from "./use_door";

const waiting = signal<((typed: boolean) => void) | null>(null);

/** Does the act. Where the server wants the password first, asks for it and does the act again. */
export async function confirmed<T>(act: () => Promise<T>): Promise<T> {
  try {
    return await act();
  } catch (error) {
    if (!(error instanceof Refused) || error.code !== "confirm") throw error;
    if (!(await typed())) throw new Refused("left", "Not done: it needs your password.");
    return await act();
  }
}

function typed(): Promise<boolean> {
  waiting.peek()?.(false);
  return new Promise((answer) => {
    waiting.value = (done) => {
      waiting.value = null;
      answer(done);
    };
  });
}

/** Once on every screen that uses `confirmed`. */
export function AskAgain() {
  const wanted = waiting.value !== null;
  // Whoever leaves the screen has not typed it.
  useEffect(() => () => waiting.peek()?.(false), []);
  return wanted ? <Asked /> : null;
}

function Asked() {
  const [password, setPassword] = useState("");
  const { wrong, busy, run } = useDoor();
  const sheet = useRef<HTMLDialogElement>(null);
  const title = useId();
  useEffect(() => sheet.current?.showModal(), []);
  const leave = () => waiting.peek()?.(false);
  const go = () =>
    run(async () => {
      await sync.retype({ password });
      waiting.peek()?.(true);
    });
  return (
    <dialog ref={sheet} class="sheet" aria-labelledby={title} onCancel={leave}>
      <Form onSave={go} save={busy ? "Wait …" : "Go on"} below={<Tap onTap={leave}>Not now</Tap>}>
        <h2 id={title}>Is it you?</h2>
        <p>This needs your password again. It counts for ten minutes on this phone.</p>
        <Text
          name="Password"
          type="password"
          fill="current-password"
          value={password}
          wrong={wrong.password}
          onText={setPassword}
        />
        {wrong.all && <Wrong>{wrong.all}</Wrong>}
      </Form>
    </dialog>
  );
}
