/** Farm: people, varieties, places and this phone, each one tap away. */
import { sync } from "../../sync";
import { farm, isOwner, role } from "../here";
import { Doors } from "../parts/doors";
import { Frame } from "../parts/frame";
import { standing } from "../parts/strip";
import { Tap } from "../parts/tap";
import { once } from "../saving";
import { count, ROLES } from "../words";
import { CopiesOfAll } from "./copies";

const EXPORTS = ["#/farm/exports", "All records in a file", "tables or JSON; needs the server"] as const;

export function Farm() {
  const who = sync.door.value.who;
  if (!who) return null;
  const { name, may } = ROLES[role.value];
  const rooms = [
    ["#/farm/people", "People and phones", "who may do what; needs the server"],
    ["#/farm/varieties", "Varieties", listed(farm.value.variety.size, "variety", "varieties")],
    ["#/farm/places", "Places", listed(farm.value.place.size, "place")],
    ["#/farm/calendar", "Calendar", "what falls due, by day; as a file or an address"],
    ["#/farm/phone", "This phone", `${standing().words}; unsent records in a file, units, sign out`],
    ...(isOwner.value ? [EXPORTS] : []),
  ] as const;
  return (
    <Frame title={who.farm.name}>
      <p>
        {who.person.name || "Visitor"}, {name.toLowerCase()}: you {may}.
      </p>
      {who.farm.is_demo && <Demo />}
      <Doors to={rooms} />
      {isOwner.value && (
        <a class="tap" href="#/delivery">
          New delivery
        </a>
      )}
      {isOwner.value && !who.farm.is_demo && <CopiesOfAll />}
    </Frame>
  );
}

function listed(n: number, one: string, many?: string): string {
  return n === 0 ? "none yet" : count(n, one, many);
}

function Demo() {
  const leave = () => once("leave demo", () => sync.signOut(true));
  return (
    <section class="form sheet">
      <p>This farm is invented, to look round in. Change what you like; nobody else sees it.</p>
      <Tap onTap={leave}>Leave, and start my own</Tap>
    </section>
  );
}
