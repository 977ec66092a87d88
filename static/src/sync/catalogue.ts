/** Brings the catalogue of species to the phone: a file of the release, from the worker's cache when there is no server. */
import { read_catalogue, set_catalogue } from "../records/catalogue";
import type { Phone } from "./device";

declare const __CATALOGUE__: string; // its address, filled in by the build

const LONGEST_MS = 10_000;

/** Without it the app says nothing of any species, and keeps records all the same: so it fails in silence. */
export async function fetchCatalogue({ fetch }: Pick<Phone, "fetch">): Promise<void> {
  try {
    const answer = await fetch(__CATALOGUE__, { method: "GET", signal: AbortSignal.timeout(LONGEST_MS) });
    if (answer.ok) set_catalogue(read_catalogue(await answer.json()));
  } catch {
    // no server and no worker: what was read before stays, at first nothing
  }
}
