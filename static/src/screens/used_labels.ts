/** Labels that stand on a block or a jar of this farm. */
import { farm } from "./here";

export function usedLabels(): Set<string> {
  const { block, jar } = farm.value;
  return new Set([...block.values(), ...jar.values()].map(({ fields }) => fields.label));
}
