/** How a harvest fell over the flushes: a table whose middle column is drawn. */
interface Props {
  title: string;
  /** of each flush, from 0 to 1 */
  shares: Readonly<Record<string, number>>;
  /** what a flush gave, in words, where that is known beside its share */
  gave?: (flush: number) => string;
}

const WIDTH = 100;

export function FlushBars({ title, shares, gave }: Props) {
  const all = Object.entries(shares);
  if (all.length === 0) return null;
  const most = Math.max(...all.map(([, share]) => share));
  return (
    <section>
      <h2>{title}</h2>
      <table class="bars">
        <thead class="unseen">
          <tr>
            <th scope="col">Flush</th>
            <td />
            <th scope="col">{gave ? "Picked, and share" : "Share"}</th>
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
                {gave && <strong>{gave(Number(flush))} </strong>}
                {(100 * share).toFixed(0)} %
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
