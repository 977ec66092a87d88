/** Loads on the front page: what is in the dryer, what came out and is in no jar, and what is past. */
import type { DryingView } from "../../records/keeping_view";
import { awayWords, dayWords, localDay } from "../dates";
import { keeping, mayPick, now } from "../here";
import { Where } from "../parts/where";
import { plain } from "./amounts";
import { expectedEnd } from "./drying_says";
import { contents, loadOf, unjarred, verdictOf } from "./loads";

const JUST_OUT_MS = 14 * 86_400_000;

export function Loads() {
  const loads = [...keeping.value.drying.values()].sort(
    (a, b) => Date.parse(b.fields.started) - Date.parse(a.fields.started),
  );
  const drying = loads.filter(({ fields }) => fields.ended === null);
  const ended = loads.filter(({ fields }) => fields.ended !== null);
  const loose = ended.filter((view) => unjarred(view) > 0 && isJustOut(view));
  const earlier = ended.filter((view) => !loose.includes(view));
  return (
    <section>
      <h2>In the dryer</h2>
      {drying.length === 0 && <p class="quiet">Nothing at the moment. Put picks in as a new load.</p>}
      <ul class="list">
        {drying.map((view) => (
          <LoadRow key={view.id} view={view} />
        ))}
      </ul>
      {loose.length > 0 && <h3>Dry, in no jar yet</h3>}
      <ul class="list">
        {loose.map((view) => (
          <LooseRow key={view.id} view={view} />
        ))}
      </ul>
      {earlier.length > 0 && (
        <details>
          <summary>Earlier loads, {earlier.length}</summary>
          <ul class="list">
            {earlier.map((view) => (
              <EarlierRow key={view.id} view={view} />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

function isJustOut({ fields }: DryingView): boolean {
  return Date.parse(fields.ended ?? "") > now.value - JUST_OUT_MS;
}

function LoadRow({ view }: { view: DryingView }) {
  const last = view.weighings.at(-1)?.fields;
  const verdict = verdictOf(view);
  const end = expectedEnd(loadOf(view));
  const said = [
    last ? `${plain(last.mass_g)} ${awayWords(Date.parse(last.at), now.value)}` : "not weighed yet",
    end && `likely to end at ${end}`,
    "verdict" in verdict && verdict.verdict === "constant" && "constant weight",
  ];
  return (
    <li class="line">
      <a class="grow" href={`#/drying/${view.id}`}>
        <strong>{contents(view)}</strong>
        <span class="quiet small">
          {plain(view.wet_g)} in {awayWords(Date.parse(view.fields.started), now.value)};{" "}
          {said.filter(Boolean).join(", ")}
        </span>
        <Where at={view.row.where} />
      </a>
      {mayPick.value && (
        <a class="tap" href={`#/drying/${view.id}/weigh`} aria-label={`Weigh the load: ${contents(view)}`}>
          Weigh
        </a>
      )}
    </li>
  );
}

function LooseRow({ view }: { view: DryingView }) {
  return (
    <li class="line">
      <a class="grow" href={`#/drying/${view.id}`}>
        <strong>{contents(view)}</strong>
        <span class="quiet small">
          {plain(unjarred(view))}, out {awayWords(Date.parse(view.fields.ended ?? ""), now.value)}
        </span>
      </a>
      {mayPick.value && (
        <a class="tap" href={`#/jar/new/${view.id}`} aria-label={`Fill a jar with ${contents(view)}`}>
          Fill a jar
        </a>
      )}
    </li>
  );
}

function EarlierRow({ view }: { view: DryingView }) {
  const { fields, wet_g } = view;
  const day = dayWords(localDay(new Date(fields.started)), localDay(new Date(now.value)));
  const dried = fields.dry_g === null ? "not weighed at the end" : `to ${plain(fields.dry_g)}`;
  return (
    <li>
      <a class="room" href={`#/drying/${view.id}`}>
        <span>
          <strong class="plainly">{contents(view)}</strong>, {day}
        </span>
        <span class="quiet small">
          {plain(wet_g)} {dried}
        </span>
      </a>
    </li>
  );
}
