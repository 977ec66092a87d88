/** The mass of a block before and after its soak, if it was weighed. */
import { useState } from "preact/hooks";
import { format_mass, parse_mass } from "../../records/masses";
import { unit } from "../here";
import { Text } from "./field";

export interface Masses {
  fields: { mass_before_g: number | null; mass_after_g: number | null };
  /** a sentence, or "" */
  wrong: string;
}

interface Props {
  before?: number | null;
  after?: number | null;
  onMasses: (masses: Masses) => void;
}

export function Masses({ before = null, after = null, onMasses }: Props) {
  const [texts, setTexts] = useState([typed(before), typed(after)] as const);
  const change = (now: readonly [string, string]) => {
    setTexts(now);
    const [first, second] = now.map(read);
    const grams = (each: typeof first) => (each && "grams" in each ? each.grams : null);
    const wrong =
      [first, second].map((each) => (each && "sentence" in each ? each.sentence : "")).find(Boolean) ?? "";
    onMasses({ fields: { mass_before_g: grams(first), mass_after_g: grams(second) }, wrong });
  };
  return (
    <div class="side">
      <Text name="Mass before" value={texts[0]} onText={(text) => change([text, texts[1]])} />
      <Text name="Mass after" value={texts[1]} onText={(text) => change([texts[0], text])} />
    </div>
  );
}

function read(text: string) {
  return text.trim() === "" ? null : parse_mass(text, unit.value);
}

function typed(grams: number | null): string {
  return grams === null ? "" : format_mass(grams, "g");
}
