// What every page without scripts is held against: axe-core, the Nu HTML checker, the width of the window.
// With SHOTS set, pictures are left under target/page/shots.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { promisify } from "node:util";
import { DESK, OUT, PHONE } from "./browser.mjs";

const require = createRequire(import.meta.url);
const AXE = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const NU = join(dirname(require.resolve("vnu-jar/package.json")), "build/dist/vnu.jar");
const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const SHOTS = join(OUT, "shots");

/** Both sizes, light and dark. */
export const LOOKS = {
  "phone-light": { size: PHONE, scheme: "light" }, "phone-dark": { size: PHONE, scheme: "dark" },
  "desk-light": { size: DESK, scheme: "light" }, "desk-dark": { size: DESK, scheme: "dark" },
};

/** Nothing is wider than the window, and axe finds nothing. `name` is what a picture of it is called. */
export async function accessible(page, name) {
  if (process.env.SHOTS) {
    mkdirSync(SHOTS, { recursive: true });
    await page.screenshot({ path: join(SHOTS, `${name}.png`), fullPage: true });
  }
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.equal(wide, 0, "nothing is wider than the window");
  const session = await page.context().newCDPSession(page);
  await session.send("Runtime.evaluate", { expression: AXE });
  const found = await page.evaluate((tags) => window.axe.run(document, { runOnly: tags, resultTypes: ["violations"] }), TAGS);
  assert.deepEqual(found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => `${node.target} ${node.failureSummary}`).join(" | ")}`), []);
}

/** What the Nu HTML checker says about files. */
export async function nu(files) {
  const run = await promisify(execFile)("java", ["-jar", NU, "--format", "json", "--stdout", "--exit-zero-always", ...files], { maxBuffer: 1e8 });
  return JSON.parse(run.stdout).messages;
}
