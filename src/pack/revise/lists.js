// What is known by topic, the hardest cards, the cards that left the pack.
const Lists = (() => {
  "use strict";

  const make = Dom.make;
  const ACROSS = 12;
  const STEP = 18;

  function heading(text) {
    return make("h2", { id: "view", tabindex: "-1", text });
  }

  function known(app) {
    const view = Session.overview(app.book, app.records(), app.today());
    const days = app.book.days;
    return {
      title: "What you know",
      nodes: [
        heading("What you know"),
        make("p", { text: "Each square is a card, in the order of the pack. It fills up from below: a little when you first know the card, more after each check, and to the top when the card leaves the pack. A stroke across means not yet." })
      ].concat(view.topics.map((topic, at) => topicSection(app, topic, at, days)))
    };
  }

  function topicSection(app, topic, at, days) {
    return make("section", { class: "known topic-" + at, "aria-labelledby": "topic-" + at }, [
      make("h3", { id: "topic-" + at, class: "band", dir: "auto", text: topic.topic }),
      make("p", { text: Words.topicLine(topic) }),
      grid(topic, days.length),
      make("details", {}, [
        make("summary", { text: "Card by card" }),
        make("ul", { class: "standing" }, topic.cards.map(held => {
          const due = held.due ? ", comes back " + Words.when(held.due, app.today()) : "";
          return make("li", {}, [held.card.number + ". ", Dom.written("span", {}, held.card.questions[0]), make("span", { class: "hint", text: " – " + Words.standing(held, days) + due })]);
        }))
      ])
    ]);
  }

  function grid(topic, checks) {
    const cells = [];
    topic.cards.forEach((held, at) => {
      const x = 1 + at % ACROSS * STEP, y = 1 + Math.floor(at / ACROSS) * STEP;
      const size = STEP - 3;
      const full = held.state === "new" || held.state === "not-yet" || held.state === "corrected" ? 0 : (held.checks + 1) / (checks + 1);
      cells.push(Dom.svg("rect", { x, y, width: size, height: size, class: "cell" }));
      if (full) cells.push(Dom.svg("rect", { x, y: y + size * (1 - full), width: size, height: size * full, class: "ink" }));
      if (held.state === "not-yet" || held.state === "corrected") {
        cells.push(Dom.svg("path", { d: "M" + x + " " + (y + size) + "l" + size + " -" + size, class: "slash" }));
      }
    });
    const rows = Math.ceil(topic.cards.length / ACROSS);
    return Dom.svg("svg", {
      class: "grid", viewBox: "0 0 " + ACROSS * STEP + " " + (rows * STEP), role: "img", "aria-label": topic.topic + ": " + Words.topicLine(topic)
    }, cells);
  }

  function hardest(app) {
    const ways = Session.hardest(app.book, app.records());
    const nodes = [heading("Hardest cards")];
    if (!ways.length) {
      nodes.push(make("p", { text: "No card has been hard for you yet. Cards that you put on “not yet” twice or more will lie here." }));
      return { title: "Hardest cards", nodes };
    }
    nodes.push(make("p", { text: Words.hardest(ways.length) }));
    nodes.push(make("p", { class: "row noprint" }, [
      Dom.button("Ask this pile now", () => { app.begin(ways.map(way => way.key), true); }, "main"),
      Dom.button("Print this pile", () => { window.print(); })
    ]));
    nodes.push(make("p", { class: "onlyprint", text: "Cut along the lines, fold each strip in the middle: question on one side, answer on the other." }));
    nodes.push(make("ul", { class: "strips" }, ways.map(way => strip(app, way, null))));
    return { title: "Hardest cards", nodes };
  }

  function away(app) {
    const ways = Session.away(app.book, app.records(), app.today());
    const nodes = [heading("Cards that left the pack")];
    const days = app.book.days;
    nodes.push(make("p", {
      text: "A card leaves the pack when you knew it at once at every check, " + Words.list(days.map(String)) + " days after you first knew it. " +
        (ways.length ? "Take one back and it is asked again from the start." : "None has left yet.")
    }));
    if (ways.length) {
      nodes.push(make("ul", { class: "strips" }, ways.map(way => strip(app, way, Dom.button("Take back", () => { app.bringBack(way); })))));
    }
    return { title: "Cards that left the pack", nodes };
  }

  function strip(app, way, action) {
    const card = way.card;
    const questions = way.back ? [card.questions[0]] : card.questions;
    const topic = app.book.pack.topics[app.book.topics.indexOf(card.deck)].topic;
    const label = make("p", { class: "hint" }, [make("bdi", { text: topic }), ", card " + card.number + (way.back ? ", answer side first" : "")]);
    const question = make("div", { class: "strip-question" }, questions.map(one => Dom.written("p", {}, one)));
    const answer = make("div", { class: "strip-answer" }, questions.map(one => make("p", {}, one.answer.map((point, at) => make("span", {}, [at ? "; " : "", Dom.written("span", {}, point)])))));
    const sides = way.back ? [answer, question] : [question, answer];
    sides[0].insertBefore(label, sides[0].firstChild);
    if (card.caution) sides[0].appendChild(make("p", { class: "caution" }, [make("strong", { text: "Caution: " }), Dom.written("span", {}, card.caution)]));
    card.pictures.forEach(given => {
      const drawn = Dom.picture(given);
      if (drawn) (given.on_answer ? answer : question).appendChild(drawn);
    });
    return make("li", { class: "strip topic-" + app.book.topics.indexOf(card.deck) }, sides.concat(action ? make("p", { class: "row" }, [action]) : []));
  }

  return { known, hardest, away };
})();
