/** One load: what it weighs now, what it should come to, its curve, what went in and where it went. */
import type { DryingView, PartView } from "../../records/keeping_view";
import { awayWords, dayOf, dayWords, localDay, stampWords } from "../dates";
import { keeping, mayPick, now } from "../here";
import { METHODS } from "../keeping_words";
import { Absent, Barred } from "../parts/absent";
import { FactsTable, type Noted } from "../parts/facts_table";
import { Wrong } from "../parts/field";
import { MassFigure } from "../parts/figure";
import { Frame } from "../parts/frame";
import { Label } from "../parts/label";
import { Where } from "../parts/where";
import type { Route } from "../route";
import { plain } from "./amounts";
import { DryingCurve, Weighings } from "./drying_curve_drawn";
import { LoadEdit, PartEdit } from "./drying_edit";
import { MoreIn, NewLoad } from "./drying_new";
import { expectedWords, Says } from "./drying_says";
import { LoadWeighing, OutOfDryer } from "./drying_weigh";
import { contents, isConstant, loadOf, unjarred } from "./loads";
import { sharesOf } from "./shares";

export function DryingScreen({ id, part }: Route) {
  const view = keeping.value.drying.get(id);
  if (!mayPick.value && (id === "new" || part)) return <Barred to={view ? `#/drying/${id}` : "#/keeping"} />;
  if (id === "new") return <NewLoad />;
  if (!view) return <Absent what="load" to="#/keeping" />;
  return part ? <Within key={part} view={view} part={part} /> : <Load view={view} />;
}

/** A page of one load; any other word is the id of a weighing or of something that went in. */
function Within({ view, part }: { view: DryingView; part: string }) {
  if (part === "weigh") return <LoadWeighing load={view} />;
  if (part === "out") return <OutOfDryer load={view} />;
  if (part === "more") return <MoreIn id={view.id} />;
  if (part === "edit") return <LoadEdit view={view} />;
  const weighing = view.weighings.find(({ id }) => id === part);
  if (weighing) return <LoadWeighing load={view} seen={weighing} />;
  const put = view.parts.find(({ row }) => row.id === part);
  return put ? <PartEdit part={put} /> : <Absent what="weighing" to={`#/drying/${view.id}`} />;
}

function Load({ view }: { view: DryingView }) {
  const day = dayWords(dayOf(view.fields.started), localDay(new Date(now.value)));
  return (
    <Frame
      title={`${contents(view)}, load of ${day}`}
      heading={
        <>
          <span>{contents(view)}</span>
          <span class="quiet small plainly">Load of {day}</span>
        </>
      }
      from="#/keeping"
      acts={mayPick.value && <Acts view={view} />}
    >
      <Standing view={view} />
      {view.fields.ended === null && <Says view={view} />}
      <section>
        <DryingCurve view={view} />
        <Weighings view={view} />
      </section>
      <WentIn view={view} />
      {view.fields.ended !== null && <Jars view={view} />}
      <Papers view={view} />
    </Frame>
  );
}

function Acts({ view }: { view: DryingView }) {
  if (view.fields.ended !== null)
    return (
      <a class="tap main" href={`#/jar/new/${view.id}`}>
        Fill a jar
      </a>
    );
  const constant = isConstant(view);
  const weigh = (
    <a class={constant ? "tap" : "tap main"} href={`#/drying/${view.id}/weigh`}>
      {constant ? "Weigh again" : "Weigh"}
    </a>
  );
  const out = (
    <a class={constant ? "tap main" : "tap"} href={`#/drying/${view.id}/out`}>
      Out of the dryer
    </a>
  );
  return (
    <>
      {constant && out}
      {weigh}
      {!constant && out}
    </>
  );
}

function Standing({ view }: { view: DryingView }) {
  const { ended, dry_g } = view.fields;
  const grams = dry_g ?? view.weighings.at(-1)?.fields.mass_g ?? (view.wet_g || null);
  const words = expectedWords(loadOf(view));
  return (
    <section>
      <div>
        {grams !== null && <MassFigure grams={grams} />}
        <p>
          {standingWords(view)} <Where at={view.row.where} />
        </p>
      </div>
      {words && (
        <p>
          This load {ended === null ? "should end" : "was expected"} {words}.
        </p>
      )}
    </section>
  );
}

/** What the large figure is: as it came out, as last weighed, or all that went in. */
function standingWords({ fields: { ended, started, dry_g }, weighings, wet_g }: DryingView): string {
  const from = `${plain(wet_g)} fresh`;
  if (dry_g !== null) return `dried, from ${from}`;
  const last = weighings.at(-1)?.fields;
  if (last) return `of ${from}, weighed ${awayWords(Date.parse(last.at), now.value)}`;
  return ended === null ? `fresh, put in ${awayWords(Date.parse(started), now.value)}` : `of ${from}`;
}

/** A share is worked out of the whole load by wet mass; it is marked, and never becomes the pick's own. */
function WentIn({ view }: { view: DryingView }) {
  const found = sharesOf(view);
  const shares = found && "shares" in found ? found.shares : {};
  return (
    <section>
      <h2>What went in</h2>
      {found && "trouble" in found && <Wrong>{found.trouble}</Wrong>}
      {view.parts.length === 0 && <p>Nothing is noted. Put in the picks that are dried together.</p>}
      <ul class="list">
        {view.parts.map((part) => (
          <PartLine
            key={part.row.id}
            part={part}
            share={shares[part.row.id]}
            alone={view.parts.length === 1}
          />
        ))}
      </ul>
      {view.parts.length > 1 && Object.keys(shares).length > 0 && (
        <p class="quiet small">
          A share is worked out by wet mass, as if all dried down alike: nobody weighed it.
        </p>
      )}
      {mayPick.value && view.fields.ended === null && (
        <a class="tap" href={`#/drying/${view.id}/more`}>
          Put more in
        </a>
      )}
    </section>
  );
}

function PartLine({ part, share, alone }: { part: PartView; share: number | undefined; alone: boolean }) {
  const { row, block, variety, pick } = part;
  return (
    <li class="line">
      <a class="grow" {...(mayPick.value ? { href: `#/drying/${row.fields.drying}/${row.id}` } : {})}>
        <span class="first">
          {block && <Label code={block.fields.label} />}
          <strong>{variety?.fields.name ?? "Unknown variety"}</strong>
        </span>
        <span class="quiet small">
          {pick ? `picked ${stampWords(pick.fields.at, now.value)}` : "from elsewhere"}{" "}
          <Where at={row.where} />
        </span>
      </a>
      <span class="sums">
        <strong>{plain(row.fields.wet_g)}</strong>
        {share !== undefined && !alone && (
          <span class="small">
            {plain(share)} <span class="quiet">share of the load</span>
          </span>
        )}
      </span>
    </li>
  );
}

function Jars({ view }: { view: DryingView }) {
  const left = unjarred(view);
  return (
    <section>
      <h2>In jars</h2>
      {view.jars.length === 0 && <p>None yet. Close it up soon: dry mushrooms draw damp from the air.</p>}
      <ul class="list">
        {view.jars.map((jar) => (
          <li key={jar.id} class="line">
            <a class="grow" href={`#/jar/${jar.id}`}>
              <span class="first">
                <Label code={jar.fields.label} /> <strong>{jar.fields.what}</strong>
              </span>
            </a>
            <strong>{plain(jar.fields.dry_g)}</strong>
          </li>
        ))}
      </ul>
      {view.jars.length > 0 && left > 0 && <p>{plain(left)} are in no jar yet.</p>}
      {left < 0 && <Wrong>The jars hold {plain(-left)} more than the load gave. Check the weights.</Wrong>}
    </section>
  );
}

function Papers({ view }: { view: DryingView }) {
  const { method, temp_c, started, ended, scale_step_g, note } = view.fields;
  const rows: Noted[] = [
    ["Dried by", METHODS[method]],
    ["Set to", temp_c !== null && `${temp_c} °C`],
    ["Put in", stampWords(started, now.value)],
    ["Taken out", ended !== null && stampWords(ended, now.value)],
    ["Scale step", scale_step_g !== null && `${scale_step_g} g`],
    ["Note", note],
  ];
  return (
    <section>
      <h2>How it is dried</h2>
      <FactsTable rows={rows} />
      {mayPick.value && (
        <a class="tap" href={`#/drying/${view.id}/edit`}>
          Change this load
        </a>
      )}
    </section>
  );
}
