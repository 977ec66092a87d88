/** The next value of a row of like ones, from few of one's own and from what is usual. The model and its source: harvestlog/calc/next_value.py, on the same examples. */
import { sum } from "./estimates";

const STRIPS = 512; // of the quarter turn that Student's distribution is added up over; shares come within 0.0001
const AS_GOOD_AS_GAUSSIAN = 200; // degrees of freedom are counted no further

/** On the log scale: where farms' typical values lie (centre, between), how far one farm's values lie apart (within, worth so many values), and which share of that a block keeps from value to value (alike, 0 to 1). */
export interface Usual {
  centre: number;
  between: number;
  within: number;
  worth: number;
  alike: number;
}

// Blocks of a variety share their freedom, so that one table serves them all.
const halves = new Map<number, readonly number[]>();

function half_of(freedom: number): readonly number[] {
  const known = halves.get(freedom);
  if (known) return known;
  const table = [0];
  let [sum_so_far, before] = [0, 1];
  for (let strip = 1; strip <= STRIPS; strip += 1) {
    const after = Math.max(Math.cos((strip * (Math.PI / 2)) / STRIPS), 0) ** (freedom - 1);
    sum_so_far += (before + after) / 2;
    table.push(sum_so_far);
    before = after;
  }
  halves.set(freedom, table);
  return table;
}

/** The next value's distribution on the log scale: Student's around `centre` with `scale` and degrees of freedom. */
export class Next {
  /** Running sum of cos(angle)^(freedom - 1) over a quarter turn: Student's density, its value being tan(angle). */
  private readonly half: readonly number[];

  constructor(
    readonly centre: number,
    readonly scale: number,
    readonly freedom: number,
  ) {
    this.half = half_of(freedom);
  }

  shifted(by: number): Next {
    return new Next(this.centre + by, this.scale, this.freedom);
  }

  /** The value below which the next one lies with this chance. */
  at(share: number): number {
    const part = Math.abs(2 * share - 1) * this.whole();
    const strip = Math.min(Math.max(this.first_reaching(part), 1), STRIPS);
    const top = this.entry(this.half, strip);
    const angle = ((strip - (top - part) / (top - this.entry(this.half, strip - 1))) * Math.PI) / 2 / STRIPS;
    const reach = this.scale * Math.sqrt(this.freedom) * Math.tan(Math.min(angle, 1.5707));
    return this.centre + (share > 0.5 ? reach : -reach);
  }

  /** The chance that the next one lies below this value. */
  below(value: number): number {
    const off = (value - this.centre) / this.scale;
    const place = (Math.abs(Math.atan(off / Math.sqrt(this.freedom))) * STRIPS * 2) / Math.PI;
    const strip = Math.min(Math.floor(place), STRIPS - 1);
    const [low, high] = [this.entry(this.half, strip), this.entry(this.half, strip + 1)];
    const half = (low + (place - strip) * (high - low)) / this.whole() / 2;
    return off > 0 ? 0.5 + half : 0.5 - half;
  }

  private whole(): number {
    return this.entry(this.half, STRIPS);
  }

  private first_reaching(part: number): number {
    let [low, high] = [0, STRIPS + 1];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.entry(this.half, middle) < part) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  private entry(table: readonly number[], at: number): number {
    return table[at] ?? 0;
  }
}

/** What comes next of a block with the log values `own`, on a farm whose other blocks gave `others`. */
export function next_value(
  own: readonly number[],
  others: readonly (readonly number[])[],
  usual: Usual,
): Next {
  const blocks = [own, ...others]
    .filter((row) => row.length > 0)
    .map((row) => ({ row, mean: sum(row) / row.length, weight: weight(row.length, usual.alike) }));
  const total = sum(blocks.map((b) => b.weight));
  const mean = blocks.length > 0 ? sum(blocks.map((b) => b.weight * b.mean)) / total : usual.centre;
  const apart =
    sum(blocks.map((b) => b.weight * (b.mean - mean) ** 2)) +
    sum(blocks.flatMap((b) => b.row.map((y) => (y - b.mean) ** 2 / (1 - usual.alike))));
  const freedom = usual.worth + Math.max(sum(blocks.map((b) => b.row.length)) - 1, 0);
  const variance = (usual.worth * usual.within ** 2 + apart) / freedom;
  const sure = variance / usual.between ** 2 + total;
  const typical = ((usual.centre * variance) / usual.between ** 2 + total * mean) / sure;
  const kept = own.length > 0 ? usual.alike * weight(own.length, usual.alike) : 0;
  const centre = own.length > 0 ? typical + kept * (sum(own) / own.length - typical) : typical;
  const spread = 1 - usual.alike + usual.alike * (1 - kept) + (1 - kept) ** 2 / sure;
  return new Next(centre, Math.sqrt(variance * spread), Math.min(freedom, AS_GOOD_AS_GAUSSIAN));
}

/** How many independent values a block's n are worth. */
function weight(n: number, alike: number): number {
  return 1 / (alike + (1 - alike) / n);
}
