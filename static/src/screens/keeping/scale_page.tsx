/** A mass on the number pad, for whatever of keeping is weighed; what is odd about it is asked back beside it. */
import type { ComponentChildren, JSX } from "preact";
import { useState } from "preact/hooks";
import { inUnit, type Key, press, readings, readTyped, type Typed, typedText } from "../../records/typed";
import { fieldTime } from "../dates";
import { padUnit, remember } from "../here";
import { useKept } from "../kept";
import { useDrafted } from "../parts/drafted";
import { Text, Wrong } from "../parts/field";
import { Frame } from "../parts/frame";
import { Pad } from "../parts/pad";
import { Digits } from "../parts/reading";
import { Tap } from "../parts/tap";
import { UndoLine } from "../parts/undo";
import { back } from "../route";
import { once } from "../saving";

export interface Scaled {
  typed: Typed;
  /** "" means now; else what a datetime-local field holds */
  when: string;
  /** the figure, as typed, that the grower has said yes to */
  confirmed: string;
}

export function blankScale(): Scaled {
  return { typed: { digits: "", unit: padUnit() }, when: "", confirmed: "" };
}

/** What stands in the way of saving, with the answers to it as buttons. */
export interface Asked<T> {
  words: string;
  answers?: readonly (readonly [name: string, part: Partial<T>])[];
  field?: "when";
  /** said on saving only: half a figure would always be wrong */
  late?: boolean;
}

interface Props<T> {
  title: string;
  heading?: ComponentChildren;
  from: string;
  draft: string;
  start: T;
  /** what is asked back of a figure in grams, while it is typed */
  ask: (state: T, grams: number) => Asked<T> | null;
  save: (state: T, grams: number, keepingDraft: string) => Promise<void>;
  saveWords: (typed: string) => string;
  refused?: string | undefined;
  /** above the pad, while nothing is asked back */
  children?: (state: T, change: (part: Partial<T>) => void) => ComponentChildren;
  below?: ComponentChildren;
}

export function ScalePage<T extends Scaled>(props: Props<T>): JSX.Element | null {
  const begun = useDrafted(props.draft, () => props.start);
  return begun && <Scale key={props.draft} {...props} start={begun} />;
}

function Scale<T extends Scaled>(props: Props<T>) {
  const { shown, latest, change, saving } = useKept(props.start, props.draft);
  const [tried, setTried] = useState(false);
  const found = oddIn(shown, props);
  // Half a figure is no wrong one: what cannot be read yet is spoken of on saving.
  const odd = found && (tried || found.live) ? found : null;
  const type = (next: (typed: Typed) => Typed) => change((now) => ({ typed: next(now.typed) }) as Partial<T>);
  const save = async () => {
    setTried(true);
    const made = latest();
    const read = readTyped(made.typed);
    if (oddIn(made, props) || !("grams" in read)) {
      requestAnimationFrame(() => document.querySelector<HTMLElement>(".odd button")?.focus());
      return;
    }
    // Two weighings may follow each other as fast as one is tapped twice: their figures tell them apart.
    const done = await once(`save ${props.draft} ${typedText(made.typed)}`, () =>
      saving(() => props.save(made, read.grams, props.draft)),
    );
    if (done) back(props.from);
  };
  const text = typedText(shown.typed);
  return (
    <Frame
      title={props.title}
      heading={props.heading}
      from={props.from}
      look="weigh"
      rooms={false}
      acts={
        <Tap look="main" onTap={save}>
          {props.saveWords(text)}
        </Tap>
      }
    >
      {props.refused && <Wrong>{props.refused}</Wrong>}
      <div class="scale">
        <Digits typed={shown.typed} active />
        <p class="unseen" aria-live="polite">
          {text}
        </p>
        {text === "" && <UndoLine />}
      </div>
      {odd && odd.field !== "when" ? (
        <Odd odd={odd} onAnswer={change} />
      ) : (
        <div class="asking">
          {props.children?.(shown, change)}
          {odd && <Wrong>{odd.words}</Wrong>}
        </div>
      )}
      <Pad
        typed={shown.typed}
        onKey={(key: Key) => type((typed) => press(typed, key))}
        onUnit={(to) => {
          remember("pad", to);
          type((typed) => inUnit(typed, to));
        }}
        onDone={() => void save()}
      />
      {props.below}
    </Frame>
  );
}

type Odd<T> = Asked<T> & { live: boolean };

function oddIn<T extends Scaled>(state: T, { ask }: Props<T>): Odd<T> | null {
  const read = readTyped(state.typed);
  if ("grams" in read) {
    const asked = ask(state, read.grams);
    return asked && { ...asked, live: !asked.late };
  }
  const either = readings(state.typed) ?? [];
  const answers = either.map((typed) => [typedText(typed), { typed } as Partial<T>] as const);
  return { words: read.sentence, answers, live: either.length > 0 };
}

/** It takes the place of the choices, so that no key moves under the thumb. */
function Odd<T>({ odd, onAnswer }: { odd: Asked<T>; onAnswer: (part: Partial<T>) => void }) {
  return (
    <section class="asking odd">
      <Wrong>{odd.words}</Wrong>
      <div class="row">
        {odd.answers?.map(([name, part]) => (
          <Tap key={name} look="heed" onTap={() => onAnswer(part)}>
            {name}
          </Tap>
        ))}
      </div>
    </section>
  );
}

interface TimeProps {
  when: string;
  name: string;
  /** a record that is corrected has its time already */
  timed?: boolean;
  onWhen: (when: string) => void;
}

/** Now, unless it was earlier. */
export function Earlier({ when, name, timed = false, onWhen }: TimeProps) {
  const [open, setOpen] = useState(when !== "" && !timed);
  const turn = () => {
    setOpen(!open);
    if (!timed) onWhen(open ? "" : fieldTime(new Date()));
  };
  return (
    <>
      <Tap open={open} onTap={turn}>
        {timed ? "When" : "Earlier"}
      </Tap>
      {open && <Text name={name} type="datetime-local" value={when} onText={onWhen} />}
    </>
  );
}
