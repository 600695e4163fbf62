// Releases packs with the program itself, from throw-away departments, and leaves their pages and data
// under target/page/packs for the tests. `npm test` runs it first. DECKLE names the program.

import { execFileSync } from "node:child_process";
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { DEMONSTRATION, FORMULAS, OTHERS, PACKS } from "./released.mjs";
import { hostileDepartment } from "./hostile.mjs";

const ROOT = join(dirname(fileURLToPath(import.meta.url)), "../..");
const DECKLE = resolve(process.env.DECKLE ?? join(ROOT, "target/debug/deckle"));
const WHO = "Mara Okonjo";

/** A department in a repository of its own, made of files. */
class Department {
  constructor(folder, fill) {
    this.folder = folder;
    mkdirSync(folder);
    this.run("git", ["init", "--quiet", "--initial-branch=main"]);
    this.commit(fill);
  }

  run(program, words) {
    const when = "2026-11-23T09:00:00+00:00";
    const env = {
      PATH: process.env.PATH, HOME: this.folder, LC_ALL: "C.UTF-8", GIT_CONFIG_NOSYSTEM: "1", GIT_CONFIG_GLOBAL: "/dev/null",
      GIT_AUTHOR_NAME: WHO, GIT_AUTHOR_EMAIL: "m.okonjo@ambleford-quay.example", GIT_AUTHOR_DATE: when,
      GIT_COMMITTER_NAME: WHO, GIT_COMMITTER_EMAIL: "m.okonjo@ambleford-quay.example", GIT_COMMITTER_DATE: when,
    };
    return execFileSync(program, words, { cwd: this.folder, env, encoding: "utf8", maxBuffer: 1e8, stdio: ["ignore", "pipe", "inherit"] });
  }

  commit(fill) {
    fill(this.folder);
    this.run("git", ["add", "--all"]);
    this.run("git", ["commit", "--quiet", "--message", "the cards"]);
  }

  /** Releases a pack and keeps its page under `name`. */
  release(name, year, term, ...more) {
    const told = JSON.parse(this.run(DECKLE, ["release", "--year", year, "--term", term, "--format", "json", "--out", "out", ...more]));
    const unpack = "import sys, zipfile; sys.stdout.buffer.write(zipfile.ZipFile(sys.argv[1]).read('revise.html'))";
    writeFileSync(join(PACKS, `${name}.html`), this.run("python3", ["-c", unpack, told.path]));
  }
}

const write = (path, text) => {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
};

const change = (path, how) => writeFileSync(path, how(readFileSync(path, "utf8")));

function demonstration(stage) {
  const department = new Department(join(stage, "demonstration"), (folder) => cpSync(join(ROOT, "decks"), join(folder, "decks"), { recursive: true }));
  for (const { name, year, term } of DEMONSTRATION) department.release(name, year, term, "--preview");
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
  department.release(OTHERS.allYear, 9, "autumn", "--preview");
}

/** A card for each of the formulas. */
function formulas(stage) {
  const card = (formula, at) => `  - id: formula-${at}\n    question: How is relation number ${at} written?\n    answer: ${JSON.stringify(`$${formula}$`)}\n`;
  const department = new Department(join(stage, "formulas"), (folder) => {
    write(join(folder, "decks/department.yaml"), "department: Geography\nschool: Ambleford Quay School\nyears: [8]\n" +
      "terms:\n  - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}\nscheme:\n  - {deck: formulas, term: autumn}\n");
    write(join(folder, "decks/formulas/cards.yaml"), `title: Formulas\nyear: 8\ncards:\n${FORMULAS.map(card).join("")}`);
  });
  department.release(OTHERS.formulas, 8, "autumn", "--preview");
}

function hostile(stage) {
  const fill = (files) => (folder) => Object.entries(files).forEach(([path, text]) => write(join(folder, path), text));
  const department = new Department(join(stage, "hostile"), fill(hostileDepartment(1)));
  department.release(OTHERS.hostile, 8, "autumn");
  department.commit(fill(hostileDepartment(2)));
  department.release(OTHERS.corrected, 8, "autumn");
}

if (!existsSync(DECKLE)) throw new Error(`${DECKLE} is not there: build the program first, or name it in DECKLE`);
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
