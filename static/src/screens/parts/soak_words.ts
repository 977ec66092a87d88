/** What a soak did to a block's mass, in words. */
import { mass } from "../here";

/** "took up 310 g of water, 15 %": grams that came on, and their share of the mass before. */
export function waterWords(before_g: number, after_g: number): string {
  const grams = after_g - before_g;
  const share = `${Math.round((100 * Math.abs(grams)) / before_g)} %`;
  return grams < 0 ? `lost ${mass(-grams)}, ${share}` : `took up ${mass(grams)} of water, ${share}`;
}
