/** What goes into a load: recent picks by one tap each, part of a pick, or mushrooms from elsewhere. */
import { useState } from "preact/hooks";
import type { Standing } from "../../records/farm_view";
import type { Id } from "../../records/types";
import { whenWords } from "../dates";
import { farm, mass, now, varietyName } from "../here";
import { Select, Text, Wrong } from "../parts/field";
import { Label } from "../parts/label";
import { varietiesByName } from "../parts/options";
import { Tap } from "../parts/tap";
import { plain } from "./amounts";
import { type FindPick, type LoadFaults, type PutIn, readPart, wholeText } from "./drying_draft";
import { freeOf } from "./loads";

const RECENT_MS = 7 * 86_400_000;
const MOST_AT_FIRST = 6;
const MORE_AT_ONCE = 12;

export const findPick: FindPick = (id) => {
  const row = farm.value.pick.get(id);
  return row && { row, free_g: freeOf(row) };
};

interface Props {
  parts: readonly PutIn[];
  faults: LoadFaults;
  onParts: (parts: PutIn[]) => void;
}

export function Parts({ parts, faults, onParts }: Props) {
  const [most, setMost] = useState(0);
  const free = freePicks(parts);
  const offered = picksToOffer(free, parts, most);
  const change = (at: number, part: Partial<PutIn>) =>
    onParts(parts.map((each, place) => (place === at ? { ...each, ...part } : each)));
  const drop = (at: number) => onParts(parts.filter((_, place) => place !== at));
  const rowOf = (pick: Id) => offered.find(({ id }) => id === pick);
  const more = Math.min(MORE_AT_ONCE, free.length - offered.length);
  return (
    <>
      {offered.length === 0 && (
        <p>No pick is waiting. Weigh a harvest first, or put in mushrooms from elsewhere.</p>
      )}
      <ul class="putins">
        {offered.map((pick) => {
          const at = parts.findIndex((part) => part.pick === pick.id);
          const turn = () => (at < 0 ? onParts([...parts, wholePick(pick)]) : drop(at));
          return (
            <li key={pick.id}>
              <PickButton pick={pick} chosen={at >= 0} onTap={turn} />
            </li>
          );
        })}
      </ul>
      {more > 0 && (
        <Tap look="plain" onTap={() => setMost(offered.length + MORE_AT_ONCE)}>
          Show {more} earlier {more === 1 ? "pick" : "picks"}
        </Tap>
      )}
      <OnlyPart parts={parts} faults={faults} rowOf={rowOf} onChange={change} />
      {parts.map((part, at) =>
        part.pick === null ? (
          <Elsewhere
            key={at}
            part={part}
            wrong={faults[`part${at}`]}
            onChange={(now) => change(at, now)}
            onDrop={() => drop(at)}
          />
        ) : null,
      )}
      <Tap onTap={() => onParts([...parts, { pick: null, variety: "", text: "", sure: "" }])}>
        Mushrooms from elsewhere
      </Tap>
    </>
  );
}

function wholePick(pick: Standing<"pick">): PutIn {
  return { pick: pick.id, variety: "", text: wholeText({ row: pick, free_g: freeOf(pick) }), sure: "" };
}

/** Newest first; those with nothing left are gone, unless they were chosen. */
function freePicks(parts: readonly PutIn[]): Standing<"pick">[] {
  const chosen = new Set(parts.map(({ pick }) => pick));
  return [...farm.value.pick.values()]
    .filter((pick) => farm.value.block.has(pick.fields.block) && (freeOf(pick) > 0 || chosen.has(pick.id)))
    .sort((a, b) => Date.parse(b.fields.at) - Date.parse(a.fields.at));
}

/** The recent ones, or as many as were asked for; what was chosen stays in sight. */
function picksToOffer(free: Standing<"pick">[], parts: readonly PutIn[], most: number): Standing<"pick">[] {
  const chosen = new Set(parts.map(({ pick }) => pick));
  const recent = free.filter(({ fields }) => Date.parse(fields.at) > now.value - RECENT_MS).length;
  const first = Math.max(Math.min(recent || MOST_AT_FIRST, MOST_AT_FIRST), most);
  return free.filter((pick, at) => at < first || chosen.has(pick.id));
}

interface PickButtonProps {
  pick: Standing<"pick">;
  chosen: boolean;
  onTap: () => void;
}

function PickButton({ pick, chosen, onTap }: PickButtonProps) {
  const view = farm.value.block.get(pick.fields.block);
  const { dry_g, wet_g } = pick.fields;
  const free = freeOf(pick);
  const more = [
    whenWords(pick.fields.at, now.value),
    free < wet_g && `${plain(free)} of it left`,
    dry_g !== null && `dried by itself already, ${mass(dry_g)}`,
  ];
  return (
    <button type="button" class="putin" aria-pressed={chosen} onClick={onTap}>
      {view && <Label code={view.fields.label} />}
      <span class="grow">
        <strong>{view && varietyName(view)}</strong>
        <span class="small">{more.filter(Boolean).join(", ")}</span>
      </span>
      <strong class="mass">{plain(wet_g)}</strong>
    </button>
  );
}

interface OnlyPartProps {
  parts: readonly PutIn[];
  faults: LoadFaults;
  rowOf: (pick: Id) => Standing<"pick"> | undefined;
  onChange: (at: number, part: Partial<PutIn>) => void;
}

/** Most go in whole. Below the list, and there before anything is chosen: no pick moves under the thumb. */
function OnlyPart({ parts, faults, rowOf, onChange }: OnlyPartProps) {
  const [open, setOpen] = useState(false);
  const picks = parts.flatMap((part, at) => (part.pick === null ? [] : [{ part, at, id: part.pick }]));
  const cut = picks.filter(({ part, at, id }) => {
    const found = findPick(id);
    return open || faults[`part${at}`] || !found || part.text !== wholeText(found);
  });
  return (
    <>
      {cut.length < picks.length || picks.length === 0 ? (
        <Tap off={picks.length === 0} onTap={() => setOpen(true)}>
          Only part of a pick
        </Tap>
      ) : null}
      {cut.map(({ part, at, id }) => (
        <HowMuch
          key={id}
          part={part}
          block={rowOf(id)?.fields.block}
          wrong={faults[`part${at}`]}
          onChange={(to) => onChange(at, to)}
        />
      ))}
    </>
  );
}

interface PartProps {
  part: PutIn;
  wrong: string | undefined;
  onChange: (part: Partial<PutIn>) => void;
}

function HowMuch({ part, block, wrong, onChange }: PartProps & { block: Id | undefined }) {
  const label = farm.value.block.get(block ?? "")?.fields.label;
  const read = readPart(part, findPick);
  const asked = "asked" in read ? read.wrong : undefined;
  return (
    <div class="form partly">
      <Text
        name={label ? `How much of ${label}` : "How much of it"}
        value={part.text}
        wrong={asked ? undefined : wrong}
        onText={(text) => onChange({ text })}
      />
      {asked && <Wrong>{asked}</Wrong>}
      {asked && (
        <Tap look="heed" onTap={() => onChange({ sure: part.text })}>
          Yes, {part.text} is right
        </Tap>
      )}
    </div>
  );
}

function Elsewhere({ part, wrong, onChange, onDrop }: PartProps & { onDrop: () => void }) {
  return (
    <div class="form sheet">
      <Select
        name="Mushrooms from elsewhere"
        value={part.variety}
        options={[["", "Choose a variety"], ...varietiesByName()]}
        onPick={(variety) => onChange({ variety })}
      />
      <Text
        name="Wet mass"
        hint="For example 450 g or 1 lb 3 oz."
        value={part.text}
        wrong={wrong}
        onText={(text) => onChange({ text })}
      />
      <Tap look="plain" onTap={onDrop}>
        Take it off
      </Tap>
    </div>
  );
}
