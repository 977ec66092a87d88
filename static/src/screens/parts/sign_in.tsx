/** Signing in, at the door and when a sign-in has ended. */
import { useState } from "preact/hooks";
import { Refused, sync } from "../../sync";
import { Choice, Text, Wrong } from "./field";
import { Form } from "./tap";

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
    <Form onSave={enter} save={busy ? "Wait …" : "Sign in"}>
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

export type Faults = Record<string, string | undefined> & { all?: string };

/** Runs an act at the door; what the server refuses stands beside its field, or below all of them. */
export function useDoor() {
  const [wrong, setWrong] = useState<Faults>({});
  const [busy, setBusy] = useState(false);
  const run = async (act: () => Promise<void>) => {
    if (busy) return;
    setBusy(true);
    setWrong({});
    try {
      await act();
    } catch (error) {
      setWrong(faultsOf(error));
    } finally {
      setBusy(false);
    }
  };
  return { wrong, busy, run };
}

/** Refusals that name no field, and the field they are about. */
const BESIDE: Record<string, string> = {
  wrong_code: "code",
  wrong_sign_in: "password",
  wrong_password: "password",
  email_taken: "email",
};

function faultsOf(error: unknown): Faults {
  if (!(error instanceof Refused)) return { all: error instanceof Error ? error.message : String(error) };
  const { errors = [] } = (error.detail ?? {}) as { errors?: { field: string; reason: string }[] };
  const known = errors.map(({ field, reason }): [string, string] => [field, sentence(field, reason)]);
  return known.length > 0
    ? Object.fromEntries(known)
    : { [error.field ?? BESIDE[error.code] ?? "all"]: error.message };
}

function sentence(field: string, reason: string): string {
  // The server's reasons go on from the name of the field: "must be an address …".
  return /^[A-Z“"]/.test(reason) ? reason : `${field.charAt(0).toUpperCase()}${field.slice(1)} ${reason}`;
}
