/** Every supplier's interval with its dot, all on one scale; the number stands beside the name. */
import { useId } from "preact/hooks";
import { Figure } from "../parts/figure";
import { fromBlocks, likely, reachOf } from "./comparison_words";
import { isBeyond, placeOf, type Reach, type Scale, scaleOf } from "./scale";
import type { Compared, Figured } from "./wire";

interface Props {
  name: string;
  /** how the chart is to be read */
  hint: string;
  suppliers: readonly Compared[];
  of: (supplier: Compared) => Figured;
  unit: string;
  say: (value: number) => string;
  /** blocks that this figure still waits for */
  waits?: (supplier: Compared) => number;
  /** the chart that always stands: each name leads to its supplier, also where nothing can be said of it yet */
  linked?: boolean;
}

export function Chart(props: Props) {
  const { name, hint, suppliers, of, linked } = props;
  const id = useId();
  const reaches = suppliers.map((each) => reachOf(of(each))).filter((reach) => reach !== null);
  const scale = scaleOf(reaches);
  if (suppliers.length === 0 || (reaches.length === 0 && !linked)) return null;
  return (
    <section class="intervals" aria-labelledby={id}>
      <h2 id={id}>{name}</h2>
      {reaches.length > 0 && <p class="quiet small">{hint}</p>}
      <ul>
        {suppliers.map((supplier) => (
          <Row key={supplier.id} {...props} supplier={supplier} scale={scale} />
        ))}
      </ul>
      {reaches.length > 0 && <Axis scale={scale} />}
    </section>
  );
}

function Row({
  supplier,
  scale,
  of,
  unit,
  say,
  waits,
  linked,
}: Props & { supplier: Compared; scale: Scale }) {
  const { id, name } = supplier;
  const figure = of(supplier);
  const reach = reachOf(figure);
  return (
    <li>
      <div class="names">
        {linked ? <a href={`#/supplier/${id}`}>{name}</a> : <span>{name}</span>}
        {reach && <Figure digits={say(reach.value)} unit={unit} />}
      </div>
      {reach && <Interval reach={reach} scale={scale} />}
      <p class="quiet small">
        {reach ? `${likely(reach, say)}, ${fromBlocks(figure, waits?.(supplier))}` : figure.sentence}
      </p>
    </li>
  );
}

/** The interval is drawn before its dot, so that nobody takes the dot for all there is. */
export function Interval({ reach, scale }: { reach: Reach; scale: Scale }) {
  const end = placeOf(reach.high, scale);
  return (
    <svg class="interval" aria-hidden="true">
      {scale.ticks.map((tick) => (
        <line key={tick} class="tick" x1={placeOf(tick, scale)} x2={placeOf(tick, scale)} y1="0" y2="100%" />
      ))}
      <line class="reach" x1={placeOf(reach.low, scale)} x2={end} y1="50%" y2="50%" />
      {isBeyond(reach.high, scale) && (
        <svg class="on" x={end} y="50%" aria-hidden="true">
          <path d="M0 -6 7 0 0 6" />
        </svg>
      )}
      <circle class="middle" cx={placeOf(reach.value, scale)} cy="50%" r="7" />
    </svg>
  );
}

function Axis({ scale }: { scale: Scale }) {
  return (
    <svg class="marks" aria-hidden="true">
      {scale.ticks.map((tick) => (
        <text key={tick} x={placeOf(tick, scale)} y="1em" text-anchor={tick === 0 ? "start" : "middle"}>
          {tick}
        </text>
      ))}
    </svg>
  );
}
