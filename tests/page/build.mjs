// Releases packs with the program itself, from throw-away departments, and leaves their pages and data
// under target/page/packs for the tests. `npm test` runs it first. DECKLE names the program.

import { cpSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Department, ROOT, change, filled, write } from "./department.mjs";
import { DEMONSTRATION, FORMULAS, OTHERS, PACKS } from "./released.mjs";
import { hostileDepartment } from "./hostile.mjs";

/** Releases a pack and keeps its page under `name`. */
function release(department, name, year, term, ...more) {
  const told = department.release(year, term, ...more);
  const unpack = "import sys, zipfile; sys.stdout.buffer.write(zipfile.ZipFile(sys.argv[1]).read('revise.html'))";
  writeFileSync(join(PACKS, `${name}.html`), department.run("python3", ["-c", unpack, told.path]));
}

function demonstration(stage) {
  const department = new Department(join(stage, "demonstration"), (folder) => cpSync(join(ROOT, "decks"), join(folder, "decks"), { recursive: true }));
  for (const { name, year, term } of DEMONSTRATION) release(department, name, year, term, "--preview");
}

/** All decks of the demonstration taught to one year group in one term, without pictures. */
function allYear(stage) {
  const department = new Department(join(stage, "all-year"), (folder) => {
    cpSync(join(ROOT, "decks"), join(folder, "decks"), { recursive: true });
    change(join(folder, "decks/department.yaml"), (text) => text.replace(/term: (spring|summer)/g, "term: autumn").replace(/taught_on: 2027-.*/g, "taught_on: 2026-11-23"));
    for (const file of readdirSync(join(folder, "decks"), { recursive: true })) {
      if (file.endsWith("cards.yaml")) change(join(folder, "decks", file), (text) => text.replace(/^year: .*$/m, "year: 9").replace(/^ {4}pictures:\n(?: {6}.*\n)*/gm, ""));
    }
  });
  release(department, OTHERS.allYear, 9, "autumn", "--preview");
}

/** A card for each of the formulas. */
function formulas(stage) {
  const card = (formula, at) => `  - id: formula-${at}\n    question: How is relation number ${at} written?\n    answer: ${JSON.stringify(`$${formula}$`)}\n`;
  const department = new Department(join(stage, "formulas"), (folder) => {
    write(join(folder, "decks/department.yaml"), "department: Geography\nschool: Ambleford Quay School\nyears: [8]\n" +
      "terms:\n  - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}\nscheme:\n  - {deck: formulas, term: autumn}\n");
    write(join(folder, "decks/formulas/cards.yaml"), `title: Formulas\nyear: 8\ncards:\n${FORMULAS.map(card).join("")}`);
  });
  release(department, OTHERS.formulas, 8, "autumn", "--preview");
}

function hostile(stage) {
  const department = new Department(join(stage, "hostile"), filled(hostileDepartment(1)));
  release(department, OTHERS.hostile, 8, "autumn");
  department.commit(filled(hostileDepartment(2)));
  release(department, OTHERS.corrected, 8, "autumn");
}

rmSync(PACKS, { recursive: true, force: true });
mkdirSync(PACKS, { recursive: true });
const stage = mkdtempSync(join(tmpdir(), "deckle-page-"));
try {
  demonstration(stage);
  allYear(stage);
  hostile(stage);
  formulas(stage);
} finally {
  rmSync(stage, { recursive: true, force: true });
}
