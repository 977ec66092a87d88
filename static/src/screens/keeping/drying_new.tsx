/** A new load: what goes in, how it is dried, and what it should come to. */
import type { Load } from "../../calc/runs";
import { useForm } from "../form";
import { farm, keeping } from "../here";
import { useDrafted } from "../parts/drafted";
import { Wrong } from "../parts/field";
import { EmptyForm } from "../parts/form_end";
import { Frame } from "../parts/frame";
import { Form } from "../parts/tap";
import { When } from "../parts/when";
import { back, replaceWith } from "../route";
import { plain } from "./amounts";
import { blankLoad, type LoadDraft, type PutIn, readLoad, readMore, readPart } from "./drying_draft";
import { How } from "./drying_how";
import { findPick, Parts } from "./drying_parts";
import { Expected } from "./drying_says";
import { showWrong } from "./show_wrong";

const DRAFT = "drying";

export function NewLoad() {
  const start = useDrafted(DRAFT, asLastTime);
  return start && <Writing start={start} />;
}

/** The dryer and the scale are seldom others than last time's. */
function asLastTime(): LoadDraft {
  const last = [...keeping.value.drying.values()]
    .map(({ fields }) => fields)
    .sort((a, b) => Date.parse(b.started) - Date.parse(a.started))[0];
  return blankLoad(last?.method, last?.scale_step_g === null ? "" : last?.scale_step_g.toString());
}

function Writing({ start }: { start: LoadDraft }) {
  const read = (written: LoadDraft) => readLoad(written, findPick, Date.now());
  const { shown: draft, change, field, faults, save } = useForm(start, DRAFT, read);
  const submit = async () => {
    const id = await save();
    if (id) replaceWith(`#/drying/${id}`);
    else showWrong();
  };
  const load = loadSoFar(draft);
  const wet_g = load.parts.reduce((sum, part) => sum + part.wet_g, 0);
  return (
    <Frame title="New load" from="#/keeping">
      <Form
        onSave={submit}
        save={wet_g > 0 ? `Start the load, ${plain(wet_g)}` : "Start the load"}
        below={<EmptyForm onTap={() => change(asLastTime())} />}
      >
        <section>
          <h2>What goes in</h2>
          <Parts parts={draft.parts} faults={faults} onParts={(parts) => change({ parts })} />
          {faults.none && <Wrong>{faults.none}</Wrong>}
        </section>
        <How field={field} />
        <When name="Put in" {...field("when")} />
        {wet_g > 0 && <Expected load={load} />}
      </Form>
    </Frame>
  );
}

/** What can be read of it already, for the figure below. */
function loadSoFar({ parts, method }: LoadDraft): Load {
  const read = parts.flatMap((part) => {
    const made = readPart(part, findPick);
    if ("wrong" in made) return [];
    const pick = farm.value.pick.get(made.pick ?? "");
    const variety = farm.value.block.get(pick?.fields.block ?? "")?.variety?.id ?? made.variety;
    return [{ pick: made.pick, variety, wet_g: made.wet_g }];
  });
  return { id: "", method, parts: read, dry_g: null };
}

/** Something more into a load that is drying already. */
export function MoreIn({ id }: { id: string }) {
  const start = useDrafted<More>(`drying/${id}/more`, () => ({ parts: [] }));
  return start && <PuttingIn id={id} start={start} />;
}

interface More {
  parts: PutIn[];
}

function PuttingIn({ id, start }: { id: string; start: More }) {
  const read = ({ parts }: More) => readMore(id, parts, findPick);
  const { shown, change, faults, save } = useForm(start, `drying/${id}/more`, read);
  const submit = async () => {
    if (await save()) back(`#/drying/${id}`);
    else showWrong();
  };
  return (
    <Frame title="Put more in" from={`#/drying/${id}`}>
      <Form onSave={submit} save="Put in">
        <Parts parts={shown.parts} faults={faults} onParts={(parts) => change({ parts })} />
        {faults.none && <Wrong>{faults.none}</Wrong>}
      </Form>
    </Frame>
  );
}
