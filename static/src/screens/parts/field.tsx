/** Fields of a form: the name above, what it means below it, and what is wrong right beside it. */
import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";
import { Sign } from "./signs";

interface Named {
  name: string;
  hint?: ComponentChildren;
  wrong?: string | undefined;
}

export function Wrong({ id, children }: { id?: string | undefined; children: ComponentChildren }) {
  return (
    <p class="wrong" id={id} role="alert">
      <Sign of="heed" />
      <span>{children}</span>
    </p>
  );
}

interface TextProps extends Named {
  value: string;
  onText: (text: string) => void;
  type?: "text" | "email" | "password" | "date" | "datetime-local";
  keys?: "decimal" | "numeric" | "email" | "text";
  fill?: string; // for the browser's autocomplete
  long?: boolean;
  most?: number;
  example?: string;
  capitals?: boolean;
}

export function Text(props: TextProps) {
  const id = useId();
  const { name, hint, wrong } = props;
  const given = {
    id,
    value: props.value,
    "aria-invalid": wrong ? true : undefined,
    "aria-describedby": [hint && `${id}-hint`, wrong && `${id}-wrong`].filter(Boolean).join(" ") || undefined,
    onInput: (event: { currentTarget: { value: string } }) => props.onText(event.currentTarget.value),
    maxLength: props.most,
    placeholder: props.example,
  };
  return (
    <div class="field">
      <label for={id}>{name}</label>
      {hint && (
        <span class="hint" id={`${id}-hint`}>
          {hint}
        </span>
      )}
      {props.long ? (
        <textarea {...given} />
      ) : (
        <input
          {...given}
          type={(props.type ?? "text") as "text"}
          inputMode={props.keys}
          autocomplete={props.fill ?? "off"}
          autocapitalize={props.capitals ? "characters" : undefined}
          spellcheck={false}
        />
      )}
      {wrong && <Wrong id={`${id}-wrong`}>{wrong}</Wrong>}
    </div>
  );
}

export type Option = readonly [value: string, words: string];

interface SelectProps extends Named {
  value: string;
  options: readonly Option[];
  onPick: (value: string) => void;
  /** the name is read aloud only */
  bare?: boolean;
}

/** One of many: the phone's own list, which wet fingers and screen readers both know. */
export function Select(props: SelectProps) {
  const id = useId();
  const { wrong } = props;
  return (
    <div class="field">
      <label for={id} class={props.bare ? "unseen" : undefined}>
        {props.name}
      </label>
      <select
        id={id}
        value={props.value}
        aria-invalid={wrong ? true : undefined}
        aria-describedby={wrong ? `${id}-wrong` : undefined}
        onChange={(event) => props.onPick(event.currentTarget.value)}
      >
        {props.options.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
      {wrong && <Wrong id={`${id}-wrong`}>{wrong}</Wrong>}
    </div>
  );
}

interface ChoiceProps<T extends string> extends Omit<Named, "wrong"> {
  value: T;
  options: readonly (readonly [value: T, words: string])[];
  onPick: (value: T) => void;
  /** the name is read aloud only */
  bare?: boolean;
}

/** One of a few, all in sight. */
export function Choice<T extends string>(props: ChoiceProps<T>) {
  return (
    <fieldset class="field">
      <legend class={props.bare ? "unseen" : undefined}>{props.name}</legend>
      <div class="choice">
        {props.options.map(([value, words]) => (
          <button
            key={value}
            type="button"
            aria-pressed={value === props.value}
            onClick={() => props.onPick(value)}
          >
            {words}
          </button>
        ))}
      </div>
      {props.hint && <span class="hint">{props.hint}</span>}
    </fieldset>
  );
}
