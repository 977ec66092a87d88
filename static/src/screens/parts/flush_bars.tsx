/** How the harvest fell over the flushes: a table whose middle column is drawn. */
import type { BlockFigures } from "../../calc/figures";
import { mass } from "../here";

const WIDTH = 100;

export function FlushBars({ figures }: { figures: BlockFigures }) {
  const shares = Object.entries(figures.share_by_flush);
  const most = Math.max(...shares.map(([, share]) => share));
  return (
    <section>
      <h2>Flushes</h2>
      <table class="bars">
        <thead class="unseen">
          <tr>
            <th scope="col">Flush</th>
            <td />
            <th scope="col">Picked</th>
            <th scope="col">Share</th>
          </tr>
        </thead>
        <tbody>
          {shares.map(([flush, share]) => (
            <tr key={flush}>
              <th scope="row">Flush {flush}</th>
              <td class="bar">
                <svg viewBox={`0 0 ${WIDTH} 20`} preserveAspectRatio="none" aria-hidden="true">
                  <rect class="full" width={(WIDTH * share) / most} height="20" />
                </svg>
              </td>
              <td>
                <strong>{mass(figures.grams_by_flush[Number(flush)] ?? 0)}</strong> {(100 * share).toFixed(0)}{" "}
                %
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
