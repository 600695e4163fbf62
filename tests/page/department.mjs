// Departments in repositories of their own, on which the program itself is run. DECKLE names the program.

import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

export const ROOT = join(dirname(fileURLToPath(import.meta.url)), "../..");
export const DECKLE = resolve(process.env.DECKLE ?? join(ROOT, "target/debug/deckle"));
const WHO = "Mara Okonjo";

/** A department in a repository of its own, made of files. */
export class Department {
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

  /** Releases a pack, and gives what the program told of it. */
  release(year, term, ...more) {
    return JSON.parse(this.run(DECKLE, ["release", "--year", year, "--term", term, "--format", "json", "--out", "out", ...more]));
  }
}

/** Writes a file, and the folders above it. */
export const write = (path, text) => {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
};

/** Writes what `how` makes of a file. */
export const change = (path, how) => writeFileSync(path, how(readFileSync(path, "utf8")));

/** Fills a department's folder with files, by path. */
export const filled = (files) => (folder) => Object.entries(files).forEach(([path, text]) => write(join(folder, path), text));

if (!existsSync(DECKLE)) throw new Error(`${DECKLE} is not there: build the program first, or name it in DECKLE`);
