/** The farm's places or varieties: each a way to its own page, and a new one for those who may write it. */
import { isOwner } from "../here";
import { Doors } from "./doors";
import { Frame } from "./frame";
import { Teach } from "./teach";

interface Props {
  title: string;
  /** what one of them is called, in words and in addresses */
  one: "place" | "variety";
  teach: string;
  /** id, name and a word on each */
  kept: readonly (readonly [id: string, name: string, more: string])[];
}

export function FarmList({ title, one, teach, kept }: Props) {
  return (
    <Frame
      title={title}
      from="#/farm"
      acts={
        isOwner.value && (
          <a class="tap" href={`#/${one}/new`}>
            New {one}
          </a>
        )
      }
    >
      {kept.length === 0 && <Teach words={teach} />}
      <Doors shut={!isOwner.value} to={kept.map(([id, name, more]) => [`#/${one}/${id}`, name, more])} />
    </Frame>
  );
}
