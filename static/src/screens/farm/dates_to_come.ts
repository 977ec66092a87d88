/** Everything that falls due on the farm, with the words to know it by; the server's calendar joins the same. */
import { due } from "../../calc/due";
import { blockFacts, extractFacts, jarFacts, loadFacts } from "../../records/due";
import type { BlockView } from "../../records/farm_view";
import type { Entry } from "../../records/icalendar";
import type { DryingView } from "../../records/keeping_view";
import { dayOfMs } from "../due";
import { daysOf } from "../facts";
import { comingOf } from "../foresight";
import { farm, keeping, now, stateOf } from "../here";

export type Named = Pick<Entry, "name" | "about">;

export function datesToCome(): Entry[] {
  const { drying, jar, extract } = keeping.value;
  const blocks = [...farm.value.block.values()];
  const facts = [
    ...blocks.map((view) => blockFacts(view, daysOf(view).pins, expectedOf(view))),
    ...[...drying.values()].map(loadFacts),
    ...[...jar.values()].map(jarFacts),
    ...[...extract.values()].map(extractFacts),
  ];
  const names = new Map<string, Named>([
    ...blocks.map((view) => [view.id, blockName(view)] as const),
    ...[...drying.values()].map((view) => [view.id, loadName(view)] as const),
    ...[...jar.values()].map(
      ({ id, fields, place }) =>
        [id, { name: fields.label, about: [fields.what, place?.fields.name ?? ""] }] as const,
    ),
    ...[...extract.values()].map(({ id, fields }) => [id, { name: fields.name, about: [] }] as const),
  ]);
  return due(facts, now.value, dayOfMs).map((one) => ({
    ...one,
    ...(names.get(one.key) ?? { name: "", about: [] }),
  }));
}

function expectedOf(view: BlockView) {
  const next = stateOf(view) === "resting" ? comingOf(view)?.next : undefined;
  const { first_day, chance_of_nothing } = next ?? {};
  return first_day && typeof chance_of_nothing === "number" ? { first_day, chance_of_nothing } : null;
}

function blockName({ fields, variety, place }: BlockView): Named {
  return { name: fields.label, about: [variety?.fields.name ?? "", place?.fields.name ?? ""] };
}

/** A load is told by what is in it, each variety once. */
function loadName({ parts }: DryingView): Named {
  const varieties = parts.flatMap(({ variety }) => variety?.fields.name ?? []);
  return { name: [...new Set(varieties)].join(", "), about: [] };
}
