/** What was made of the crop: the dryer, the jars, soaking trials, extracts. */
import type { ComponentChildren } from "preact";
import { keeping, mayPick } from "../here";
import { Doors } from "../parts/doors";
import { Frame } from "../parts/frame";
import { Teach } from "../parts/teach";
import { Jars } from "./keeping_jars";
import { Loads } from "./keeping_loads";
import { Extracts, Trials } from "./rows_of_rooms";

export function Keeping() {
  const { drying, jar, trial, extract } = keeping.value;
  const nothing = drying.size + jar.size + trial.size + extract.size === 0;
  return (
    <Frame title="Keeping" acts={mayPick.value && <Acts />}>
      {nothing ? (
        <Teach words="Nothing is dried or kept yet. After a harvest, put the picks in the dryer as one load: weigh it as it dries, then close it up in jars." />
      ) : (
        <>
          <Loads />
          <Jars />
          <Kept
            title="Soaking trials"
            to="#/trial/new"
            act="New trial"
            some={trial.size > 0}
            teach="Soak a few dried pieces and weigh them as they drink: that tells how long to soak, and how much for a recipe."
          >
            <Trials />
          </Kept>
          <Doors to={[["#/recipe", "In the kitchen", "From a recipe to grams dried, and back."]]} />
          <Kept
            title="Extracts"
            to="#/extract/new"
            act="New extract"
            some={extract.size > 0}
            teach="Spirit first, then water. Begin one with dried mushrooms: fresh ones bring water of their own."
          >
            <Extracts />
          </Kept>
        </>
      )}
    </Frame>
  );
}

function Acts() {
  return (
    <>
      <a class="tap main" href="#/drying/new">
        New load
      </a>
      <a class="tap" href="#/jar/new">
        New jar
      </a>
    </>
  );
}

interface KeptProps {
  title: string;
  to: string;
  act: string;
  some: boolean;
  teach: string;
  children: ComponentChildren;
}

function Kept({ title, to, act, some, teach, children }: KeptProps) {
  return (
    <section>
      <h2>{title}</h2>
      {some ? children : <p class="quiet">{teach}</p>}
      {mayPick.value && (
        <a class="tap" href={to}>
          {act}
        </a>
      )}
    </section>
  );
}
