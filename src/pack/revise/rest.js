// After a session: how it went, a short break, what comes back when.
const Rest = (() => {
  "use strict";

  const make = Dom.make;

  function show(app) {
    const view = Session.overview(app.book, app.records(), app.today());
    return {
      title: "Break",
      nodes: [
        make("h2", { id: "view", tabindex: "-1", text: "Time for a break" }),
        make("p", { class: "lead", text: Words.summary(app.session) }),
        make("p", { class: "notice", id: "break", text: breakLine(app) }),
        make("p", { text: "Stand up, look out of a window, drink some water. What you have just learnt settles while you do something else." }),
        gone(app),
        again(app),
        next(app, view),
        make("p", { class: "row" }, [
          Dom.button("Back to today", () => { app.closeSession(); }, "main"),
          app.session.last ? Dom.button("Take the last card back", app.takeBack) : null
        ])
      ]
    };
  }

  function breakLine(app) {
    const left = app.session.rest - app.now();
    return left > 0 ? "Break: " + Words.minutesLeft(left).toLowerCase() + "." : "The break is over. Begin again whenever you like.";
  }

  function again(app) {
    const session = app.session;
    const keys = session.again.concat(session.pile);
    if (!session.again.length) return keys.length ? make("p", { text: Words.cards(keys.length) + " of the pile were not asked; they wait for you." }) : null;
    return make("section", { "aria-labelledby": "again-head" }, [
      make("h3", { id: "again-head", text: "First next time" }),
      make("ul", {}, session.again.map(key => {
        const card = app.book.byKey.get(key).card;
        return make("li", {}, ["Card " + card.number + ": ", Dom.written("span", {}, card.questions[0])]);
      }))
    ]);
  }

  function gone(app) {
    const day = app.today();
    const ways = Session.away(app.book, app.records(), day).filter(way => app.session.aside.indexOf(way.key) >= 0 && app.records()[way.key].left === day);
    return ways.length ? make("p", { text: Words.cards(ways.length) + " left the pack: you knew " + (ways.length === 1 ? "it" : "them") + " at every check." }) : null;
  }

  function next(app, view) {
    if (!view.coming.length) return null;
    const first = view.coming[0];
    return make("p", { text: "Next check: " + Words.cards(first.cards) + " " + Words.when(first.day, app.today()) + "." });
  }

  function renewClock(app) {
    const line = document.getElementById("break");
    const text = breakLine(app);
    if (!line || line.textContent === text) return;
    line.textContent = text;
    if (app.session.rest <= app.now()) app.say(text);
  }

  return { show, renewClock };
})();
