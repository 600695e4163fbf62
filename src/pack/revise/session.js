// What comes next, and when: the behaviour of the revision page, without page, clock or chance of
// its own. Days are calendar days written 2026-11-25, times are milliseconds, both handed in.
// Every function gives new values and leaves its arguments as they were.
//
// A way is one way round of a card: question first, or (both-ways cards) answer side first. A record
// is what is kept of a way: `right` (the day it was first known), `checks` (the days of checks
// passed since), `missed` (days of "not yet"), `seen` (the edition last seen), `left` (the day it
// left the pack).
const Session = (() => {
  "use strict";

  const DAY = 86400000;
  const MINUTE = 60000;
  const LONGEST = 20;
  const BREAK_MINUTES = 5;
  const CARDS_A_MINUTE = 2;
  const AWAY = 2 * MINUTE;
  const PACE = { first: 20000, least: 10000, most: 45000 };
  const MISSES_KEPT = 12;
  const HARDEST = 20;

  function addDays(day, count) {
    const then = Date.UTC(+day.slice(0, 4), +day.slice(5, 7) - 1, +day.slice(8, 10)) + count * DAY;
    return new Date(then).toISOString().slice(0, 10);
  }

  // The pack, indexed once: every way in teaching order.
  function open(pack) {
    const list = [];
    const byKey = new Map();
    const cards = new Map();
    pack.cards.forEach(card => {
      cards.set(card.id, card);
      list.push({ key: card.id, card, back: false });
      if (card.both_ways) list.push({ key: card.id + ":back", card, back: true });
    });
    list.forEach(way => { byKey.set(way.key, way); });
    const given = (pack.session && pack.session.review_days || []).filter(day => day > 0);
    const days = (given.length ? given : [1, 7, 21]).slice().sort((a, b) => a - b);
    return {
      pack, list, byKey, cards, days,
      topics: pack.topics.map(topic => topic.deck),
      longest: Math.max(1, Math.min(LONGEST, pack.session && pack.session.minutes || LONGEST))
    };
  }

  function recordOf(records, key) {
    return Object.prototype.hasOwnProperty.call(records, key) ? records[key] : null;
  }

  function withRecord(records, key, record) {
    const out = Object.assign({}, records);
    if (record) out[key] = record; else delete out[key];
    return out;
  }

  function lastDay(record) {
    return [record.right, record.left].concat(record.checks, record.missed)
      .reduce((last, day) => day && day > last ? day : last, "");
  }

  // Of two records of one way the one with the later day; of the same day, the one that asks sooner.
  function newer(mine, theirs) {
    if (!mine || !theirs) return mine || theirs;
    const one = lastDay(mine), other = lastDay(theirs);
    if (one !== other) return one > other ? mine : theirs;
    return mine.right && (!theirs.right || theirs.checks.length < mine.checks.length) ? theirs : mine;
  }

  // The day of the next check: as many days after the card was first known as the pack says; a check
  // that was made later than the next one was planned for keeps the distance between the two.
  function dueDay(book, record) {
    const done = Math.min(record.checks.length, book.days.length - 1);
    const last = record.checks.length ? record.checks[record.checks.length - 1] : record.right;
    const planned = addDays(record.right, book.days[done]);
    return planned > last ? planned : addDays(last, book.days[done] - (done ? book.days[done - 1] : 0));
  }

  function correctedSince(card, record) {
    return typeof card.corrected === "number" && card.corrected > record.seen;
  }

  // One of: new, later (the answer side, before the question side was known as it stands on an earlier day),
  // not-yet, corrected, due, waiting, away.
  function stateOf(book, records, way, today) {
    const record = recordOf(records, way.key);
    if (!record) return way.back && !knownBefore(records, way.card, today) ? "later" : "new";
    // A corrected card is asked by its question first; its answer side would give the new answer away.
    if (correctedSince(way.card, record)) return way.back && !knownBefore(records, way.card, today) ? "later" : "corrected";
    if (record.left) return "away";
    if (!record.right) return "not-yet";
    // A day in the future was written by a clock that was wrong: better asked once too often.
    return dueDay(book, record) <= today || lastDay(record) > today ? "due" : "waiting";
  }

  function knownBefore(records, card, today) {
    const front = recordOf(records, card.id);
    return Boolean(front && front.right && front.right < today && !correctedSince(card, front));
  }

  function comesBack(state) {
    return state === "corrected" || state === "not-yet" || state === "due";
  }

  // Whether all that the card needs is known; what is not in this pack counts as known.
  function ready(book, records, card) {
    return (card.needs || []).every(id => {
      if (!book.cards.has(id)) return true;
      const record = recordOf(records, id);
      return Boolean(record && record.right);
    });
  }

  // The record after a card was put on a pile. `today` is the day, `seen` the pack's edition.
  function answer(book, card, record, known, today) {
    const old = record || { right: null, checks: [], missed: [], seen: 0, left: null };
    const out = { right: old.right, checks: old.checks, missed: old.missed, seen: editionSeen(book, card), left: old.left };
    if (!known) {
      out.missed = old.missed.concat(today).slice(-MISSES_KEPT);
      return Object.assign(out, { right: null, checks: [], left: null });
    }
    const anew = !old.right || correctedSince(card, old) || lastDay(old) > today;
    if (anew) {
      out.missed = old.missed.filter(day => day <= today);
      return Object.assign(out, { right: today, checks: [], left: null });
    }
    if (old.left || dueDay(book, old) > today) return out;
    out.checks = old.checks.concat(today);
    if (out.checks.length >= book.days.length) out.left = today;
    return out;
  }

  function editionSeen(book, card) {
    return typeof book.pack.edition === "number" ? book.pack.edition : card.corrected || 0;
  }

  // The record of a card that is taken back into the pack.
  function bringBack(record) {
    return { right: null, checks: [], missed: record.missed, seen: record.seen, left: null };
  }

  // The pile of a session: what comes back (corrected answers and not-yet cards, then checks), then
  // new cards in teaching order. `choice` is { topics, mixed, extension, minutes }.
  function plan(book, records, choice, today, seed) {
    const wanted = book.list.filter(way => choice.topics.indexOf(way.card.deck) >= 0 && (choice.extension !== false || !way.card.extension));
    const inState = names => wanted.filter(way => names.indexOf(stateOf(book, records, way, today)) >= 0);
    const urgent = inState(["corrected", "not-yet"]);
    const due = inState(["due"]).sort((a, b) => {
      const one = dueDay(book, records[a.key]), other = dueDay(book, records[b.key]);
      return one < other ? -1 : one > other ? 1 : 0;
    });
    const fresh = afterNeeds(book, records, coreFirst(book, inState(["new"])));
    let room = Math.max(1, Math.round(minutesOf(book, choice) * CARDS_A_MINUTE));
    const take = ways => {
      const taken = ways.slice(0, room);
      room -= taken.length;
      return taken;
    };
    const chance = generator(seed || 1);
    const parts = [arrange(book, shuffled(take(urgent), chance), choice.mixed),
      arrange(book, shuffled(take(due), chance), choice.mixed),
      arrange(book, take(fresh), choice.mixed)];
    const all = apart(parts[0].concat(parts[1], parts[2]));
    return {
      pile: all.map(keyOf),
      back: parts[0].length + parts[1].length,
      fresh: parts[2].length,
      more: urgent.length + due.length + fresh.length - all.length
    };
  }

  function keyOf(way) { return way.key; }

  function minutesOf(book, choice) {
    return Math.max(1, Math.min(choice.minutes || book.longest, book.longest));
  }

  function coreFirst(book, ways) {
    const rank = way => book.topics.indexOf(way.card.deck) * 2 + (way.card.extension ? 1 : 0);
    return stable(ways, (a, b) => rank(a) - rank(b));
  }

  // Cards whose needs are neither known nor earlier in the list go behind all others.
  function afterNeeds(book, records, ways) {
    const placed = new Set();
    const out = [];
    const has = id => placed.has(id) || !book.cards.has(id) || Boolean((recordOf(records, id) || {}).right);
    let rest = ways;
    let before = -1;
    while (rest.length && rest.length !== before) {
      before = rest.length;
      rest = rest.filter(way => {
        if (!(way.card.needs || []).every(has)) return true;
        placed.add(way.card.id);
        out.push(way);
        return false;
      });
    }
    return out.concat(rest);
  }

  // Topic after topic, or the topics in turns.
  function arrange(book, ways, mixed) {
    const heaps = book.topics.map(deck => ways.filter(way => way.card.deck === deck));
    if (!mixed) return [].concat.apply([], heaps);
    const out = [];
    for (let at = 0; out.length < ways.length; at += 1) {
      heaps.forEach(heap => { if (at < heap.length) out.push(heap[at]); });
    }
    return out;
  }

  // No card's two ways stand next to each other where another card can stand between.
  function apart(ways) {
    const out = ways.slice();
    const clash = (a, b) => out[a] && out[b] && out[a].card.id === out[b].card.id;
    for (let at = 1; at < out.length; at += 1) {
      if (!clash(at - 1, at)) continue;
      let other = at + 1;
      while (other < out.length && clash(at - 1, other)) other += 1;
      if (other < out.length) {
        out.splice(at, 0, out.splice(other, 1)[0]);
      } else if (at >= 2) {
        out.splice(at - 2, 0, out.splice(at, 1)[0]);
      }
    }
    return out;
  }

  function generator(seed) {
    let state = seed >>> 0 || 1;
    return () => {
      state = Math.imul(state ^ state >>> 15, 0x2c1b3c6d) + 0x9e3779b9 >>> 0;
      return (state ^ state >>> 13) >>> 0;
    };
  }

  function shuffled(list, chance) {
    const out = list.slice();
    for (let at = out.length - 1; at > 0; at -= 1) {
      const other = chance() % (at + 1);
      const held = out[at];
      out[at] = out[other];
      out[other] = held;
    }
    return out;
  }

  function stable(list, order) {
    return list.map((item, at) => ({ item, at }))
      .sort((a, b) => order(a.item, b.item) || a.at - b.at)
      .map(held => held.item);
  }

  // A session over `keys`. The piles: `pile` is asked from the top, `again` lies at its bottom,
  // `aside` is known, `hand` is the card being asked. Together they always hold every key once.
  // `taken`: the pupil took these cards by hand, so they are asked even when nothing is due.
  function start(book, keys, minutes, now, taken) {
    const limit = minutesOf(book, { minutes }) * MINUTE;
    return {
      pile: keys.slice(), again: [], aside: [], hand: null, taken: Boolean(taken), over: false, paused: false,
      limit, used: 0, at: now, asked: 0, once: 0, later: 0, tried: [], last: null
    };
  }

  // The time since the last tick counts, unless the device slept or its clock was moved.
  function tick(session, now) {
    const gap = now - session.at;
    const counts = !session.paused && !session.over && gap > 0 && gap <= AWAY;
    return Object.assign({}, session, { at: now, used: session.used + (counts ? gap : 0) });
  }

  function pause(session, now, paused) {
    return Object.assign(tick(session, now), { paused });
  }

  function timeLeft(session) {
    return Math.max(0, session.limit - session.used);
  }

  // Takes the next card into the hand; or the session is over. New cards are left in the pack early
  // enough for the not-yet cards to come again before the time is up.
  function draw(session, book, records, today) {
    const swept = sweep(session, book, records, today);
    const key = timeLeft(swept) > 0 ? nextKey(swept, book, records, today) : null;
    if (key === null) return Object.assign(swept, { hand: null, over: true });
    const without = list => list.filter(other => other !== key);
    return Object.assign(swept, { hand: key, pile: without(swept.pile), again: without(swept.again) });
  }

  // What was settled meanwhile in another tab goes aside unasked.
  function sweep(session, book, records, today) {
    const asks = key => {
      const way = book.byKey.get(key);
      if (!way) return false;
      const state = stateOf(book, records, way, today);
      return session.taken || state === "new" || comesBack(state);
    };
    const gone = key => !asks(key);
    return Object.assign({}, session, {
      pile: session.pile.filter(asks),
      again: session.again.filter(asks),
      aside: session.aside.concat(session.pile.filter(gone), session.again.filter(gone))
    });
  }

  function nextKey(session, book, records, today) {
    const waiting = session.again.length;
    const short = timeLeft(session) < pace(session) * (waiting + 2);
    if (short && session.asked > 0) return waiting ? session.again[0] : null;
    const now = session.pile.find(key => {
      const way = book.byKey.get(key);
      return stateOf(book, records, way, today) !== "new" || ready(book, records, way.card);
    });
    if (now) return now;
    return waiting ? session.again[0] : session.pile.length ? session.pile[0] : null;
  }

  // Milliseconds a card takes this pupil, within reason.
  function pace(session) {
    if (!session.asked) return PACE.first;
    return Math.max(PACE.least, Math.min(PACE.most, session.used / session.asked));
  }

  // Puts the card in the hand on a pile: known goes aside, not yet goes to the bottom.
  function put(session, book, records, known, today) {
    const key = session.hand;
    const way = book.byKey.get(key);
    const old = recordOf(records, key);
    const tried = session.tried.indexOf(key) >= 0;
    const out = Object.assign({}, session, { hand: null, asked: session.asked + 1 });
    if (known) {
      out.aside = session.aside.concat(key);
      if (tried) out.later += 1; else out.once += 1;
    } else {
      out.again = session.again.concat(key);
      if (!tried) out.tried = session.tried.concat(key);
    }
    out.last = {
      key, known, record: old, pile: session.pile, again: session.again, aside: session.aside,
      tried: session.tried, once: session.once, later: session.later
    };
    return { session: out, key, record: answer(book, way.card, old, known, today) };
  }

  // Takes the last card back into the hand; `record` is what its record was before.
  function takeBack(session) {
    const last = session.last;
    if (!last) return null;
    const out = Object.assign({}, session, {
      hand: last.key, pile: last.pile, again: last.again, aside: last.aside, tried: last.tried,
      once: last.once, later: last.later, asked: session.asked - 1, over: false, last: null
    });
    return { session: out, key: last.key, record: last.record };
  }

  // The pupil stops here: the card in the hand goes back on top.
  function stop(session) {
    const pile = session.hand ? [session.hand].concat(session.pile) : session.pile;
    return Object.assign({}, session, { pile, hand: null, over: true });
  }

  function cardState(book, records, card, today) {
    const ways = [book.byKey.get(card.id), book.byKey.get(card.id + ":back")].filter(Boolean);
    const states = ways.map(way => stateOf(book, records, way, today));
    const any = name => states.indexOf(name) >= 0;
    const record = recordOf(records, card.id);
    const dues = ways.map((way, at) => states[at] === "waiting" ? dueDay(book, recordOf(records, way.key)) : "").filter(Boolean).sort();
    let state = states[0];
    ["due", "not-yet", "corrected"].forEach(name => { if (any(name)) state = name; });
    if (state === "away" && states.some(name => name !== "away")) state = any("waiting") ? "waiting" : "due";
    return {
      state,
      checks: state === "away" ? book.days.length : record && record.right ? record.checks.length : 0,
      due: state === "waiting" ? dues[0] || "" : "",
      // The answer side joins in once the question side is known.
      joins: states[1] === "new" && state !== "new"
    };
  }

  // How things stand: each topic's cards with their states, what comes back today and on later days.
  function overview(book, records, today) {
    const coming = new Map();
    const topics = book.pack.topics.map(topic => {
      const counts = { "new": 0, "not-yet": 0, corrected: 0, due: 0, waiting: 0, away: 0 };
      const cards = book.pack.cards.filter(card => card.deck === topic.deck).map(card => {
        const held = cardState(book, records, card, today);
        counts[held.state] += 1;
        if (held.due) coming.set(held.due, (coming.get(held.due) || 0) + 1);
        return Object.assign({ card }, held);
      });
      const back = counts["not-yet"] + counts.corrected + counts.due;
      return { deck: topic.deck, topic: topic.topic, cards, counts, back, known: counts.due + counts.waiting + counts.away };
    });
    const days = Array.from(coming.keys()).sort();
    return {
      topics,
      back: sum(topics.map(topic => topic.back)),
      fresh: sum(topics.map(topic => topic.counts["new"])),
      coming: days.map(day => ({ day, cards: coming.get(day) })),
      corrected: book.pack.cards.filter(card => cardState(book, records, card, today).state === "corrected")
    };
  }

  function sum(numbers) {
    return numbers.reduce((total, number) => total + number, 0);
  }

  // How hard a way is: times missed, less two for every check passed since.
  function hardness(record) {
    return record && !record.left ? record.missed.length - 2 * record.checks.length : 0;
  }

  // The cards that were missed most, the hardest first.
  function hardest(book, records) {
    const found = book.list.map(way => ({ way, hard: hardness(recordOf(records, way.key)) })).filter(held => held.hard >= 2);
    const sorted = stable(found, (a, b) => b.hard - a.hard);
    return sorted.slice(0, HARDEST).map(held => held.way);
  }

  // The ways that left the pack.
  function away(book, records, today) {
    return book.list.filter(way => stateOf(book, records, way, today) === "away");
  }

  return {
    BREAK_MINUTES, addDays, open, recordOf, withRecord,
    dueDay, stateOf, ready, answer, bringBack, plan, start,
    tick, pause, timeLeft, draw, put, takeBack, stop,
    cardState, overview, hardest, away, newer
  };
})();
if (typeof module === "object" && module.exports) module.exports = Session;
