/** What stands around a screen: the strip above, the acts and the five rooms below, and the undo bar. */
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { beside } from "../beside";
import { back, route } from "../route";
import { hush } from "../saving";
import { Sign } from "./signs";
import { Strip } from "./strip";
import { Undo } from "./undo";

const ROOMS = [
  ["today", "Today"],
  ["blocks", "Blocks"],
  ["keeping", "Keeping"],
  ["suppliers", "Suppliers"],
  ["farm", "Farm"],
] as const;

// A screen within a room keeps the room marked.
const ROOM_OF: Record<string, string> = {
  block: "blocks",
  delivery: "blocks",
  pick: "blocks",
  photo: "blocks",
  drying: "keeping",
  jar: "keeping",
  trial: "keeping",
  extract: "keeping",
  recipe: "keeping",
  supplier: "suppliers",
  season: "suppliers",
  report: "suppliers",
  variety: "farm",
  place: "farm",
};

// A list is found again where it was left; any other screen begins at its top.
const LISTS = new Set(["today", "blocks", "keeping", "suppliers", "supplier"]);
const left = new Map<string, number>();

interface Props {
  title: string;
  heading?: ComponentChildren;
  /** where "Back" leads when the app was opened right here */
  from?: string;
  acts?: ComponentChildren;
  look?: string;
  rooms?: boolean;
  children: ComponentChildren;
}

export function Frame(props: Props) {
  const page = useRef<HTMLElement>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const { name, id, part } = route.value;
  const Beside = beside.value;
  useEffect(() => {
    document.title = `${props.title} · harvestlog`;
  }, [props.title]);
  // Each address is a new page for whoever listens
  useEffect(() => {
    hush();
    const top = LISTS.has(name) ? (left.get(location.hash) ?? 0) : 0;
    heading.current?.focus({ preventScroll: true });
    page.current?.scrollTo(0, top);
    window.scrollTo(0, 0);
  }, [name, id, part]);
  const remember = () => left.set(location.hash, page.current?.scrollTop ?? 0);
  return (
    <div class={`frame ${props.look ?? ""}`}>
      <header>
        <Strip />
      </header>
      <main ref={page} onScroll={remember}>
        {props.from && <Back to={props.from} />}
        <h1 ref={heading} tabIndex={-1} class={props.heading === undefined ? undefined : "front"}>
          {props.heading ?? props.title}
        </h1>
        {Beside && <Beside top />}
        {props.children}
        {Beside && <Beside />}
      </main>
      <footer class="below">
        <Undo />
        {props.acts && <div class="acts">{props.acts}</div>}
        {props.rooms !== false && <Rooms at={ROOM_OF[name] ?? name} />}
      </footer>
    </div>
  );
}

function Back({ to }: { to: string }) {
  const step = (event: Event) => {
    event.preventDefault();
    back(to);
  };
  return (
    <a class="back" href={to} onClick={step}>
      <Sign of="back" size={18} /> <span>Back</span>
    </a>
  );
}

function Rooms({ at }: { at: string }) {
  return (
    <nav class="rooms" aria-label="Rooms">
      {ROOMS.map(([name, words]) => (
        <a key={name} href={`#/${name}`} aria-current={name === at ? "page" : undefined}>
          {words}
        </a>
      ))}
    </nav>
  );
}
