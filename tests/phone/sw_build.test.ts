/** The name of a build: equal sources give an equal one, and no file may change without it. */
import { execFileSync } from "node:child_process";
import {
  appendFileSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test, vi } from "vitest";

vi.setConfig({ testTimeout: 60_000 }); // two builds each

const REPOSITORY = join(import.meta.dirname, "..", "..");
const CATALOGUE = "harvestlog/blocks/catalogue.json";
let folder: string;

/** A copy of what is built, with a small app in place of the whole, so that one file of it can change. */
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "harvestlog-build-"));
  for (const name of ["src/sw", "icons", "build.mjs", "index.html", "manifest.webmanifest"])
    cpSync(join(REPOSITORY, "static", name), join(folder, "static", name), { recursive: true });
  writeFileSync(join(folder, "static", "src", "app.css"), "body { margin: 0 }");
  writeFileSync(join(folder, "static", "src", "app.tsx"), 'import "./app.css";\ndocument.title = "farm";\n');
  symlinkSync(join(REPOSITORY, "static", "node_modules"), join(folder, "static", "node_modules"));
  mkdirSync(join(folder, "harvestlog", "blocks"), { recursive: true });
  cpSync(join(REPOSITORY, CATALOGUE), join(folder, CATALOGUE));
});

afterEach(() => rmSync(folder, { recursive: true }));

/** What the worker calls its cache. */
function built(): string {
  execFileSync(process.execPath, [join(folder, "static", "build.mjs")], { stdio: "pipe" });
  const worker = readFileSync(join(folder, "static", "dist", "sw.js"), "utf8");
  return /"([0-9a-f]{12})"/.exec(worker)?.[1] ?? "no name";
}

const change = (name: string, text: string) => appendFileSync(join(folder, name), text);

test("a build of equal sources has an equal name", () => {
  expect(built()).toBe(built());
});

test.each([
  ["only the worker", "static/src/sw/sw.ts", '\nworker.addEventListener("sync", () => undefined);\n'],
  ["only the app", "static/src/app.tsx", '\ndocument.title = "another";\n'],
  ["only the page", "static/index.html", "<!-- another -->"],
])("a build in which %s changed has another name", (_, file, text) => {
  const before = built();
  change(file, text);
  expect(built()).not.toBe(before);
});
