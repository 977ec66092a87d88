/** Where mushrooms are taken from: a jar, whose taking may be noted in the same save, or only a variety. */
import type { JarView } from "../../records/keeping_view";
import type { Mass } from "../../records/masses";
import type { Id, Use } from "../../records/types";
import { type Change, newId } from "../../store";
import { farm, keeping, mass } from "../here";
import { Choice, type Option, Select } from "../parts/field";
import { varietiesByName } from "../parts/options";

export interface From {
  jar: Id; // "" for none
  variety: Id; // "" for unknown; of a jar it is the jar's
  take: "yes" | "no";
}

/** As a screen begins that was asked for a jar or a variety by its id. */
export function fromId(id: Id): From {
  const jar = keeping.value.jar.get(id);
  if (jar) return { jar: id, variety: jar.variety?.id ?? "", take: "yes" };
  return { jar: "", variety: farm.value.variety.has(id) ? id : "", take: "yes" };
}

/** As a record has it: what was taken for it is a record of its own and stays as it is. */
export function fromRecord(fields: { jar: Id | null; variety: Id | null }): From {
  return { jar: fields.jar ?? "", variety: fields.variety ?? "", take: "no" };
}

export function sourceFields({ jar, variety }: From): { jar: Id | null; variety: Id | null } {
  return { jar: jar || null, variety: variety || null };
}

/** A sentence where the jar does not hold so much, else "". */
export function overdrawn({ jar, take }: From, grams: number): string {
  const view = keeping.value.jar.get(jar);
  if (!view || take === "no" || grams <= view.left_g) return "";
  const left = view.left_g > 0 ? `holds ${mass(view.left_g)}` : "is empty";
  return `Jar ${view.fields.label} ${left}, and this takes ${mass(grams)}: correct the mass, or do not note it as taken.`;
}

export function taking({ jar, take }: From, { grams, typed }: Mass, use: Use, at: string): Change[] {
  if (!jar || take === "no") return [];
  const fields = { jar, at, mass_g: grams, typed, use, note: "" };
  return [{ verb: "add", kind: "taking", id: newId(), fields }];
}

/** Jars that hold something, the oldest first, as it should be used first; `kept` stays in the list in any case. */
export function jarOptions(kept: Id): Option[] {
  return [...keeping.value.jar.values()]
    .filter(({ id, left_g }) => left_g > 0 || id === kept)
    .sort((a, b) => (a.fields.packed < b.fields.packed ? -1 : 1))
    .map((view) => [
      view.id,
      `Jar ${view.fields.label}: ${jarName(view)}, ${mass(Math.max(0, view.left_g))} left`,
    ]);
}

export function jarName({ fields, variety }: JarView): string {
  return variety?.fields.name ?? (fields.what || "variety not noted");
}

interface Props {
  from: From;
  /** of a record that is corrected, no taking is made */
  fixed?: boolean;
  onFrom: (from: From) => void;
}

export function FromFields({ from, fixed = false, onFrom }: Props) {
  const jars = jarOptions(from.jar);
  const pickJar = (id: Id) =>
    onFrom(id ? { ...fromId(id), take: fixed ? "no" : "yes" } : { ...from, jar: "" });
  return (
    <>
      {jars.length > 0 && (
        <Select
          name="From which jar"
          value={from.jar}
          options={[["", "From no jar"], ...jars]}
          onPick={pickJar}
        />
      )}
      {from.jar && !fixed && (
        <Choice
          name="Note it as taken from the jar"
          value={from.take}
          options={[
            ["yes", "Yes"],
            ["no", "No"],
          ]}
          onPick={(take) => onFrom({ ...from, take })}
        />
      )}
      {from.jar && fixed && <p class="care">What was noted as taken from the jar is corrected at the jar.</p>}
      {!from.jar && (
        <Select
          name="Variety"
          value={from.variety}
          options={[["", "Not noted"], ...varietiesByName()]}
          onPick={(variety) => onFrom({ ...from, variety })}
        />
      )}
    </>
  );
}
