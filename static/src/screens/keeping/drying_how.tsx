/** How a load is dried and weighed: new, or corrected. */
import type { Method } from "../../records/types";
import { METHODS } from "../keeping_words";
import { Choice, Text } from "../parts/field";

interface Dried {
  method: Method;
  temp: string;
  step: string;
}

interface Props {
  draft: Dried;
  faults: { temp?: string; step?: string };
  onChange: (part: Partial<Dried>) => void;
}

export function How({ draft, faults, onChange }: Props) {
  return (
    <>
      <Choice
        name="Dried by"
        value={draft.method}
        options={Object.entries(METHODS) as [Method, string][]}
        onPick={(method) => onChange({ method })}
      />
      <div class="side">
        <Text
          name="Set to, °C"
          keys="decimal"
          value={draft.temp}
          wrong={faults.temp}
          onText={(temp) => onChange({ temp })}
        />
        <Text
          name="Scale step, g"
          keys="decimal"
          example="1"
          value={draft.step}
          wrong={faults.step}
          onText={(step) => onChange({ step })}
        />
      </div>
    </>
  );
}
