// The sentences of the page.

import assert from "node:assert/strict";
import { describe, it } from "node:test";
import { Words } from "./load.mjs";

const DAY = "2026-11-25";
const topic = (name, back) => ({ topic: name, back });

describe("days", () => {
  it("are told in full", () => assert.equal(Words.date(DAY), "Wednesday 25 November"));
  it("near ones by name", () => {
    assert.equal(Words.when(DAY, DAY), "today");
    assert.equal(Words.when("2026-11-26", DAY), "tomorrow");
    assert.equal(Words.when("2026-12-02", DAY), "on Wednesday 2 December");
  });
});

describe("what comes back today", () => {
  const view = (topics, coming = []) => ({ back: topics.reduce((sum, one) => sum + one.back, 0), topics, coming });
  it("says how many and where from", () => {
    assert.equal(Words.today(view([topic("Rivers", 3), topic("Coasts", 4), topic("Weather", 1)]), DAY), "8 cards come back today: 3 from Rivers, 4 from Coasts and 1 from Weather.");
    assert.equal(Words.today(view([topic("Rivers", 1), topic("Coasts", 0)]), DAY), "1 card comes back today from Rivers.");
    assert.equal(Words.today(view([topic("Rivers", 2)]), DAY), "2 cards come back today.");
  });
  it("says when the next comes", () => {
    assert.equal(Words.today(view([topic("Rivers", 0)], [{ day: "2026-11-26", cards: 1 }]), DAY), "Nothing comes back today. Next: 1 card tomorrow.");
    assert.equal(Words.today(view([topic("Rivers", 0)]), DAY), "Nothing comes back today.");
  });
});

describe("a session", () => {
  it("its pile", () => {
    assert.equal(Words.pile({ back: 1, fresh: 39, more: 8 }), "Your pile: 1 that comes back and 39 new. 8 cards will wait for another session.");
    assert.equal(Words.pile({ back: 0, fresh: 0, more: 0 }), "There is nothing to ask in these topics today.");
  });
  it("its clock", () => {
    assert.deepEqual([1200000, 60001, 60000, 1, 0].map(Words.minutesLeft), ["20 minutes left", "2 minutes left", "The last minute", "The last minute", "Time is up"]);
  });
  it("its end", () => {
    assert.equal(Words.summary({ once: 3, later: 1, again: ["x"] }), "3 known at once, 1 known after another try and 1 not yet known.");
    assert.equal(Words.summary({ once: 0, later: 0, again: [] }), "No card was asked.");
  });
});

it("one card, two cards", () => assert.deepEqual([Words.cards(0), Words.cards(1), Words.cards(2)], ["0 cards", "1 card", "2 cards"]));
it("a preview is called one", () => assert.deepEqual([Words.edition(3), Words.edition("preview")], ["Edition 3", "Preview, not released"]));

describe("the hardest cards", () => {
  it("are one or many", () => {
    assert.match(Words.hardest(1), /^This card was “not yet” most often\. It stays/);
    assert.match(Words.hardest(2), /^These 2 cards were “not yet” most often, the hardest first\. They stay/);
  });
});
