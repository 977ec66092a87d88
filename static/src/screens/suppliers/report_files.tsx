/** A report's files: the PDF to the share sheet where the phone has one, the page and the tables to the downloads. */
import { useState } from "preact/hooks";
import { sync } from "../../sync";
import { download, handOver } from "../hand_over";
import { Tap } from "../parts/tap";
import { once } from "../saving";

export function SharePdf({ path }: { path: string }) {
  const [busy, setBusy] = useState(false);
  const act = async () => {
    setBusy(true);
    await once("share pdf", async () => {
      const { blob, name } = await sync.fetchFile(`${path}/report.pdf`);
      await handOver(blob, name);
    });
    setBusy(false);
  };
  return (
    <Tap look="main" onTap={act}>
      {busy ? "Fetching the PDF …" : "Share as PDF"}
    </Tap>
  );
}

export function Files({ path }: { path: string }) {
  return (
    <section>
      <div class="row">
        <Save path={`${path}/report.html`}>Save as a page</Save>
        <Save path={`${path}/report.zip`}>Save as tables (CSV)</Save>
      </div>
      {sync.pass.value.trouble === "no server" && (
        <p class="quiet small">Files and links come from the server: they need a signal.</p>
      )}
    </section>
  );
}

function Save({ path, children }: { path: string; children: string }) {
  const save = () =>
    once(`save ${path}`, async () => {
      const { blob, name } = await sync.fetchFile(path);
      download(blob, name);
    });
  return <Tap onTap={save}>{children}</Tap>;
}
