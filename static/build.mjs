// Compiles the phone app into dist/ (or --out FOLDER): hashed scripts (the first and the rooms), the page, the service worker.
import { createHash } from "node:crypto";
import { mkdir, readdir, readFile, rename, rm, writeFile } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { brotliCompressSync, gzipSync } from "node:zlib";
import { build } from "esbuild";
import { minify } from "terser";

const here = dirname(fileURLToPath(import.meta.url));
const { values } = parseArgs({ options: { out: { type: "string" } } });
const out = resolve(values.out ?? join(here, "dist"));

const SHARED = {
  absWorkingDir: here,
  bundle: true,
  minify: true,
  write: false, // the old dist stays whole until everything has compiled
  target: ["es2022", "safari16"],
  legalComments: "none",
  logLevel: "warning",
};

/** What is said of species: data, so it is no part of the script. The server reads the very same file. */
async function catalogue() {
  const raw = await readFile(join(here, "..", "harvestlog", "blocks", "catalogue.json"), "utf8");
  const contents = Buffer.from(JSON.stringify(JSON.parse(raw)));
  return { address: `/assets/catalogue-${sumOf([contents]).slice(0, 8)}.json`, contents };
}

function sumOf(parts) {
  const sum = createHash("sha256");
  for (const part of parts) sum.update(part);
  return sum.digest("hex");
}

/**
 * The hashed files by address, and which scripts the first one cannot start without.
 * @returns {Promise<{files: Map<string, Uint8Array>, first: string[], rooms: Map<string, string[]>}>}
 */
async function bundle() {
  const { address, contents } = await catalogue();
  const { outputFiles, metafile } = await build({
    ...SHARED,
    entryPoints: { app: "src/app.tsx" },
    outdir: join(here, "dist", "assets"),
    entryNames: "[name]-[hash]",
    assetNames: "[name]-[hash]",
    chunkNames: "part-[hash]",
    splitting: true, // what a dynamic import asks for becomes a script of its own
    metafile: true,
    publicPath: "/assets/",
    format: "esm",
    jsx: "automatic",
    jsxImportSource: "preact",
    loader: { ".woff2": "file", ".svg": "file" },
    define: { __CATALOGUE__: JSON.stringify(address) },
  });
  const files = new Map([[address, contents]]);
  for (const file of outputFiles) {
    const name = `/assets/${file.path.split(/[\\/]/).at(-1)}`;
    files.set(name, name.endsWith(".js") ? await smaller(file.text) : file.contents);
  }
  return { files, ...reached(metafile) };
}

/** Scripts by who asks for them: at the start, or when a room is fetched. */
function reached({ outputs }) {
  const short = (path) => `/assets/${path.split("/").at(-1)}`;
  const needs = (path) =>
    outputs[path].imports.filter(({ kind }) => kind === "import-statement").map((one) => one.path);
  const closure = (path, seen = new Set()) => {
    if (seen.has(path)) return seen;
    seen.add(path);
    for (const next of needs(path)) closure(next, seen);
    return seen;
  };
  const scripts = Object.entries(outputs).filter(
    ([path, { entryPoint }]) => entryPoint && path.endsWith(".js"),
  );
  const [entry] = scripts.find(([, { entryPoint }]) => entryPoint === "src/app.tsx");
  const first = [...closure(entry)];
  const rooms = scripts
    .filter(([path]) => path !== entry)
    .map(([path, { entryPoint }]) => [
      entryPoint,
      [...closure(path)].filter((one) => !first.includes(one)).map(short),
    ]);
  return { first: first.map(short), rooms: new Map(rooms) };
}

/** What esbuild leaves can still lose 3 %: a shed at the end of a weak line is where this arrives. */
async function smaller(script) {
  const { code } = await minify(script, { ecma: 2020, module: true, compress: { passes: 3 } });
  return Buffer.from(code);
}

/** The page with the bundle's names filled in; what the first script asks for is asked for beside it. */
async function page(files, first) {
  let html = await readFile(join(here, "index.html"), "utf8");
  for (const ending of ["css", "js"]) {
    const hashed = [...files.keys()].find((name) => name.startsWith("/assets/app-") && name.endsWith(ending));
    const plain = `/assets/app.${ending}`;
    if (!hashed || !html.includes(plain)) {
      throw new Error(`index.html has to ask for ${plain}, and src/app.tsx has to give one`);
    }
    html = html.replaceAll(plain, hashed);
  }
  const beside = first.filter((name) => !html.includes(name));
  const links = beside.map((name) => `    <link rel="modulepreload" href="${name}">\n`).join("");
  html = html.replace("  </head>", `${links}  </head>`);
  return Buffer.from(html);
}

/** @param {string[]} precache addresses the worker keeps @param {string} id names this build */
async function worker(precache, id) {
  const { outputFiles } = await build({
    ...SHARED,
    entryPoints: ["src/sw/sw.ts"],
    outdir: join(here, "dist"),
    format: "iife",
    define: { __PRECACHE__: JSON.stringify(precache), __BUILD__: JSON.stringify(id) },
  });
  return await smaller(outputFiles[0].text);
}

/**
 * Equal files give an equal name, so a phone fetches nothing when a rebuild changed nothing. The worker is one of
 * them: with the name of another release it would meet that one's cache.
 */
function buildId(files) {
  const names = [...files.keys()].sort();
  return sumOf(names.flatMap((name) => [name, files.get(name)])).slice(0, 12);
}

async function compile() {
  const { files, first, rooms } = await bundle();
  files.set("/index.html", await page(files, first));
  files.set("/manifest.webmanifest", await readFile(join(here, "manifest.webmanifest")));
  for (const icon of await readdir(join(here, "icons"))) {
    files.set(`/icons/${icon}`, await readFile(join(here, "icons", icon)));
  }
  const precache = [...files.keys()].map((name) => (name === "/index.html" ? "/" : name)).sort();
  const nameless = await worker(precache, "");
  files.set("/sw.js", await worker(precache, buildId(new Map([...files, ["/sw.js", nameless]]))));
  return { files, first: [...first, "/sw.js"], rooms };
}

/** @param {Map<string, Uint8Array>} files */
async function put(files) {
  // A server that starts meanwhile finds the old app or the new one, and only for a moment none.
  const coming = `${out}.coming`;
  await rm(coming, { recursive: true, force: true });
  for (const [name, contents] of files) {
    const path = join(coming, name);
    await mkdir(dirname(path), { recursive: true });
    await writeFile(path, contents);
    if (!/\.(js|json|css|html|webmanifest|svg)$/.test(name)) continue;
    // WhiteNoise sends these where the browser takes them; it never compresses at run time.
    await writeFile(`${path}.gz`, gzipSync(contents, { level: 9 }));
    await writeFile(`${path}.br`, brotliCompressSync(contents));
  }
  await rm(out, { recursive: true, force: true });
  await rename(coming, out);
}

try {
  const { files, first, rooms } = await compile();
  await put(files);
  const kB = (names) =>
    (names.reduce((sum, name) => sum + gzipSync(files.get(name), { level: 9 }).length, 0) / 1000).toFixed(1);
  const apart = [...rooms].map(([entry, names]) => `${entry.split("/").at(-2)} ${kB(names)}`).join(", ");
  console.log(`phone app: ${files.size} files; script (gzip): ${kB(first)} kB to start, then ${apart}`);
} catch (error) {
  // esbuild has already said what is wrong where
  if (!error.errors) console.error(error);
  process.exitCode = 1;
}
