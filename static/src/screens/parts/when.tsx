/** Now, or a day and a time; "" stands for now. */
import { fieldTime, instantOf } from "../dates";
import { Choice, Text } from "./field";

interface Props {
  name: string;
  when: string;
  wrong?: string | undefined;
  /** what is corrected has its time already */
  timed?: boolean;
  onWhen: (when: string) => void;
}

export function When({ name, when, wrong, timed = false, onWhen }: Props) {
  const earlier = timed || when !== "";
  return (
    <>
      {!timed && (
        <Choice
          name={name}
          value={earlier ? "earlier" : "now"}
          options={[
            ["now", "Now"],
            ["earlier", "Earlier"],
          ]}
          onPick={(picked) => onWhen(picked === "now" ? "" : fieldTime(new Date()))}
        />
      )}
      {earlier && (
        <Text
          name={timed ? name : "Day and time"}
          type="datetime-local"
          value={when}
          wrong={wrong}
          onText={onWhen}
        />
      )}
    </>
  );
}

const AHEAD_MS = 60_000; // a clock may be a little slow

export const NO_TIME = "Choose the day and the time, or leave it at now.";

/** The instant meant; undefined while the field is half typed. What was noted to the second keeps its seconds. */
export function instantMeant(when: string, seen?: string): string | undefined {
  if (seen !== undefined && when === fieldTime(new Date(seen))) return seen;
  return when === "" ? new Date().toISOString() : instantOf(when);
}

/** The instant meant, or what is wrong with it: what is noted has happened. */
export function timeMeant(
  when: string,
  seen?: string,
): { value: string; wrong?: undefined } | { wrong: string } {
  const at = instantMeant(when, seen);
  if (!at) return { wrong: NO_TIME };
  if (at !== seen && Date.parse(at) > Date.now() + AHEAD_MS)
    return { wrong: "This time is still to come: check the day and the hour." };
  return { value: at };
}
