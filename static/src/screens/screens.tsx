/** Which address shows which screen. */
import { sync } from "../sync";
import { Block } from "./block";
import { Blocks } from "./blocks";
import { later, outside, type Screens as Table } from "./rooms";
import { type Route, route } from "./route";
import { Shoot } from "./shoot";
import { Today } from "./today";
import { PickScreen, Weigh } from "./weigh";

const door = outside(() => import("./door"));
const papers = later(() => import("./papers"));
const keeping = later(() => import("./keeping"));
const suppliers = later(() => import("./suppliers"));
const farm = later(() => import("./farm"));
const unsent = later(() => import("./unsent"));

const SCREENS: Table = {
  blocks: () => <Blocks />,
  block: blockPart,
  weigh: ({ id }) => <Weigh id={id} />,
  pick: ({ id, part }) => <PickScreen id={id} part={part} />,
  happening: papers,
  photo: papers,
  delivery: papers,
  keeping,
  drying: keeping,
  jar: keeping,
  trial: keeping,
  extract: keeping,
  recipe: keeping,
  suppliers,
  supplier: suppliers,
  season: suppliers,
  report: suppliers,
  farm,
  variety: farm,
  place: farm,
  unsent,
  history: unsent,
};

// Addresses with a code in them, which open the door on any phone.
const CODED = new Set(["join", "pair", "password"]);

function blockPart(here: Route) {
  const { id, part } = here;
  if (part === "photo") return <Shoot id={id} />;
  if (part === "happened" || part === "edit") return papers(here);
  return <Block id={id} />;
}

export function Screens() {
  const { store } = sync.door.value;
  const here = route.value;
  if (!store || CODED.has(here.name)) return door();
  const screen = SCREENS[here.name];
  return screen ? screen(here) : <Today />;
}
