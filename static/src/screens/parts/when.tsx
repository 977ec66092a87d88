/** Now, or a day and a time; "" stands for now. */
import type { Day } from "../../records/types";
import { dayOf, dayWords, fieldTime, instantOf, localDay } from "../dates";
import { Choice, Text } from "./field";

interface Props {
  name: string;
  value: string;
  wrong?: string | undefined;
  /** what is corrected has its time already */
  timed?: boolean;
  onText: (when: string) => void;
}

export function When({ name, value, wrong, timed = false, onText }: Props) {
  const earlier = timed || value !== "";
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
          onPick={(picked) => onText(picked === "now" ? "" : fieldTime(new Date()))}
        />
      )}
      {earlier && (
        <Text
          name={timed ? name : "Day and time"}
          type="datetime-local"
          value={value === UNSURE ? "" : value}
          wrong={wrong}
          onText={(text) => onText(text || UNSURE)}
        />
      )}
    </>
  );
}

// An empty field was meant to be a time: it is no "now", and reads as no instant.
const UNSURE = "?";

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

/** The same for what is noted of a block, which nothing happens to before it has arrived. */
export function timeAfter(
  received: Day | undefined,
  when: string,
  seen?: string,
): { value: string; wrong?: undefined } | { wrong: string } {
  const meant = timeMeant(when, seen);
  if (meant.wrong !== undefined || !received || meant.value === seen) return meant;
  const day = dayOf(meant.value);
  if (day >= received) return meant;
  const said = (each: Day) => dayWords(each, localDay(new Date()));
  return {
    wrong: `Noted for ${said(day)}, but this block arrived on ${said(received)}. Correct one of the two.`,
  };
}
