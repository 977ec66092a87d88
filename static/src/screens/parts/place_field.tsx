/** Where something stands: a place that is known, or a new one that is named on the spot. */
import type { Id } from "../../records/types";
import { type Change, newId } from "../../store";
import { farm, isOwner } from "../here";
import { Select, Text } from "./field";
import { namesOf } from "./options";

export const NEW_PLACE = "new";

export interface PlaceDraft {
  place: Id; // "" for none, or NEW_PLACE
  placeName: string;
}

interface Props {
  name: string;
  /** what no place is called */
  none: string;
  draft: PlaceDraft;
  wrong?: string | undefined;
  onChange: (part: Partial<PlaceDraft>) => void;
}

/** Only an owner may write a place down. */
export function PlaceField({ name, none, draft, wrong, onChange }: Props) {
  const fresh = draft.place === NEW_PLACE;
  const places = namesOf("place");
  return (
    <>
      <Select
        name={name}
        value={draft.place}
        options={[["", none], ...places, ...(isOwner.value ? [[NEW_PLACE, "A new place"] as const] : [])]}
        wrong={fresh ? undefined : wrong}
        onPick={(place) => onChange({ place })}
      />
      {fresh && (
        <Text
          name="Name of the new place"
          hint="For example “Cellar, left rack”."
          most={80}
          value={draft.placeName}
          wrong={wrong}
          onText={(placeName) => onChange({ placeName })}
        />
      )}
      {places.length === 0 && !isOwner.value && (
        <p class="quiet small">No place has a name yet. The farm's owner gives them names.</p>
      )}
    </>
  );
}

/** The place meant. A new one is added to `made`, once for each name; one that is known by this name is that one. */
export function placeOf(
  { place, placeName }: PlaceDraft,
  made: Change[],
): { id: Id | null; wrong?: undefined } | { wrong: string } {
  if (place !== NEW_PLACE) return { id: place || null };
  // A draft of an older release has no name.
  const name = (placeName ?? "").trim();
  if (name === "") return { wrong: "Write a name for the place." };
  const same = (other: string) => other.toLowerCase() === name.toLowerCase();
  const known = [...farm.value.place.values()].find(({ fields }) => same(fields.name));
  if (known) return { id: known.id };
  const added = made.find((each) => each.verb === "add" && each.kind === "place" && same(each.fields.name));
  if (added) return { id: added.id };
  const id = newId();
  made.push({ verb: "add", kind: "place", id, fields: { name, note: "" } });
  return { id };
}
