/** When a block that is being soaked comes out: a tap for the usual hours, or the time itself. */
import { fieldTime, instantOf } from "../dates";
import { Text } from "../parts/field";
import { Tap } from "../parts/tap";

export const OUT_BEFORE_IN = "It comes out before it goes in: check the times.";

const SOAK_HOURS = [6, 12, 24];

interface Props {
  /** undefined while the time it went in cannot be read */
  begun: string | undefined;
  until: string | null;
  wrong: string;
  onUntil: (until: string | null) => void;
}

export function SoakTimes({ begun, until, wrong, onUntil }: Props) {
  const start = begun === undefined ? Date.now() : Date.parse(begun);
  const after = (hours: number) => new Date(start + hours * 3_600_000).toISOString();
  return (
    <>
      <div class="row">
        {SOAK_HOURS.map((hours) => (
          <Tap key={hours} name={`Out after ${hours} hours`} onTap={() => onUntil(after(hours))}>
            {hours} h
          </Tap>
        ))}
      </div>
      <Text
        name="Out at"
        type="datetime-local"
        value={until ? fieldTime(new Date(until)) : ""}
        wrong={wrong || undefined}
        hint="Today will remind you."
        onText={(text) => onUntil(instantOf(text) ?? null)}
      />
    </>
  );
}
