/** An extract: where it stands and what comes next, its estimates, and its steps in time. */
import type { ExtractView } from "../../records/keeping_view";
import { STEPS as ALL_STEPS, type Step } from "../../records/types";
import { dayOf, localDay, stampWords, timeWords, whenWords } from "../dates";
import { keeping, mass, mayPick, now } from "../here";
import { volumeWords } from "../keeping/typed_amounts";
import { MUSHROOMS, STEPS } from "../keeping_words";
import { Absent, Barred } from "../parts/absent";
import { Frame } from "../parts/frame";
import { Tap } from "../parts/tap";
import { Where } from "../parts/where";
import type { Route } from "../route";
import { MedicineCare, SpiritCare } from "./extract_cautions";
import { datesOf, mayStrain, type Stage, stageOf } from "./extract_dates";
import { expectedOf, volumesOf } from "./extract_expected";
import { ExtractFigures } from "./extract_figures";
import { ExtractForm, NewExtract } from "./extract_form";
import { atOnce, ExtractStepForm, NewStep, stepDone } from "./extract_step";

export function ExtractScreen({ id, part }: Route) {
  const view = keeping.value.extract.get(id);
  if (!mayPick.value && (id === "new" || part)) return <Barred to={view ? `#/extract/${id}` : "#/keeping"} />;
  if (id === "new") {
    return (
      <Frame title="New extract" from="#/keeping">
        <p class="quiet">Two stages: spirit first, then water; at the end the two are joined.</p>
        <NewExtract key={part} from={part} />
      </Frame>
    );
  }
  if (!view) return <Absent what="extract" to="#/keeping" />;
  return part ? <Part key={part} view={view} part={part} /> : <Standing view={view} />;
}

function Part({ view, part }: { view: ExtractView; part: string }) {
  const home = `#/extract/${view.id}`;
  const { name } = view.fields;
  if (part === "edit") {
    return (
      <Frame title={`Change ${name}`} from={home}>
        <ExtractForm row={view.row} />
      </Frame>
    );
  }
  const what = ALL_STEPS.find((step) => step === part);
  const row = view.steps.find((step) => step.id === part);
  if (!what && !row) return <Absent what="step" to={home} />;
  return (
    <Frame title={`${name}: ${STEPS[what ?? row?.fields.what ?? "note"].toLowerCase()}`} from={home}>
      {what ? <NewStep view={view} what={what} /> : row && <ExtractStepForm row={row} />}
    </Frame>
  );
}

function Standing({ view }: { view: ExtractView }) {
  const stage = stageOf(view);
  return (
    <Frame
      title={view.fields.name}
      from="#/keeping"
      acts={mayPick.value && stage !== "bottled" && <Acts view={view} stage={stage} />}
    >
      <MadeOf view={view} />
      <Next view={view} stage={stage} />
      <section>
        <h2>{stage === "steeping" ? "What to expect" : "What it should be"}</h2>
        <ExtractFigures
          expected={expectedOf(view.fields, volumesOf(view))}
          fields={view.fields}
          done={stage === "bottled"}
        />
      </section>
      {mayPick.value && <Others view={view} stage={stage} />}
      <Story view={view} />
      {mayPick.value && (
        <a class="tap" href={`#/extract/${view.id}/edit`}>
          Change this extract
        </a>
      )}
      {(stage === "steeping" || stage === "strained") && <SpiritCare />}
      <MedicineCare />
    </Frame>
  );
}

function MadeOf({ view: { fields, jar, variety, row } }: { view: ExtractView }) {
  const what = `${mass(fields.mass_g)} ${MUSHROOMS[fields.mushroom].toLowerCase()}`;
  const kind = variety?.fields.name ?? "mushrooms";
  const from = jar ? ` from jar ${jar.fields.label}` : "";
  return (
    <div>
      <p class="quiet">
        {what} {kind}
        {from} in {volumeWords(fields.spirit_ml)} of spirit at {fields.spirit_pct} %, poured{" "}
        {stampWords(fields.started, now.value)}
      </p>
      {fields.note && <p>{fields.note}</p>}
      <Where at={row.where} />
    </div>
  );
}

const NEXT: Record<Exclude<Stage, "steeping" | "bottled">, string> = {
  strained: "Next: boil the mushrooms in water, strain, and note how much water stage there is.",
  boiled: "Next: join the two stages, and bring them to your strength.",
  joined: "Next: bottle it.",
};

function Next({ view, stage }: { view: ExtractView; stage: Stage }) {
  if (stage === "bottled") {
    const at = view.steps.findLast(({ fields }) => fields.what === "bottled")?.fields.at;
    return <p class="lead">{at && `Bottled ${whenWords(at, now.value)}.`}</p>;
  }
  if (stage !== "steeping") return <p class="lead">{NEXT[stage]}</p>;
  return (
    <div class="lead">
      {datesOf(view).map((words) => (
        <p key={words}>{words}</p>
      ))}
    </div>
  );
}

const FOLLOWS: Record<Exclude<Stage, "bottled">, Step> = {
  steeping: "strained",
  strained: "boiled",
  boiled: "joined",
  joined: "bottled",
};

/** What comes next is the act; while it steeps that is shaking, until the day it may be strained. */
function Acts({ view, stage }: { view: ExtractView; stage: Exclude<Stage, "bottled"> }) {
  const next = FOLLOWS[stage];
  if (stage !== "steeping") return <StepTap view={view} what={next} main />;
  const [first, second]: Step[] = mayStrain(view) ? [next, "shaken"] : ["shaken", next];
  return (
    <>
      {first && <StepTap view={view} what={first} main />}
      {second && <StepTap view={view} what={second} />}
    </>
  );
}

function StepTap({ view, what, main = false }: { view: ExtractView; what: Step; main?: boolean }) {
  if (atOnce(what)) {
    return (
      <Tap {...(main ? { look: "main" as const } : {})} onTap={() => stepDone(view, what)}>
        {STEPS[what]}
      </Tap>
    );
  }
  return (
    <a class={main ? "tap main" : "tap"} href={`#/extract/${view.id}/${what}`}>
      {STEPS[what]}
    </a>
  );
}

function Others({ view, stage }: { view: ExtractView; stage: Stage }) {
  const acts = stage === "steeping" ? ["shaken", "strained"] : stage === "bottled" ? [] : [FOLLOWS[stage]];
  return (
    <details>
      <summary>Note another step</summary>
      <ul class="kinds">
        {ALL_STEPS.filter((what) => !acts.includes(what)).map((what) => (
          <li key={what}>
            <StepTap view={view} what={what} />
          </li>
        ))}
      </ul>
    </details>
  );
}

function Story({ view }: { view: ExtractView }) {
  if (view.steps.length === 0) return null;
  const today = localDay(new Date(now.value));
  return (
    <section>
      <h2>Its steps</h2>
      <ul class="entries">
        {view.steps.map(({ id, fields: { what, at, volume_ml, note }, where }) => (
          <li key={id}>
            <time dateTime={at}>
              {whenWords(at, now.value)}
              {dayOf(at) !== today && <br />}
              {dayOf(at) !== today && timeWords(at)}
            </time>
            <span class="what">
              <a {...(mayPick.value ? { href: `#/extract/${view.id}/${id}` } : {})}>
                {[what === "note" ? note : STEPS[what], volume_ml !== null && volumeWords(volume_ml)]
                  .filter(Boolean)
                  .join(", ")}
                {what !== "note" && note && `: ${note}`}
              </a>
              <Where at={where} />
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
