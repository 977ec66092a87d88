/** A supplier's yield reports on its page: those that wait to be made, and those the server has. */
import { stampWords } from "../dates";
import { now, store } from "../here";
import { count } from "../words";
import { useAnswer } from "./ask";
import { supplierIn } from "./report_wanted";
import { isReports, openedTimes, REPORTS } from "./wire";

export function Reports({ supplier }: { supplier: string }) {
  const { said, heard, trouble } = useAnswer({
    name: "reports",
    path: REPORTS,
    whole: isReports,
    anew: "on visits",
  });
  const waiting = store().errands.value.filter(({ body }) => supplierIn(body) === supplier);
  const made = (said ?? []).filter((report) => report.supplier === supplier);
  if (waiting.length + made.length === 0) return null;
  return (
    <section>
      <h2>Yield reports</h2>
      <ul class="list">
        {waiting.map(({ id, made: at, said: refused }) => (
          <li class="line" key={id}>
            <a class="grow" href={`#/report/${id}`}>
              <strong>Asked for {stampWords(at, now.value)}</strong>
            </a>
            <span class={refused ? "mark heed" : "quiet"}>
              {refused ? "needs attention" : "waits for a signal"}
            </span>
          </li>
        ))}
        {made.map(({ id, made: at, blocks, shares }) => (
          <li class="line" key={id}>
            <a class="grow" href={`#/report/${id}`}>
              <strong>Made {stampWords(at, now.value)}</strong>
              <span class="quiet small">
                {[count(blocks, "block"), openedTimes(shares)].filter(Boolean).join(", ")}
              </span>
            </a>
          </li>
        ))}
      </ul>
      {made.length > 0 && trouble && (
        <p class="quiet small">
          As heard {stampWords(heard, now.value)}. {trouble}
        </p>
      )}
    </section>
  );
}
