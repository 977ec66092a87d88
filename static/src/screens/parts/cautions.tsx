/** Cautions where the act is done; they defer to local rules and to doctors. */
import type { BlockView } from "../../records/farm_view";

export function Cautions({ view }: { view: BlockView }) {
  const open = view.fields.form === "log" || view.fields.form === "bed";
  const unknown = !view.variety?.fields.species;
  return (
    <div class="care">
      {(open || unknown) && (
        <p>
          {open
            ? "Wild kinds settle on logs and beds, and some are deadly. "
            : "This block has no species noted. "}
          Eat only what it was sold as; when in doubt, throw it out.
        </p>
      )}
      <p>
        Spores: pick before they fall heavily, let air through, wear a fitted mask. Cough, fever or short
        breath after picking: see a doctor.
      </p>
    </div>
  );
}
