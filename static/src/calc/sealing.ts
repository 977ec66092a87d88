/** How much oxygen a closed container holds, and how many absorbers take it up. It says nothing of whether to seal. Validity and errors: as harvestlog/calc/sealing.py, on the same examples. */
import { above_zero, zero_or_more } from "./acceptable";
import { Unacceptable } from "./errors";

export const OXYGEN_SHARE = 0.2095; // of dry air by volume

/** A fill that takes more room than the container has. */
export class OverFull extends Unacceptable {
  override name = "OverFull";
}

/** Millilitres of oxygen in a container of air, less the room its fill takes at a bulk density in g/mL. Leave the fill out: counting the whole container as air is the safe side; dried mushrooms are mostly air, which a bulk density counts as mushroom. Source: 0.2095 x air. */
export function oxygen_ml(container_ml: number, fill_g = 0, bulk_density_g_ml = 1): number {
  const container = above_zero("volume of the container", container_ml);
  const taken = zero_or_more("fill", fill_g) / above_zero("bulk density", bulk_density_g_ml);
  if (taken > container)
    throw new OverFull(
      `The fill, ${fill_g} g, takes ${taken.toFixed(0)} mL, more than the ${container} mL of the container: check both.`,
    );
  return OXYGEN_SHARE * (container - taken);
}

/** Absorbers, each rated to take up absorber_ml of oxygen, for so many millilitres of oxygen; a part of one is one more. Source: the rating is millilitres of oxygen, not of air (common practice, no source). */
export function absorbers_needed(oxygen_ml: number, absorber_ml: number): number {
  const oxygen = zero_or_more("oxygen", oxygen_ml);
  const one = above_zero("rating of one absorber", absorber_ml);
  return Math.max(0, Math.ceil(oxygen / one - 1e-9)); // 0.2095 x 2000 / 419 is a hair above 1 in a computer
}
