/** The fields of a block, in a delivery and when one block is corrected. */
import type { BlockDraft, Wrong } from "../../records/block_draft";
import type { DryBasis, Form } from "../../records/types";
import { farm, unit } from "../here";
import { BASES, FORMS } from "../words";
import { Choice, Select, Text } from "./field";

interface Props {
  draft: BlockDraft;
  wrong: Wrong<keyof BlockDraft>;
  each?: boolean;
  onChange: (part: Partial<BlockDraft>) => void;
}

export function BlockFields({ draft, wrong, each = false, onChange }: Props) {
  const places = [...farm.value.place.values()].map(({ id, fields }) => [id, fields.name] as const);
  return (
    <>
      <Choice
        name="Form"
        value={draft.form}
        options={Object.entries(FORMS) as [Form, string][]}
        onPick={(form) => onChange({ form })}
      />
      <Text
        name={each ? "Wet mass of each" : "Wet mass on arrival"}
        hint={`For example 3 kg or 6 lb 10 oz; a bare number counts as ${unit.value}.`}
        value={draft.wet}
        wrong={wrong.wet}
        onText={(wet) => onChange({ wet })}
      />
      <Basis draft={draft} wrong={wrong} onChange={onChange} />
      {places.length > 0 && (
        <Select
          name="Place"
          value={draft.place}
          options={[["", "Not noted"], ...places]}
          onPick={(place) => onChange({ place })}
        />
      )}
    </>
  );
}

/** Exactly one way of knowing the dry mass; what it asks for appears below it. */
function Basis({ draft, wrong, onChange }: Props) {
  const basis = draft.dry_basis;
  const names = Object.entries(BASES).map(([kind, { name }]) => [kind, name] as [DryBasis, string]);
  return (
    <>
      <Select
        name="How do you know its dry mass?"
        value={basis}
        options={names}
        onPick={(kind) => onChange({ dry_basis: kind as DryBasis })}
      />
      <p class="quiet small">{BASES[basis].means}</p>
      {(basis === "stated" || basis === "oven") && (
        <Text
          name="Dry mass of one block"
          value={draft.dry}
          wrong={wrong.dry}
          example="1.2 kg"
          onText={(dry) => onChange({ dry })}
        />
      )}
      {basis === "measured" && (
        <Text
          name="Moisture, % of the wet mass"
          keys="decimal"
          value={draft.moisture}
          wrong={wrong.moisture}
          onText={(moisture) => onChange({ moisture })}
        />
      )}
      {basis === "assumed" && (
        <div class="side">
          <Text
            name="At least, %"
            keys="decimal"
            value={draft.low}
            wrong={wrong.low}
            onText={(low) => onChange({ low })}
          />
          <Text
            name="At most, %"
            keys="decimal"
            value={draft.high}
            wrong={wrong.high}
            onText={(high) => onChange({ high })}
          />
        </div>
      )}
    </>
  );
}
