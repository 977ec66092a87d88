/** An act that the server may refuse at the door, with its refusals where they belong. */
import { useState } from "preact/hooks";
import { Refused } from "../../sync";

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
