// The page of `deckle review --format html`: every kind of change, hostile text among it, through axe-core
// and the Nu HTML checker, at both sizes, light and dark. DECKLE names the program.
// With SHOTS set, pictures are left under target/page/shots.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { after, before, describe, it } from "node:test";
import { pathToFileURL } from "node:url";
import { LOOKS, accessible, nu } from "./accessible.mjs";
import { DESK, OUT, device, launch, quit } from "./browser.mjs";
import { DECKLE } from "./department.mjs";

const PAGES = join(OUT, "review");
const HOSTILE = `<script>alert(1)</script></style></title>"'&amp; <img src=x onerror=alert(1)> javascript:x \u202eevil ${"long".repeat(60)}`;

const work = mkdtempSync(join(tmpdir(), "deckle-review-"));
const ENV = {
  PATH: process.env.PATH, HOME: work, TMPDIR: tmpdir(), GIT_CONFIG_NOSYSTEM: "1", GIT_CONFIG_GLOBAL: join(work, "none"), GIT_CEILING_DIRECTORIES: tmpdir(),
  GIT_AUTHOR_NAME: "Ada Brandt", GIT_AUTHOR_EMAIL: "ada@ambleford-quay.example", GIT_AUTHOR_DATE: "2026-10-05T10:00:00Z",
  GIT_COMMITTER_NAME: "Ada Brandt", GIT_COMMITTER_EMAIL: "ada@ambleford-quay.example", GIT_COMMITTER_DATE: "2026-10-05T10:00:00Z",
};

const git = (...args) => execFileSync("git", args, { cwd: work, env: ENV, encoding: "utf8" });

/** What the program prints; a status of 1 says that there are findings. */
function deckle(...args) {
  try {
    return execFileSync(DECKLE, args, { cwd: work, env: ENV, encoding: "utf8", maxBuffer: 1e8 });
  } catch (error) {
    assert.equal(error.status, 1, error.stderr);
    return error.stdout;
  }
}

function put(path, text) {
  mkdirSync(dirname(join(work, path)), { recursive: true });
  writeFileSync(join(work, path), text);
}

const card = (id, question, answer, more = "") => `  - id: ${id}\n    question: ${JSON.stringify(question)}\n    answer: ${answer}\n${more}`;
const deck = (title, ...cards) => `title: ${title}\nyear: 8\ncards:\n${cards.join("")}`;
const svg = (colour) => `<svg xmlns="http://www.w3.org/2000/svg" width="240" height="120"><path d="M10 110 120 10 230 110Z" fill="${colour}"/></svg>\n`;
const PICTURE = "    pictures:\n      - {file: pictures/hill.svg, alt: A hill, credit: The department, licence: CC0}\n";

/** Each branch is one kind of proposal. */
const PROPOSALS = {
  everything() {
    put("decks/department.yaml", "department: Geography\nschool: Ambleford Quay School\nyears: [7, 8]\nlimits:\n  words_on_a_side: 30\n");
    put("decks/year-8/wind/cards.yaml", deck("Wind and weather",
      card("gale", "Which number on the Beaufort scale is a gale?", "\"9\"", "    also:\n      - question: What mean wind speed does it start at?\n        answer: 35 knots\n      - question: What is above it?\n        answer: A storm\n    source: notes.md#gale\n"),
      card("isobar", "What do geographers mean by an isobar?", "A line that joins places of equal **air pressure**", "    needs: [gale]\n"),
      card("order", "Name the stages of a *depression*.", "[warm front, warm sector, cold front]", "    ordered: true\n"),
      card("speed", "What is the formula for speed?", "$v = \\frac{s}{2t}$"),
      card("hill", "Which hill is it?", "Amble Hill", PICTURE),
      card("late", "What is a late card?", "A card that came late"), card("again", "What is a bend in a river called?", "A curve"),
      card("first", "What is first?", "This"), card("second", "What is second?", "That"),
    ));
    put("decks/year-8/wind/notes.md", "# Wind\n\n## Gale\n\nForce 9, a strong gale, begins at a mean speed of 41 knots.\n\n## New\n\nA new section.\n");
    put("decks/year-8/wind/pictures/hill.svg", svg("#284"));
    git("mv", "decks/year-8/rivers", "decks/year-8/running-water");
    put("decks/year-8/running-water/cards.yaml", deck("Running water",
      card("bend", "What is a bend in a river called?", "A meander"), card("mouth", "Where does a river end?", "At its mouth, in the sea"), card("frost", "What is frost?", "Frozen dew"),
    ));
  },
  hostile() {
    put("decks/year-8/wind/cards.yaml", readFileSync(join(work, "decks/year-8/wind/cards.yaml"), "utf8").replace('"8"', JSON.stringify(HOSTILE)) +
      card("new", HOSTILE, `[${JSON.stringify(HOSTILE)}, "**bold ~ $x <"]`, `    caution: ${JSON.stringify(HOSTILE)}\n    tags: [${JSON.stringify("<b>@everyone")}]\n`) +
      card("picture", "A picture?", "Yes", "    pictures:\n      - {file: ../../../etc/passwd, alt: \"\\\"><script>x</script>\"}\n"));
    put("decks/year-8/wind/notes.md", `# Wind\n\n## Gale\n\nForce 8 ${HOSTILE}\n`);
  },
  one() {
    put("decks/year-8/wind/cards.yaml", readFileSync(join(work, "decks/year-8/wind/cards.yaml"), "utf8").replace("34 knots", "35 knots"));
  },
  layout() {
    put("decks/year-8/wind/cards.yaml", `# A remark\n${readFileSync(join(work, "decks/year-8/wind/cards.yaml"), "utf8")}`);
  },
  gone() {
    git("rm", "--quiet", "-r", "decks/year-8/rivers");
  },
};

function department() {
  git("init", "--quiet", "--initial-branch=main");
  put("decks/department.yaml", "department: Geography\nschool: Ambleford Quay School\nyears: [7, 8]\n");
  put("decks/year-8/wind/cards.yaml", deck("Wind",
    card("gale", "Which number on the Beaufort scale is a gale?", "\"8\"", "    also:\n      - question: What mean wind speed does it start at?\n        answer: 34 knots\n    source: notes.md#gale\n"),
    card("isobar", "What is an isobar?", "A line that joins places of equal air pressure"),
    card("order", "Name the stages of a depression.", "[warm sector, warm front]"),
    card("speed", "What is the formula for speed?", "$v = \\frac{s}{t}$"),
    card("hill", "Which hill is it?", "Amble Hill", PICTURE),
    card("gone", "What is gone?", "This card"), card("frost", "What is frost?", "Frozen water"),
    card("second", "What is second?", "That"), card("first", "What is first?", "This"),
  ));
  put("decks/year-8/wind/notes.md", "# Wind\n\n## Gale\n\nForce 8, a gale, begins at a mean speed of 34 knots.\n\n## Old\n\nAn old section.\n");
  put("decks/year-8/wind/pictures/hill.svg", svg("#842"));
  put("decks/year-8/rivers/cards.yaml", deck("Rivers", card("bend", "What is a bend called?", "A meander"), card("mouth", "Where does a river end?", "At its mouth")));
  git("add", "--all");
  git("commit", "--quiet", "--message", "the department");
  for (const [name, change] of Object.entries(PROPOSALS)) {
    git("switch", "--quiet", "--create", name, "main");
    change();
    git("add", "--all");
    git("commit", "--quiet", "--message", name);
    git("switch", "--quiet", "main");
  }
}

/** The pages by name. */
const NAMES = [...Object.keys(PROPOSALS), "waiting", "nothing"];

before(async () => {
  assert.ok(existsSync(DECKLE), `${DECKLE} is not built`);
  department();
  mkdirSync(PAGES, { recursive: true });
  for (const name of Object.keys(PROPOSALS)) writeFileSync(join(PAGES, `${name}.html`), deckle("review", name, "--format", "html"));
  writeFileSync(join(PAGES, "waiting.html"), deckle("review", "--format", "html"));
  writeFileSync(join(PAGES, "nothing.html"), deckle("review", "--uncommitted", "--format", "html"));
  await launch();
});
after(async () => {
  await quit();
  rmSync(work, { recursive: true, force: true });
});

async function show(name, options, work) {
  const mine = await device(options);
  try {
    const page = await mine.newPage();
    const faults = [];
    page.on("pageerror", (error) => faults.push(error.message));
    page.on("console", (message) => { if (message.type() === "error") faults.push(message.text()); });
    page.on("request", (request) => { if (!/^(file|data):/.test(request.url())) faults.push(request.url()); });
    await page.goto(pathToFileURL(join(PAGES, `${name}.html`)).href);
    await work(page);
    assert.deepEqual(faults, []);
  } finally {
    await mine.close();
  }
}

for (const [look, options] of Object.entries(LOOKS)) {
  describe(`review in axe, ${look}`, () => {
    for (const name of NAMES) {
      it(name, () => show(name, options, (page) => accessible(page, `review-${name}-${look}`)));
    }
  });
}

describe("the review page", () => {
  it("shows facts first, and what was taken out and put in also to those who listen", () => show("everything", {}, async (page) => {
    const headings = await page.locator("h2").allInnerTexts();
    assert.equal(headings[0], "Facts that change");
    const gale = page.locator("article", { has: page.locator("h3", { hasText: /^gale$/ }) });
    assert.match(await gale.innerText(), /Before[\s\S]*Now[\s\S]*The notes \(notes\.md#gale\)/);
    assert.equal(await gale.locator("del").first().evaluate((node) => node.textContent), "[taken out: 8]");
    assert.equal(await gale.locator(".answer ins").first().evaluate((node) => node.textContent), "[put in: 9]");
    const isobar = page.locator("article", { has: page.locator("h3", { hasText: /^isobar$/ }) });
    assert.match(await isobar.innerText(), /wording alone/);
    assert.equal(await page.locator("math").count() >= 2, true);
    assert.equal(await page.locator("img").count(), 0);
    assert.match(await page.locator("main").innerText(), /Picture, new look: decks\/year-8\/wind\/pictures\/hill\.svg on hill/);
  }));

  it("lets nothing that was typed act", () => show("hostile", {}, async (page) => {
    assert.equal(await page.locator("script").count(), 0);
    assert.equal(await page.locator("[onerror], [src*=passwd], a[href^=javascript]").count(), 0);
    assert.match(await page.locator("main").innerText(), /<script>alert\(1\)<\/script>/);
  }));

  it("can be gone through with the keyboard", () => show("everything", { size: DESK }, async (page) => {
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.textContent), "To the cards");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    assert.equal(await page.evaluate(() => location.hash), "#facts");
  }));
});

describe("the Nu HTML checker on reviews", () => {
  const check = async (files) => {
    // The checker takes data: pictures as blocked by the policy; a browser does not, and its reports are asserted to be none.
    return (await nu(files)).filter((message) => !(/violates Content Security Policy/.test(message.message) && /<img alt="[^"]*" src="data:/.test(message.extract)));
  };

  it("finds nothing", async () => {
    const found = await check(NAMES.map((name) => join(PAGES, `${name}.html`)));
    assert.deepEqual(found.map((one) => `${one.url.split("/").pop()}: ${one.message} ${one.extract}`), []);
  });
});
