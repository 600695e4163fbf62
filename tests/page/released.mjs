// The packs that build.mjs has released, by name.

import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

export const PACKS = join(dirname(fileURLToPath(import.meta.url)), "../../target/page/packs");

/** The packs of the demonstration department. */
export const DEMONSTRATION = [7, 8, 9].flatMap((year) => ["autumn", "spring"].map((term) => ({ name: `year-${year}-${term}`, year, term })));

/** Packs of other throw-away departments. */
export const OTHERS = { allYear: "all-year", hostile: "hostile-1", corrected: "hostile-2", formulas: "formulas" };

/** The formulas of the pack of that name, a card each. */
export const FORMULAS = readFileSync(new URL("../data/formulas.txt", import.meta.url), "utf8").trimEnd().split("\n");

export const ALL = [...DEMONSTRATION.map((pack) => pack.name), ...Object.values(OTHERS)];

/** The page of a pack, as released. */
export const pageOf = (name) => readFileSync(join(PACKS, `${name}.html`), "utf8");

/** Where a browser finds it. */
export const addressOf = (name) => pathToFileURL(join(PACKS, `${name}.html`)).href;

/** The pack's data, as it stands on the page. */
export const dataOf = (page) => page.split('<script type="application/json" id="pack">')[1].split("</script>")[0];
