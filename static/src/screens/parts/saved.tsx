/** After a save: what is on this phone now, and the next block within one tap. */
import type { BlockView } from "../../records/farm_view";
import { typedText } from "../../records/typed";
import { farm, figuresOf, hasEnded, mass, stateOf, varietyName } from "../here";
import { standingWords } from "../standing";
import type { Weighing } from "../weighing";
import { Frame } from "./frame";
import { Label } from "./label";
import { Digits } from "./reading";
import { Tap } from "./tap";

const MOST_NEXT = 4;

export function Saved({
  view,
  weighing,
  onAgain,
}: {
  view: BlockView;
  weighing: Weighing;
  onAgain: () => void;
}) {
  const figures = figuresOf(view);
  const flush_g = figures.grams_by_flush[weighing.flush] ?? 0;
  const { label } = view.fields;
  return (
    <Frame
      title={`Saved: ${typedText(weighing.wet)} of ${label}`}
      heading={
        <>
          <Digits typed={weighing.wet} />
          <span>saved</span>
        </>
      }
      look="weigh"
      rooms={false}
      acts={
        <>
          <Tap onTap={onAgain}>Weigh it again</Tap>
          <a class="tap" href={`#/block/${view.id}`}>
            See the block
          </a>
        </>
      }
    >
      <p>
        <Label code={label} /> flush {weighing.flush} stands at <strong>{mass(flush_g)}</strong>
        {figures.yield_g_per_kg_wet !== null &&
          `, ${figures.yield_g_per_kg_wet.toFixed(0)} g per kg wet in all`}
        .
      </p>
      <section>
        <h2>Weigh next</h2>
        <ul class="nexts">
          {nextBlocks(view).map((next) => (
            <li key={next.id}>
              <a class="tap" href={`#/weigh/${next.id}`}>
                <Label code={next.fields.label} />
                <span>
                  {varietyName(next)}
                  <span class="quiet small">{standingWords(next)}</span>
                </span>
              </a>
            </li>
          ))}
          <li>
            <a class="tap" href="#/blocks">
              Another block
            </a>
          </li>
        </ul>
      </section>
    </Frame>
  );
}

const LIKELY = ["fruiting", "pinning", "resting", "soaking"];

/** Blocks beside this one first, those likely to be picked before the others. */
function nextBlocks(view: BlockView): BlockView[] {
  const rank = (each: BlockView) =>
    LIKELY.indexOf(stateOf(each)) + (each.place?.id === view.place?.id ? 0 : 10);
  return [...farm.value.block.values()]
    .filter((each) => each.id !== view.id && !hasEnded(each))
    .sort((a, b) => rank(a) - rank(b) || (a.fields.label < b.fields.label ? -1 : 1))
    .slice(0, MOST_NEXT);
}
