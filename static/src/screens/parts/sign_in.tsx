/** Signing in, at the door and when a sign-in has ended. */
import { useState } from "preact/hooks";
import { Refused, sync } from "../../sync";
import { Choice, Text, Wrong } from "./field";
import { Form } from "./tap";
import { useDoor } from "./use_door";

interface Farm {
  id: string;
  name: string;
}

export function SignIn({ email: known = "" }: { email?: string }) {
  const [email, setEmail] = useState(known);
  const [password, setPassword] = useState("");
  const [farms, setFarms] = useState<readonly Farm[]>([]);
  const [farm, setFarm] = useState("");
  const { wrong, busy, run } = useDoor();
  const enter = () =>
    run(async () => {
      if (!email.trim()) throw new Refused("empty", "Write your e-mail address.", "email");
      if (!password) throw new Refused("empty", "Write your password.", "password");
      try {
        await sync.signIn({ email, password, ...(farm ? { farm } : {}) });
      } catch (error) {
        if (!(error instanceof Refused) || error.code !== "choose_farm") throw error;
        const found = (error.detail as { farms: Farm[] }).farms;
        setFarms(found);
        setFarm(found[0]?.id ?? "");
      }
    });
  return (
    <Form onSave={enter} save={busy ? "Wait …" : "Sign in"} below={<Forgotten />}>
      <Text
        name="E-mail"
        type="email"
        keys="email"
        fill="username"
        value={email}
        wrong={wrong.email}
        onText={setEmail}
      />
      <Text
        name="Password"
        type="password"
        fill="current-password"
        value={password}
        wrong={wrong.password}
        onText={setPassword}
      />
      {farms.length > 0 && (
        <Choice
          name="Which farm?"
          value={farm}
          options={farms.map(({ id, name }) => [id, name] as const)}
          onPick={setFarm}
        />
      )}
      {wrong.all && <Wrong>{wrong.all}</Wrong>}
    </Form>
  );
}

function Forgotten() {
  return (
    <p class="quiet small">
      Forgotten it? An owner of the farm makes you a code under Farm, People. You run the server: harvestlog
      password you@example.org
    </p>
  );
}
