// Small packs for the tests.

/** A card; `more` overrides its fields. */
export function card(id, more = {}) {
  return {
    id, number: 1, deck: "year-8/rivers", both_ways: false, extension: false, needs: [], see: [], caution: null, pictures: [], corrected: null,
    questions: [question(`What is ${id}?`, [`The answer of ${id}`])], ...more,
  };
}

export function question(text, answer, more = {}) {
  return { html: text, text, answer: answer.map((point) => ({ html: point, text: point })), ordered: false, accept: [], ...more };
}

/** A pack of `cards` in the topics that they name. */
export function pack(cards, more = {}) {
  const decks = [...new Set(cards.map((one) => one.deck))];
  return {
    format: 1, pack: "geography-year-8-autumn-2026", department: "Geography", school: "Ambleford Quay School", year: 8, term: "autumn 2026",
    edition: 1, session: { minutes: 20, review_days: [1, 7, 21] }, cautions: [],
    topics: decks.map((deck) => ({ deck, topic: deck.split("/")[1], band: "#1f5f5b", text: "#ffffff" })),
    cards: cards.map((one, at) => ({ ...one, number: at + 1 })), ...more,
  };
}
