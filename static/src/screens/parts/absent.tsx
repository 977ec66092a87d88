/** An address that leads to nothing on this phone. */
import { Frame } from "./frame";
import { Teach } from "./teach";

export function Absent({ what, to }: { what: string; to: string }) {
  return (
    <Frame title={`No such ${what}`}>
      <Teach words={`This ${what} is not on this phone. It was deleted, or has not arrived yet.`} act="Go back" to={to} />
    </Frame>
  );
}
