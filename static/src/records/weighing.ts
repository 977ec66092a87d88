/** Whether a pick is likely for its block: asked beside the number pad, where the scale still shows the figure. Pure. */
import type { BlockView } from "./farm_view";
import type { Day } from "./types";

export const HEAVIEST_PICK_G = 100_000; // the server takes no heavier one
// A block of unknown mass: more than this from one pick is worth asking (common practice, no source).
const HEAVY_WITHOUT_A_MASS_G = 10_000;
// Dried over fresh outside these is worth a second look, never a refusal (common practice, no source).
export const DRY_SHARE = [0.05, 0.2] as const;

export interface Weighed {
  wet_g: number;
  dry_g: number | null;
  day: Day;
}

/** `refused` stops the save; `asked` wants a second, confirming act. `field` says beside what it stands. */
export type Verdict =
  | { refused: string; field: "wet" | "dry" | "when" }
  | { asked: string; field: "wet" | "dry"; confirm: string }
  | null;

/** `others` are the picks of the block without the one being weighed; `shown` writes a mass for people. */
export function judge(
  pick: Weighed,
  view: BlockView,
  others: readonly { wet_g: number }[],
  today: Day,
  shown: (grams: number) => string,
): Verdict {
  return refusal(pick, view, today, shown) ?? question(pick, view, others, shown);
}

function refusal(pick: Weighed, view: BlockView, today: Day, shown: (grams: number) => string): Verdict {
  const received = view.delivery?.fields.received;
  if (received && pick.day < received) {
    const field = "when";
    return { field, refused: `Picked on ${pick.day}, but this block arrived on ${received}. Correct one of the two.` };
  }
  if (pick.day > today) return { field: "when", refused: `${pick.day} is still to come. Choose today or earlier.` };
  if (pick.wet_g > HEAVIEST_PICK_G) {
    return { field: "wet", refused: `${shown(pick.wet_g)} is too much for one pick. Check the unit.` };
  }
  if (pick.dry_g !== null && pick.dry_g > pick.wet_g) {
    const words = `Dried ${shown(pick.dry_g)} is above the ${shown(pick.wet_g)} picked. The two may be swapped.`;
    return { field: "dry", refused: words };
  }
  return null;
}

function question(
  pick: Weighed,
  view: BlockView,
  others: readonly { wet_g: number }[],
  shown: (grams: number) => string,
): Verdict {
  const block_g = view.fields.wet_g;
  const total = others.reduce((sum, other) => sum + other.wet_g, pick.wet_g);
  const confirm = `Yes, ${shown(pick.wet_g)} is right`;
  if (block_g !== null && total > block_g) {
    const so = others.length > 0 ? `That makes ${shown(total)} in all` : `${shown(pick.wet_g)}`;
    return { field: "wet", confirm, asked: `${so} from a block that weighed ${shown(block_g)}. Is that right?` };
  }
  if (block_g === null && pick.wet_g > HEAVY_WITHOUT_A_MASS_G) {
    return { field: "wet", confirm, asked: `${shown(pick.wet_g)} from one block. Is that right?` };
  }
  if (pick.dry_g === null) return null;
  const share = pick.dry_g / pick.wet_g;
  if (share >= DRY_SHARE[0] && share <= DRY_SHARE[1]) return null;
  const parts = `Dried ${shown(pick.dry_g)} from ${shown(pick.wet_g)} is ${(100 * share).toFixed(0)} %`;
  return {
    field: "dry",
    confirm: `Yes, dried ${shown(pick.dry_g)} is right`,
    asked: `${parts}; 5 to 20 % is usual. Check this weight?`,
  };
}
