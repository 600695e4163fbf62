// Typed answers against the wordings on the card.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { describe, it } from "node:test";
import { fileURLToPath } from "node:url";
import { Marking } from "./load.mjs";
import { question } from "./packs.mjs";
import { largePack } from "./sample.mjs";

const schema = (name) => readFileSync(join(dirname(fileURLToPath(import.meta.url)), "../../schema", name), "utf8");

describe("wordings that agree", () => {
  for (const [one, other] of [
    ["An anemometer", "anemometer"], ["The Nile.", "the nile"], ["a fast-flowing river", "Fast flowing rivers!"],
    ["It’s cold", "It's cold"], ["the colour", "The Color"], ["kilometers", "kilometres"], ["sulfur dioxide", "sulphur dioxide"],
    ["urbanization", "urbanisation"], ["centered", "centred"], ["cliffs", "Cliff"], ["  two   words ", "two words"],
    ["ero\u00adsion", "erosion"], ["cafe\u0301", "café"], ["the first", "1st"], ["A", "a"],
    ["fourteen", "14"], ["14.0", "14"], ["twenty-one", "21"], ["two hundred and five", "205"], ["50 000", "50,000"],
    ["two hundred and five thousand, three hundred and twelve", "205312"], ["3.2 million", "3,200,000"], ["a hundred", "100"],
    ["½", "0.5"], ["2½", "2.5"], ["2 1/2", "two point five"], ["two thirds", "2/3"], ["three-quarters", "3/4"], ["half", "0.5"],
    ["−5", "-5"], ["minus 5", "-5"], ["10³", "1000"], ["6 × 10^3", "6000"],
    ["1.5 km", "1500 metres"], ["1.5km", "1.5 km"], ["5 KM", "five kilometres"], ["3 m³/s", "3 cubic metres per second"],
    ["36 km/h", "10 m s^-1"], ["10 metres per second", "10 m/s"], ["1 knot", "1 nautical mile per hour"], ["26.5 °C", "26.5 degrees Celsius"],
    ["26.5°C", "26.5 degrees C"], ["9%", "nine per cent"], ["1013 hPa", "1013 millibars"], ["12.5%", "1/8"], ["5 km2", "5 square kilometres"],
    ["1-3 knots", "1 to 3 knots"], ["34–40 kt", "34 to 40 knots"], ["£1.5 million", "£1,500,000"], ["1:25,000", "1 : 25 000"],
    ["09:00", "9:00"], ["Degrees Celsius", "°C"], ["Hectopascals", "hPa"], ["metres per second", "m/s"], ["64 knots or more", "64 kts or more"],
    ["a 5-minute walk", "5 minute walk"],
  ]) it(`${one} = ${other}`, () => assert.ok(Marking.agrees(one, other), `${Marking.canonical(one)} / ${Marking.canonical(other)}`));
});

describe("wordings that do not agree", () => {
  for (const [one, other] of [
    ["35", "3.5"], ["5 km", "5 m"], ["5", "5 km"], ["-5", "5"], ["072354", "72354"], ["090", "90"], ["2^3", "23"], ["north", "south"],
    ["5 km/h", "5 km"], ["26.5 °C", "26.5 °F"], ["£5", "$5"], ["1 in 8", "8 in 1"], ["1 to 3", "13"], ["1:25,000", "1:50,000"],
    ["resumé", "resume"], ["a < b", "a > b"], ["erosion", "corrosion"], ["mass", "mas"], ["the second", "5 seconds"], ["5 mW", "5 MW"],
  ]) it(`${one} ≠ ${other}`, () => assert.ok(!Marking.agrees(one, other), Marking.canonical(one)));
});

describe("marking", () => {
  const right = (asked, typed) => Marking.mark(asked, typed).right;

  it("takes the answer and every accepted wording", () => {
    const asked = question("Which hour?", ["09:00"], { accept: ["9 am"] });
    assert.ok(right(asked, "9:00") && right(asked, "9 AM") && !right(asked, "10 am"));
  });

  it("takes nothing for an answer of nothing", () => assert.ok(!right(question("?", ["the"]), "  ")));

  const rocks = question("Which groups?", ["Igneous", "Sedimentary", "Metamorphic"]);
  it("takes the points of a list in any order, however they are parted", () => {
    for (const typed of ["igneous, sedimentary and metamorphic", "metamorphic\nigneous\nsedimentary", "Sedimentary; Igneous; Metamorphic",
      "1. igneous\n2. sedimentary\n3. metamorphic", "igneous, sedimentary, and metamorphic"]) assert.ok(right(rocks, typed), typed);
  });
  it("says which points were found", () => assert.deepEqual(Marking.mark(rocks, "metamorphic, igneous").found, [true, false, true]));
  it("does not take more points than there are, or one twice", () => {
    assert.ok(!right(rocks, "igneous, sedimentary, metamorphic, volcanic"));
    assert.deepEqual(Marking.mark(rocks, "igneous, igneous, igneous").found, [true, false, false]);
  });
  it("asks for the order when the order counts", () => {
    const stages = question("Which stages?", ["Birth", "Growth", "Decay"], { ordered: true });
    assert.ok(right(stages, "birth, growth, decay") && !right(stages, "growth, birth, decay"));
  });
  it("takes points that hold a comma or an and", () => {
    const points = question("Which two?", ["Sand, mud and shells", "Heat"]);
    assert.ok(right(points, "sand, mud and shells\nheat"));
  });
  it("takes an accepted wording for a whole list", () => assert.ok(right(question("?", ["one thing", "another"], { accept: ["both"] }), "Both")));

  it("answer side first takes the question or its term", () => {
    const asked = question("What is an isobar?", ["A line"]);
    for (const typed of ["What is an isobar?", "isobar", "an Isobar"]) assert.ok(Marking.markQuestion(asked, typed).right, typed);
    for (const typed of ["isotherm", "", "what is"]) assert.ok(!Marking.markQuestion(asked, typed).right, typed);
  });

  it("bears with anything that is typed", () => {
    const odd = ["-", "--5", "^", "5^", "/", "1/0", "£", "½½", "°", "1,", "one hundred and", "point five", "\u202e", "💧", "((", "5 per", "per 5", "a a a", "1e999", "9".repeat(400)];
    for (const typed of odd) assert.equal(typeof right(rocks, typed), "boolean", typed);
  });
});

describe("every answer of the demonstration", () => {
  for (const card of largePack().cards) {
    it(`${card.id} is right as it is written, in capitals, and as every accepted wording`, () => {
      for (const asked of card.questions) {
        const whole = asked.answer.map((point) => point.text).join("\n");
        assert.ok(Marking.mark(asked, whole).right, whole);
        assert.ok(Marking.mark(asked, whole.replace(/\.$/gm, "")).right, whole);
        for (const wording of asked.accept) assert.ok(Marking.mark(asked, wording).right, wording);
        assert.ok(!Marking.mark(asked, "something else").right);
      }
    });
  }
});

describe("the tables", () => {
  const lines = (text) => text.split("\n").filter((line) => line && !line.startsWith("#")).map((line) => line.trim());
  it("of units say what schema/units.txt says", () => {
    const known = new Set(lines(schema("units.txt")));
    assert.deepEqual(Marking.UNITS.filter((line) => !known.has(line)), []);
  });
  it("of spellings say what schema/spelling.txt says", () => {
    const known = new Set(lines(schema("spelling.txt")));
    assert.deepEqual(Marking.SPELLINGS.map((pair) => pair.join(" ")).filter((pair) => !known.has(pair)), []);
  });
});
