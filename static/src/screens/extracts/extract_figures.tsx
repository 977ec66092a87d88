/** Estimates of an extract: each marked as one, its ends beside it, the assumptions one tap away. */

import type { ComponentChildren } from "preact";
import type { Estimate } from "../../calc/estimates";
import type { Extract } from "../../records/types";
import { volumeParts } from "../keeping/typed_amounts";
import { Figure } from "../parts/figure";
import { type Expected, strengthParts, volumeRange } from "./extract_expected";

interface Props {
  expected: { value: Expected } | { refusal: string };
  fields: Pick<Extract, "target_low_pct" | "target_high_pct">;
  /** in bottles: nothing is added any more */
  done?: boolean;
}

export function ExtractFigures({ expected, fields, done = false }: Props) {
  if ("refusal" in expected) return <p>{expected.refusal}</p>;
  const { all, waterStage, boiled, strained } = expected.value;
  const target = `${fields.target_low_pct} to ${fields.target_high_pct} %`;
  return (
    <>
      <dl class="figures">
        {boiled && <Strength name="The two joined" estimate={all.joined_pct_vol} hero />}
        {boiled && <Volume name="In all" estimate={all.joined_ml} />}
        <Strength name="Spirit stage" estimate={all.steeped_pct_vol} hero={!boiled} />
        {!strained && <Volume name="You strain off" estimate={all.strained_ml} />}
        {waterStage && !done && <WaterStage ends={waterStage} target={target} />}
        {boiled && !done && <Still all={all} fields={fields} />}
      </dl>
      <p class="quiet small">All of it {all.steeped_pct_vol.basis}; no strength was measured.</p>
      <Assumptions all={all} />
    </>
  );
}

interface One {
  name: string;
  why: string;
  wide?: boolean;
  children: ComponentChildren;
}

function Estimated({ name, why, wide = false, children }: One) {
  return (
    <div class={wide ? "wide" : undefined}>
      <dt>
        {name} <span class="estimate">Estimate</span>
      </dt>
      <dd>
        {children}
        {why && <span class="why">{why}</span>}
      </dd>
    </div>
  );
}

function Strength({ name, estimate, hero = false }: { name: string; estimate: Estimate; hero?: boolean }) {
  const { digits, range } = strengthParts(estimate);
  return (
    <Estimated name={name} wide={hero} why={range}>
      <Figure hero={hero} digits={digits} unit={hero ? "% by volume" : "%"} />
    </Estimated>
  );
}

function Volume({ name, estimate, to }: { name: string; estimate: Estimate; to?: string }) {
  const [digits, unit] = volumeParts(estimate.value);
  return (
    <Estimated name={name} why={[volumeRange(estimate), to].filter(Boolean).join(", ")}>
      <Figure digits={digits} unit={unit} />
    </Estimated>
  );
}

function WaterStage({
  ends: { low, high },
  target,
}: {
  ends: { low: number; high: number };
  target: string;
}) {
  if (high < 1)
    return (
      <Estimated name="Water stage" wide why={`the spirit stage is no stronger than your ${target}`}>
        <Figure digits="none" unit="" />
      </Estimated>
    );
  const litres = high >= 1000;
  const shown = (ml: number) =>
    litres ? (ml / 1000).toFixed(2).replace(/0$/, "") : (10 * Math.round(ml / 10)).toFixed(0);
  return (
    <Estimated
      name="Water stage"
      wide
      why={`after straining; so much brings the two together to ${target}: boil it down to that, or top it up`}
    >
      <Figure digits={`${shown(low)} to ${shown(high)}`} unit={litres ? "L" : "mL"} />
    </Estimated>
  );
}

/** Which of the two brings it to the setting; neither where it is there. */
function Still({
  all,
  fields: { target_low_pct: low, target_high_pct: high },
}: Omit<Props, "expected"> & { all: Expected["all"] }) {
  const { spirit_still_ml: spirit, water_still_ml: water } = all;
  if (spirit.value > 0)
    return (
      <Volume name="Spirit still needed" estimate={spirit} to={`to come up to ${low} %, your lower end`} />
    );
  if (water.value > 0)
    return (
      <Volume name="Water still needed" estimate={water} to={`to come down to ${high} %, your upper end`} />
    );
  return (
    <Estimated name="Still needed" why={`it lies within your ${low} to ${high} %`}>
      <Figure digits="nothing" unit="" />
    </Estimated>
  );
}

function Assumptions({ all }: { all: Expected["all"] }) {
  return (
    <details>
      <summary>What these estimates assume</summary>
      <ul class="form small said">
        {all.assumptions.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
        <li>The ends are what these assumptions allow: no measuring stands behind them.</li>
      </ul>
    </details>
  );
}
