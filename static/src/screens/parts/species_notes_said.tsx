/** What is said of the species, each saying with a sign of how far to trust it; the grower's own range stands above. */
import { CATALOGUE, type Fact, type Facts, type Species } from "../../records/catalogue";
import type { BlockView } from "../../records/farm_view";
import { sources_of, trust } from "../../records/trust";

const NAMES: Record<string, string> = {
  fruit_temp_c: "Fruiting, °C",
  pin_temp_c: "Pins, °C",
  rh_pin_pct: "Humidity for pins, %",
  rh_fruit_pct: "Humidity for fruiting, %",
  co2_ppm: "Carbon dioxide, ppm",
  light: "Light",
  air: "Air",
  days_opening_to_first_crop: "Days from opening to the first crop",
  days_pin_to_harvest: "Days from pins to harvest",
  days_between_flushes: "Days between flushes",
  flushes_worthwhile: "Flushes worth the wait",
  be_pct: "Biological efficiency, %",
  yield_g_per_kg_wet: "Grams per kg wet",
  flush_split_pct: "Share of each flush, %",
  harvest_cue: "When to pick",
};

export function SpeciesNotesSaid({ view, species }: { view: BlockView; species: Species }) {
  const said = rows(species.facts, CATALOGUE.all_species);
  const facts = said.flatMap(([, each]) => each);
  const sources = sources_of(facts);
  return (
    <details>
      <summary>What is said of {species.trade_names[0] ?? species.latin}</summary>
      <p class="quiet">
        <i>{species.latin}</i> {species.remark}
      </p>
      <table class="plain">
        <tbody>
          <OwnRange view={view} />
          {said.map(([name, each]) => (
            <tr key={name}>
              <th scope="row">{NAMES[name] ?? name}</th>
              <td>
                {each.map((fact) => (
                  <p key={fact.text}>
                    {dashed(fact.text)} <Mark of={trust(fact, sources)} />
                  </p>
                ))}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="small quiet">{groundWords(facts)}</p>
      {sources.length > 0 && <Sources of={sources} />}
    </details>
  );
}

/** One line for all of them: what a line without a mark, with a number, and with a star rests on. */
export function groundWords(facts: readonly Fact[]): string {
  const published = facts.some(({ kind }) => kind === "published");
  const memory = facts.some(({ kind }) => kind === "memory");
  const marks = ["Lines without a mark are common practice"];
  if (published) marks.push("numbered ones are published");
  if (memory) marks.push("* is from memory, not checked");
  return `${marks.join("; ")}. Your own shed decides.`;
}

function OwnRange({ view: { variety } }: { view: BlockView }) {
  const ends = [variety?.fields.temp_low_c ?? null, variety?.fields.temp_high_c ?? null];
  const known = ends.filter((end) => end !== null);
  if (known.length === 0) return null;
  return (
    <tr>
      <th scope="row">Your own range</th>
      <td>
        <strong>{known.join(" to ")} °C</strong>
      </td>
    </tr>
  );
}

function Sources({ of }: { of: readonly string[] }) {
  return (
    <details class="small">
      <summary>Sources</summary>
      <ol class="sources">
        {of.map((source) => (
          <li key={source}>{source}</li>
        ))}
      </ol>
    </details>
  );
}

function Mark({ of }: { of: string }) {
  return of ? <span class="quiet small">[{of}]</span> : null;
}

function rows(own: Facts, all: Facts): [string, readonly Fact[]][] {
  const names = Object.keys(NAMES).filter((name) => own[name] || all[name]);
  return names.map((name) => [name, [...(own[name] ?? []), ...(all[name] ?? [])]]);
}

/** Ranges are printed with a dash of their own, not a hyphen. */
function dashed(text: string): string {
  return text.replace(/([0-9])-([0-9])/g, "$1–$2");
}
