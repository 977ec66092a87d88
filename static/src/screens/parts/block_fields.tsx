/** The fields of a block, in a delivery and when one block is corrected. */
import type { BlockDraft, Wrong } from "../../records/block_draft";
import { doubtMass } from "../../records/block_mass";
import type { DryBasis, Form } from "../../records/types";
import { unit } from "../here";
import { BASES, FORMS } from "../words";
import { bound, type Field } from "./bound";
import { Choice, Select, Text } from "./field";
import { PlaceField } from "./place_field";
import { Tap } from "./tap";

interface Props {
  draft: BlockDraft;
  wrong: Wrong<keyof BlockDraft>;
  each?: boolean;
  onChange: (part: Partial<BlockDraft>) => void;
}

export function BlockFields({ draft, wrong, each = false, onChange }: Props) {
  const field = bound({ shown: draft, faults: wrong, change: onChange });
  return (
    <>
      <Choice name="Form" {...field("form")} options={Object.entries(FORMS) as [Form, string][]} />
      <Text
        name={each ? "Wet mass of each" : "Wet mass on arrival"}
        hint={`For example 3 kg or 6 lb 10 oz; a bare number counts as ${unit.value}.`}
        {...field("wet")}
      />
      {wrong.wet && <Doubted draft={draft} onChange={onChange} />}
      <Basis basis={draft.dry_basis} field={field} onChange={onChange} />
      <PlaceField name="Place" none="Not noted" draft={draft} wrong={wrong.place} onChange={onChange} />
    </>
  );
}

/** The answers to "3 g for a block?", right below it. */
function Doubted({ draft, onChange }: Pick<Props, "draft" | "onChange">) {
  const doubt = doubtMass(draft.wet, unit.value);
  if (!doubt) return null;
  const { instead, yes } = doubt;
  return (
    <div class="row">
      {instead && <Tap onTap={() => onChange({ wet: instead })}>{instead}</Tap>}
      <Tap look="heed" onTap={() => onChange({ sure: draft.wet })}>
        {yes}
      </Tap>
    </div>
  );
}

interface BasisProps {
  basis: DryBasis;
  field: Field<BlockDraft>;
  onChange: Props["onChange"];
}

/** Exactly one way of knowing the dry mass; what it asks for appears below it. */
function Basis({ basis, field, onChange }: BasisProps) {
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
        <Text name="Dry mass of one block" {...field("dry")} example="1.2 kg" />
      )}
      {basis === "measured" && (
        <Text name="Moisture, % of the wet mass" keys="decimal" {...field("moisture")} />
      )}
      {basis === "assumed" && (
        <div class="side">
          <Text name="At least, %" keys="decimal" {...field("low")} />
          <Text name="At most, %" keys="decimal" {...field("high")} />
        </div>
      )}
    </>
  );
}
