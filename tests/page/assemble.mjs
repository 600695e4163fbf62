// Puts a revision page together from src/pack/revise/ exactly as a release does (see CONTRACT.md).

import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

export const SOURCES = join(dirname(fileURLToPath(import.meta.url)), "../../src/pack/revise");

export const source = (name) => readFileSync(join(SOURCES, name), "utf8");

const { escapeHtml } = createRequire(import.meta.url)(join(SOURCES, "pack.js"));

/** The scripts in their order. */
export const scripts = () => source("scripts.txt").trim().split("\n");

/** Without leading spaces, empty lines and lines of comment. */
export function tighten(text) {
  return text.split("\n").map((line) => line.trimStart()).filter((line) => line && !line.startsWith("//") && !line.startsWith("/*"))
    .join("\n");
}

/** The page of a pack. */
export function assemble(pack) {
  const style = tighten(source("style.css"));
  const script = scripts().map((name) => tighten(source(name))).join("\n");
  const hash = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
  const values = {
    TITLE: escapeHtml(`${pack.department}, Year ${pack.year}, ${pack.term}`),
    STYLE: style,
    SCRIPT: script,
    DATA: JSON.stringify(compact(pack)).replace(/</g, "\\u003c"),
    CSP: `default-src 'none'; script-src ${hash(script)}; style-src ${hash(style)}; img-src data:; base-uri 'none'; form-action 'none'`,
  };
  return source("page.html").replace(/\{\{([A-Z]+)\}\}/g, (whole, name) => values[name]);
}

/** The pack without what says nothing. */
export function compact(pack) {
  const cards = pack.cards.map((card, at) => {
    const before = pack.cards[at - 1];
    const { deck, number, ...rest } = card;
    return { id: card.id, ...(number === (before?.number ?? 0) + 1 ? {} : { number }), ...(deck === before?.deck ? {} : { deck }), ...rest };
  });
  const plain = lean({ ...pack, cards });
  for (const card of plain.cards) {
    for (const question of card.questions) question.answer = (question.answer ?? []).map((point) => ("html" in point ? point : point.text));
  }
  return plain;
}

function lean(value) {
  if (Array.isArray(value)) return value.map(lean);
  if (value === null || typeof value !== "object") return value;
  const kept = Object.entries(value).filter(([name, part]) => {
    if (name === "html") return part !== escapeHtml(value.text);
    return part !== false && part !== null && !(Array.isArray(part) && part.length === 0);
  });
  return Object.fromEntries(kept.map(([name, part]) => [name, lean(part)]));
}
