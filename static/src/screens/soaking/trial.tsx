/** A soaking trial: its clock, what the weighings say, and the table of them. */
import type { TrialView } from "../../records/keeping_view";
import { awayWords, stampWords } from "../dates";
import { keeping, mass, mayPick, now } from "../here";
import { volumeParts, volumeWords } from "../keeping/typed_amounts";
import { Absent, Barred } from "../parts/absent";
import { Figure, Named } from "../parts/figure";
import { Frame } from "../parts/frame";
import { Where } from "../parts/where";
import type { Route } from "../route";
import { Curve } from "./trial_curve";
import {
  cameBack,
  minutesWords,
  soakWords,
  type TrialFacts,
  takenUp,
  trialFacts,
  trialName,
} from "./trial_facts";
import { NewTrial, TrialForm } from "./trial_form";
import { TrialWeigh } from "./trial_weigh";
import { clockMinutes, hoursWords } from "./trial_weighing";

export function TrialScreen({ id, part }: Route) {
  const view = keeping.value.trial.get(id);
  if (!mayPick.value && (id === "new" || part)) return <Barred to={view ? `#/trial/${id}` : "#/keeping"} />;
  if (id === "new") {
    return (
      <Frame title="Soak back" from="#/keeping">
        <p class="quiet">
          Weigh dried mushrooms, put them into water, and weigh them drained a few times: three times or more
          tell how long a soak takes.
        </p>
        <NewTrial key={part} from={part} />
      </Frame>
    );
  }
  if (!view) return <Absent what="trial" to="#/keeping" />;
  if (part === "edit") {
    return (
      <Frame title="Change this trial" from={`#/trial/${id}`}>
        <TrialForm row={view.row} />
      </Frame>
    );
  }
  return part ? <TrialWeigh key={part} view={view} id={part} /> : <Trial view={view} />;
}

function Trial({ view }: { view: TrialView }) {
  const facts = trialFacts(view);
  return (
    <Frame title={`Soaking ${trialName(view)}`} from="#/keeping" acts={mayPick.value && <Acts view={view} />}>
      <Began view={view} />
      {facts.points.length === 0 ? <Waiting view={view} /> : <Answer view={view} facts={facts} />}
      {facts.points.length > 0 && <Weighings view={view} facts={facts} />}
      <p class="care">Cook mushrooms thoroughly. Whoever eats a kind for the first time tries a little.</p>
    </Frame>
  );
}

function Acts({ view }: { view: TrialView }) {
  return (
    <>
      <a class="tap main" href={`#/trial/${view.id}/weigh`}>
        Weigh
      </a>
      <a class="tap" href={`#/trial/${view.id}/edit`}>
        Change
      </a>
    </>
  );
}

function Began({ view: { fields, jar, row } }: { view: TrialView }) {
  const { at, water_c, water_ml, note } = fields;
  const water = [water_ml !== null && volumeWords(water_ml), water_c !== null && `${water_c} °C`]
    .filter(Boolean)
    .join(" at ");
  const from = jar && `from jar ${jar.fields.label}`;
  return (
    <div>
      <p class="quiet">
        {[`Into the water ${stampWords(at, now.value)}`, water, from].filter(Boolean).join(", ")}
      </p>
      {note && <p>{note}</p>}
      <Where at={row.where} />
    </div>
  );
}

/** The clock runs while nothing is weighed yet. */
function Waiting({ view }: { view: TrialView }) {
  const minutes = clockMinutes(view.fields.at, now.value);
  if (minutes === "")
    return <p>It went in {awayWords(Date.parse(view.fields.at), now.value)}. Nothing was weighed.</p>;
  return (
    <>
      <p>
        <InWater minutes={Number(minutes)} />
      </p>
      <p>Lift them out, let them drain, weigh them, and put them back. Do so three times or more.</p>
    </>
  );
}

function InWater({ minutes }: { minutes: number }) {
  if (minutes < 60) return <Figure hero digits={String(minutes)} unit="min in the water" />;
  return (
    <>
      <Figure hero digits={String(Math.floor(minutes / 60))} unit="h" />{" "}
      <Figure hero digits={String(minutes % 60)} unit="min in the water" />
    </>
  );
}

function Answer({ view, facts }: { view: TrialView; facts: TrialFacts }) {
  const minutes = clockMinutes(view.fields.at, now.value);
  return (
    <section aria-label="What the weighings say">
      {minutes !== "" && Number(minutes) < 2 * facts.longest + 60 && (
        <p class="quiet">{hoursWords(Number(minutes))} in the water now.</p>
      )}
      {facts.nearly !== null ? (
        <p class="lead">
          <strong>{soakWords(facts)}</strong>
        </p>
      ) : (
        <p>No curve yet. {facts.refusal}</p>
      )}
      <Curve facts={facts} />
      <Numbers view={view} facts={facts} />
    </section>
  );
}

function Numbers({ view, facts }: { view: TrialView; facts: TrialFacts }) {
  const { soaked_ratio: ratio, nearly, longest } = facts;
  if (ratio === null) return null;
  const { dry_g } = view.fields;
  const last = facts.points.at(-1);
  const back = last && cameBack(view, last.drained_g);
  const at =
    nearly !== null && nearly <= longest
      ? `by the curve, after ${minutesWords(nearly)}`
      : "the highest weighed";
  const [digits, unit] = volumeParts(takenUp(dry_g, ratio));
  return (
    <dl class="figures">
      <Named name="Rehydration ratio" why={`drained over dry, ${at}`}>
        <Figure digits={ratio.toFixed(1)} unit="to 1" />
      </Named>
      <Named name="Water taken up" why={`by ${mass(dry_g)}; put in more, so that it stays covered`}>
        <Figure digits={digits} unit={unit} />
      </Named>
      <Named
        name="Coefficient of rehydration"
        wide
        why={
          back
            ? `of its fresh mass was back after ${minutesWords(last.minutes)}; ${back.ground}`
            : "needs a variety whose water content is published"
        }
      >
        {back && <Figure digits={(100 * back.share).toFixed(0)} unit="%" />}
      </Named>
    </dl>
  );
}

function Weighings({ view, facts }: { view: TrialView; facts: TrialFacts }) {
  return (
    <section>
      <h2>Weighings</h2>
      <table class="plain figured">
        <thead>
          <tr>
            <th scope="col">After</th>
            <th scope="col">Drained</th>
            <th scope="col">Times dry</th>
          </tr>
        </thead>
        <tbody>
          {facts.points.map(({ id, minutes, drained_g, ratio }) => (
            <tr key={id}>
              <th scope="row">
                <a class="cell" {...(mayPick.value ? { href: `#/trial/${view.id}/${id}` } : {})}>
                  {minutes} min
                </a>
              </th>
              <td>{mass(drained_g)}</td>
              <td>{ratio === null ? "lighter than dry: check it" : ratio.toFixed(2)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
