// The pages as the program releases them, in a real browser: those of the demonstration, and those of a
// department whose card text tries everything.

import assert from "node:assert/strict";
import { after, before, describe, it } from "node:test";
import { assemble, compact } from "./assemble.mjs";
import { answer, focused, heaps, launch, on, open, press, quit, stored, tabTo, text, workOff } from "./browser.mjs";
import { NASTY, shown } from "./hostile.mjs";
import { Pack } from "./load.mjs";
import { ALL, OTHERS, addressOf, dataOf, pageOf } from "./released.mjs";

before(launch);
after(quit);

const packOf = (name) => Pack.read(dataOf(pageOf(name)));
const HOSTILE = addressOf(OTHERS.hostile);

describe("a released page", () => {
  for (const name of ALL) {
    it(`${name} is put together as the contract says, so that what holds for the pages of the other tests holds for it`, () => {
      const page = pageOf(name), data = dataOf(page), pack = Pack.read(data);
      assert.deepEqual(JSON.parse(data), compact(pack));
      assert.equal(page.replace(data, ""), assemble(pack).replace(dataOf(assemble(pack)), ""));
    });
  }

  it("of two hundred cards has under 150 kB", () => {
    const page = pageOf(OTHERS.allYear), cards = packOf(OTHERS.allYear).cards;
    assert.ok(cards.length >= 200 && cards.every((card) => card.pictures.length === 0), `${cards.length}`);
    const extra = compact(packOf(OTHERS.allYear)).cards.slice(200).reduce((sum, card) => sum + Buffer.byteLength(JSON.stringify(card)) + 1, 0);
    process.stdout.write(`# ${cards.length} cards: ${Buffer.byteLength(page)} bytes; two hundred: ${Buffer.byteLength(page) - extra}\n`);
    assert.ok(Buffer.byteLength(page) - extra < 150_000);
  });

  it("carries its pictures in it", () => {
    const pictures = packOf("year-7-autumn").cards.flatMap((card) => card.pictures);
    assert.ok(pictures.length >= 2);
    for (const picture of pictures) assert.match(picture.src, /^data:image\/svg\+xml;base64,/);
  });
});

describe("a whole session on a released page", () => {
  it("by keyboard alone, hostile text shown as it stands, and no request leaves", on({}, async (mine) => {
    const requests = [];
    mine.on("request", (request) => requests.push(request.url()));
    const page = await open(mine, HOSTILE);
    await tabTo(page, "Begin");
    await page.keyboard.press("Enter");
    const asked = new Set(), answered = new Set(), cautions = new Set();
    for (let at = 0; await page.locator("#asked").count(); at += 1) {
      assert.equal(await focused(page), "asked");
      asked.add(await page.locator("#asked-text .question").textContent());
      cautions.add((await page.locator("#asked .caution").textContent()).replace(/^Caution: /, ""));
      await page.keyboard.press(at % 2 ? "Enter" : "Space");
      answered.add(await page.locator("#answer-text .answer").textContent());
      await page.keyboard.press(at === 3 ? "ArrowLeft" : "ArrowRight");
      assert.ok(at < 50);
    }
    const lines = NASTY.map(shown);
    assert.deepEqual([...answered].sort(), [...lines].sort());
    assert.deepEqual([...cautions].sort(), [...lines].sort());
    assert.deepEqual([...asked].sort(), lines.map((line, at) => `${line} asks ${at + 1}`).sort());
    assert.match(await text(page, "main"), new RegExp(`${NASTY.length - 1} known at once and 1 known after another try`));
    for (const view of ["known", "hardest", "left", "record", "help", "today"]) {
      await page.evaluate((name) => { location.hash = name; }, view);
      await page.waitForTimeout(40);
    }
    assert.equal(await page.evaluate(() => window.hit), undefined);
    assert.equal(await page.evaluate(() => document.querySelectorAll("img, [onerror], [onload], [style], iframe, main script").length), 0);
    assert.equal(await text(page, "h1"), `${NASTY[0]}, Year 8, autumn 2026`);
    assert.deepEqual(requests.filter((url) => url !== HOSTILE && !url.startsWith("data:")), []);
  }));

  it("of the demonstration: no request leaves, and every card comes round", on({}, async (mine) => {
    const requests = [];
    mine.on("request", (request) => requests.push(request.url()));
    const address = addressOf("year-7-autumn");
    const page = await open(mine, address);
    await press(page, "Begin");
    const [cards] = await heaps(page);
    assert.equal(await workOff(page, (_, asked) => asked % 4 !== 1) > cards, true);
    assert.deepEqual(requests.filter((url) => url !== address && !url.startsWith("data:")), []);
  }));

  it("goes on after a reload in the middle", on({}, async (mine) => {
    const page = await open(mine, HOSTILE);
    await press(page, "Begin");
    await answer(page, true);
    await answer(page, false);
    const before = [await text(page, "#asked-text"), await heaps(page), await text(page, "#time")];
    await page.reload();
    assert.deepEqual([await text(page, "#asked-text"), await heaps(page), await text(page, "#time")], before);
    assert.equal(await workOff(page), NASTY.length - 1);
  }));

  it("comes back the next day and on the seventh, and a corrected edition brings its card back over old progress", on({}, async (mine) => {
    for (const [day, told, asked] of [
      ["2026-11-25", /Nothing comes back today/, NASTY.length], ["2026-11-26", /14 cards come back today/, NASTY.length],
      ["2026-11-28", /Next: 14 cards on Wednesday 2 December/, 0], ["2026-12-02", /14 cards come back today/, NASTY.length],
    ]) {
      const page = await open(mine, HOSTILE, { day });
      assert.match(await text(page, ".lead"), told, day);
      if (asked) {
        await press(page, "Begin");
        assert.equal(await workOff(page), asked, day);
      }
      await page.close();
    }
    const page = await open(mine, addressOf(OTHERS.corrected), { day: "2026-12-03" });
    assert.match(await text(page, "main"), /1 card comes back today[^]*Corrected since you last looked[^]*asks 1/);
    await press(page, "Begin");
    assert.match(await text(page, "#asked"), /corrected in edition 2/);
    await press(page, "Look");
    assert.equal(await page.locator("#answer-text .answer").textContent(), `${NASTY[0]} and corrected`);
  }));

  it("works when the browser refuses storage", on({}, async (mine) => {
    const refuse = () => {
      for (const name of ["localStorage", "sessionStorage"]) Object.defineProperty(window, name, { get() { throw new DOMException("refused", "SecurityError"); } });
    };
    const page = await open(mine, HOSTILE, { before: refuse });
    assert.match(await text(page, ".notice"), /This browser keeps nothing for this page/);
    await press(page, "Begin");
    assert.equal(await workOff(page), NASTY.length);
    await page.getByRole("link", { name: "Your record" }).click();
    await press(page, "Show as text to copy");
    assert.equal(Object.keys(JSON.parse(await page.locator("#as-text").inputValue()).cards).length, NASTY.length);
  }));

  it("in two tabs loses nothing and asks nothing twice", on({}, async (mine) => {
    const one = await open(mine, HOSTILE), other = await open(mine, HOSTILE);
    await press(one, "Begin");
    await press(other, "Begin");
    await answer(one, true);
    await answer(other, true);
    await answer(one, true);
    assert.match(await text(other, "#asked-text"), /asks 2/);
    await answer(other, false);
    assert.match(await text(other, "#asked-text"), /asks 3/);
    await workOff(one);
    await workOff(other);
    const cards = (await stored(one, packOf(OTHERS.hostile))).cards;
    assert.equal(Object.keys(cards).length, NASTY.length);
    assert.ok(Object.values(cards).every((record) => record.right === "2026-11-25"));
  }));
});

describe("maths on a released page", () => {
  const withMaths = (name) => packOf(name).cards.find((card) => JSON.stringify(card.questions).includes("<math"));
  const NAME = ALL.find((name) => withMaths(name));

  const drawn = async (mine, before) => {
    const pack = packOf(NAME), card = withMaths(NAME);
    const state = { format: 1, pack: pack.pack, cards: { [card.id]: { right: null, checks: [], missed: ["2026-11-20", "2026-11-21"], seen: 2, left: null } } };
    const put = `localStorage.setItem("deckle/${pack.pack}", ${JSON.stringify(JSON.stringify(state))});`;
    const page = await open(mine, `${addressOf(NAME)}#hardest`, { before: put + (before ?? "") });
    await page.waitForSelector(".strip");
    return page;
  };

  it("is MathML with its reading for those who cannot see it", on({}, async (mine) => {
    const page = await drawn(mine);
    const formulas = await page.locator("math").evaluateAll((all) => all.map((one) => [one.namespaceURI, one.getAttribute("alttext"), one.getBoundingClientRect().height > 8]));
    assert.ok(formulas.length > 0);
    for (const [namespace, alttext, tall] of formulas) {
      assert.equal(namespace, "http://www.w3.org/1998/Math/MathML");
      assert.match(alttext, /[a-z]/);
      assert.ok(tall);
    }
  }));

  it("is the same in words where the browser sets no MathML", on({}, async (mine) => {
    const page = await drawn(mine, "Element.prototype.getBoundingClientRect = () => ({ top: 0 })");
    assert.equal(await page.locator("math").count(), 0);
    const texts = withMaths(NAME).questions.flatMap((question) => [question, ...question.answer]).map((item) => item.text);
    const page_text = await text(page, ".strip");
    for (const said of texts) assert.ok(page_text.includes(said), `${said} in ${page_text}`);
  }));
});
