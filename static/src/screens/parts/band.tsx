/** Grams per kg wet as a thin band, one piece for each flush, on the same scale in every row. */
import type { BlockFigures } from "../../calc/figures";

const SCALE_G_PER_KG = 500; // rows that give more fill the band
const WIDTH = 200;

export function Band({ figures }: { figures: BlockFigures }) {
  const per_kg = figures.yield_g_per_kg_wet ?? 0;
  let from = 0;
  const pieces = Object.entries(figures.share_by_flush).map(([flush, share]) => {
    const width = (WIDTH * share * per_kg) / SCALE_G_PER_KG;
    const x = from;
    from += width;
    return <rect key={flush} class="full" x={x} width={Math.max(0, width - 2)} height="8" />;
  });
  return (
    <span class="banded">
      <svg class="band" viewBox={`0 0 ${WIDTH} 8`} preserveAspectRatio="none" aria-hidden="true">
        <rect class="ground" y="3" width={WIDTH} height="2" />
        {pieces}
      </svg>
      <span class="small quiet">{per_kg.toFixed(0)} g per kg</span>
    </span>
  );
}
