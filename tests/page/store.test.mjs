// The record on the device: kept, refused, damaged, shared between tabs, saved and brought in.

import assert from "node:assert/strict";
import { describe, it } from "node:test";
import { Session, Store } from "./load.mjs";

const PACK = "geography-year-8-autumn-2026";
const PLACE = `deckle/${PACK}`;
const record = (more = {}) => ({ right: "2026-11-25", checks: [], missed: [], seen: 1, left: null, ...more });

/** A browser's storage; `room` is how many characters a value may have. */
class Box {
  constructor(room = Infinity) {
    this.held = new Map();
    this.room = room;
  }
  getItem(key) { return this.held.has(key) ? this.held.get(key) : null; }
  setItem(key, value) {
    if (String(value).length > this.room) throw new Error("QuotaExceededError");
    this.held.set(key, String(value));
  }
  removeItem(key) { this.held.delete(key); }
}

const open = (box = new Box()) => Store.open(PACK, () => box);

describe("keeping", () => {
  it("what is put in is there for the next page", () => {
    const box = new Box();
    open(box).setRecord("isobar", record());
    assert.deepEqual(open(box).read().records, { isobar: record() });
    assert.equal(open(box).kept(), true);
  });

  it("holds nothing but ids, days, editions and options", () => {
    const box = new Box();
    const store = open(box);
    store.setRecord("isobar:back", record({ checks: ["2026-11-26"], missed: ["2026-11-20"] }));
    store.setOptions({ typing: true });
    assert.deepEqual([...box.held.keys()], [PLACE]);
    assert.deepEqual(JSON.parse(box.getItem(PLACE)), {
      format: 1, pack: PACK, options: { typing: true },
      cards: { "isobar:back": record({ checks: ["2026-11-26"], missed: ["2026-11-20"] }) },
    });
  });

  it("does not mix packs", () => {
    const box = new Box();
    open(box).setRecord("isobar", record());
    assert.deepEqual(Store.open("another", () => box).read().records, {});
  });

  it("a record can be taken out again", () => {
    const store = open();
    store.setRecord("isobar", record());
    store.setRecord("isobar", null);
    assert.deepEqual(store.read().records, {});
  });

  it("erasing leaves no trace", () => {
    const box = new Box();
    box.setItem(PLACE, "spoilt");
    const store = open(box);
    store.setRecord("isobar", record());
    store.erase();
    assert.deepEqual([...box.held.keys()], []);
    assert.deepEqual(store.read().records, {});
  });
});

describe("several tabs", () => {
  it("do not undo each other's work", () => {
    const box = new Box();
    const one = open(box), other = open(box);
    one.setRecord("isobar", record());
    other.setRecord("gale", record());
    one.setOptions({ mixed: true });
    assert.deepEqual(Object.keys(open(box).read().records), ["gale", "isobar"]);
    assert.deepEqual(other.read().options, { mixed: true });
  });

  it("see what another erased", () => {
    const box = new Box();
    const one = open(box), other = open(box);
    one.setRecord("isobar", record());
    other.erase();
    assert.deepEqual(one.read().records, {});
  });

  it("know their own place", () => {
    assert.ok(open().isMine(PLACE) && open().isMine(null) && !open().isMine("deckle/another"));
  });
});

describe("a browser that refuses", () => {
  it("from the start: the record stays in memory", () => {
    const store = Store.open(PACK, () => { throw new Error("SecurityError"); });
    assert.equal(store.problem(), "refused");
    store.setRecord("isobar", record());
    assert.deepEqual(store.read().records, { isobar: record() });
    assert.match(store.exportText("2026-11-25"), /isobar/);
    store.erase();
    assert.deepEqual(store.read().records, {});
  });

  it("has no storage at all", () => assert.equal(Store.open(PACK, () => null).problem(), "refused"));

  it("for want of room, later: nothing is lost and the problem is told", () => {
    const box = new Box(400);
    const store = open(box);
    for (let at = 0; at < 20; at += 1) store.setRecord(`card-${at}`, record());
    assert.equal(store.problem(), "refused");
    assert.equal(Object.keys(store.read().records).length, 20);
  });
});

describe("what is found damaged or newer", () => {
  for (const text of ["{", "[]", "null", "7", '"x"', "{}", '{"format":"1"}']) {
    it(`${text} is set aside and a new record begun`, () => {
      const box = new Box();
      box.setItem(PLACE, text);
      const store = open(box);
      assert.equal(store.problem(), "damaged");
      assert.equal(box.getItem(`${PLACE}/damaged`), text);
      store.setRecord("isobar", record());
      assert.deepEqual(open(box).read().records, { isobar: record() });
    });
  }

  it("a record of a newer page is left untouched", () => {
    const box = new Box();
    const text = '{"format":2,"cards":{}}';
    box.setItem(PLACE, text);
    const store = open(box);
    assert.equal(store.problem(), "newer");
    store.setRecord("isobar", record());
    store.erase();
    assert.equal(box.getItem(PLACE), text);
  });

  it("a record that a newer page writes meanwhile in another tab is left untouched", () => {
    const box = new Box();
    const store = open(box);
    store.setRecord("isobar", record());
    const text = '{"format":2,"cards":{}}';
    box.setItem(PLACE, text);
    store.setRecord("gale", record());
    assert.equal(box.getItem(PLACE), text);
    assert.equal(store.problem(), "newer");
    assert.deepEqual(Object.keys(store.read().records), ["isobar", "gale"]);
  });

  it("single pieces that make no sense are left out", () => {
    const spoilt = {
      good: record(), "UPPER": record(), "__proto__x": record(), "with space": record(), list: [], text: "x", none: null,
      days: record({ right: "2026-13-40", checks: ["2026-11-26"], missed: ["x", 5, "2026-11-20"], seen: -3, left: "2026-12-01" }),
    };
    const found = Store.parse(JSON.stringify({ format: 1, cards: spoilt })).state.records;
    assert.deepEqual(found, { good: record(), days: record({ right: null, missed: ["2026-11-20"], seen: 0 }) });
  });

  it("long lists of days are cut to the latest", () => {
    const days = Array.from({ length: 500 }, (_, at) => Session.addDays("2020-01-01", at));
    const kept = Store.recordFrom(record({ missed: days })).missed;
    assert.equal(kept.length, 24);
    assert.equal(kept[23], days[499]);
  });
});

describe("saving and bringing in", () => {
  const saved = (records) => {
    const store = open();
    for (const [key, value] of Object.entries(records)) store.setRecord(key, value);
    return store.exportText("2026-11-25");
  };
  const bring = (store, text) => store.importText(text, Session.newer);

  it("gives back what was saved", () => {
    const records = { gale: record({ checks: ["2026-11-26"] }), isobar: record({ right: null, missed: ["2026-11-25"] }) };
    const store = open();
    assert.deepEqual(bring(store, saved(records)), { added: 2 });
    assert.deepEqual(store.read().records, records);
    assert.equal(store.exportText("2026-11-25"), saved(records));
  });

  it("a byte order mark does no harm", () => assert.deepEqual(bring(open(), `\ufeff${saved({ gale: record() })}`), { added: 1 }));

  it("keeps the later day of each card, whichever side has it", () => {
    const store = open();
    store.setRecord("gale", record({ checks: ["2026-11-26"] }));
    store.setRecord("isobar", record());
    const result = bring(store, saved({ gale: record(), isobar: record({ checks: ["2026-11-26"] }), fetch: record() }));
    assert.deepEqual(result, { added: 2 });
    assert.deepEqual(store.read().records.gale.checks, ["2026-11-26"]);
    assert.deepEqual(store.read().records.isobar.checks, ["2026-11-26"]);
  });

  it("twice is the same as once", () => {
    const store = open();
    const text = saved({ gale: record() });
    bring(store, text);
    assert.deepEqual(bring(store, text), { added: 0 });
  });

  it("does not take the options of another device", () => {
    const text = JSON.stringify({ format: 1, pack: PACK, options: { typing: true }, cards: {} });
    const store = open();
    bring(store, text);
    assert.deepEqual(store.read().options, {});
  });

  for (const [name, text, problem] of [
    ["another pack's record", JSON.stringify({ format: 1, pack: "other-pack", cards: {} }), { problem: "other", pack: "other-pack" }],
    ["what calls itself by no pack's name", JSON.stringify({ format: 1, pack: "\u202e<b>", cards: {} }), { problem: "other", pack: "" }],
    ["a newer record", JSON.stringify({ format: 9, pack: PACK, cards: {} }), { problem: "newer" }],
    ["no JSON", "hello", { problem: "unreadable" }], ["nothing", "", { problem: "unreadable" }],
    ["something else", "[1,2]", { problem: "unreadable" }], ["something huge", "x".repeat(2_000_001), { problem: "large" }],
  ]) {
    it(`refuses ${name} and changes nothing`, () => {
      const store = open();
      store.setRecord("gale", record());
      assert.deepEqual(bring(store, text), problem);
      assert.deepEqual(store.read().records, { gale: record() });
    });
  }
});

describe("the session of a tab", () => {
  const book = Session.open({ session: {}, topics: [{ deck: "d" }], cards: [{ id: "gale", deck: "d" }, { id: "fetch", deck: "d" }], edition: 1 });
  const begun = Session.draw(Session.start(book, ["gale", "fetch"], 20, 5), book, {}, "2026-11-25");

  it("reads back equal", () => assert.deepEqual(Store.sessionFrom(JSON.stringify(begun)), begun));
  it("reads back with the card that can be taken back", () => {
    const done = Session.put(begun, book, { gale: record() }, true, "2026-11-25").session;
    assert.deepEqual(Store.sessionFrom(JSON.stringify(done)), done);
  });
  for (const text of ["null", "{", "{}", "[]", JSON.stringify({ ...begun, pile: ["<b>"] }), JSON.stringify({ ...begun, used: "5" }), JSON.stringify({ ...begun, hand: {} })]) {
    it(`is none in ${text.slice(0, 40)}`, () => assert.equal(Store.sessionFrom(text), null));
  }
});
