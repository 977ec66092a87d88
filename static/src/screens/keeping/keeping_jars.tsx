/** Jars on the front page. */
import type { JarView } from "../../records/keeping_view";
import { dayWords, localDay } from "../dates";
import { keeping, now } from "../here";
import { Label } from "../parts/label";
import { Where } from "../parts/where";
import { plain } from "./amounts";
import { jarWords } from "./jar_words";

/** By what they hold, the oldest first: that is the one to open next. */
export function Jars() {
  const jars = [...keeping.value.jar.values()].sort((a, b) => (a.fields.packed < b.fields.packed ? -1 : 1));
  const empty = jars.filter(({ left_g }) => left_g <= 0);
  return (
    <section>
      <h2>Jars</h2>
      {jars.length === empty.length && (
        <p class="quiet">No jar holds anything. A load that is out of the dryer fills one: “Fill a jar”.</p>
      )}
      {held(jars).map(([name, theirs]) => (
        <section key={name} class="place">
          <h3>
            {name}
            {theirs.length > 1 && <span>{sumWords(theirs)}</span>}
          </h3>
          <ul class="list">
            {theirs.map((view) => (
              <JarRow key={view.id} view={view} named={jarWords(view) !== name} />
            ))}
          </ul>
        </section>
      ))}
      {jars.length > empty.length && (
        <a class="tap" href="#/keeping/labels">
          Labels to print
        </a>
      )}
      {empty.length > 0 && (
        <details>
          <summary>Empty jars, {empty.length}</summary>
          <ul class="list">
            {empty.map((view) => (
              <JarRow key={view.id} view={view} named />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

function sumWords(jars: readonly JarView[]): string {
  const left = jars.reduce((sum, { left_g }) => sum + left_g, 0);
  return `${plain(left)} in ${jars.length}, oldest first`;
}

function held(jars: readonly JarView[]): [name: string, jars: JarView[]][] {
  const apart = new Map<string, JarView[]>();
  for (const view of jars) {
    if (view.left_g <= 0) continue;
    const name = view.variety?.fields.name ?? jarWords(view);
    apart.set(name, [...(apart.get(name) ?? []), view]);
  }
  return [...apart].sort((a, b) => a[0].localeCompare(b[0]));
}

function JarRow({ view, named }: { view: JarView; named: boolean }) {
  const { fields, left_g, place } = view;
  const day = dayWords(fields.packed, localDay(new Date(now.value)));
  const more = [named && jarWords(view), `packed ${day}`, place?.fields.name];
  return (
    <li class="line">
      <a class="grow" href={`#/jar/${view.id}`}>
        <span class="first">
          <Label code={fields.label} />
          <span class="quiet small">{more.filter(Boolean).join(", ")}</span>
          <Where at={view.row.where} />
        </span>
      </a>
      <strong>{left_g > 0 ? plain(left_g) : "empty"}</strong>
    </li>
  );
}
