/** How far to trust what is said of a species: references into a list of sources. Pure. */
import type { Fact } from "./catalogue";

/** Every source of these facts once, in the order they are met: a reference is a place in it, counted from 1. */
export function sources_of(facts: readonly Fact[]): string[] {
  return [...new Set(facts.flatMap(({ sources }) => sources))];
}

/** How far to trust a fact, as short as it can be said beside it: "1, 2" into its sources, "*" from memory, "" common practice. */
export function trust({ kind, sources }: Fact, all: readonly string[]): string {
  return kind === "memory" ? "*" : sources.map((source) => all.indexOf(source) + 1).join(", ");
}
