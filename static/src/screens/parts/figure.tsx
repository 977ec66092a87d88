/** A number large, its unit small beside it. */
import type { ComponentChildren } from "preact";
import { massParts } from "../here";

interface Parts {
  digits: string;
  unit: string;
  hero?: boolean;
}

export function Figure({ digits, unit, hero = false }: Parts) {
  return (
    <span class={hero ? "figure hero" : "figure"}>
      {digits}
      <span class="unit"> {unit}</span>
    </span>
  );
}

export function MassFigure({ grams }: { grams: number }) {
  return (
    <span class="figure">
      {massParts(grams).map(([digits, unit], at) => [
        at > 0 ? " " : "",
        digits,
        <span class="unit" key={unit}>
          {" "}
          {unit}
        </span>,
      ])}
    </span>
  );
}

/** One named figure of a list; without a value, the reason why there is none. */
export function Named(props: { name: string; why?: string; wide?: boolean; children?: ComponentChildren }) {
  return (
    <div class={props.wide ? "wide" : undefined}>
      <dt>{props.name}</dt>
      <dd>
        {props.children}
        {props.why && <span class="why">{props.why}</span>}
      </dd>
    </div>
  );
}
