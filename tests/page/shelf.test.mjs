// The shelf as the program publishes it, in a real browser over a plain static server, and straight from the
// folder: every link followed, axe-core and the Nu HTML checker, hostile text, withdrawn editions.

import assert from "node:assert/strict";
import { cpSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, it } from "node:test";
import { pathToFileURL } from "node:url";
import { LOOKS, accessible, nu } from "./accessible.mjs";
import { DESK, answer, device, focused, launch, press, quit, tabTo, text } from "./browser.mjs";
import { DECKLE, Department, ROOT, change, filled } from "./department.mjs";
import { NASTY, hostileDepartment, shown } from "./hostile.mjs";
import { serve } from "./static.mjs";

/** Every kind of page. */
const PAGES = ["index.html", "year-7/latest.html", "year-8/latest.html", "year-9/latest.html"];
const stage = mkdtempSync(join(tmpdir(), "deckle-shelf-"));
const SHELF = join(stage, "shelf"), HOSTILE = join(stage, "hostile-shelf");
let server;

/** Three year groups: one with two terms, one with a corrected edition, one of which all is withdrawn. */
function demonstration() {
  const department = new Department(join(stage, "demonstration"), (folder) => cpSync(join(ROOT, "decks"), join(folder, "decks"), { recursive: true }));
  department.release(7, "autumn");
  department.release(7, "spring");
  department.release(8, "autumn");
  department.release(9, "autumn");
  department.commit((folder) => {
    const put = (was, is) => (all) => all.replaceAll(was, is);
    const rivers = join(folder, "decks/year-8/rivers");
    for (const file of ["notes.md", "cards.yaml"]) {
      change(join(rivers, file), put("a velocity of 0.5 metres per second has a discharge of 3 cubic", "a velocity of 0.6 metres per second has a discharge of 3.6 cubic"));
    }
    change(join(rivers, "cards.yaml"), put("and a velocity of 0.5 metres per second. What is its discharge?\n    answer: 3 cubic", "and a velocity of 0.6 metres per second. What is its discharge?\n    answer: 3.6 cubic"));
  });
  department.release(8, "autumn");
  publish(department, SHELF);
  department.run(DECKLE, ["publish", "--shelf", SHELF, "--withdraw", "packs/year-9/autumn-2026/1", "--reason", "A picture in it may not be shared; a new edition follows."]);
  const seven = ["publish", "--shelf", SHELF, "--withdraw", "packs/year-7/autumn-2026/1", "--reason", "The date on card 12 was doubted."];
  department.run(DECKLE, seven);
  department.run(DECKLE, ["publish", "--shelf", SHELF, "--restore", seven[4], "--reason", "It was right."]);
}

/** The same words everywhere, in two editions of which the second is withdrawn. */
function hostile() {
  const department = new Department(join(stage, "hostile"), filled(hostileDepartment(1)));
  department.release(8, "autumn");
  department.commit(filled(hostileDepartment(2)));
  department.release(8, "autumn");
  publish(department, HOSTILE);
  department.run(DECKLE, ["publish", "--shelf", HOSTILE, "--withdraw", "packs/year-8/autumn-2026/2", "--reason", NASTY.join(" ")]);
}

const publish = (department, shelf) => department.run(DECKLE, ["publish", "--shelf", shelf, "--from", "out"]);

before(async () => {
  demonstration();
  hostile();
  server = await serve(stage);
  await launch();
});
after(async () => {
  await quit();
  await server.stop();
  rmSync(stage, { recursive: true, force: true });
});

/** Opens an address; errors, and requests to anywhere but the shelf, fail the test. */
async function show(address, options, steps) {
  const mine = await device(options);
  const faults = [];
  try {
    const page = await mine.newPage();
    page.on("pageerror", (error) => faults.push(error.message));
    page.on("console", (message) => { if (message.type() === "error") faults.push(message.text()); });
    mine.on("request", (request) => { if (!/^(file|data|blob):/.test(request.url()) && !request.url().startsWith(server.address)) faults.push(request.url()); });
    await page.goto(address);
    await steps(page);
    assert.deepEqual(faults, []);
  } finally {
    await mine.close();
  }
}

const on = (path) => `${server.address}/shelf/${path}`;

const unfold = (page) => page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));

for (const [look, options] of Object.entries(LOOKS)) {
  describe(`shelf in axe, ${look}`, () => {
    for (const path of PAGES) {
      const name = `${path.replace(/\W+/g, "-")}-${look}`;
      it(path, () => show(on(path), options, (page) => accessible(page, `shelf-${name}`)));
      it(`${path}, unfolded`, () => show(on(path), options, async (page) => {
        await unfold(page);
        await accessible(page, `shelf-${name}-unfolded`);
      }));
    }
    it("hostile text", () => show(`${server.address}/hostile-shelf/index.html`, options, async (page) => {
      await unfold(page);
      await accessible(page, `shelf-hostile-${look}`);
    }));
  });
}

describe("the shelf", () => {
  it("is served by a plain static server, and every address on it leads somewhere", async () => {
    let followed = 0;
    for (const path of PAGES) {
      await show(on(path), {}, async (page) => {
        const links = await page.evaluate(() => [...document.querySelectorAll("[href]")].map((one) => one.href).filter((href) => !href.startsWith("data:")));
        for (const link of new Set(links)) {
          const there = await fetch(link);
          assert.equal(there.status, 200, link);
          const bytes = Buffer.from(await there.arrayBuffer()), mark = new URL(link).hash.slice(1);
          assert.ok(!mark || bytes.includes(`id="${mark}"`), link);
          followed += 1;
        }
      });
    }
    assert.ok(followed > 60, `${followed}`);
  });

  it("leads a pupil to this term's cards, from a server and from the folder itself", async () => {
    for (const address of [on("year-8/latest.html"), pathToFileURL(join(SHELF, "year-8/latest.html")).href]) {
      await show(address, {}, async (page) => {
        assert.match(await text(page, "h1"), /Geography, year 8: the current pack/);
        await page.getByRole("link", { name: /^Revise on this device/ }).click();
        assert.match(await text(page, "h1"), /Geography, Year 8, autumn 2026/);
        await press(page, "Begin");
        await answer(page, true);
        assert.match(page.url(), /year-8\/autumn-2026\/edition-2\/revise\.html/);
      });
    }
  });

  it("keeps a pupil's record when a corrected edition takes the place of the one before", () => show(on("year-8/autumn-2026/edition-1/revise.html"), {}, async (page) => {
    await press(page, "Begin");
    await answer(page, true);
    await page.goto(on("year-8/latest.html"));
    await page.getByRole("link", { name: /^Revise on this device/ }).click();
    assert.equal(await page.evaluate(() => Object.values(JSON.parse(localStorage.getItem(Object.keys(localStorage)[0])).cards).length), 1);
  }));

  it("tells what was corrected, and which edition to replace", () => show(on("index.html"), { size: DESK }, async (page) => {
    const pack = page.locator("article.current", { has: page.locator("#year-8-autumn-2026-edition-2") });
    assert.match(await pack.innerText(), /Corrected: 1 card[^]*In edition 2[^]*question was: [^]*0\.5 metres[^]*answer was: 3 cubic metres per second[^]*answer is: 3\.6 cubic metres per second/);
    assert.match(await page.locator("article:has(#year-8-autumn-2026-edition-1)").innerText(), /replaced by edition 2/);
    const year = page.locator("section", { has: page.locator("#year-7") });
    assert.deepEqual(await year.locator("article > :is(h3, h4)").allInnerTexts(), ["Spring 2027, edition 1", "Autumn 2026, edition 1"]);
  }));

  it("lists a withdrawn edition with the reason, and offers it no more", () => show(on("index.html"), {}, async (page) => {
    const year = page.locator("section", { has: page.locator("#year-9") });
    assert.match(await year.innerText(), /There is no current pack/);
    const gone = year.locator("article", { has: page.locator("#year-9-autumn-2026-edition-1") });
    assert.match(await gone.innerText(), /withdrawn on 23 November 2026: A picture in it may not be shared/i);
    assert.equal(await year.locator("a[href*='edition-1/']").count(), 0);
    assert.equal(await gone.locator("h4").evaluate((node) => getComputedStyle(node).textDecorationLine), "line-through");
    await page.goto(on("year-9/latest.html"));
    assert.match(await text(page, "main"), /There is no current pack/);
  }));

  it("offers what was taken back, and says what happened", () => show(on("index.html"), {}, async (page) => {
    const back = page.locator("article", { has: page.locator("#year-7-autumn-2026-edition-1") });
    assert.match(await back.innerText(), /Withdrawn on 23 November 2026 \(The date on card 12 was doubted\.\), back on the shelf since 23 November 2026: It was right\./);
    assert.ok(await back.locator("a[href$='revise.html']").count() > 0);
  }));

  it("can be gone through with the keyboard", () => show(on("index.html"), { size: DESK }, async (page) => {
    await page.keyboard.press("Tab");
    assert.equal(await focused(page), "To the packs");
    await tabTo(page, "Year 8");
    await page.keyboard.press("Enter");
    assert.equal(await page.evaluate(() => location.hash), "#year-8");
    await page.keyboard.press("Tab");
    assert.match(await focused(page), /^Revise on this device, year 8, autumn 2026/);
    await page.keyboard.press("Enter");
    await page.waitForURL(/edition-2\/revise\.html/);
  }));

  it("lets nothing that was typed act", () => show(`${server.address}/hostile-shelf/index.html`, {}, async (page) => {
    await unfold(page);
    assert.equal(await page.evaluate(() => window.hit), undefined);
    assert.equal(await page.locator("script, img, svg, iframe, [onerror], [onload], [style], a[href^=javascript]").count(), 0);
    const all = await page.locator("body").evaluate((node) => node.textContent);
    for (const line of NASTY.slice(0, 3).map(shown)) assert.ok(all.includes(line), line);
    assert.ok(all.includes(`answer is: ${shown(NASTY[0])} and corrected`), all);
  }));

  it("has what hostile departments call themselves in its feed as text alone", async () => {
    const feed = await (await fetch(`${server.address}/hostile-shelf/feed.xml`)).text();
    await show(`${server.address}/hostile-shelf/index.html`, {}, async (page) => {
      const [title, root] = await page.evaluate((feed) => {
        const read = new DOMParser().parseFromString(feed, "application/xml");
        return [read.querySelector("title").textContent, read.documentElement.nodeName];
      }, feed);
      assert.deepEqual([title, root], [`${NASTY[0]} revision packs, ${NASTY[1]}`, "feed"]);
    });
  });
});

describe("the Nu HTML checker on the shelf", () => {
  it("finds nothing", async () => {
    const files = [...PAGES.map((path) => join(SHELF, path)), join(HOSTILE, "index.html"), join(HOSTILE, "year-8/latest.html")];
    const found = await nu(files);
    assert.deepEqual(found.map((one) => `${one.url.split("/").slice(-2).join("/")}: ${one.message} ${one.extract}`), []);
  });
});
