/** What a block gave, in figures; where one cannot be said, why. */
import type { BlockFigures } from "../../calc/figures";
import type { Ends } from "../../calc/yields";
import type { BlockView } from "../../records/farm_view";
import { daysWords } from "../dates";
import { hasEnded, mayPick } from "../here";
import { count } from "../words";
import { Wrong } from "./field";
import { Figure, MassFigure, Named } from "./figure";

export function Numbers({ view, figures }: { view: BlockView; figures: BlockFigures }) {
  if (figures.fresh_g === 0) return <Before view={view} figures={figures} />;
  const { yield_g_per_kg_wet: per_kg, dry_down, days_to_first_harvest: days } = figures;
  return (
    <section aria-label="What it gave">
      <dl class="figures">
        <Named name={hasEnded(view) ? "It gave" : "It gave so far"} wide why={perKgWhy(per_kg)}>
          {per_kg !== null && <Figure hero digits={per_kg.toFixed(0)} unit="g per kg wet" />}
        </Named>
        <Named name="In all">
          <MassFigure grams={figures.fresh_g} />
        </Named>
        <Named name="Biological efficiency" why={efficiencyWhy(view, figures)}>
          {figures.efficiency_pct && <Figure digits={ends(figures.efficiency_pct)} unit="%" />}
        </Named>
        <Named
          name="First harvest"
          why={days === null ? "needs the day it arrived or was opened" : `after it ${zero(figures)}`}
        >
          {days !== null && <Figure digits={`${days}`} unit={days === 1 ? "day" : "days"} />}
        </Named>
        <Named name="Dries down" why={dry_down ? `from ${count(dry_down.n, "pick")}` : ""}>
          {dry_down ? <Figure digits={dry_down.ratio.toFixed(1)} unit="to 1" /> : <AddDried view={view} />}
        </Named>
      </dl>
      {figures.troubles.map((trouble) => (
        <Wrong key={trouble}>{trouble}</Wrong>
      ))}
      <Meanings rate={figures.production_rate_pct_per_day} day_zero={zero(figures)} />
    </section>
  );
}

/** The last pick is the one most likely in the drier. */
function AddDried({ view }: { view: BlockView }) {
  const last = view.picks.at(-1);
  if (!last || !mayPick.value) return <span class="why">no dried mass yet</span>;
  return <a href={`#/pick/${last.id}/dry`}>Add a dried mass</a>;
}

function Before({ view, figures }: { view: BlockView; figures: BlockFigures }) {
  const waited =
    figures.day_zero === null ? null : Math.floor((Date.now() - Date.parse(figures.day_zero)) / 86_400_000);
  if (hasEnded(view)) return <p>It ended without a pick.</p>;
  return (
    <p class="quiet">
      {waited !== null && waited > 0 && `${daysWords(waited)} since it ${zero(figures)}. `}
      Its numbers stand here after the first pick.
    </p>
  );
}

function Meanings({ rate, day_zero }: { rate: Ends | null; day_zero: string }) {
  return (
    <details>
      <summary>What these mean</summary>
      <div class="form small">
        <p>Grams per kg wet: fresh grams for each kilogram of block as it arrived.</p>
        <p>Biological efficiency: fresh grams for each 100 g of dry block. Above 100 % is usual.</p>
        <p>
          Dries down: fresh grams that went into one dried gram. It says nothing on whether a batch is dry
          enough.
        </p>
        {rate && (
          <p>
            Production rate: {ends(rate, 2)} % a day, from the day it {day_zero} to the last pick.
          </p>
        )}
      </div>
    </details>
  );
}

export function ends([low, high]: Ends, places = 0): string {
  const [from, to] = [low.toFixed(places), high.toFixed(places)];
  return from === to ? from : `${from} to ${to}`;
}

function zero(figures: BlockFigures): string {
  return figures.day_zero_is === "opened" ? "was opened" : "arrived";
}

function perKgWhy(per_kg: number | null): string {
  return per_kg === null ? "grams per kg wet need the block's mass on arrival" : "";
}

function efficiencyWhy(view: BlockView, figures: BlockFigures): string {
  const { dry_basis } = view.fields;
  if (figures.efficiency_pct === null) return "needs the block's dry mass or moisture";
  if (dry_basis === "assumed") return "moisture assumed";
  return dry_basis === "stated" ? "dry mass as the supplier states it" : "";
}
