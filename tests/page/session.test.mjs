// What comes next, and when: single steps, and laws over long simulated terms.

import assert from "node:assert/strict";
import { describe, it } from "node:test";
import { Session } from "./load.mjs";
import { card, pack } from "./packs.mjs";

const DAY = "2026-11-25";
const later = (days, from = DAY) => Session.addDays(from, days);
const cards = (count, more) => Array.from({ length: count }, (_, at) => card(`card-${at + 1}`, more));
const everything = (book, more = {}) => ({ topics: book.topics, mixed: false, extension: true, minutes: 20, ...more });

/** A pupil with a device: everything the page does, without the page. */
class Pupil {
  constructor(given, day = DAY) {
    this.book = Session.open(given);
    this.records = {};
    this.day = day;
    this.now = 1_000_000;
  }

  way(key) { return this.book.byKey.get(key); }
  state(key) { return Session.stateOf(this.book, this.records, this.way(key), this.day); }
  record(key) { return this.records[key]; }
  plan(more) { return Session.plan(this.book, this.records, everything(this.book, more), this.day, 7); }

  answer(key, known) {
    this.records = Session.withRecord(this.records, key, Session.answer(this.book, this.way(key).card, Session.recordOf(this.records, key), known, this.day));
  }

  start(more = {}, keys = null) {
    this.session = Session.start(this.book, keys ?? this.plan(more).pile, more.minutes ?? 20, this.now, keys !== null);
    this.draw();
  }

  draw() { this.session = Session.draw(this.session, this.book, this.records, this.day); }

  put(known, seconds = 20) {
    for (let gone = 0; gone < seconds * 1000; gone += 5000) this.tick(Math.min(5000, seconds * 1000 - gone));
    const done = Session.put(this.session, this.book, this.records, known, this.day);
    this.records = Session.withRecord(this.records, done.key, done.record);
    this.session = done.session;
    this.draw();
    return done.key;
  }

  tick(milliseconds) {
    this.now += milliseconds;
    this.session = Session.tick(this.session, this.now);
  }

  /** Works until the session is over; gives the keys in the order in which they were asked. */
  work(knows, seconds) {
    const asked = [];
    while (!this.session.over) {
      asked.push(this.session.hand);
      this.put(knows(this.session.hand, asked), seconds);
      assert.ok(asked.length < 2000, "the session never ends");
    }
    return asked;
  }
}

describe("days", () => {
  for (const [from, days, to] of [["2026-11-25", 1, "2026-11-26"], ["2026-11-30", 1, "2026-12-01"], ["2026-12-31", 1, "2027-01-01"],
    ["2028-02-28", 1, "2028-02-29"], ["2026-10-24", 2, "2026-10-26"], ["2027-03-27", 1, "2027-03-28"], ["2026-11-25", -30, "2026-10-26"]]) {
    it(`${from} and ${days} days is ${to}`, () => assert.equal(Session.addDays(from, days), to));
  }
});

describe("checks", () => {
  const known = (days) => {
    const pupil = new Pupil(pack(cards(1)));
    for (const ahead of days) {
      pupil.day = later(ahead);
      pupil.answer("card-1", true);
    }
    return pupil;
  };

  it("come 1, 7 and 21 days after the card was first known", () => {
    assert.equal(Session.dueDay(known([0]).book, known([0]).record("card-1")), later(1));
    assert.equal(Session.dueDay(known([0]).book, known([0, 1]).record("card-1")), later(7));
    assert.equal(Session.dueDay(known([0]).book, known([0, 1, 7]).record("card-1")), later(21));
  });

  it("known at once at each of them, the card leaves the pack", () => {
    const pupil = known([0, 1, 7, 21]);
    assert.equal(pupil.state("card-1"), "away");
    assert.equal(pupil.record("card-1").left, later(21));
  });

  it("wait for a pupil who comes late, and the next stays where it was planned", () => {
    assert.equal(Session.dueDay(known([0]).book, known([0, 3]).record("card-1")), later(7));
    assert.equal(Session.dueDay(known([0]).book, known([0, 6]).record("card-1")), later(7));
  });

  it("keep their distance when one comes later than the next was planned", () => {
    assert.equal(Session.dueDay(known([0]).book, known([0, 7]).record("card-1")), later(13));
    assert.equal(Session.dueDay(known([0]).book, known([0, 30]).record("card-1")), later(36));
    assert.equal(Session.dueDay(known([0]).book, known([0, 1, 25]).record("card-1")), later(39));
  });

  it("are not made twice on one day", () => {
    assert.deepEqual(known([0, 0, 0]).record("card-1").checks, []);
    assert.deepEqual(known([0, 1, 1]).record("card-1").checks, [later(1)]);
  });

  it("are not made before their day", () => assert.deepEqual(known([0, 1, 3, 6]).record("card-1").checks, [later(1)]));

  it("begin anew after a not yet", () => {
    const pupil = known([0, 1]);
    pupil.day = later(7);
    pupil.answer("card-1", false);
    assert.equal(pupil.state("card-1"), "not-yet");
    pupil.answer("card-1", true);
    assert.equal(Session.dueDay(pupil.book, pupil.record("card-1")), later(8));
    assert.deepEqual(pupil.record("card-1").checks, []);
  });

  it("a card that left can be brought back, and is asked today", () => {
    const pupil = known([0, 1, 7, 21]);
    pupil.records = Session.withRecord(pupil.records, "card-1", Session.bringBack(pupil.record("card-1")));
    assert.equal(pupil.state("card-1"), "not-yet");
    assert.deepEqual(pupil.plan().pile, ["card-1"]);
    pupil.answer("card-1", true);
    assert.equal(Session.dueDay(pupil.book, pupil.record("card-1")), later(22));
  });

  it("follow the pack's own days", () => {
    const pupil = new Pupil(pack(cards(1), { session: { minutes: 10, review_days: [14, 2] } }));
    pupil.answer("card-1", true);
    assert.equal(Session.dueDay(pupil.book, pupil.record("card-1")), later(2));
    pupil.day = later(2);
    pupil.answer("card-1", true);
    pupil.day = later(14);
    pupil.answer("card-1", true);
    assert.equal(pupil.state("card-1"), "away");
  });

  it("a record from the future, by a clock that was wrong, is asked now and put right", () => {
    const pupil = known([400]);
    pupil.day = DAY;
    assert.equal(pupil.state("card-1"), "due");
    pupil.answer("card-1", true);
    assert.equal(Session.dueDay(pupil.book, pupil.record("card-1")), later(1));
  });

  it("a card may be called like a property of every object", () => {
    const pupil = new Pupil(pack([card("constructor")]));
    assert.equal(pupil.state("constructor"), "new");
    pupil.answer("constructor", true);
    assert.equal(pupil.state("constructor"), "waiting");
  });
});

describe("both ways round", () => {
  it("the answer side is asked first on a later day than the question side was known", () => {
    const pupil = new Pupil(pack(cards(1, { both_ways: true })));
    assert.deepEqual(pupil.plan().pile, ["card-1"]);
    pupil.answer("card-1", true);
    assert.equal(pupil.state("card-1:back"), "later");
    pupil.day = later(1);
    assert.deepEqual([...pupil.plan().pile].sort(), ["card-1", "card-1:back"]);
  });

  it("has its own days", () => {
    const pupil = new Pupil(pack(cards(1, { both_ways: true })));
    pupil.answer("card-1", true);
    pupil.day = later(1);
    pupil.answer("card-1", true);
    pupil.answer("card-1:back", true);
    assert.equal(Session.dueDay(pupil.book, pupil.record("card-1:back")), later(2));
    assert.equal(Session.dueDay(pupil.book, pupil.record("card-1")), later(7));
  });

  it("the two ways do not stand next to each other", () => {
    for (let count = 2; count < 12; count += 1) {
      const pupil = new Pupil(pack(cards(count, { both_ways: true })));
      for (const ahead of [0, 1]) {
        pupil.day = later(ahead);
        for (const way of pupil.book.list) if (ahead || !way.back) pupil.answer(way.key, true);
      }
      for (let seed = 1; seed < 40; seed += 1) {
        const planned = Session.plan(pupil.book, pupil.records, everything(pupil.book), later(9), seed);
        const pile = planned.pile.map((key) => pupil.way(key).card.id);
        assert.equal(planned.back, 2 * count);
        assert.ok(pile.every((id, at) => !at || id !== pile[at - 1]), pile.join(" "));
      }
    }
  });

  it("a card that has left on one side only has not left the pack", () => {
    const pupil = new Pupil(pack(cards(1, { both_ways: true })));
    for (const ahead of [0, 1, 7, 21]) {
      pupil.day = later(ahead);
      pupil.answer("card-1", true);
    }
    pupil.answer("card-1:back", true);
    assert.equal(Session.cardState(pupil.book, pupil.records, pupil.way("card-1").card, pupil.day).state, "waiting");
  });
});

describe("a corrected answer", () => {
  const after = (known, edition, corrected) => {
    const pupil = new Pupil(pack(cards(2)));
    known.forEach((ahead) => {
      pupil.day = later(ahead);
      pupil.answer("card-1", true);
    });
    pupil.book = Session.open(pack([card("card-1", { corrected }), card("card-2")], { edition }));
    return pupil;
  };

  it("brings its card back before its day", () => assert.equal(after([0], 2, 2).state("card-1"), "corrected"));
  it("brings its card back when it had left", () => assert.equal(after([0, 1, 7, 21], 3, 2).state("card-1"), "corrected"));
  it("comes before all else", () => {
    const pupil = after([0], 2, 2);
    assert.equal(pupil.plan().pile[0], "card-1");
    assert.deepEqual(Session.overview(pupil.book, pupil.records, pupil.day).corrected.map((one) => one.id), ["card-1"]);
  });
  it("starts the card's days anew once it is known", () => {
    const pupil = after([0, 1, 7, 21], 2, 2);
    pupil.answer("card-1", true);
    assert.equal(pupil.state("card-1"), "waiting");
    assert.equal(Session.dueDay(pupil.book, pupil.record("card-1")), later(22));
  });
  it("says nothing of a card that was never seen", () => assert.equal(after([], 2, 2).state("card-1"), "new"));
  it("says nothing of a correction that the pupil has seen", () => assert.equal(after([0], 2, 1).state("card-1"), "waiting"));
  it("comes back again when an older edition was opened between", () => {
    const pupil = after([0], 2, 2);
    pupil.answer("card-1", true);
    pupil.book = Session.open(pack(cards(2), { edition: 1 }));
    pupil.answer("card-1", true);
    pupil.book = Session.open(pack([card("card-1", { corrected: 2 }), card("card-2")], { edition: 2 }));
    assert.equal(pupil.state("card-1"), "corrected");
  });
  it("that a preview showed is not told again", () => {
    const pupil = after([], "preview", 3);
    pupil.answer("card-1", true);
    pupil.book = Session.open(pack([card("card-1", { corrected: 3 }), card("card-2")], { edition: 3 }));
    assert.equal(pupil.state("card-1"), "waiting");
  });
  it("is asked by its question first, and the other way round from a later day on", () => {
    const bothWays = { both_ways: true };
    const pupil = new Pupil(pack([card("card-1", bothWays)]));
    for (const ahead of [0, 1]) {
      pupil.day = later(ahead);
      pupil.answer("card-1", true);
    }
    pupil.answer("card-1:back", true);
    pupil.book = Session.open(pack([card("card-1", { ...bothWays, corrected: 2 })], { edition: 2 }));
    assert.deepEqual(pupil.plan().pile, ["card-1"]);
    pupil.answer("card-1", true);
    assert.deepEqual(pupil.plan().pile, []);
    pupil.day = later(2);
    assert.ok(pupil.plan().pile.includes("card-1:back"));
    assert.equal(pupil.state("card-1:back"), "corrected");
    pupil.answer("card-1:back", true);
    assert.equal(pupil.state("card-1:back"), "waiting");
  });

  it("that is not yet known does not stay corrected for ever", () => {
    const pupil = after([0], 2, 2);
    pupil.answer("card-1", false);
    assert.equal(pupil.state("card-1"), "not-yet");
  });
});

describe("the pile of a session", () => {
  it("holds what comes back before what is new", () => {
    const pupil = new Pupil(pack(cards(6)));
    pupil.answer("card-3", true);
    pupil.answer("card-5", false);
    pupil.day = later(1);
    assert.deepEqual(pupil.plan().pile, ["card-5", "card-3", "card-1", "card-2", "card-4", "card-6"]);
  });

  it("is no larger than its minutes allow, and says how many wait", () => {
    const pupil = new Pupil(pack(cards(100)));
    assert.equal(pupil.plan().pile.length, 40);
    assert.equal(pupil.plan().more, 60);
    assert.equal(pupil.plan({ minutes: 5 }).pile.length, 10);
  });

  it("leaves out the topics that were not chosen", () => {
    const pupil = new Pupil(pack([card("one"), card("two", { deck: "year-8/coasts" })]));
    assert.deepEqual(pupil.plan({ topics: ["year-8/coasts"] }).pile, ["two"]);
    assert.deepEqual(pupil.plan({ topics: [] }).pile, []);
  });

  it("leaves out extension cards on request, and asks them last otherwise", () => {
    const pupil = new Pupil(pack([card("hard", { extension: true }), card("easy")]));
    assert.deepEqual(pupil.plan().pile, ["easy", "hard"]);
    assert.deepEqual(pupil.plan({ extension: false }).pile, ["easy"]);
  });

  it("goes topic after topic, or mixes them", () => {
    const two = [...cards(3), ...Array.from({ length: 3 }, (_, at) => card(`coast-${at + 1}`, { deck: "year-8/coasts" }))];
    const decks = (mixed) => new Pupil(pack(two)).plan({ mixed }).pile.map((key) => key.split("-")[0]);
    assert.deepEqual(decks(false), ["card", "card", "card", "coast", "coast", "coast"]);
    assert.deepEqual(decks(true), ["card", "coast", "card", "coast", "card", "coast"]);
  });

  it("puts cards whose needs are not known behind the others", () => {
    const pupil = new Pupil(pack([card("roof", { needs: ["wall"] }), card("lone"), card("wall", { needs: ["ground"] }), card("ground")]));
    assert.deepEqual(pupil.plan().pile, ["lone", "ground", "wall", "roof"]);
  });

  it("does not keep a card back for ever when what it needs is in another topic", () => {
    const pupil = new Pupil(pack([card("ground", { deck: "year-8/coasts" }), card("roof", { needs: ["ground"] }), card("lone")]));
    assert.deepEqual(pupil.plan({ topics: ["year-8/rivers"] }).pile, ["lone", "roof"]);
  });

  it("takes what is not in the pack as known", () => {
    assert.deepEqual(new Pupil(pack([card("roof", { needs: ["map-scale"] }), card("lone")])).plan().pile, ["roof", "lone"]);
  });

  it("is the same for the same day and differs in order on another", () => {
    const orders = new Set();
    for (let seed = 1; seed < 20; seed += 1) {
      const pupil = new Pupil(pack(cards(12)));
      for (const one of pupil.book.pack.cards) pupil.answer(one.id, true);
      const plan = () => Session.plan(pupil.book, pupil.records, everything(pupil.book), later(1), seed).pile.join(" ");
      assert.equal(plan(), plan());
      orders.add(plan());
    }
    assert.ok(orders.size > 10);
  });
});

describe("a session", () => {
  it("puts known aside and not yet to the bottom, where it comes again", () => {
    const pupil = new Pupil(pack(cards(4)));
    pupil.start();
    const asked = pupil.work((key, before) => key !== "card-2" || before.filter((one) => one === key).length > 2);
    assert.deepEqual(asked, ["card-1", "card-2", "card-3", "card-4", "card-2", "card-2"]);
    assert.deepEqual([pupil.session.once, pupil.session.later, pupil.session.again.length], [3, 1, 0]);
  });

  it("asks the missed ones again in the order in which they were missed", () => {
    const pupil = new Pupil(pack(cards(4)));
    pupil.start();
    const asked = pupil.work((key, before) => before.length > 4);
    assert.deepEqual(asked, ["card-1", "card-2", "card-3", "card-4", "card-1", "card-2", "card-3", "card-4"]);
  });

  it("asks what a card needs again before the card", () => {
    const pupil = new Pupil(pack([card("ground"), card("roof", { needs: ["ground"] }), card("lone")]));
    pupil.start();
    assert.deepEqual(pupil.work((key, before) => key !== "ground" || before.length > 1), ["ground", "lone", "ground", "roof"]);
  });

  it("is over after its minutes at the latest, whatever is left", () => {
    const pupil = new Pupil(pack(cards(60)));
    pupil.start({ minutes: 5 });
    pupil.work(() => false, 15);
    assert.ok(pupil.session.used <= 5 * 60000 + 15000);
    assert.ok(pupil.session.used >= 5 * 60000 - 45000);
  });

  it("is never longer than twenty minutes", () => {
    const book = Session.open(pack(cards(3), { session: { minutes: 90, review_days: [1, 7, 21] } }));
    assert.equal(Session.start(book, [], 90, 0).limit, 20 * 60000);
    assert.equal(Session.start(book, [], 0, 0).limit, 20 * 60000);
  });

  it("leaves new cards in the pack early enough for the missed ones to come again", () => {
    const pupil = new Pupil(pack(cards(40)));
    pupil.start({ minutes: 5 }, null);
    const asked = pupil.work((key, before) => before.filter((one) => one === key).length > 1, 20);
    const missedOnce = asked.filter((key) => asked.filter((one) => one === key).length < 2);
    assert.deepEqual(missedOnce, []);
  });

  it("carries what stayed not yet into the next session, first", () => {
    const pupil = new Pupil(pack(cards(9)));
    pupil.start({ minutes: 1 });
    pupil.work(() => false, 25);
    const missed = pupil.session.again;
    assert.ok(missed.length > 0);
    assert.deepEqual([...pupil.plan().pile.slice(0, missed.length)].sort(), [...missed].sort());
  });

  it("counts no time while it is paused, the device sleeps, or its clock goes back", () => {
    const pupil = new Pupil(pack(cards(2)));
    pupil.start();
    pupil.tick(4000);
    pupil.session = Session.pause(pupil.session, pupil.now, true);
    pupil.tick(60000);
    pupil.session = Session.pause(pupil.session, pupil.now, false);
    pupil.tick(8 * 3600000);
    pupil.tick(-3600000);
    pupil.tick(1000);
    assert.equal(pupil.session.used, 5000);
  });

  it("takes the last card back, with its record", () => {
    const pupil = new Pupil(pack(cards(3)));
    pupil.start();
    pupil.put(true);
    const before = { session: pupil.session, records: pupil.records };
    pupil.put(false);
    const back = Session.takeBack(pupil.session);
    assert.equal(back.key, "card-2");
    assert.equal(back.record, null);
    for (const name of ["hand", "pile", "again", "aside", "tried", "once", "later", "asked"]) assert.deepEqual(back.session[name], before.session[name], name);
    assert.equal(Session.takeBack(back.session), null);
  });

  it("takes the last card back after the session is over", () => {
    const pupil = new Pupil(pack(cards(1)));
    pupil.start();
    pupil.put(true);
    assert.equal(pupil.session.over, true);
    assert.equal(Session.takeBack(pupil.session).session.hand, "card-1");
    assert.equal(Session.takeBack(pupil.session).session.over, false);
  });

  it("stopped by the pupil keeps the card in the hand on the pile", () => {
    const pupil = new Pupil(pack(cards(3)));
    pupil.start();
    const stopped = Session.stop(pupil.session);
    assert.deepEqual(stopped.pile, ["card-1", "card-2", "card-3"]);
    assert.equal(stopped.over, true);
  });

  it("does not ask again what another tab has settled", () => {
    const pupil = new Pupil(pack(cards(3)));
    pupil.start();
    pupil.answer("card-2", true);
    assert.equal(pupil.put(true), "card-1");
    assert.equal(pupil.session.hand, "card-3");
    assert.ok(pupil.session.aside.includes("card-2"));
  });

  it("with cards taken by hand asks what is not due, and leaves its days alone", () => {
    const pupil = new Pupil(pack(cards(2)));
    pupil.answer("card-1", true);
    const before = pupil.record("card-1");
    pupil.start({}, ["card-1"]);
    assert.equal(pupil.session.hand, "card-1");
    pupil.put(true);
    assert.deepEqual(pupil.record("card-1"), before);
  });
});

describe("the hardest cards", () => {
  it("are those missed most, until later checks are passed", () => {
    const pupil = new Pupil(pack(cards(3)));
    const miss = (key, times) => { for (let at = 0; at < times; at += 1) pupil.answer(key, false); };
    miss("card-1", 2);
    miss("card-2", 3);
    miss("card-3", 1);
    const hardest = () => Session.hardest(pupil.book, pupil.records).map((way) => way.key);
    assert.deepEqual(hardest(), ["card-2", "card-1"]);
    pupil.answer("card-1", true);
    pupil.day = later(1);
    pupil.answer("card-1", true);
    assert.deepEqual(hardest(), ["card-2"]);
  });

  it("are at most twenty", () => {
    const pupil = new Pupil(pack(cards(30)));
    for (const one of pupil.book.pack.cards) [1, 2].forEach(() => pupil.answer(one.id, false));
    assert.equal(Session.hardest(pupil.book, pupil.records).length, 20);
  });
});

describe("the overview", () => {
  it("counts every card once, by topic", () => {
    const pupil = new Pupil(pack([...cards(4, { both_ways: true }), card("coast", { deck: "year-8/coasts" })]));
    pupil.answer("card-1", true);
    pupil.answer("card-2", false);
    pupil.day = later(1);
    const view = Session.overview(pupil.book, pupil.records, pupil.day);
    assert.equal(view.back, 2);
    assert.equal(view.fresh, 3);
    for (const topic of view.topics) assert.equal(Object.values(topic.counts).reduce((a, b) => a + b), topic.cards.length);
  });

  it("tells the days that are to come", () => {
    const pupil = new Pupil(pack(cards(3)));
    pupil.answer("card-1", true);
    pupil.answer("card-2", true);
    assert.deepEqual(Session.overview(pupil.book, pupil.records, DAY).coming, [{ day: later(1), cards: 2 }]);
  });
});

describe("newer of two records", () => {
  const record = (more) => ({ right: null, checks: [], missed: [], seen: 1, left: null, ...more });
  it("is the one with the later day", () => {
    const one = record({ right: DAY }), other = record({ right: DAY, checks: [later(1)] });
    assert.equal(Session.newer(one, other), other);
    assert.equal(Session.newer(other, one), other);
  });
  it("of the same day is the one that asks sooner, whichever side it is on", () => {
    const known = record({ right: DAY }), missed = record({ missed: [DAY] });
    assert.equal(Session.newer(known, missed), missed);
    assert.equal(Session.newer(missed, known), missed);
  });
  it("is the only one there is", () => assert.equal(Session.newer(null, record({})).seen, 1));
});

/** Numbers that look like chance and are the same every time. */
function chance(seed) {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

describe("laws over simulated terms", () => {
  const given = pack(Array.from({ length: 60 }, (_, at) => card(`card-${at + 1}`, {
    deck: `year-8/topic-${at % 3}`, both_ways: at % 4 === 0, extension: at % 9 === 8, needs: at % 5 === 4 ? [`card-${at}`, `card-${at - 2}`] : [],
  })));

  for (let seed = 1; seed <= 12; seed += 1) {
    it(`a term of 80 days, pupil ${seed}`, () => term(seed));
  }

  function term(seed) {
    const random = chance(seed * 7919);
    const pupil = new Pupil(given);
    const skill = 0.5 + random() / 2;
    const history = new Map();
    for (let day = 0; day < 80; day += 1) {
      pupil.day = later(day);
      if (random() < 0.35) continue;
      const choice = { mixed: random() < 0.5, minutes: [5, 10, 20][Math.floor(random() * 3)], extension: random() < 0.8 };
      const planned = pupil.plan(choice);
      checkPlan(pupil, planned);
      if (!planned.pile.length) continue;
      pupil.start(choice);
      const all = [...planned.pile].sort();
      const missed = new Set();
      const askedAgain = new Set();
      let steps = 0;
      while (!pupil.session.over) {
        const key = pupil.session.hand;
        const state = pupil.state(key);
        assert.ok(["new", "not-yet", "corrected", "due"].includes(state), `${key} was asked while ${state}`);
        if (pupil.way(key).back) assert.ok(history.has(pupil.way(key).card.id), `${key} before its question side`);
        if (missed.has(key)) askedAgain.add(key);
        const known = random() < skill;
        if (!known) missed.add(key);
        history.set(key, (history.get(key) ?? []).concat([[pupil.day, known]]));
        pupil.put(known, 12);
        assert.deepEqual(held(pupil.session), all, "a card was lost or doubled");
        assert.ok((steps += 1) < 500);
      }
      const notAgain = [...missed].filter((key) => !askedAgain.has(key));
      assert.deepEqual(notAgain, [], "missed, and did not come again before the session ended");
      for (const key of pupil.session.again) assert.equal(pupil.state(key), "not-yet");
      assert.ok(pupil.session.used <= choice.minutes * 60000 + 12000);
    }
    checkLeft(pupil, history);
  }

  function held(session) {
    return [...session.pile, ...session.again, ...session.aside, ...(session.hand ? [session.hand] : [])].sort();
  }

  function checkPlan(pupil, planned) {
    assert.equal(new Set(planned.pile).size, planned.pile.length);
    const states = planned.pile.map((key) => pupil.state(key));
    assert.ok(states.every((state) => ["new", "not-yet", "corrected", "due"].includes(state)), states.join(" "));
    assert.equal(planned.back + planned.fresh, planned.pile.length);
  }

  /** A card left exactly when, after its last not yet, it was known on its day and at every check. */
  function checkLeft(pupil, history) {
    let left = 0;
    for (const way of pupil.book.list) {
      const answers = history.get(way.key) ?? [];
      const lastMiss = answers.map(([, known]) => known).lastIndexOf(false);
      const run = answers.slice(lastMiss + 1).length;
      const away = pupil.state(way.key) === "away";
      if (away) left += 1;
      assert.equal(away, run >= 4, `${way.key}: ${JSON.stringify(answers.slice(lastMiss + 1))}`);
    }
    assert.ok(left > 0 || pupil.book.list.length === 0, "nobody ever finishes a card");
  }

  it("a pupil who knows everything sees each way four times and nothing more", () => {
    const pupil = new Pupil(given);
    const counts = new Map();
    for (let day = 0; day < 80; day += 1) {
      pupil.day = later(day);
      while (pupil.plan().pile.length) {
        pupil.start();
        for (const key of pupil.work(() => true, 10)) counts.set(key, (counts.get(key) ?? 0) + 1);
      }
    }
    assert.equal(counts.size, pupil.book.list.length);
    assert.deepEqual([...new Set(counts.values())], [4]);
    assert.ok(pupil.book.list.every((way) => pupil.state(way.key) === "away"));
  });

  it("nothing that is handed in is changed", () => {
    const freeze = (value) => {
      if (value && typeof value === "object" && !Object.isFrozen(value)) {
        Object.freeze(value);
        if (!(value instanceof Map)) Object.values(value).forEach(freeze);
      }
      return value;
    };
    const pupil = new Pupil(freeze(structuredClone(given)));
    pupil.start();
    const random = chance(5);
    while (!pupil.session.over) {
      freeze(pupil.session);
      freeze(pupil.records);
      pupil.put(random() < 0.6, 10);
    }
    assert.ok(pupil.session.asked > 20);
  });
});
