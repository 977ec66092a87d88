/** The door for whoever comes with a code: another phone of one's own, or a new password. */
import { useState } from "preact/hooks";
import { Refused, sync } from "../sync";
import { Text, Wrong } from "./parts/field";
import { SignIn } from "./parts/sign_in";
import { Form } from "./parts/tap";
import { useDoor } from "./parts/use_door";
import { replaceWith } from "./route";

export function NotNow() {
  return (
    <a class="tap plain" href="#/today">
      Not now
    </a>
  );
}

/** Never without a tap: an address that somebody sends must not sign a phone in by being opened. */
export function Pair({ code }: { code: string }) {
  const { wrong, busy, run } = useDoor();
  const pair = () =>
    run(async () => {
      await sync.pair(code);
      replaceWith("#/today");
    });
  return (
    <Form onSave={pair} save={busy ? "Wait …" : "Sign this phone in"} below={<NotNow />}>
      <h2>Another phone of yours</h2>
      <p>
        This phone will be signed in as the person whose phone showed the code. Go on only if that is you.
      </p>
      {(wrong.all ?? wrong.code) && <Wrong>{wrong.all ?? wrong.code}</Wrong>}
    </Form>
  );
}

export function ChoosePassword({ code }: { code: string }) {
  const [password, setPassword] = useState("");
  const [email, setEmail] = useState("");
  const { wrong, busy, run } = useDoor();
  const choose = () =>
    run(async () => {
      const chosen = await sync.choosePassword({ code, password });
      try {
        await sync.signIn({ email: chosen, password });
        replaceWith("#/today");
      } catch (error) {
        if (!(error instanceof Refused)) throw error;
        setEmail(chosen); // several farms, say: the password stands, and signing in asks which
      }
    });
  if (email) {
    return (
      <>
        <p role="status">Your new password counts from now on. Sign in with it.</p>
        <SignIn email={email} />
      </>
    );
  }
  return (
    <Form onSave={choose} save={busy ? "Wait …" : "Choose this password"} below={<NotNow />}>
      <h2>A new password</h2>
      <p>All your phones are signed out by it. What they have not sent stays on them.</p>
      <Text
        name="New password"
        type="password"
        fill="new-password"
        hint="A few words in a row are hard to guess."
        value={password}
        wrong={wrong.password}
        onText={setPassword}
      />
      {(wrong.all ?? wrong.code) && <Wrong>{wrong.all ?? wrong.code}</Wrong>}
    </Form>
  );
}
