// The pack as the page was given it, with the fields filled in that are left out when they say
// nothing (see CONTRACT.md). Throws when there is no pack that this page can read.
const Pack = (() => {
  "use strict";

  const ESCAPES = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };
  const COLOUR = /^#[0-9a-f]{6}$/i;

  function escapeHtml(text) {
    return text.replace(/[&<>"]/g, c => ESCAPES[c]);
  }

  function read(json) {
    const given = JSON.parse(json);
    if (given.format !== 1) throw new Error("This page cannot read a pack of format " + given.format + ".");
    return Object.assign({}, given, {
      session: Object.assign({ minutes: 20, review_days: [1, 7, 21] }, given.session),
      cautions: given.cautions || [],
      topics: given.topics.map(topicOf),
      cards: given.cards.reduce((cards, card) => cards.concat(cardOf(card, cards[cards.length - 1])), [])
    });
  }

  function topicOf(topic) {
    const sound = COLOUR.test(topic.band) && COLOUR.test(topic.text);
    return Object.assign({}, topic, sound ? {} : { band: "#444444", text: "#ffffff" });
  }

  // A card goes on from the one before it: in the same deck, with the next number.
  function cardOf(card, before) {
    const full = Object.assign({
      deck: before && before.deck, number: before ? before.number + 1 : 1, both_ways: false, extension: false, needs: [], see: [], caution: null, pictures: [], corrected: null
    }, card);
    full.questions = card.questions.map(questionOf);
    full.pictures = full.pictures.map(picture => Object.assign({ on_answer: false }, picture));
    full.caution = full.caution && written(full.caution);
    return full;
  }

  function questionOf(question) {
    return Object.assign({ ordered: false, accept: [] }, written(question), { answer: question.answer.map(written) });
  }

  function written(given) {
    const item = typeof given === "string" ? { text: given } : given;
    return typeof item.html === "string" ? item : Object.assign({}, item, { html: escapeHtml(item.text) });
  }

  return { read, escapeHtml };
})();
if (typeof module === "object" && module.exports) module.exports = Pack;
