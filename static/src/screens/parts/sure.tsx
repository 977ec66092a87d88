/** Something unlikely, asked back in words: one tap says that it is so. */
import type { Odd } from "../form";
import { Wrong } from "./field";
import { Tap } from "./tap";

export function Sure({ odd, onYes }: { odd: Odd | undefined; onYes: (key: string) => void }) {
  if (!odd) return null;
  return (
    <div class="form">
      <Wrong>{odd.words}</Wrong>
      <Tap look="heed" onTap={() => onYes(odd.key)}>
        {odd.yes}
      </Tap>
    </div>
  );
}
