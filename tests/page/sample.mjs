// Realistic packs for the tests, made from the demonstration department under decks/.

import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { FAILSAFE_SCHEMA, load } from "js-yaml";
import { inline } from "./markup.mjs";

const DECKS = join(dirname(fileURLToPath(import.meta.url)), "../../decks");

const read = (path) => load(readFileSync(join(DECKS, path), "utf8"), { schema: FAILSAFE_SCHEMA });

/** The pack of a year and term, as the release hands it to the page. */
export function samplePack(year, term, edition = 1) {
  const department = read("department.yaml");
  const decks = department.scheme.filter((taught) => taught.term === term && taught.deck.startsWith(`year-${year}/`)).map((taught) => taught.deck);
  return packOf(department, decks, { year, term, edition });
}

/** All nine decks in one pack: about 220 cards. */
export function largePack() {
  const department = read("department.yaml");
  return packOf(department, department.scheme.map((taught) => taught.deck), { year: 9, term: "all year", edition: 1 });
}

function packOf(department, decks, { year, term, edition }) {
  const cards = decks.flatMap((deck) => read(`${deck}/cards.yaml`).cards.map((card) => cardOf(card, deck)));
  cards.forEach((card, at) => { card.number = at + 1; });
  return {
    format: 1,
    pack: `geography-year-${year}-${term.replace(/ /g, "-")}-2026`,
    department: department.department,
    school: department.school,
    year,
    term: `${term} 2026`,
    edition,
    session: { minutes: Number(department.session.minutes), review_days: department.session.review_days.map(Number) },
    cautions: [
      "These cards support teaching. They do not replace the awarding body's current specification.",
      "Practical work and fieldwork follow the school's own risk assessment and your teacher.",
    ],
    topics: decks.map((deck) => ({ deck, topic: read(`${deck}/cards.yaml`).title, band: department.colours[deck], text: "#ffffff" })),
    cards,
  };
}

function cardOf(card, deck) {
  return {
    id: card.id,
    number: 0,
    deck,
    questions: [card, ...(card.also ?? [])].map(questionOf),
    both_ways: card.both_ways === "true",
    extension: card.tier === "extension",
    needs: card.needs ?? [],
    see: card.see ?? [],
    caution: card.caution ? inline(card.caution) : null,
    pictures: (card.pictures ?? []).map((picture) => ({
      on_answer: picture.side === "answer",
      alt: picture.alt,
      src: `data:image/svg+xml;base64,${readFileSync(join(DECKS, deck, picture.file)).toString("base64")}`,
    })),
    corrected: null,
  };
}

function questionOf(item) {
  return {
    ...inline(item.question),
    answer: [item.answer].flat().map(inline),
    ordered: item.ordered === "true",
    accept: item.accept ?? [],
  };
}
