/** A refused weighing or taking whose load or jar is not here: that one comes first. */
import { Frame } from "../parts/frame";
import { Teach } from "../parts/teach";

export function OwnerMissing({ what, of }: { what: string; of: "load" | "jar" }) {
  const words = `The ${of} of this ${what} is not on this phone. If it was refused too, correct it first; else it has yet to arrive.`;
  return (
    <Frame title={`First the ${of}`} from="#/unsent">
      <Teach words={words} act="To the list" to="#/unsent" />
    </Frame>
  );
}
