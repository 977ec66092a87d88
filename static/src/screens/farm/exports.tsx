/** All records of the farm in a file, whenever its owner wants them. */
import { useState } from "preact/hooks";
import { sync } from "../../sync";
import { download } from "../hand_over";
import { isOwner, store } from "../here";
import { Barred } from "../parts/absent";
import { AskAgain, confirmed } from "../parts/ask_again";
import { Frame } from "../parts/frame";
import { Tap } from "../parts/tap";
import { once } from "../saving";
import { count } from "../words";

const TABLES = "/api/reports/records.zip";
const JSON_FILE = "/api/reports/records.json";

export function Exports() {
  const [busy, setBusy] = useState("");
  if (!isOwner.value) return <Barred to="#/farm" />;
  const unsent = store().outbox.value.length;
  const save = async (path: string) => {
    setBusy(path);
    await once(`export ${path}`, async () => {
      const { blob, name } = await confirmed(() => sync.fetchFile(path));
      download(blob, name);
    });
    setBusy("");
  };
  return (
    <Frame title="All records in a file" from="#/farm">
      <p>
        Every supplier with contact, delivery, block, pick, note, drying, jar and extract that the server has,
        as you wrote them. Pictures are named in it but stay on the server. No password is in it.
      </p>
      {unsent > 0 && (
        <p>
          {count(unsent, "record")} of this phone {unsent === 1 ? "is" : "are"} not sent yet, so not in it.
        </p>
      )}
      {sync.pass.value.trouble === "no server" && (
        <p class="quiet">It needs a signal: the server makes the file.</p>
      )}
      <section class="form">
        <Tap look="main" onTap={() => save(TABLES)}>
          {busy === TABLES ? "Fetching …" : "Save as tables (CSV)"}
        </Tap>
        <p class="quiet small">
          A zip with one table for each kind of record and a description of their columns.
        </p>
        <Tap onTap={() => save(JSON_FILE)}>{busy === JSON_FILE ? "Fetching …" : "Save as JSON"}</Tap>
        <p class="quiet small">The same in one file, for programs.</p>
      </section>
      <AskAgain />
    </Frame>
  );
}
