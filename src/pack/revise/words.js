// The sentences of the page, out of numbers and days.
const Words = (() => {
  "use strict";

  const WEEKDAYS = "Sunday Monday Tuesday Wednesday Thursday Friday Saturday".split(" ");
  const MONTHS = "January February March April May June July August September October November December".split(" ");

  function utc(day) { return new Date(Date.UTC(+day.slice(0, 4), +day.slice(5, 7) - 1, +day.slice(8, 10))); }

  // "Wednesday 25 November"
  function date(day) {
    const then = utc(day);
    return WEEKDAYS[then.getUTCDay()] + " " + then.getUTCDate() + " " + MONTHS[then.getUTCMonth()];
  }

  // "today", "tomorrow", "on Friday 27 November"
  function when(day, today) {
    const ahead = Math.round((utc(day) - utc(today)) / 86400000);
    return ahead === 0 ? "today" : ahead === 1 ? "tomorrow" : "on " + date(day);
  }

  function count(number, one, many) {
    return number + " " + (number === 1 ? one : many || one + "s");
  }

  function cards(number) { return count(number, "card"); }
  function sentence(text) { return text.charAt(0).toUpperCase() + text.slice(1); }

  function list(items) {
    return items.length < 2 ? items.join("") : items.slice(0, -1).join(", ") + " and " + items[items.length - 1];
  }

  function comesBack(number, one, many) { return cards(number) + " " + (number === 1 ? one : many); }

  // What is to come back today, said plainly.
  function today(view, day) {
    if (view.back) {
      const topics = view.topics.filter(topic => topic.back);
      const where = topics.length > 1 ? ": " + list(topics.map(topic => topic.back + " from " + topic.topic))
        : " from " + topics[0].topic;
      return comesBack(view.back, "comes", "come") + " back today" + (view.topics.length > 1 ? where : "") + ".";
    }
    const next = view.coming[0];
    return next ? "Nothing comes back today. Next: " + cards(next.cards) + " " + when(next.day, day) + "."
      : "Nothing comes back today.";
  }

  function fresh(number) {
    return number ? comesBack(number, "is", "are") + " new to you." : "No card is new to you any more.";
  }

  // What a session will hold.
  function pile(plan) {
    const parts = [];
    if (plan.back) parts.push(plan.back + " that " + (plan.back === 1 ? "comes" : "come") + " back");
    if (plan.fresh) parts.push(plan.fresh + " new");
    if (!parts.length) return "There is nothing to ask in these topics today.";
    return "Your pile: " + list(parts) + "." + (plan.more ? " " + sentence(cards(plan.more)) + " will wait for another session." : "");
  }

  function minutesLeft(milliseconds) {
    const minutes = Math.ceil(milliseconds / 60000);
    return minutes > 1 ? minutes + " minutes left" : minutes === 1 ? "The last minute" : "Time is up";
  }

  // How the session went.
  function summary(session) {
    const parts = [];
    if (session.once) parts.push(session.once + " known at once");
    if (session.later) parts.push(session.later + " known after another try");
    if (session.again.length) parts.push(session.again.length + " not yet known");
    return parts.length ? sentence(list(parts)) + "." : "No card was asked.";
  }

  // One card's standing, in words; `days` are the days of the checks.
  function standing(held, days) {
    switch (held.state) {
      case "new": return "new";
      case "not-yet": return "not yet known";
      case "corrected": return "answer corrected: look again";
      case "away": return "left the pack";
      default: return held.checks ? "known, also after " + count(days[held.checks - 1], "day") : "known";
    }
  }

  function topicLine(topic) {
    const counts = topic.counts;
    const parts = [topic.known + " of " + topic.cards.length + " known"];
    if (counts.away) parts.push(counts.away + " of them left the pack");
    if (counts["not-yet"]) parts.push(counts["not-yet"] + " not yet");
    if (counts.corrected) parts.push(counts.corrected + " corrected");
    if (counts["new"]) parts.push(counts["new"] + " new");
    return parts.join(", ") + ".";
  }

  // What lies on the pile of the hardest cards.
  function hardest(number) {
    return number === 1 ? "This card was “not yet” most often. It stays here until you have known it at later checks."
      : "These " + cards(number) + " were “not yet” most often, the hardest first. They stay here until you have known them at later checks.";
  }

  function edition(value) {
    return typeof value === "number" ? "Edition " + value : "Preview, not released";
  }

  return {
    date, when, count, cards, list, today, fresh, pile,
    minutesLeft, summary, standing, topicLine, hardest, edition
  };
})();
if (typeof module === "object" && module.exports) module.exports = Words;
