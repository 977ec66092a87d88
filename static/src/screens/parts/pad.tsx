/** Our own number pad: big keys, the four units beside the digits. The phone's keyboard stays away. */
import { useEffect } from "preact/hooks";
import { UNITS, type Unit } from "../../records/masses";
import { inOunces, type Key, type Typed } from "../../records/typed";
import { said } from "../saving";
import { Sign } from "./signs";
import { putAway } from "./undo";

// Where the grower lives decides which decimal mark stands on the pad; a keyboard may type either.
const MARK = (1.5).toLocaleString().includes(",") ? "," : ".";
const UNIT_WORDS: Record<Unit, string> = { g: "g", kg: "kg", oz: "oz", lb: "lb oz" };

interface Props {
  typed: Typed;
  onKey: (key: Key) => void;
  onUnit: (unit: Unit) => void;
  onDone: () => void;
}

export function Pad({ typed, onKey: pressed, onUnit, onDone }: Props) {
  const onKey = (key: Key) => {
    if (!said.peek()?.wrong) putAway();
    pressed(key);
  };
  useKeyboard(onKey, onDone);
  const mark: Key = typed.unit === "lb" && !inOunces(typed) ? "lb" : MARK;
  const rows: Key[][] = [
    ["1", "2", "3"],
    ["4", "5", "6"],
    ["7", "8", "9"],
    [mark, "0", "rub"],
  ];
  return (
    <div class="pad">
      {rows.map((keys, at) => {
        const unit = UNITS[at] ?? "g";
        return [
          ...keys.map((key) => <PadKey key={key} of={key} onTap={() => onKey(key)} />),
          <button
            type="button"
            class="unit"
            key={unit}
            aria-pressed={typed.unit === unit}
            onClick={() => onUnit(unit)}
          >
            {UNIT_WORDS[unit]}
          </button>,
        ];
      })}
    </div>
  );
}

/** No tap is held back here: "11" is two taps of one key, and the figure shows a tap too many at once. */
function PadKey({ of, onTap }: { of: Key; onTap: () => void }) {
  if (of === "rub") {
    return (
      <button type="button" aria-label="Rub out the last" onClick={onTap}>
        <Sign of="rub" size={32} />
      </button>
    );
  }
  return (
    <button type="button" aria-label={of === "." || of === "," ? "Decimal mark" : undefined} onClick={onTap}>
      {of}
    </button>
  );
}

function useKeyboard(onKey: (key: Key) => void, onDone: () => void): void {
  useEffect(() => {
    const down = (event: KeyboardEvent) => {
      const { target, key } = event;
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      if (target instanceof Element && target.closest("input, select, textarea")) return;
      if (key === "Backspace") onKey("rub");
      else if (/^[0-9.,/-]$/.test(key)) onKey(key as Key);
      else if (key === "Enter" && !(target instanceof Element && target.closest("button, a, summary")))
        onDone();
      else return;
      event.preventDefault();
    };
    window.addEventListener("keydown", down);
    return () => window.removeEventListener("keydown", down);
  }, [onKey, onDone]);
}
