// The sources themselves: old browsers, tightening, size, colours.

import assert from "node:assert/strict";
import { readdirSync } from "node:fs";
import { describe, it } from "node:test";
import { parse, tokenizer } from "acorn";
import { SOURCES, assemble, compact, scripts, source, tighten } from "./assemble.mjs";
import { Pack } from "./load.mjs";
import { largePack, samplePack } from "./sample.mjs";

const ES = { ecmaVersion: 2017 };
const tokens = (text) => [...tokenizer(text, ES)].map((token) => `${token.type.label} ${text.slice(token.start, token.end)}`);
const joined = scripts().map((name) => tighten(source(name))).join("\n");

describe("the scripts", () => {
  it("are all joined, and there are no others", () => {
    assert.deepEqual([...scripts()].sort(), readdirSync(SOURCES).filter((name) => name.endsWith(".js")).sort());
  });
  it("joined, are ECMAScript 2017 and no module", () => parse(joined, { ...ES, sourceType: "script" }));
  for (const name of scripts()) {
    it(`${name} means the same after tightening`, () => assert.deepEqual(tokens(tighten(source(name))), tokens(source(name))));
  }
  it("hold nothing that ends the script or begins a comment of HTML", () => assert.doesNotMatch(joined, /<\/script|<!--|\]\]>/i));
  it("build no markup from strings and run none", () => {
    assert.doesNotMatch(joined, /innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\b|new Function|setAttribute\("(style|on)/);
  });
  it("ask for nothing from anywhere", () => {
    assert.doesNotMatch(joined.replace('"http://www.w3.org/2000/svg"', "").replace('"http://www.w3.org/1998/Math/MathML"', ""), /https?:|XMLHttpRequest|fetch\(|sendBeacon|WebSocket|import\(|indexedDB|document\.cookie/);
  });
  it("the behaviour reads no clock, no chance and no page", () => {
    for (const name of ["session.js", "marking.js"]) assert.doesNotMatch(source(name), /Date\.now|new Date\(\)|Math\.random|document|window/);
  });
  it("use only methods that browsers of 2017 have", () => {
    assert.doesNotMatch(joined, /\.(flatMap|flat|fromEntries|replaceAll|replaceChildren|matchAll|at|toSorted|findLast|trimStart|trimEnd|allSettled|finally)\(/);
  });
});

describe("the style", () => {
  const style = source("style.css");
  const tight = tighten(style);
  it("fetches nothing", () => assert.doesNotMatch(tight, /url\(|@import|@font-face|<\//));
  it("is whole after tightening", () => assert.equal((tight.match(/\{/g) ?? []).length, (tight.match(/\}/g) ?? []).length));

  const colours = (block) => Object.fromEntries([...block.matchAll(/--([a-z-]+): (#[0-9a-f]{6})/g)].map((found) => [found[1], found[2]]));
  const [light, dark] = [...style.matchAll(/:root \{([^}]*)\}/g)].map((found) => colours(found[1]));
  const luminance = (colour) => [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16) / 255)
    .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4)).reduce((sum, part, at) => sum + part * [0.2126, 0.7152, 0.0722][at], 0);
  // WCAG 2.2, relative luminance and contrast ratio.
  const contrast = (one, other) => {
    const [high, low] = [luminance(one), luminance(other)].sort((a, b) => b - a);
    return (high + 0.05) / (low + 0.05);
  };

  for (const [name, palette] of [["light", light], ["dark", dark]]) {
    for (const ground of ["board", "sheet", "note"]) {
      it(`${name}: text on ${ground} has 7:1, the softer one 4.5:1, lines that matter 3:1`, () => {
        assert.ok(contrast(palette.ink, palette[ground]) >= 7);
        assert.ok(contrast(palette.soft, palette[ground]) >= 4.5);
        assert.ok(contrast(palette.line, palette[ground]) >= 3, `${contrast(palette.line, palette[ground])}`);
      });
    }
    it(`${name}: text on the covering paper has 7:1`, () => assert.ok(contrast(palette["cover-ink"], palette.cover) >= 7));
  }
});

describe("the pack", () => {
  it("left out what says nothing, reads back whole", () => {
    for (const pack of [samplePack(8, "autumn"), largePack()]) assert.deepEqual(Pack.read(JSON.stringify(compact(pack))), pack);
  });
  it("written out in full, reads the same", () => {
    const pack = samplePack(7, "autumn");
    assert.deepEqual(Pack.read(JSON.stringify(pack)), pack);
  });
  it("of another format is refused", () => assert.throws(() => Pack.read('{"format":2}'), /format 2/));
  it("a colour that is none is not used", () => {
    const pack = samplePack(7, "autumn");
    pack.topics[0].band = "url(x)";
    assert.equal(Pack.read(JSON.stringify(pack)).topics[0].band, "#444444");
  });
});

describe("the page", () => {
  const large = largePack();
  const twoHundred = { ...large, cards: large.cards.slice(0, 200).map((card) => ({ ...card, pictures: [] })) };
  it("of two hundred cards has under 150 kB", () => {
    const size = Buffer.byteLength(assemble(twoHundred));
    process.stdout.write(`# two hundred cards: ${size} bytes\n`);
    assert.ok(size < 150_000, `${size}`);
  });
  it("fills its placeholders in one pass", () => {
    const page = assemble({ ...samplePack(7, "autumn"), department: "{{DATA}}", school: "{{SCRIPT}}" });
    assert.match(page, /<title>\{\{DATA\}\}, Year 7/);
    assert.match(page, /"school":"\{\{SCRIPT\}\}"/);
  });
  it("holds one data block that no text can end", () => {
    const page = assemble({ ...samplePack(7, "autumn"), school: "</script><!--" });
    assert.equal(page.match(/<\/script>/g).length, 2);
    assert.equal(page.includes("<!--"), false);
  });
});
