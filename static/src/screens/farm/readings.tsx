/** The air of a place: the last reading and what it means, the readings before it, and the cautions of closed rooms. */
import type { Standing } from "../../records/farm_view";
import type { Id, Reading } from "../../records/types";
import { stampWords } from "../dates";
import { mayPick, now } from "../here";
import { Wrong } from "../parts/field";
import { Figure, Named } from "../parts/figure";
import { Where } from "../parts/where";
import { ReadingLines } from "./readings_lines";
import { airOf, CO2_LIMIT_PPM, readingsOf } from "./readings_words";

const SHOWN = 20; // rows of the table

export function Readings({ place }: { place: Id }) {
  const readings = readingsOf(place);
  const last = readings.at(-1);
  return (
    <section>
      <h2>The air here</h2>
      {last ? (
        <>
          <Last reading={last} />
          <ReadingLines readings={readings} />
          <Table place={place} readings={readings} />
        </>
      ) : (
        <p>
          Nothing read yet. Temperature and humidity tell how hard the air dries and where water condenses.
        </p>
      )}
      <AirCare />
    </section>
  );
}

function Last({ reading: { fields, where } }: { reading: Standing<"reading"> }) {
  const air = airOf(fields);
  const { co2_ppm } = fields;
  return (
    <>
      <p class="quiet">
        Read {stampWords(fields.at, now.value)} <Where at={where} />
      </p>
      {co2_ppm !== null && co2_ppm >= CO2_LIMIT_PPM && (
        <Wrong>
          {co2_ppm} ppm of carbon dioxide is at or above the usual 8-hour limit for people: air the room
          before you go in.
        </Wrong>
      )}
      <dl class="figures">
        <Measured fields={fields} />
        {air && (
          <>
            <Named name="Dew point" why="water settles on whatever is colder than this">
              <Figure digits={air.dew_c.toFixed(1)} unit="°C" />
            </Named>
            <Named name="Vapour pressure deficit" why="how hard the air pulls water out of caps">
              <Figure digits={air.deficit_kpa.toFixed(2)} unit="kPa" />
            </Named>
          </>
        )}
      </dl>
      {air ? (
        <p>{air.means}</p>
      ) : (
        <p class="quiet">Temperature and humidity together tell how hard it dries.</p>
      )}
      {fields.note && <p>{fields.note}</p>}
    </>
  );
}

function Measured({ fields: { temp_c, rh_pct, co2_ppm } }: { fields: Reading }) {
  return (
    <>
      {temp_c !== null && (
        <Named name="Temperature">
          <Figure digits={String(temp_c)} unit="°C" />
        </Named>
      )}
      {rh_pct !== null && (
        <Named name="Humidity">
          <Figure digits={String(rh_pct)} unit="%" />
        </Named>
      )}
      {co2_ppm !== null && (
        <Named name="Carbon dioxide">
          <Figure digits={String(co2_ppm)} unit="ppm" />
        </Named>
      )}
    </>
  );
}

function Table({ place, readings }: { place: Id; readings: readonly Standing<"reading">[] }) {
  const shown = readings.slice(-SHOWN).reverse();
  return (
    <details>
      <summary>The readings as a table</summary>
      <table class="plain figured">
        <thead>
          <tr>
            <th scope="col">When</th>
            <th scope="col">°C</th>
            <th scope="col">%</th>
            <th scope="col">ppm</th>
          </tr>
        </thead>
        <tbody>
          {shown.map(({ id, fields: { at, temp_c, rh_pct, co2_ppm } }) => (
            <tr key={id}>
              <th scope="row">
                <a class="cell" {...(mayPick.value ? { href: `#/place/${place}/${id}` } : {})}>
                  {stampWords(at, now.value)}
                </a>
              </th>
              <td>{temp_c ?? "–"}</td>
              <td>{rh_pct ?? "–"}</td>
              <td>{co2_ppm ?? "–"}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {readings.length > SHOWN && (
        <p class="small quiet">
          The latest {SHOWN} of {readings.length}.
        </p>
      )}
    </details>
  );
}

export function AirCare() {
  return (
    <div class="care">
      <p>
        Carbon dioxide gathers in closed rooms: air them before you go in. 5,000 ppm is the usual 8-hour limit
        for people; local workplace rules come first.
      </p>
      <p>
        Heaters, foggers and wet floors: use what is made for wet places, behind residual-current protection;
        a licensed electrician does the wiring.
      </p>
    </div>
  );
}
