/** What is expected of an extract, all of it estimates: of the plan, and better once volumes were measured. */

import { two_stage } from "../../calc/brews";
import type { Estimate } from "../../calc/estimates";
import { type DualExtract, dual_extract } from "../../calc/extracts";
import type { ExtractView } from "../../records/keeping_view";
import type { Extract, Step } from "../../records/types";
import { volumeParts } from "../keeping/typed_amounts";
import { unless } from "../keeping/unless";

export interface Expected {
  all: DualExtract;
  /** mL of strained water stage that make the setting, from its upper to its lower end; null once it is boiled */
  waterStage: { low: number; high: number } | null;
  strained: boolean;
  boiled: boolean;
}

type Volumes = readonly (readonly [what: string, volume_ml: number | null])[];

/** The estimates, or the calculation's words on why there are none. */
export function expectedOf(fields: Extract, steps: Volumes): { value: Expected } | { refusal: string } {
  const stage = two_stage({ ...fields, steps });
  const { target_low_pct: low, target_high_pct: high } = fields;
  const has = (step: Step) => steps.some(([what, volume]) => what === step && volume !== null);
  return unless(() => {
    const boiled = has("boiled");
    const weakest = () => dual_extract(stage, [low, low]);
    const strongest = () => dual_extract(stage, [high, high]);
    return {
      all: dual_extract(stage, [low, high]),
      // Water brings the spirit stage alone down to either end: that much water stage will do.
      waterStage: boiled
        ? null
        : { low: strongest().water_still_ml.value, high: weakest().water_still_ml.value },
      strained: has("strained"),
      boiled,
    };
  });
}

export function volumesOf({ steps }: ExtractView): Volumes {
  return steps.map(({ fields }) => [fields.what, fields.volume_ml] as const);
}

/** "320 to 440 mL", "0.9 to 1.2 L"; "" where the ends are one. */
export function volumeRange({ low, high }: Estimate): string {
  const [from, unit] = volumeParts(low);
  const to = volumeParts(high);
  if (from === to[0] && unit === to[1]) return "";
  return unit === to[1] ? `${from} to ${to.join(" ")}` : `${from} ${unit} to ${to.join(" ")}`;
}

/** "27 %", with a decimal only where the ends lie close. */
export function strengthParts({ value, low, high }: Estimate): { digits: string; range: string } {
  const shown = (pct: number) => pct.toFixed(high - low < 3 ? 1 : 0).replace(".0", "");
  const [from, to] = [shown(low), shown(high)];
  return { digits: shown(value), range: from === to ? "" : `${from} to ${to} %` };
}
