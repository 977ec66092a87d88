// Draws the PNG icons from icons/icon.svg with a headless Chromium: node draw-icons.mjs [path of chromium]
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const chromium = process.argv[2] ?? "chromium";
const icons = join(import.meta.dirname, "icons");
const svg = readFileSync(join(icons, "icon.svg"), "utf8");
const folder = mkdtempSync(join(tmpdir(), "icons-"));

/** Launchers cut a shape of their own out of a maskable icon: no corners of ours, and the drawing within the inner 80 %. */
const maskable = svg
  .replace(' rx="20"', "")
  .replace("<path", '<g transform="translate(48 48) scale(.78) translate(-48 -49)"><path')
  .replace("</svg>", "</g></svg>");
const square = svg.replace(' rx="20"', "");

function draw(name, drawing, size) {
  const page = join(folder, "icon.html");
  const sized = drawing.replace("<svg", `<svg width="${size}" height="${size}" style="display:block"`);
  writeFileSync(page, `<!doctype html><body style="margin:0;background:transparent">${sized}`);
  const flags = [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--hide-scrollbars",
    "--default-background-color=00000000",
  ];
  const shot = [
    `--screenshot=${join(icons, name)}`,
    `--window-size=${size},${size}`,
    pathToFileURL(page).href,
  ];
  execFileSync(chromium, [...flags, ...shot], { stdio: "ignore" });
}

for (const size of [192, 512]) {
  draw(`icon-${size}.png`, svg, size);
  draw(`maskable-${size}.png`, maskable, size);
}
draw("apple-touch-icon.png", square, 180);
rmSync(folder, { recursive: true });
