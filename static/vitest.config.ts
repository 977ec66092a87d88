import { defineConfig, type Plugin } from "vitest/config";

/** The tests live beside the server's, outside this folder: packages they import are looked for here all the same. */
const packagesOfThisFolder: Plugin = {
  name: "packages-of-this-folder",
  enforce: "pre",
  resolveId(id, importer) {
    const bare = /^[@a-z]/.test(id) && !id.startsWith("node:");
    if (!bare || !importer?.includes("/tests/phone/")) return null;
    return this.resolve(id, `${import.meta.dirname}/src/app.tsx`, { skipSelf: true });
  },
};

export default defineConfig({
  plugins: [packagesOfThisFolder],
  test: {
    dir: "../tests/phone",
    include: ["**/*.test.ts", "**/*.test.tsx"],
    environment: "node",
  },
});
