/** Labels for new blocks and jars. */
import { ALPHABET, make_label } from "../records/labels";

/** A label that is not in use on this phone. Two phones may draw the same one, once in a million: finding by label shows both. */
export function freeLabel(used: ReadonlySet<string>): string {
  for (;;) {
    const chance = crypto.getRandomValues(new Uint8Array(4));
    const label = make_label([...chance].map((byte) => byte % ALPHABET.length));
    if (!used.has(label)) return label;
  }
}
