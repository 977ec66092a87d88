/** A block's label, as it is written on the block. */
import type { ComponentChildren } from "preact";

const LONGEST_IN_A_LINE = 8; // a big one of eight fills the smallest phone

export function Label({ code, big = false }: { code: string; big?: boolean }) {
  // Spelt for those who listen: "7 K Q 4 M" rather than a word that is none.
  const look = `label${big ? " big" : ""}${code.length > LONGEST_IN_A_LINE ? " long" : ""}`;
  return (
    <span class={look}>
      <span aria-hidden="true">{code}</span>
      <span class="unseen">{code.split("").join(" ")}</span>
    </span>
  );
}

/** A heading that names a block by its label. */
export function Titled({ code, children }: { code: string; children: ComponentChildren }) {
  return (
    <span class="who">
      <Label code={code} /> <span>{children}</span>
    </span>
  );
}
