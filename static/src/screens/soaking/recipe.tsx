/** The kitchen question, both ways: how much dried for a recipe in fresh, and what a jar or some grams come to. */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { dayOf, dayWords, localDay } from "../dates";
import { keeping, mass, mayPick, now } from "../here";
import { about, isWeighed, plain } from "../keeping/amounts";
import { jarOptions } from "../keeping/taken_from";
import { volumeWords } from "../keeping/typed_amounts";
import { readMass } from "../keeping/typed_mass";
import { unless } from "../keeping/unless";
import { Choice, Select, Text } from "../parts/field";
import { Figure, Named } from "../parts/figure";
import { Frame } from "../parts/frame";
import { varietiesByName } from "../parts/options";
import type { Route } from "../route";
import { type Answer, answer, litresToPour, type Soak, type Way } from "./recipe_answer";
import { minutesWords } from "./trial_facts";

// Kept while the app is open: a cook goes back and forth.
const asked = signal<{ way: Way; of: string; fresh: string; dried: string }>({
  way: "fresh",
  of: "",
  fresh: "400 g",
  dried: "30 g",
});

/** `id`: a jar or a variety to begin with. */
export function Recipe({ id }: Route) {
  const { way, of, ...texts } = asked.value;
  const ask = (part: Partial<typeof asked.value>) => {
    asked.value = { ...asked.value, ...part };
  };
  // A jar's page asks what the jar makes.
  useEffect(() => {
    const jar = keeping.peek().jar.get(id);
    if (jar) ask({ of: id, way: "dried", dried: `${Math.max(0, jar.left_g)} g` });
    else if (id) ask({ of: id });
  }, [id]);
  const read = readMass(texts[way]);
  const found = read.wrong === undefined ? unless(() => answer(way, read.value.grams, of)) : null;
  return (
    <Frame title="For the kitchen" from="#/keeping">
      <div class="form">
        <Choice
          name="Which way round"
          value={way}
          options={[
            ["fresh", "Recipe wants fresh"],
            ["dried", "I have dried"],
          ]}
          onPick={(picked) => ask({ way: picked })}
        />
        <Select
          name="Of which mushrooms"
          value={of}
          options={[["", "Any, not known"], ...jarOptions(of), ...varietiesByName()]}
          onPick={(picked) => ask({ of: picked })}
        />
        <Text
          name={way === "fresh" ? "The recipe wants fresh" : "Dried mushrooms"}
          keys="decimal"
          most={40}
          value={texts[way]}
          wrong={read.wrong}
          onText={(text) => ask({ [way]: text })}
        />
      </div>
      {found && "value" in found && <Answered way={way} of={of} found={found.value} />}
      {found && "refusal" in found && <p>{found.refusal}</p>}
      <p class="care">
        Cook mushrooms thoroughly. Whoever eats a kind for the first time tries a little: some people do not
        bear it.
      </p>
    </Frame>
  );
}

function Answered({ way, of, found }: { way: Way; of: string; found: Answer }) {
  const { value, range } = about(found.found);
  const [digits = "", ...unit] = value.split(" ");
  return (
    <section aria-live="polite">
      <h2>{way === "fresh" ? "Take dried" : "Makes about, as fresh"}</h2>
      <p>
        <Figure hero digits={digits} unit={unit.join(" ")} />
        {isWeighed(found.found) ? `by ${found.found.basis}` : `likely ${range}`}
      </p>
      {!isWeighed(found.found) && (
        <p class="quiet small">From {found.found.basis}; nine times in ten it lies in this range.</p>
      )}
      {way === "fresh" && <Enough of={of} dry_g={found.dry_g} />}
      <dl class="figures">
        {found.soak ? <Soaking soak={found.soak} /> : <Untried of={of} most_g={found.most_water_g} />}
      </dl>
      {!found.soak && mayPick.value && (
        <a class="tap" href={`#/trial/new${of && `/${of}`}`}>
          Try how they soak
        </a>
      )}
    </section>
  );
}

function Enough({ of, dry_g }: { of: string; dry_g: number }) {
  const jar = keeping.value.jar.get(of);
  if (!jar || jar.left_g >= dry_g) return null;
  return (
    <p>
      <strong>The jar holds less: {mass(Math.max(0, jar.left_g))}.</strong>
    </p>
  );
}

function Soaking({ soak }: { soak: Soak }) {
  const { trial, facts, own, ratio, water_g } = soak;
  const day = dayWords(dayOf(trial.fields.at), localDay(new Date(now.value)));
  const nearly = facts.nearly ?? 0;
  const why = [
    `your trial of ${day}${own ? ", of this jar" : ""}`,
    trial.fields.water_c !== null && `water at ${trial.fields.water_c} °C`,
    nearly > facts.longest && `by its curve, beyond its last weighing at ${minutesWords(facts.longest)}`,
  ];
  const drained = water_g / (ratio - 1) + water_g;
  return (
    <>
      <Named name="Soak about" why={why.filter(Boolean).join(", ")}>
        <Measure words={minutesWords(nearly)} />
      </Named>
      <Named name="Water, about" why={`they take up ${volumeWords(water_g)}; so much keeps them covered`}>
        <Measure words={litresToPour(water_g)} />
      </Named>
      <Named name="Drained, about" why="dried ones seldom come back to all of their fresh mass">
        <Measure words={plain(twoDigits(drained))} />
      </Named>
    </>
  );
}

/** No finer than a trial tells. */
function twoDigits(grams: number): number {
  const step = 10 ** Math.max(0, Math.floor(Math.log10(grams)) - 1);
  return step * Math.round(grams / step);
}

/** "30 min" with its unit small; "2 h 10 min" as it is. */
function Measure({ words }: { words: string }) {
  const [digits = "", unit = "", ...more] = words.split(" ");
  if (more.length > 0) return <span class="figure">{words}</span>;
  return <Figure digits={digits} unit={unit} />;
}

/** Without a trial nothing is known of the time; of the water, only that it is not more than drying took. */
function Untried({ of, most_g }: { of: string; most_g: number }) {
  const whose =
    of === "" ? "choose a jar or a variety that you tried" : "no soaking trial of these has a curve yet";
  return (
    <>
      <Named name="Soak" why={`${whose}; else until soft right through`} />
      <Named name="Water, at least" why="as much as drying took out of them: no more goes back in">
        <Measure words={volumeWords(Math.ceil(most_g / 10) * 10)} />
      </Named>
    </>
  );
}
