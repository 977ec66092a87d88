/** One yield report: on its way to be made, or made, with what it says, its files and its links. */
import { useState } from "preact/hooks";
import type { Id } from "../../records/types";
import type { Errand } from "../../store/api";
import { sync } from "../../sync";
import { dayWords, localDay, stampWords } from "../dates";
import { farm, isOwner, now, store } from "../here";
import { Barred } from "../parts/absent";
import { Wrong } from "../parts/field";
import { Figure, Named } from "../parts/figure";
import { Frame } from "../parts/frame";
import { spreadWords } from "../parts/range";
import { Tap } from "../parts/tap";
import { Twice } from "../parts/twice";
import { replaceWith } from "../route";
import { once, say } from "../saving";
import { count } from "../words";
import { useAnswer } from "./ask";
import { Files, SharePdf } from "./report_files";
import { Links } from "./report_links";
import { supplierIn } from "./report_wanted";
import { isReports, isSnapshot, REPORTS, type ReportLine, type Snapshot } from "./wire";

export function Report({ id }: { id: Id }) {
  if (!isOwner.value) return <Barred to="#/suppliers" />;
  const errand = store().errands.value.find((each) => each.id === id);
  return errand ? <Waiting errand={errand} /> : <Made id={id} />;
}

function Waiting({ errand }: { errand: Errand }) {
  const { id, said, made, body, path } = errand;
  const supplier = supplierIn(body);
  const name = farm.value.supplier.get(supplier)?.fields.name ?? "a supplier";
  const home = supplier ? `#/supplier/${supplier}` : "#/suppliers";
  const drop = () =>
    once(`drop ${id}`, () => store().dropErrand(id)).then((done) => done && replaceWith(home));
  return (
    <Frame title={`Yield report for ${name}`} from={home}>
      <p class="quiet small">Asked for {stampWords(made, now.value)}.</p>
      {said ? (
        <Wrong>{said}</Wrong>
      ) : (
        <p class="lead" role="status">
          {whenMade()}
        </p>
      )}
      <div class="row">
        <Tap look="main" onTap={() => once(`try ${id}`, () => again({ id, path, body }))}>
          Try now
        </Tap>
        <Tap look="heed" onTap={drop}>
          Do not make it
        </Tap>
      </div>
    </Frame>
  );
}

function whenMade(): string {
  const pass = sync.pass.value;
  if (pass.trouble === null) return "It is made as soon as your records are sent …";
  if (pass.trouble !== "no server") return `It is not made yet. ${pass.detail}`;
  return "It will be made when there is a signal, after your records are sent.";
}

async function again(errand: Pick<Errand, "id" | "path" | "body">): Promise<void> {
  await store().addErrand(errand);
  await sync.tryNow();
}

function Made({ id }: { id: Id }) {
  const [, setGone] = useState(false);
  const path = `${REPORTS}/${id}`;
  const list = useAnswer({ name: "reports", path: REPORTS, whole: isReports, anew: "on visits" });
  const told = useAnswer({ name: `report/${id}`, path, whole: isSnapshot, anew: "once" });
  const line = list.said?.find((each) => each.id === id);
  const home = line ? `#/supplier/${line.supplier}` : "#/suppliers";
  const drop = async () => {
    const done = await once(`delete ${id}`, async () => {
      await sync.ask("DELETE", path);
      await store().keepAnswer(`report/${id}`, undefined);
    });
    if (!done) return;
    setGone(true);
    replaceWith(home);
    say("The report and its links are deleted.");
  };
  if (!told.said) {
    return (
      <Frame title="Yield report" from={home}>
        <p role="status">{told.said === null && unread(told.asking, told.trouble)}</p>
      </Frame>
    );
  }
  return (
    <Frame title={told.said.title} from={home} acts={<SharePdf path={path} />}>
      <Says told={told.said} line={line} />
      <Files path={path} />
      <Links report={id} shares={line?.shares} list={list} />
      <Twice
        words="Delete this report"
        means="The report and all its links are gone for good: this cannot be undone. Your records stay."
        sure="Delete it"
        onDo={drop}
      />
    </Frame>
  );
}

function unread(asking: boolean, trouble: string): string {
  if (asking) return "Asking the server for the report …";
  return `${trouble || "One moment."} This report is not on this phone: it is read where there is a signal.`;
}

function Says({ told, line }: { told: Snapshot; line: ReportLine | undefined }) {
  const { counts, g_per_kg_wet: spread, deliveries, photos, sentences } = told;
  const today = localDay(new Date(now.value));
  const made = line ? stampWords(line.made, now.value) : dayWords(told.day, today);
  return (
    <section>
      <p class="quiet small">
        For {told.supplier}. Made {made} from your records as they stood; nothing you record later changes it.
      </p>
      <dl class="figures">
        <Named name="Blocks" why={`from ${count(deliveries.length, "delivery", "deliveries")}`}>
          <Figure digits={String(counts.recorded)} unit="" />
        </Named>
        <Named name="Finished" why={failedWords(counts)}>
          <Figure digits={String(counts.finished)} unit="" />
        </Named>
        {spread && (
          <Named
            name="Middle yield"
            why={`${spread.low.toFixed(0)} to ${spread.high.toFixed(0)}, ${count(spread.n, "block")}`}
          >
            <Figure digits={spread.median.toFixed(0)} unit="g per kg wet" />
          </Named>
        )}
        <Named
          name="Contaminated"
          why={photos.length === 0 ? "no photo in it" : `${count(photos.length, "photo")} in it`}
        >
          <Figure digits={String(counts.contaminated)} unit="" />
        </Named>
      </dl>
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {!spread && <ByVariety varieties={told.varieties} />}
    </section>
  );
}

function failedWords({ finished, failed }: Snapshot["counts"]): string {
  if (finished === 0) return "none yet";
  return failed === 0 ? "all of them with a harvest" : `${failed} of them without a harvest`;
}

function ByVariety({ varieties }: Pick<Snapshot, "varieties">) {
  if (!varieties.some(({ g_per_kg_wet }) => g_per_kg_wet)) return null;
  return (
    <ul class="list">
      {varieties.map(({ name, g_per_kg_wet: spread }) => (
        <li class="line" key={name}>
          <span class="grow">
            {name}
            <span class="quiet small">
              {spread
                ? [spreadWords(spread), count(spread.n, "block")].filter(Boolean).join(", ")
                : "no finished block that was weighed"}
            </span>
          </span>
          {spread && (
            <span>
              <strong>{spread.median.toFixed(0)}</strong> g per kg wet
            </span>
          )}
        </li>
      ))}
    </ul>
  );
}
