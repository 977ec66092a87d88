/** What a block may still give, and whether another soak is worth the space it takes, in words. */
import type { AnotherSoak, NextFlush } from "../../calc/forecast";
import type { BlockView } from "../../records/farm_view";
import { localDay, spanWords } from "../dates";
import type { Coming } from "../foresight";
import { mass, mayPick, now, stateOf } from "../here";
import { capital, chanceWords, rough } from "../words";
import { Figure, MassFigure, Named } from "./figure";

interface Props {
  view: BlockView;
  coming: Coming;
}

export function StillToComeSaid({ view, coming: { next, soak } }: Props) {
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
      <h3>{verdict(own, fresh)}</h3>
      <dl class="figures">
        <Named
          name="It would give, on average"
          why={`${mass(rough(grams.low))} to ${mass(rough(grams.high))} within ${span}; ${chanceWords(soak.chance_of_nothing)} of nothing is counted in`}
        >
          <MassFigure grams={rough(grams.value)} />
        </Named>
        {own !== null && (
          <Named
            name="For each day it stands"
            why={
              fresh === null
                ? "no finished block of yours to hold it against"
                : `a new block: ${fresh.toFixed(0)} g a day`
            }
          >
            <Figure digits={own.toFixed(0)} unit="g" />
          </Named>
        )}
      </dl>
      {mayPick.value && (
        <a class="tap" href={`#/block/${view.id}/happened`}>
          Note a soak
        </a>
      )}
    </>
  );
}

/** No side is taken where they are as good as equal, or where one is not known. */
function verdict(own: number | null, fresh: number | null): string {
  if (own === null || fresh === null) return "Another soak?";
  if (own > 1.25 * fresh) return "Another soak is worth its space";
  if (own < fresh / 1.25) return "Where space is short, a new block is worth more than another soak";
  return "Another soak gives about what a new block gives in its space";
}
