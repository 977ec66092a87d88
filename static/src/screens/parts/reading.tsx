/** The figure as it is typed, and what it comes to in the other way of saying it. */
import { readTyped, type Typed, typedText } from "../../records/typed";
import { mass } from "../here";
import type { Weighing } from "../weighing";
import { UndoLine } from "./undo";

interface Props {
  weighing: Weighing;
  onSlot: (slot: "wet" | "dry") => void;
}

export function Reading({ weighing, onSlot }: Props) {
  const { on, wet, dry } = weighing;
  const both = on === "dry" || dry.digits !== "";
  return (
    <div class={both ? "scale both" : "scale"}>
      {both ? (
        (["wet", "dry"] as const).map((slot) => (
          <button type="button" key={slot} aria-pressed={slot === on} onClick={() => onSlot(slot)}>
            <span>{slot === "wet" ? "Fresh" : "Dried"}</span>
            <Digits typed={weighing[slot]} active={slot === on} />
          </button>
        ))
      ) : (
        <>
          <Digits typed={wet} active />
          <p class="echo">{echo(wet)}</p>
        </>
      )}
      <p class="unseen" aria-live="polite">
        {typedText(weighing[on])}
      </p>
      {wet.digits === "" && <UndoLine />}
    </div>
  );
}

export function Digits({ typed, active = false }: { typed: Typed; active?: boolean }) {
  const text = typedText(typed) || `0 ${typed.unit}`;
  const empty = typed.digits === "";
  const parts = text.match(/[0-9.,/ -]+|[a-z]+/g) ?? [];
  return (
    <span class={empty ? "figure empty" : "figure"}>
      {parts.map((part, at) => {
        const word = /[a-z]/.test(part);
        const last = at === parts.findLastIndex((each) => !/[a-z]/.test(each));
        if (word) return <span class="unit" key={at}>{` ${part} `}</span>;
        return (
          <span key={at}>
            {part.trim()}
            {last && active && <span class="caret" />}
          </span>
        );
      })}
    </span>
  );
}

/** "1250 g" is also "1.25 kg": a second look without arithmetic. Says nothing where it would repeat itself. */
function echo(typed: Typed): string {
  const read = readTyped(typed);
  if (!("grams" in read)) return "";
  const other = mass(read.grams);
  const metric = `${read.grams < 10 ? read.grams.toFixed(1) : read.grams.toFixed(0)} g`;
  const words = typed.unit === "g" ? other : metric;
  return words === typedText(typed) || (typed.unit === "g" && other.endsWith(" g")) ? "" : `is ${words}`;
}
