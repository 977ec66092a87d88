/** How the season's harvest fell over the flushes. */
const WIDTH = 100;

export function FlushShares({ shares }: { shares: Readonly<Record<string, number>> }) {
  const all = Object.entries(shares);
  if (all.length === 0) return null;
  const most = Math.max(...all.map(([, share]) => share));
  return (
    <section>
      <h2>By flush</h2>
      <table class="bars">
        <thead class="unseen">
          <tr>
            <th scope="col">Flush</th>
            <td />
            <th scope="col">Share</th>
          </tr>
        </thead>
        <tbody>
          {all.map(([flush, share]) => (
            <tr key={flush}>
              <th scope="row">Flush {flush}</th>
              <td class="bar">
                <svg viewBox={`0 0 ${WIDTH} 20`} preserveAspectRatio="none" aria-hidden="true">
                  <rect class="full" width={(WIDTH * share) / most} height="20" />
                </svg>
              </td>
              <td>
                <strong>{(100 * share).toFixed(0)} %</strong>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
