// The pupil's record on this device: ids of cards, days and options, nothing else. It lives in the
// browser's storage under the pack's name; where the browser refuses that, in memory until the page
// is closed. Every change reads what is stored, changes it and writes it, so that several tabs
// never undo each other's work. What is read, from storage or from a file, is checked piece by piece.
const Store = (() => {
  "use strict";

  const FORMAT = 1;
  const LARGEST = 2000000;
  const DAY = /^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/;
  const KEY = /^[a-z][a-z0-9]*(-[a-z0-9]+)*(:back)?$/;
  const NAME = /^[a-z0-9-]{1,80}$/;
  const DAYS_KEPT = 24;

  function isDay(value) { return typeof value === "string" && DAY.test(value); }
  function days(value) { return Array.isArray(value) ? value.filter(isDay).sort().slice(-DAYS_KEPT) : []; }
  function isObject(value) { return Boolean(value) && typeof value === "object" && !Array.isArray(value); }

  // A record out of anything; null when there is none in it.
  function recordFrom(value) {
    if (!isObject(value)) return null;
    const right = isDay(value.right) ? value.right : null;
    return {
      right,
      checks: right ? days(value.checks) : [],
      missed: days(value.missed),
      seen: Number.isInteger(value.seen) && value.seen >= 0 ? value.seen : 0,
      left: right && isDay(value.left) ? value.left : null
    };
  }

  function recordsFrom(value) {
    const out = {};
    if (!isObject(value)) return out;
    Object.keys(value).forEach(key => {
      const record = KEY.test(key) ? recordFrom(value[key]) : null;
      if (record) out[key] = record;
    });
    return out;
  }

  function blank() { return { records: {}, options: {} }; }

  // What a stored text holds: { state, problem }.
  function parse(text) {
    if (text === null || text === undefined) return { state: blank(), problem: "" };
    let value;
    try { value = JSON.parse(text); } catch (error) { return { state: blank(), problem: "damaged" }; }
    if (!isObject(value) || !Number.isInteger(value.format)) return { state: blank(), problem: "damaged" };
    if (value.format > FORMAT) return { state: blank(), problem: "newer" };
    return { state: { records: recordsFrom(value.cards), options: isObject(value.options) ? value.options : {} }, problem: "" };
  }

  function serialise(packId, state, extra) {
    const sorted = {};
    Object.keys(state.records).sort().forEach(key => { sorted[key] = state.records[key]; });
    return JSON.stringify(Object.assign({ format: FORMAT, pack: packId }, extra, { cards: sorted }), null, extra && extra.saved ? 1 : 0);
  }

  // `storage` gives the browser's storage, or throws.
  function open(packId, storage) {
    const place = "deckle/" + packId;
    let memory = blank();
    let held = null;
    let problem = "";
    try {
      held = storage();
      held.setItem(place + "/try", "1");
      held.removeItem(place + "/try");
    } catch (error) {
      held = null;
      problem = "refused";
    }
    const first = held ? parse(held.getItem(place)) : { state: blank(), problem };
    problem = first.problem;
    if (problem === "damaged") setAside(held, place);
    // A record of a later page is left as it is.
    if (problem === "newer") held = null;

    function setAside(box, from) {
      try { box.setItem(from + "/damaged", box.getItem(from)); } catch (error) { problem = "damaged"; }
    }

    function read() {
      if (!held) return memory;
      try {
        const found = parse(held.getItem(place));
        // Spoilt meanwhile: this page goes on from what it knows. Written by a later page in another tab:
        // it is left as it is.
        if (!found.problem) memory = found.state;
        else if (found.problem === "newer") fallBack("newer");
      } catch (error) { fallBack("refused"); }
      return memory;
    }

    function fallBack(why) {
      held = null;
      problem = why;
    }

    // Changes the state by `change(state)`, which gives the new one. Nothing is lost when the
    // browser refuses: it stays in memory, and `problem` says so.
    function update(change) {
      const next = change(read());
      memory = { records: next.records, options: next.options };
      if (held) {
        try { held.setItem(place, serialise(packId, memory, { options: memory.options })); } catch (error) { fallBack("refused"); }
      }
      return memory;
    }

    return {
      read,
      update,
      problem: () => problem,
      kept: () => held !== null,
      isMine: key => key === place || key === null,
      setRecord: (key, record) => update(state => {
          const records = Object.assign({}, state.records);
          if (record) records[key] = record; else delete records[key];
          return { records, options: state.options };
        }),
      setOptions: options => update(state => ({ records: state.records, options: Object.assign({}, state.options, options) })),
      exportText: today => serialise(packId, read(), { saved: today }) + "\n",
      importText: (text, newer) => importInto(packId, text, newer, update),
      erase: () => {
        memory = blank();
        if (!held) return;
        try {
          held.removeItem(place);
          held.removeItem(place + "/damaged");
        } catch (error) { fallBack("refused"); }
      }
    };
  }

  // Adds a saved record to the one here, `newer` choosing between two records of one card: { added }
  // or { problem } with one of large, unreadable, newer, other (then also `pack`).
  function importInto(packId, text, newer, update) {
    if (text.length > LARGEST) return { problem: "large" };
    const found = parse(text.replace(/^\ufeff/, ""));
    if (found.problem) return { problem: found.problem === "newer" ? "newer" : "unreadable" };
    const pack = JSON.parse(text.replace(/^\ufeff/, "")).pack;
    if (pack !== packId) return { problem: "other", pack: typeof pack === "string" && NAME.test(pack) ? pack : "" };
    let added = 0;
    update(state => {
      const records = Object.assign({}, state.records);
      Object.keys(found.state.records).forEach(key => {
        const mine = Object.prototype.hasOwnProperty.call(records, key) ? records[key] : null;
        records[key] = newer(mine, found.state.records[key]);
        if (records[key] !== mine) added += 1;
      });
      return { records, options: state.options };
    });
    return { added };
  }

  // A session of this tab, or null: everything in it must be as session.js writes it.
  function sessionFrom(text) {
    let value;
    try { value = JSON.parse(text); } catch (error) { return null; }
    const keys = list => Array.isArray(list) && list.every(key => KEY.test(key));
    const counts = ["limit", "used", "at", "asked", "once", "later"];
    const sound = isObject(value) && keys(value.pile) && keys(value.again) && keys(value.aside) && keys(value.tried) &&
      (value.hand === null || KEY.test(value.hand)) &&
      counts.every(name => typeof value[name] === "number" && value[name] >= 0);
    if (!sound) return null;
    if (value.last) {
      const last = value.last;
      const whole = isObject(last) && KEY.test(last.key) && keys(last.pile) && keys(last.again) && keys(last.aside) && keys(last.tried);
      value.last = whole ? Object.assign(last, { record: recordFrom(last.record) }) : null;
    }
    return value;
  }

  return { open, parse, recordFrom, sessionFrom };
})();
if (typeof module === "object" && module.exports) module.exports = Store;
