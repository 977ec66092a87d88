/** What a block may still give, and whether another soak is worth the space it takes. */
import type { AnotherSoak, NextFlush } from "../../calc/forecast";
import type { BlockView } from "../../records/farm_view";
import { comingOf } from "../coming";
import { localDay, spanWords } from "../dates";
import { mass, mayPick, now, stateOf } from "../here";
import { capital, chanceWords, rough } from "../words";
import { Figure, MassFigure, Named } from "./figure";

export function StillToCome({ view }: { view: BlockView }) {
  const coming = comingOf(view);
  if (!coming) return null;
  const { next, soak } = coming;
  const resting = stateOf(view) === "resting";
  return (
    <section>
      <h2>What may still come</h2>
      <Next next={next} />
      {resting && soak?.grams && <Soak soak={soak} grams={soak.grams} view={view} />}
      <p class="quiet small">
        Worked out from {next.basis}. In 8 of 10 such cases it falls within the ranges; weather is not known
        to it.
      </p>
    </section>
  );
}

function Next({ next }: { next: NextFlush }) {
  const today = localDay(new Date(now.value));
  return (
    <p>
      {next.first_day && next.last_day ? (
        <>
          <strong>
            Flush {next.flush}: first pick likely {spanWords(next.first_day, next.last_day, today)}
          </strong>
          {next.grams &&
            `, about ${mass(rough(next.grams.value))} (${mass(rough(next.grams.low))} to ${mass(rough(next.grams.high))})`}
          .{" "}
        </>
      ) : (
        "When it comes cannot be said without the day it arrived or was opened. "
      )}
      {capital(chanceWords(next.chance_of_nothing))} that nothing more comes.
    </p>
  );
}

interface SoakProps {
  soak: AnotherSoak;
  grams: NonNullable<AnotherSoak["grams"]>;
  view: BlockView;
}

function Soak({ soak, grams, view }: SoakProps) {
  const { days, g_per_day: own, new_block_g_per_day: fresh } = soak;
  const span = `${Math.round(days.low)} to ${Math.round(days.high)} days`;
  return (
    <>
      <h3>Another soak?</h3>
      <dl class="figures">
        <Named
          name="Soaked now, on average"
          why={`${mass(rough(grams.low))} to ${mass(rough(grams.high))}, within ${span}`}
        >
          <MassFigure grams={rough(grams.value)} />
        </Named>
        {own !== null && (
          <Named
            name="For each day it stands"
            why={
              fresh === null
                ? "no finished block of yours to hold it against"
                : `a new block: ${fresh.toFixed(0)} g`
            }
          >
            <Figure digits={own.toFixed(0)} unit="g" />
          </Named>
        )}
      </dl>
      <p class="quiet small">
        {verdict(own, fresh)} {capital(chanceWords(soak.chance_of_nothing))} of nothing is counted in.
      </p>
      {mayPick.value && (
        <a class="tap" href={`#/block/${view.id}/happened`}>
          Note a soak
        </a>
      )}
    </>
  );
}

/** Only where both are known, and not where they are as good as equal. */
function verdict(own: number | null, fresh: number | null): string {
  if (own === null || fresh === null) return "";
  if (own > 1.25 * fresh) return "Worth its space: more a day than a new block gives you.";
  if (own < fresh / 1.25) return "Where space is short, a new block gives more a day.";
  return "About what a new block gives you in the same space.";
}
