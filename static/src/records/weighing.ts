/** Whether a pick is likely for its block: asked beside the number pad, where the scale still shows the figure. Pure. */
import type { BlockView } from "./farm_view";
import type { Day } from "./types";

export const HEAVIEST_PICK_G = 100_000; // the server takes no heavier one
// A block of unknown mass: more than this from one pick is worth asking (common practice, no source).
const HEAVY_WITHOUT_A_MASS_G = 10_000;
export interface Weighed {
  wet_g: number;
  dry_g: number | null;
  day: Day;
}

/**
 * `refused` stops the save; `asked` wants a second, confirming act. `field` says beside what it stands; `yes` is an
 * answer that outlasts the figures; `block`: it may be the block's own mass that is wrong.
 */
export type Verdict =
  | { refused: string; field: "wet" | "dry" | "when" }
  | { asked: string; field: "wet" | "dry"; confirm: string; yes?: string; block?: true }
  | null;

export interface Around {
  today: Day;
  /** how the block ended, unless it grows or was said to be the right one */
  ended?: string | false;
  /** the picks of the block without the one being weighed */
  others: readonly { wet_g: number }[];
  /** writes a mass for people */
  shown: (grams: number) => string;
  /** writes a day for people */
  said: (day: Day) => string;
  /** whether a dried mass is likely for its fresh one */
  plausible: (wet_g: number, dry_g: number) => boolean;
}

export function judge(pick: Weighed, view: BlockView, around: Around): Verdict {
  return refusal(pick, view, around) ?? question(pick, view, around);
}

function refusal(pick: Weighed, view: BlockView, { today, shown, said }: Around): Verdict {
  const received = view.delivery?.fields.received;
  if (received && pick.day < received) {
    const words = `Picked on ${said(pick.day)}, but this block arrived on ${said(received)}. Correct one of the two.`;
    return { field: "when", refused: words };
  }
  if (pick.day > today)
    return { field: "when", refused: `${said(pick.day)} is still to come. Choose today or earlier.` };
  if (pick.wet_g > HEAVIEST_PICK_G) {
    return { field: "wet", refused: `${shown(pick.wet_g)} is too much for one pick. Check the unit.` };
  }
  if (pick.dry_g !== null && pick.dry_g > pick.wet_g) {
    const words = `Dried ${shown(pick.dry_g)} is above the ${shown(pick.wet_g)} picked. The two may be swapped.`;
    return { field: "dry", refused: words };
  }
  return null;
}

function question(pick: Weighed, view: BlockView, { others, shown, plausible, ended }: Around): Verdict {
  if (ended) {
    const asked = `This block ${ended === "spent" ? "is" : "was"} ${ended}. Is it the right one?`;
    return { field: "wet", confirm: `Yes, ${view.fields.label} is right`, asked, yes: "block" };
  }
  const block_g = view.fields.wet_g;
  const total = others.reduce((sum, other) => sum + other.wet_g, pick.wet_g);
  const confirm = `Yes, ${shown(pick.wet_g)} is right`;
  if (block_g !== null && total > block_g) {
    const so = others.length > 0 ? `That makes ${shown(total)} in all` : shown(pick.wet_g);
    return {
      field: "wet",
      confirm,
      block: true,
      asked: `${so} from a block that weighed ${shown(block_g)}. Is that right?`,
    };
  }
  if (block_g === null && pick.wet_g > HEAVY_WITHOUT_A_MASS_G) {
    return { field: "wet", confirm, asked: `${shown(pick.wet_g)} from one block. Is that right?` };
  }
  if (pick.dry_g === null || plausible(pick.wet_g, pick.dry_g)) return null;
  const share = (100 * pick.dry_g) / pick.wet_g;
  return {
    field: "dry",
    confirm: `Yes, dried ${shown(pick.dry_g)} is right`,
    asked: `Dried ${shown(pick.dry_g)} from ${shown(pick.wet_g)} is ${share.toFixed(share < 1 ? 1 : 0)} %; 5 to 20 % is usual. Check this weight?`,
  };
}
