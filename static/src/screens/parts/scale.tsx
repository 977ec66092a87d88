/** The weighing itself: what is typed stands large, what is odd about it stands beside it, the pad lies under the thumb. */
import { useState } from "preact/hooks";
import type { BlockView, Standing } from "../../records/farm_view";
import { inUnit, type Key, press, readings, readTyped, type Typed, typedText } from "../../records/typed";
import type { Id } from "../../records/types";
import { isOwner, mass, openFlush, remember, varietyName } from "../here";
import { useKept } from "../kept";
import { back } from "../route";
import { keep, once, write } from "../saving";
import { type Problem, problem, records, type Weighing } from "../weighing";
import { HANDLINGS } from "../words";
import { Cautions } from "./cautions";
import { Extras } from "./extras";
import { Choice, Wrong } from "./field";
import { Frame } from "./frame";
import { Titled } from "./label";
import { Pad } from "./pad";
import { Reading } from "./reading";
import { Tap } from "./tap";

interface Props {
  start: Weighing;
  draft: string;
  view: BlockView;
  pick: Standing<"pick"> | undefined;
  onSaved: ((weighing: Weighing, pick: Id) => void) | undefined;
}

export function Scale({ start, draft, view, pick, onSaved }: Props) {
  const { shown: weighing, latest, change, saving } = useKept(start, draft);
  const [tried, setTried] = useState(false);
  const { label } = view.fields;
  const found = problem(weighing, view, pick?.id);
  const typed = weighing[weighing.on];
  const either = readings(typed);
  const shown = tried || found?.live || (either && found) ? found : null;
  // Keys may come faster than the screen is drawn: each goes on from what was typed last, not from what is shown.
  const type = (next: (typed: Typed) => Typed) => change((now) => ({ [now.on]: next(now[now.on]) }));
  const save = async () => {
    setTried(true);
    const made = latest();
    if (problem(made, view, pick?.id)) {
      requestAnimationFrame(() => document.querySelector<HTMLElement>(".odd button")?.focus());
      return;
    }
    await once(`save ${draft}`, async () => {
      const [changes, pictures] = records(made, view);
      const words = `${typedText(made.wet)} of ${label} is on this phone.`;
      await saving(() => keep(changes, words, pictures, draft));
      const [kept] = changes;
      if (onSaved && kept) onSaved(made, kept.id);
      else back(`#/block/${view.id}`);
    });
  };
  const onKey = (key: Key) => type((typed) => press(typed, key));

  return (
    <Frame
      title={pick ? `Correct a pick of ${label}` : `Weigh ${label}`}
      heading={<Who view={view} pick={pick} />}
      from={`#/block/${view.id}`}
      look="weigh"
      rooms={false}
    >
      {pick?.refused && <Wrong>{pick.refused.message}</Wrong>}
      <Reading weighing={weighing} onSlot={(on) => change({ on })} />
      {shown && shown.field !== "when" ? (
        <Odd problem={shown} weighing={weighing} view={view} onChange={change} />
      ) : (
        <>
          <Ways view={view} weighing={weighing} onChange={change} />
          <Extras
            view={view}
            weighing={weighing}
            timed={!!pick}
            wrong={shown?.words ?? ""}
            onChange={change}
          />
        </>
      )}
      <Pad
        typed={typed}
        onKey={onKey}
        onUnit={(to) => {
          remember("pad", to);
          type((typed) => inUnit(typed, to));
        }}
        onDone={() => void save()}
      />
      <div class="acts">
        <SaveButton weighing={weighing} onSave={save} />
      </div>
      {pick && !pick.refused && <Delete pick={pick} view={view} />}
      <Cautions view={view} />
    </Frame>
  );
}

function Who({ view, pick }: { view: BlockView; pick: Standing<"pick"> | undefined }) {
  return <Titled code={view.fields.label}>{pick ? "Correct this pick" : varietyName(view)}</Titled>;
}

function SaveButton({ weighing, onSave }: { weighing: Weighing; onSave: () => Promise<void> }) {
  const read = readTyped(weighing.wet);
  const what = "grams" in read ? ` ${typedText(weighing.wet)}` : "";
  return (
    <Tap look="main" onTap={onSave}>
      Save{what}
      {what && `, flush ${weighing.flush}`}
    </Tap>
  );
}

interface Changing {
  weighing: Weighing;
  onChange: (part: Partial<Weighing>) => void;
}

/** Asked back in words, with the answers as buttons. It takes the place of the choices, so that no key moves under the thumb. */
function Odd({ problem: found, weighing, view, onChange }: Changing & { problem: Problem; view: BlockView }) {
  const either = readings(weighing[weighing.on]);
  const ambiguous = either && !("grams" in readTyped(weighing[weighing.on]));
  return (
    <section class="odd">
      <Wrong>{found.words}</Wrong>
      {found.confirm && (
        <div class="row">
          <Tap look="heed" onTap={() => onChange({ confirmed: found.yes ?? "" })}>
            {found.confirm}
          </Tap>
          {found.block && isOwner.value && (
            <a class="tap" href={`#/block/${view.id}/edit`}>
              Correct the block's mass
            </a>
          )}
        </div>
      )}
      {ambiguous && (
        <div class="row">
          {either.map((reading) => (
            <Tap key={reading.digits} onTap={() => onChange({ [weighing.on]: reading })}>
              {typedText(reading)}
            </Tap>
          ))}
        </div>
      )}
    </section>
  );
}

/** Which flush, and whole or trimmed: both known from last time, both one tap away. */
function Ways({ view, weighing, onChange }: Changing & { view: BlockView }) {
  const open = openFlush(view);
  const flushes = view.picks.length === 0 ? [1, 2] : [open, open + 1];
  if (!flushes.includes(weighing.flush)) flushes.unshift(weighing.flush);
  const options = flushes
    .filter((flush) => flush <= 20)
    .map((flush) => [String(flush), flush > open ? `Start ${flush}` : `Flush ${flush}`] as const);
  return (
    <div class="two">
      <Choice
        name="Flush"
        bare
        value={String(weighing.flush)}
        options={options}
        onPick={(flush) => onChange({ flush: Number(flush) })}
      />
      <Choice
        name="Weighed whole or trimmed"
        bare
        value={weighing.handling}
        options={Object.entries(HANDLINGS) as ["whole" | "trimmed", string][]}
        onPick={(handling) => onChange({ handling })}
      />
    </div>
  );
}

function Delete({ pick, view }: { pick: Standing<"pick">; view: BlockView }) {
  const words = `Pick of ${mass(pick.fields.wet_g)} from ${view.fields.label} deleted.`;
  const drop = () => write({ verb: "delete", kind: "pick", id: pick.id }, words, `#/block/${view.id}`);
  return (
    <Tap look="heed" onTap={drop}>
      Delete this pick
    </Tap>
  );
}
