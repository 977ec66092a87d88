/** The grower's words for the codes of keeping; apart from the others, as the first screen needs none of them. */
import type { Container, Cut, Method, Mushroom, Step, Use } from "../records/types";

export const METHODS: Record<Method, string> = {
  warm_air: "Warm air",
  freeze: "Freeze-dryer",
  room_air: "Room air",
};

export const CUTS: Record<Cut, string> = {
  whole: "Whole",
  sliced: "Sliced",
  crushed: "Crushed",
  powder: "Powder",
};

export const CONTAINERS: Record<Container, string> = { jar: "Jar", bag: "Bag", tin: "Tin" };

export const USES: Record<Use, string> = {
  kitchen: "Kitchen",
  trial: "Soaking trial",
  extract: "Extract",
  sold: "Sold",
  given: "Given away",
  thrown_out: "Thrown out",
  other: "Something else",
};

export const MUSHROOMS: Record<Mushroom, string> = { dried: "Dried", fresh: "Fresh" };

export const STEPS: Record<Step, string> = {
  shaken: "Shaken",
  strained: "Strained",
  boiled: "Boiled",
  joined: "Joined",
  bottled: "Bottled",
  note: "Note",
};
