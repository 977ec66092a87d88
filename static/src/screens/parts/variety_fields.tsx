/** A variety: the trade's species behind it, the grower's own name and temperatures for it. */
import { CATALOGUE } from "../../records/catalogue";
import { capital } from "../words";
import { bound } from "./bound";
import { Select, Text } from "./field";

export interface VarietyDraft {
  name: string;
  species: string;
  strain: string;
}

export const BLANK_VARIETY: VarietyDraft = { name: "", species: "", strain: "" };

interface Props {
  draft: VarietyDraft;
  wrong?: string | undefined;
  onChange: (part: Partial<VarietyDraft>) => void;
}

const speciesOptions = () =>
  [...CATALOGUE.species.values()]
    .map(({ key, trade_names, latin }) => [key, `${capital(trade_names[0] ?? latin)} (${latin})`] as const)
    .sort((a, b) => a[1].localeCompare(b[1]));

export function VarietyFields({ draft, wrong, onChange }: Props) {
  const field = bound({ shown: draft, faults: { name: wrong }, change: onChange });
  const pick = (species: string) => {
    const known = CATALOGUE.species.get(species)?.trade_names[0];
    // The trade's name is offered until the grower has written another.
    onChange({ species, ...(draft.name === "" && known ? { name: capital(known) } : {}) });
  };
  return (
    <>
      <Select
        name="Species"
        value={draft.species}
        options={[["", "Not in this list"], ...speciesOptions()]}
        onPick={pick}
      />
      <Text name="Your name for it" most={80} {...field("name")} />
      <Text name="Strain (if you know it)" most={40} {...field("strain")} />
      {draft.species === "" && (
        <p class="care">Without a species nothing is said of it here. Eat only what a block was sold as.</p>
      )}
    </>
  );
}
