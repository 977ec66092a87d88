/** What is said of the species, each saying with how far to trust it; the grower's own range stands above. */
import { CATALOGUE, type Fact, type Facts, trust } from "../../records/catalogue";
import type { BlockView } from "../../records/farm_view";
import { speciesOf } from "../facts";

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

export function SpeciesNotes({ view }: { view: BlockView }) {
  const species = speciesOf(view);
  const { temp_low_c: low, temp_high_c: high } = view.variety?.fields ?? {
    temp_low_c: null,
    temp_high_c: null,
  };
  if (!species) {
    return (
      <p class="care">
        This variety has no species noted. Eat only what the block was sold as; when in doubt, throw it out.
      </p>
    );
  }
  return (
    <details>
      <summary>What is said of {species.trade_names[0] ?? species.latin}</summary>
      <p class="quiet">
        <i>{species.latin}</i> {species.remark}
      </p>
      <table class="plain">
        <tbody>
          {(low !== null || high !== null) && (
            <tr>
              <th scope="row">Your own range</th>
              <td>
                <strong>{[low, high].filter((end) => end !== null).join(" to ")} °C</strong>
              </td>
            </tr>
          )}
          {rows(species.facts, CATALOGUE.all_species).map(([name, facts]) => (
            <tr key={name}>
              <th scope="row">{NAMES[name] ?? name}</th>
              <td>
                {facts.map((fact) => (
                  <p key={fact.text}>
                    {dashed(fact.text)} <span class="quiet small">{trust(fact)}</span>
                  </p>
                ))}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="small quiet">Sources differ; your own shed decides.</p>
    </details>
  );
}

function rows(own: Facts, all: Facts): [string, readonly Fact[]][] {
  const names = Object.keys(NAMES).filter((name) => own[name] || all[name]);
  return names.map((name) => [name, [...(own[name] ?? []), ...(all[name] ?? [])]]);
}

/** Ranges are printed with a dash of their own, not a hyphen. */
function dashed(text: string): string {
  return text.replace(/([0-9])-([0-9])/g, "$1–$2");
}
