/** Addresses that lead nowhere: to nothing on this phone, or to what this person's role leaves to others. */
import { role } from "../here";
import { ROLES } from "../words";
import { Frame } from "./frame";
import { Teach } from "./teach";

export function Absent({ what, to }: { what: string; to: string }) {
  const words = `This ${what} is not on this phone. It was deleted, or has not arrived yet.`;
  return (
    <Frame title={`No such ${what}`}>
      <Teach words={words} act="Go back" to={to} />
    </Frame>
  );
}

export function Barred({ to }: { to: string }) {
  const { name, may } = ROLES[role.value];
  return (
    <Frame title="Not yours to do">
      <Teach
        words={`You are ${name.toLowerCase()} of this farm: you ${may}. Ask an owner.`}
        act="Go back"
        to={to}
      />
    </Frame>
  );
}
