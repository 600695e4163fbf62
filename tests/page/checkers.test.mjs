// Every state of the page through axe-core and the Nu HTML checker, at both sizes, light and dark.
// With SHOTS set, a picture of each state is left under target/page/shots.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { after, before, describe, it } from "node:test";
import { promisify } from "node:util";
import { DESK, OUT, PHONE, answer, device, launch, open, pile, press, put, quit, stored } from "./browser.mjs";
import { card, pack, question } from "./packs.mjs";
import { FORMULAS, OTHERS, addressOf } from "./released.mjs";
import { samplePack } from "./sample.mjs";

const require = createRequire(import.meta.url);
const AXE = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const NU = join(dirname(require.resolve("vnu-jar/package.json")), "build/dist/vnu.jar");
const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
/** What can differ between light and dark. */
const COLOURS = { type: "rule", values: ["color-contrast", "link-in-text-block"] };
const PAGES = join(OUT, "states");
const SHOTS = join(OUT, "shots");

before(async () => {
  await launch();
  await haveWorked();
});
after(quit);

const view = (name) => async (page) => {
  await page.evaluate((hash) => { location.hash = hash; }, name);
  await page.waitForTimeout(60);
};

/** Two sessions' worth of work, so that every list has something in it: done once, and put into the device from then on. */
let worked;
async function haveWorked() {
  const mine = await device();
  const given = samplePack(8, "autumn", 2);
  const page = await open(mine, put(given, "worked"));
  await work(page);
  worked = (await stored(page, given)).cards;
  await mine.close();
}

async function work(page) {
  for (let round = 0; round < 2; round += 1) {
    await press(page, "Begin");
    for (let at = 0; at < 9; at += 1) await answer(page, at > 3);
    await press(page, "Stop here");
    await press(page, "Back to today");
  }
}

const away = { right: "2026-11-01", checks: ["2026-11-02", "2026-11-08", "2026-11-22"], missed: [], seen: 1, left: "2026-11-22" };

/** Every state: what is done to a new page to get there. */
const STATES = {
  "today-new": async () => {},
  "today-options": async (page) => { await page.locator("summary").click(); },
  "today-none-chosen": async (page) => { for (const box of await page.locator("[name=topic]").all()) await box.uncheck(); },
  "question": (page) => press(page, "Begin"),
  "answer": async (page) => { await press(page, "Begin"); await press(page, "Look"); },
  "question-typing": async (page) => {
    await page.locator("summary").click();
    await page.getByLabel("Type the answers").check();
    await press(page, "Begin");
  },
  "answer-typed": async (page) => {
    await STATES["question-typing"](page);
    await page.locator("[name=typed]").first().fill("a small river");
    await press(page, "Look");
  },
  "question-later": async (page) => { await press(page, "Begin"); for (let at = 0; at < 5; at += 1) await answer(page, at % 2 === 0); },
  "answer-maths-list": async (page) => {
    await press(page, "Begin");
    while (!await page.locator("math, .points").count()) {
      await press(page, "Look");
      if (!await page.locator("math, .points").count()) await pile(page, "Known");
    }
  },
  "paused": async (page) => { await press(page, "Begin"); await press(page, "Pause"); },
  "time-up": async (page) => { await press(page, "Begin"); await page.clock.runFor(21 * 60000); },
  "break": async (page) => { await press(page, "Begin"); for (let at = 0; at < 4; at += 1) await answer(page, at % 2 === 0); await press(page, "Stop here"); },
  "today-session-open": async (page) => { await press(page, "Begin"); await view("today")(page); },
  "known-new": view("known"),
  "hardest-none": view("hardest"),
  "left-none": view("left"),
  "record": view("record"),
  "record-refused": async (page) => { await view("record")(page); await page.locator("#import-text").fill("x"); await press(page, "Bring in the text"); },
  "record-erase": async (page) => { await view("record")(page); await press(page, "Erase my record"); },
  "help": view("help"),
};

/** States that need a record or another pack from the start. */
const SPECIAL = {
  "today-later": { worked: true, steps: async () => {} },
  "known-open": { worked: true, steps: async (page) => { await view("known")(page); await page.locator("summary").first().click(); } },
  "hardest": { worked: true, steps: view("hardest") },
  "record-text": { worked: true, steps: async (page) => { await view("record")(page); await press(page, "Show as text to copy"); } },
  "left": { records: { tributary: away, "tributary:back": away, "river-source": away }, steps: view("left") },
  "today-corrected": { records: { tributary: away, discharge: { ...away, left: null, checks: [] } }, corrected: ["tributary", "discharge"], steps: async () => {} },
  "question-corrected": { records: { tributary: away }, corrected: ["tributary"], steps: (page) => press(page, "Begin") },
  "answer-side-first": {
    records: { isobar: { ...away, checks: away.checks.slice(0, 2), left: null, right: "2026-11-18" } },
    given: pack([card("isobar", { both_ways: true, questions: [question("What is an isobar?", ["A line on a weather map that joins places with the same air pressure."])] })]),
    steps: async (page) => { await press(page, "Begin"); },
  },
  "picture-caution": {
    given: { ...samplePack(7, "autumn"), cards: samplePack(7, "autumn").cards.filter((one) => one.pictures.length || one.caution).map((one) => ({ ...one, needs: [], see: ["contour-line"] })) },
    steps: async (page) => { await press(page, "Begin"); await press(page, "Look"); },
  },
  "storage-refused": { steps: async () => {}, refuse: true },
};

const looks = [["phone-light", { size: PHONE, scheme: "light" }], ["phone-dark", { size: PHONE, scheme: "dark" }], ["desk-light", { size: DESK, scheme: "light" }], ["desk-dark", { size: DESK, scheme: "dark" }]];

for (const [look, options] of looks) {
  describe(`axe, ${look}`, () => {
    for (const [name, steps] of Object.entries(STATES)) it(name, () => inState(look, options, name, { steps }));
    for (const [name, special] of Object.entries(SPECIAL)) it(name, () => inState(look, options, name, special));
  });
}

async function inState(look, options, name, { steps, worked: after, records = after && worked, corrected = [], given = samplePack(8, "autumn", 2), refuse }) {
  const cards = given.cards.map((one) => (corrected.includes(one.id) ? { ...one, corrected: 2 } : one));
  const mine = await device(options);
  try {
    const page = await open(mine, put({ ...given, cards }, "checked"), { before: beforehand(given, records, refuse) });
    await steps(page);
    await settle(page);
    if (process.env.SHOTS) await shoot(page, `${name}-${look}`);
    keep(name, look, await page.evaluate(() => document.documentElement.outerHTML));
    assert.deepEqual(await violations(page, options.scheme === "dark" ? COLOURS : TAGS), []);
    assert.deepEqual(page.faults, []);
  } finally {
    await mine.close();
  }
}

function beforehand(given, records, refuse) {
  if (refuse) return `Object.defineProperty(window, "localStorage", { get() { throw new Error("refused"); } })`;
  const state = JSON.stringify({ format: 1, pack: given.pack, cards: records ?? {} });
  return records && `localStorage.setItem("deckle/${given.pack}", ${JSON.stringify(state)})`;
}

/** Waits until the covering paper has gone. */
async function settle(page) {
  await page.evaluate(() => Promise.all(document.getAnimations().map((one) => one.finish())));
}

async function shoot(page, name) {
  mkdirSync(SHOTS, { recursive: true });
  await page.screenshot({ path: join(SHOTS, `${name}.png`), fullPage: true });
}

function keep(name, look, html) {
  mkdirSync(PAGES, { recursive: true });
  if (look === "phone-light") writeFileSync(join(PAGES, `${name}.html`), `<!DOCTYPE html>\n${html}`);
}

/** axe is put in beside the page's policy, by the browser's own debugger. */
async function violations(page, rules = TAGS) {
  const session = await page.context().newCDPSession(page);
  await session.send("Runtime.evaluate", { expression: AXE });
  const found = await page.evaluate((rules) => window.axe.run(document, { runOnly: rules, resultTypes: ["violations"] }), rules);
  return found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => `${node.target} ${node.failureSummary}`).join(" | ")}`);
}

describe("axe", () => {
  it("does find what is wrong", async () => {
    const mine = await device();
    const page = await open(mine, put(samplePack(8, "autumn"), "checked"));
    await page.evaluate(() => { document.getElementById("main").appendChild(new Image()).src = "data:image/gif;base64,R0lGODlhAQABAAAAACw="; });
    const found = await violations(page);
    await mine.close();
    assert.match(found.join(), /image-alt/);
  });
});

describe("the Nu HTML checker", () => {
  const check = async (files) => {
    const run = await promisify(execFile)("java", ["-jar", NU, "--format", "json", "--stdout", "--exit-zero-always", ...files], { maxBuffer: 1e8 });
    return JSON.parse(run.stdout).messages.filter((message) => !falseAlarm(message));
  };

  // The checker takes data blocks and data: pictures as blocked by the policy. A browser does not, and its
  // own reports are asserted to be none in every state above.
  const falseAlarm = (message) => message.subType === "warning" && /violates Content Security Policy/.test(message.message) &&
    /type="application\/json" id="pack"|<img class="picture" src="data:/.test(message.extract);

  it("finds nothing in the page as it is made", async () => {
    const files = [samplePack(7, "autumn"), samplePack(8, "autumn"), samplePack(9, "autumn")].map((one, at) => new URL(put(one, `nu-${at}`)).pathname);
    assert.deepEqual(await check(files), []);
  });

  it("finds nothing in any state of it", async () => {
    const files = [...Object.keys(STATES), ...Object.keys(SPECIAL)].map((name) => join(PAGES, `${name}.html`));
    const found = await check(files);
    assert.deepEqual(found.map((one) => `${one.url.split("/").pop()}: ${one.message} ${one.extract}`), []);
  });

  it("finds nothing in any formula, as the browser shows it", async () => {
    const mine = await device(), shown = new Map();
    const page = await open(mine, addressOf(OTHERS.formulas));
    // A session has room for fewer cards than there are formulas.
    for (let round = 0; round < 2; round += 1) {
      await press(page, "Begin");
      while (await page.locator("#asked").count()) {
        const asked = await page.locator("#asked-text .question").innerText();
        await press(page, "Look");
        const math = page.locator("#answer-text math");
        const box = await math.boundingBox();
        assert.ok(box.width > 2 && box.height > 4, `${asked} ${JSON.stringify(box)}`);
        shown.set(asked, await math.evaluate((element) => element.outerHTML));
        await pile(page, "Known");
      }
      await press(page, "Back to today");
    }
    await mine.close();
    assert.equal(shown.size, FORMULAS.length);
    const path = join(OUT, "formulas.html");
    writeFileSync(path, `<!DOCTYPE html><html lang=en><title>Formulas</title>${[...shown.values()].map((math) => `<p>${math}</p>`).join("\n")}`);
    assert.deepEqual((await check([path])).map((one) => `${one.message} ${one.extract}`), []);
    writeFileSync(path, "<!DOCTYPE html><html lang=en><title>Formulas</title><p><math><mfrac><mi>a</mi></mfrac><b>b</b></math></p>");
    assert.ok((await check([path])).length > 0);
  });

  it("does find what is wrong", async () => {
    const path = join(OUT, "wrong.html");
    writeFileSync(path, "<!DOCTYPE html><html lang=en><title>x</title><p><div></p><img src=x>");
    assert.ok((await check([path])).length > 0);
  });
});
