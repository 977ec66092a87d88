/** One jar: what is left in it, what that stands for in fresh mushrooms, and where the rest went. */
import { LOOK_INTO_JARS_DAYS } from "../../calc/due";
import { later_day } from "../../calc/later_day";
import type { JarView } from "../../records/keeping_view";
import { dayOf, dayWords, localDay, whenWords } from "../dates";
import { keeping, mayPick, now } from "../here";
import { plain } from "../keeping/amounts";
import { jarWords } from "../keeping/jar_words";
import { CONTAINERS, CUTS, METHODS, USES } from "../keeping_words";
import { Absent, Barred } from "../parts/absent";
import { Doors } from "../parts/doors";
import { FactsTable, type Noted } from "../parts/facts_table";
import { Wrong } from "../parts/field";
import { MassFigure } from "../parts/figure";
import { Frame } from "../parts/frame";
import { Label } from "../parts/label";
import { Where } from "../parts/where";
import type { Route } from "../route";
import { freshWords } from "./jar_figures";
import { JarEdit, NewJar } from "./jar_form";
import { Taking } from "./jar_take";

export function JarScreen({ id, part }: Route) {
  const view = keeping.value.jar.get(id);
  if (!mayPick.value && (id === "new" || part)) return <Barred to={view ? `#/jar/${id}` : "#/keeping"} />;
  if (id === "new") return <NewJar key={part} from={part} />;
  if (!view) return <Absent what="jar" to="#/keeping" />;
  if (part === "take") return <Taking view={view} />;
  if (part === "edit") return <JarEdit view={view} />;
  const taking = view.takings.find((each) => each.id === part);
  if (taking) return <Taking key={part} view={view} seen={taking} />;
  return part ? <Absent what="taking" to={`#/jar/${id}`} /> : <Jar view={view} />;
}

function Jar({ view }: { view: JarView }) {
  const { label } = view.fields;
  return (
    <Frame
      title={`Jar ${label}, ${jarWords(view)}`}
      heading={
        <>
          <Label code={label} big />
          <span>{jarWords(view)}</span>
        </>
      }
      from="#/keeping"
      acts={mayPick.value && view.left_g > 0 && <Act view={view} />}
    >
      <Left view={view} />
      <Conditioning view={view} />
      <Takings view={view} />
      {view.left_g > 0 && <Ways view={view} />}
      <Papers view={view} />
    </Frame>
  );
}

function Act({ view }: { view: JarView }) {
  return (
    <a class="tap main" href={`#/jar/${view.id}/take`}>
      Take some out
    </a>
  );
}

function Left({ view }: { view: JarView }) {
  const { dry_g } = view.fields;
  const fresh = freshWords(view);
  return (
    <section>
      <div>
        {view.left_g > 0 ? <MassFigure grams={view.left_g} /> : <p class="figure">Empty</p>}
        <p>
          {view.left_g === dry_g
            ? "dry, none taken yet"
            : `${view.left_g > 0 ? "left " : ""}of ${plain(dry_g)} dry`}{" "}
          <Where at={view.row.where} />
        </p>
      </div>
      {fresh && <p>That is {fresh}.</p>}
      {view.left_g < 0 && (
        <Wrong>
          By the record {plain(-view.left_g)} more was taken than it held. Two phones may have noted the same:
          delete one, or correct the jar.
        </Wrong>
      )}
    </section>
  );
}

/** Common practice, no source. */
function Conditioning({ view }: { view: JarView }) {
  const today = localDay(new Date(now.value));
  const until = later_day(view.fields.packed, LOOK_INTO_JARS_DAYS);
  if (today > until || view.left_g <= 0) return null;
  return (
    <p class="sheet">
      <strong>Look in and shake it daily until {dayWords(until, today)}.</strong> Damp on the glass, pieces
      that cling or bend: back into the dryer at once. Common practice.
    </p>
  );
}

function Takings({ view }: { view: JarView }) {
  if (view.takings.length === 0) return null;
  return (
    <section>
      <h2>Taken out</h2>
      <ul class="list">
        {[...view.takings].reverse().map(({ id, fields, where }) => (
          <li key={id} class="line">
            <a class="grow" {...(mayPick.value ? { href: `#/jar/${view.id}/${id}` } : {})}>
              <span>
                <strong>{plain(fields.mass_g)}</strong> {USES[fields.use].toLowerCase()}
              </span>
              {fields.note && <span class="quiet small">{fields.note}</span>}
              <Where at={where} />
            </a>
            <span class="quiet small">{whenWords(fields.at, now.value)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Ways({ view: { id } }: { view: JarView }) {
  return (
    <section>
      <h2>Use it</h2>
      <Doors
        to={[
          [`#/recipe/${id}`, "In the kitchen", "How much to soak for a recipe, and what this jar makes."],
          ...(mayPick.value
            ? ([
                [`#/trial/new/${id}`, "Soaking trial", "Soak some, weigh it as it drinks."],
                [`#/extract/new/${id}`, "Extract", "Spirit first, then water."],
              ] as const)
            : []),
        ]}
      />
    </section>
  );
}

function Papers({ view }: { view: JarView }) {
  const { fields, place, drying, variety } = view;
  const today = localDay(new Date(now.value));
  const { container_ml: ml, absorber_ml: oxygen, best_before: best } = fields;
  const rows: Noted[] = [
    ["Variety", variety?.fields.name],
    ["Cut", CUTS[fields.cut]],
    ["Packed", dayWords(fields.packed, today)],
    ["Container", `${CONTAINERS[fields.container]}${ml === null ? "" : `, ${ml} mL`}`],
    ["Absorbers", oxygen === null ? "None" : `for ${oxygen} mL of oxygen`],
    ["Stands", place?.fields.name],
    ["Your best-before", best !== null && dayWords(best, today)],
    ["Note", fields.note],
  ];
  return (
    <section>
      <h2>The jar</h2>
      <FactsTable rows={rows} />
      {drying && (
        <a class="tap plain" href={`#/drying/${drying.id}`}>
          From the load of {dayWords(dayOf(drying.fields.started), today)},{" "}
          {METHODS[drying.fields.method].toLowerCase()}
        </a>
      )}
      {mayPick.value && (
        <a class="tap" href={`#/jar/${view.id}/edit`}>
          Change this jar
        </a>
      )}
    </section>
  );
}
