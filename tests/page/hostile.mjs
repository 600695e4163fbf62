// A department whose card text tries everything, and is plain text nevertheless.

/** Texts that must be shown as they stand. */
export const NASTY = [
  "<script>window.hit=1</script>",
  "</script><script>window.hit=2</script>",
  "<img src=x onerror=window.hit=3>",
  "javascript:window.hit=4",
  "<!--<script>",
  "{{SCRIPT}} {{DATA}} {{CSP}}",
  "$& $1 $'",
  "'\"><svg onload=window.hit=5>",
  "\u202etxet desrever\u202c",
  "\u2066isolated\u2069 \u200bnothing",
  "a\u2028b",
  "&lt;b&gt; &amp;amp; &#60;i&#62;",
  "]]> <?php ?> <%= 1 %>",
  "=cmd|' /C calc'!A0",
];

/** The text as it must be shown: signs that nobody sees are written out, a line end is one, which is no text, and a number stays with its unit. */
export const shown = (text) => text.replace(/[\u202a-\u202e\u2066-\u2069]/g, (sign) => `[U+${sign.codePointAt(0).toString(16).toUpperCase()}]`).replace(/\u2028/g, "").replace("1 %", "1\u00a0%");

const quoted = (text) => JSON.stringify(text).replace(/[\u007f-\uffff]/g, (sign) => `\\u${sign.codePointAt(0).toString(16).padStart(4, "0")}`);

function card(text, at, edition) {
  const answer = at === 0 && edition > 1 ? `${text} and corrected` : text;
  return [
    `  - id: nasty-${at + 1}`,
    `    question: ${quoted(`${text} asks ${at + 1}`)}`,
    `    answer: ${quoted(answer)}`,
    `    accept: [${quoted(text)}]`,
    `    caution: ${quoted(text)}`,
    at ? "    see: [nasty-1]" : "    see: [nasty-2]",
    "    allow:",
    "      hidden-signs: this is what the card is for",
    "      bad-maths: this is what the card is for",
    "      giveaway: this is what the card is for",
    "",
  ].join("\n");
}

/** Its files, in an edition. */
export function hostileDepartment(edition) {
  const cards = NASTY.map((text, at) => card(text, at, edition)).join("");
  return {
    "decks/department.yaml": [
      `department: ${quoted(NASTY[0])}`, `school: ${quoted(NASTY[1])}`, "years: [8]",
      "terms:", "  - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}",
      "scheme:", "  - {deck: year-8/nasty, term: autumn, taught_on: 2026-09-21}",
      "policy:", "  no-source: off", "",
    ].join("\n"),
    "decks/year-8/nasty/cards.yaml": `title: ${quoted(NASTY[2])}\nyear: 8\ncards:\n${cards}`,
  };
}
