/** From which day to which: the last twelve months unless others are chosen. */
import { useState } from "preact/hooks";
import type { Day } from "../../records/types";
import { dayWords, localDay } from "../dates";
import { now } from "../here";
import { Text } from "../parts/field";
import { Form, Tap } from "../parts/tap";

export interface Span {
  from: Day;
  to: Day;
}

interface Props {
  shown: Span;
  /** null: the last twelve months */
  onChoose: (span: Span | null) => void;
}

export function SeasonDays({ shown, onChoose }: Props) {
  const [{ from, to }, setDays] = useState(shown);
  const [tried, setTried] = useState(false);
  const today = localDay(new Date(now.value));
  const wrong =
    !from || !to ? "Give both days." : from > to ? `${from} comes after ${to}: swap the days.` : "";
  const save = () => {
    setTried(true);
    if (!wrong) onChoose({ from, to });
  };
  // Before the first answer there are no days to tell.
  const end = shown.to === today || !shown.to ? "today" : dayWords(shown.to, today);
  return (
    <details>
      <summary>{shown.from ? `${dayWords(shown.from, today)} to ${end}` : "Choose the days"}</summary>
      <Form
        onSave={save}
        save="Show these days"
        below={<Tap onTap={() => onChoose(null)}>The last twelve months</Tap>}
      >
        <div class="side">
          <Text
            name="From"
            type="date"
            value={from}
            wrong={(tried && wrong) || undefined}
            onText={(day) => setDays({ from: day, to })}
          />
          <Text name="To" type="date" value={to} onText={(day) => setDays({ from, to: day })} />
        </div>
      </Form>
    </details>
  );
}
