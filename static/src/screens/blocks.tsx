/** Blocks by the place they stand in, and one of them by its label. */
import { signal } from "@preact/signals";
import type { BlockView } from "../records/farm_view";
import { read_label } from "../records/labels";
import { sync } from "../sync";
import { farm, fetching, hasEnded, isOwner, standingOf, stateOf } from "./here";
import { BlockRow } from "./parts/block_row";
import { type Option, Select, Text } from "./parts/field";
import { Frame } from "./parts/frame";
import { Teach } from "./parts/teach";
import { go } from "./route";
import { STATES } from "./words";

// Kept while the app is open: coming back from a block finds the list as it was left.
const sought = signal("");
const filter = signal({ variety: "", supplier: "", state: "growing" });

export function Blocks() {
  const all = [...farm.value.block.values()];
  const shown = all.filter(wanted);
  return (
    <Frame title="Blocks">
      {all.length === 0 ? (
        <Nothing />
      ) : (
        <>
          <Find blocks={all} />
          <Filters />
          {shown.length === 0 && <p>No block fits. Choose other filters above.</p>}
          {places(shown).map(([id, blocks]) => (
            <Place key={id} id={id} blocks={blocks} />
          ))}
          {isOwner.value && (
            <a class="tap" href="#/delivery">
              New delivery
            </a>
          )}
        </>
      )}
    </Frame>
  );
}

/** Before the first delivery has come to this phone, wherever its blocks or its supplier would be listed. */
export function Nothing() {
  if (fetching.value) return <Fetching />;
  if (!isOwner.value)
    return <Teach words="Nothing here yet. The owner of the farm writes down a delivery first." />;
  return (
    <Teach
      words="Blocks and suppliers come with a delivery. Write one down and each block gets its label."
      act="Write down a delivery"
      to="#/delivery"
    />
  );
}

function Fetching() {
  const { trouble } = sync.pass.value;
  return (
    <p role="status">
      {trouble === null
        ? "Fetching your farm …"
        : `Not all of your farm is on this phone yet: ${trouble}. It comes as soon as it can.`}
    </p>
  );
}

function Find({ blocks }: { blocks: readonly BlockView[] }) {
  const typed = sought.value.trim();
  const start = typed.toUpperCase().replace(/[\s-]/g, "");
  const close =
    start.length > 0 && start.length < 5 ? blocks.filter((each) => each.fields.label.startsWith(start)) : [];
  const verdict = start.length < 5 ? undefined : verdictOn(typed, blocks);
  const submit = (event: Event) => {
    event.preventDefault();
    const found = verdict?.found ?? (close.length === 1 ? close[0] : undefined);
    if (found) open(found);
  };
  return (
    <form class="find" onSubmit={submit}>
      <Text
        name="Find by label"
        value={sought.value}
        example="5 characters"
        capitals
        most={12}
        wrong={verdict?.wrong}
        onText={(text) => {
          sought.value = text;
        }}
      />
      {(verdict?.found || close.length > 0) && (
        <ul class="blocks list">
          {(verdict?.found ? [verdict.found] : close.slice(0, 5)).map((view) => (
            <BlockRow key={view.id} view={view} onOpen={() => open(view)} />
          ))}
        </ul>
      )}
    </form>
  );
}

function open(view: BlockView): void {
  sought.value = "";
  go(`#/block/${view.id}`);
}

function verdictOn(typed: string, blocks: readonly BlockView[]): { found?: BlockView; wrong?: string } {
  const label = read_label(typed);
  if (typeof label !== "string") return { wrong: label.sentence };
  const found = blocks.find((each) => each.fields.label === label);
  return found ? { found } : { wrong: `${label} is a good label, but no block of this farm has it.` };
}

function Filters() {
  const { variety, supplier, state } = filter.value;
  const set = (change: Partial<typeof filter.value>) => {
    filter.value = { ...filter.value, ...change };
  };
  const states: Option[] = [["growing", "Growing"], ["", "Any state"], ...Object.entries(STATES)];
  return (
    <div class="filters">
      <Select bare name="State" value={state} options={states} onPick={(picked) => set({ state: picked })} />
      <Select
        bare
        name="Variety"
        value={variety}
        options={[["", "Any variety"], ...named(farm.value.variety)]}
        onPick={(picked) => set({ variety: picked })}
      />
      <Select
        bare
        name="Supplier"
        value={supplier}
        options={[["", "Any supplier"], ...named(farm.value.supplier)]}
        onPick={(picked) => set({ supplier: picked })}
      />
    </div>
  );
}

function named(rows: ReadonlyMap<string, { id: string; fields: { name: string } }>): [string, string][] {
  return [...rows.values()]
    .map((row): [string, string] => [row.id, row.fields.name])
    .sort((a, b) => a[1].localeCompare(b[1]));
}

function wanted(view: BlockView): boolean {
  const { variety, supplier, state } = filter.value;
  if (variety && view.fields.variety !== variety) return false;
  if (supplier && view.supplier?.id !== supplier) return false;
  if (state === "growing") return !hasEnded(view);
  return state === "" || stateOf(view) === state;
}

/** By the place's id, "" where none is noted. */
function places(blocks: readonly BlockView[]): [string, BlockView[]][] {
  const apart = new Map<string, BlockView[]>();
  for (const view of blocks) {
    const id = view.place?.id ?? "";
    apart.set(id, [...(apart.get(id) ?? []), view]);
  }
  for (const theirs of apart.values()) theirs.sort((a, b) => liveliness(a) - liveliness(b) || byLabel(a, b));
  return [...apart].sort(([a], [b]) => placeName(a).localeCompare(placeName(b)));
}

function placeName(id: string): string {
  return farm.value.place.get(id)?.fields.name ?? "No place noted";
}

/** What needs a hand first stands first. */
const LIVELY = ["fruiting", "pinning", "soaking", "resting", "spent", "discarded"];

function liveliness(view: BlockView): number {
  const { state, contaminated } = standingOf(view);
  return contaminated === null ? LIVELY.indexOf(state) : -1;
}

function byLabel(a: BlockView, b: BlockView): number {
  return a.fields.label < b.fields.label ? -1 : 1;
}

function Place({ id, blocks }: { id: string; blocks: readonly BlockView[] }) {
  const name = placeName(id);
  return (
    <section class="place">
      <h2>
        {id ? <a href={`#/place/${id}`}>{name}</a> : name} <span>{blocks.length}</span>
      </h2>
      <ul class="blocks list">
        {blocks.map((view) => (
          <BlockRow key={view.id} view={view} />
        ))}
      </ul>
    </section>
  );
}
