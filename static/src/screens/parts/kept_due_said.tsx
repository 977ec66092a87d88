/** What of the kept crop needs a hand today, in words. */
import type { DryingView } from "../../records/keeping_view";
import { dayWords, localDay, timeWords } from "../dates";
import type { KeepingDue } from "../due";
import { now } from "../here";
import { Label } from "./label";

export function KeptDueSaid({ dues }: { dues: readonly KeepingDue[] }) {
  return (
    <section aria-labelledby="due-kept">
      <h2 id="due-kept">Drying, jars, extracts</h2>
      <ul class="list">
        {dues.map((due) => (
          <li class="line" key={`${due.kind} ${due.key}`}>
            <a class="grow" href={address(due)}>
              <span class="first">
                {"label" in due.view.fields && <Label code={due.view.fields.label} />}
                <strong>{act(due)}</strong>
              </span>
              <span class="quiet small">{words(due)}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function address({ kind, key }: KeepingDue): string {
  if (kind === "weigh_again") return `#/drying/${key}`;
  return kind === "strain" || kind === "shake" ? `#/extract/${key}` : `#/jar/${key}`;
}

function act(due: KeepingDue): string {
  switch (due.kind) {
    case "weigh_again":
      return `Weigh ${contents(due.view)} again`;
    case "strain":
      return `Strain ${due.view.fields.name}`;
    case "shake":
      return `Shake ${due.view.fields.name}`;
    case "look_into_jars":
      return `Look into ${due.view.fields.what}`;
    case "best_before":
      return `Use ${due.view.fields.what}`;
  }
}

/** A load is told by what is in it, each variety once. */
function contents({ parts }: DryingView): string {
  const varieties = new Set(parts.flatMap(({ variety }) => variety?.fields.name ?? []));
  return varieties.size > 0 ? [...varieties].join(" and ") : "the load";
}

function words(due: KeepingDue): string {
  const today = localDay(new Date(now.value));
  const day = dayWords(due.day, today);
  switch (due.kind) {
    case "weigh_again":
      return due.at !== null && due.at > now.value
        ? `from ${timeWords(due.at)}`
        : "it has dried on for half an hour or more";
    case "strain":
      return strainWords(due.until, day, today);
    case "shake":
      return due.day < today ? `was due ${day}` : "due today";
    case "look_into_jars":
      return "damp on the glass or soft pieces: dry them on";
    case "best_before":
      return `your own date, ${day}`;
  }
}

function strainWords(until: string | null, day: string, today: string): string {
  if (until === null) return `from ${day}`;
  const last = dayWords(until, today);
  return until < today ? `was due by ${last}` : `between ${day} and ${last}`;
}
