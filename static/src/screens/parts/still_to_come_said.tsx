/** What a block may still give, and whether another soak is worth the space it takes, in words. */
import type { AnotherSoak, NextFlush } from "../../calc/forecast";
import type { BlockView } from "../../records/farm_view";
import { dayWords, localDay, spanWords } from "../dates";
import { daysOf, speciesOf } from "../facts";
import type { Coming } from "../foresight";
import { groundWords } from "../ground_words";
import { mass, mayPick, now, standingOf, stateOf } from "../here";
import { sinceWords } from "../standing";
import { capital, chanceWords, rough } from "../words";
import { Figure, MassFigure, Named } from "./figure";

interface Props {
  view: BlockView;
  coming: Coming;
}

export function StillToComeSaid({ view, coming: { next, soak } }: Props) {
  const resting = stateOf(view) === "resting";
  const species = speciesOf(view)?.trade_names[0];
  return (
    <section>
      <h2>{next.pinned ? "What is coming" : `What may ${next.flush > 1 ? "still " : ""}come`}</h2>
      {next.pinned ? <Pinned next={next} view={view} /> : <Next next={next} />}
      {resting && soak?.grams && <Soak soak={soak} grams={soak.grams} view={view} />}
      {(!next.pinned || next.grams) && (
        <p class="quiet small">
          {next.pinned ? "The grams: from" : "From"}{" "}
          {groundWords(((next.pinned && next.grams) || next).basis, species)}. In 8 of 10 cases it falls
          within the range{!next.pinned && "s"}.
        </p>
      )}
    </section>
  );
}

function Next({ next }: { next: NextFlush }) {
  const today = localDay(new Date(now.value));
  const { flush, first_day, last_day, chance_of_nothing: nothing } = next;
  return (
    <p>
      {first_day && last_day ? (
        <>
          <strong>
            Flush {flush}: first pick likely {spanWords(first_day, last_day, today)}
          </strong>
          {gramsWords(next)}.{" "}
        </>
      ) : (
        "When it comes cannot be said without the day it arrived or was opened. "
      )}
      {nothing !== null && `${capital(chanceWords(nothing))} that nothing ${flush > 1 ? "more " : ""}comes.`}
    </p>
  );
}

/** Pins or caps stand there: how long they usually take, and no word of nothing coming. */
function Pinned({ next, view }: { next: NextFlush; view: BlockView }) {
  const { pins } = standingOf(view);
  const days = daysOf(view).pins;
  return (
    <>
      <p>
        <strong>{pinnedWords(next, view)}</strong>
        {gramsWords(next)}.
      </p>
      <p class="quiet small">
        {pins !== null && `First seen ${sinceWords(pins)}. `}
        {days
          ? `${days[0]} to ${days[1]} days from pins to picking are usual of this species (${trustOf(view)}).`
          : "How long they take to picking is not known of this species."}
      </p>
    </>
  );
}

function pinnedWords({ flush, first_day, last_day }: NextFlush, view: BlockView): string {
  const today = localDay(new Date(now.value));
  const stages = new Set(
    view.photos
      .filter(({ fields }) => Date.parse(fields.taken) >= (standingOf(view).pins ?? Infinity))
      .map(({ fields }) => fields.stage),
  );
  if (stages.has("ready")) return `Flush ${flush} looked ready: pick it before it drops its spores`;
  if (!first_day || !last_day) return `Flush ${flush} stands there`;
  if (last_day < today)
    return `Flush ${flush}: first pick was likely by ${dayWords(last_day, today)}; look what became of the pins`;
  return `Flush ${flush}: first pick likely ${spanWords(first_day, last_day, today)}`;
}

const UNSOURCED: Record<string, string> = {
  memory: "from memory",
  "common practice": "common practice, no source",
};

/** How far to trust the days from pins to picking, each source once. */
function trustOf(view: BlockView): string {
  const facts = speciesOf(view)?.facts.days_pin_to_harvest ?? [];
  return [...new Set(facts.flatMap(({ kind, sources }) => UNSOURCED[kind] ?? sources))].join("; ");
}

function gramsWords({ grams }: NextFlush): string {
  if (!grams) return "";
  const [about, low, high] = [grams.value, grams.low, grams.high].map((each) => mass(rough(each)));
  return `, about ${about} (${low} to ${high})`;
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
