// A session: one card at a time under its covering paper, the two piles, the clock.
const Asking = (() => {
  "use strict";

  const make = Dom.make;

  function show(app) {
    const session = app.session;
    return { title: session.paused ? "Paused" : "Session", nodes: [timer(app)].concat(session.paused ? [pausedNote(app)] : desk(app)) };
  }

  function desk(app) {
    const way = app.book.byKey.get(app.session.hand);
    return [sheet(app, way), piles(app)];
  }

  function timer(app) {
    const session = app.session;
    return make("div", { class: "timer", role: "group", "aria-label": "Clock" }, [
      ruler(session),
      make("p", { class: "time", id: "time", text: Words.minutesLeft(Session.timeLeft(session)) }),
      Dom.button(session.paused ? "Go on" : "Pause", () => { app.pause(!session.paused); }, session.paused ? "main" : "plain"),
      Dom.button("Stop here", app.stop)
    ]);
  }

  // A ruler with a stroke a minute; the minutes that are gone are faint.
  function ruler(session) {
    const minutes = Math.round(session.limit / 60000);
    const gone = session.used / 60000;
    const strokes = [];
    for (let at = 0; at <= minutes; at += 1) {
      const tall = at % 5 === 0;
      strokes.push(Dom.svg("rect", {
        x: 1 + at * 198 / minutes - 0.5, y: tall ? 1 : 5, width: 1, height: tall ? 10 : 6, class: at < gone ? "gone" : "stroke"
      }));
    }
    strokes.push(Dom.svg("rect", { x: 1, y: 10, width: 198, height: 1, class: "gone" }));
    strokes.push(Dom.svg("rect", { x: 1 + Math.min(198, gone * 198 / minutes), y: 9, width: Math.max(0, 198 - gone * 198 / minutes), height: 2, class: "stroke" }));
    return Dom.svg("svg", { class: "ruler", id: "ruler", viewBox: "0 0 200 12", preserveAspectRatio: "none", "aria-hidden": "true", focusable: "false" }, strokes);
  }

  function pausedNote(app) {
    return make("section", { class: "sheet", "aria-labelledby": "view" }, [
      make("h2", { id: "view", tabindex: "-1", text: "Paused" }),
      make("p", { text: "The clock stands still. Your card waits under this sheet." })
    ]);
  }

  function sheet(app, way) {
    return make("article", { class: "sheet topic-" + app.book.topics.indexOf(way.card.deck), "aria-labelledby": "asked-head" }, [
      asked(app, way),
      app.looked ? answered(app, way) : cover(app, way)
    ]);
  }

  function asked(app, way) {
    const card = way.card;
    const topic = app.book.pack.topics[app.book.topics.indexOf(card.deck)];
    return make("div", {
      class: "asked", id: "asked", role: "group", tabindex: "-1", "aria-labelledby": "asked-head asked-text",
      on: { keydown: event => { lookByKey(app, event); } }
    }, [
      make("h2", { class: "cardline", id: "asked-head" }, [
        make("span", { class: "band", dir: "auto", text: topic.topic }),
        make("span", { class: "number", text: "Card " + card.number }),
        card.extension ? make("span", { class: "tier", text: "extension" }) : null
      ]),
      note(app, way),
      card.caution ? make("p", { class: "caution" }, [make("strong", { text: "Caution: " }), Dom.written("span", {}, card.caution)]) : null,
      first(app, way.card),
      way.back ? make("p", { class: "kind", text: "Here is the answer. What was the question?" }) : null,
      make("div", { id: "asked-text" }, front(way)),
      pictures(card, way.back)
    ]);
  }

  // What the card needs and the pupil does not know yet.
  function first(app, card) {
    const needs = card.needs.filter(id => app.book.cards.has(id) && !(Session.recordOf(app.records(), id) || {}).right);
    const numbers = needs.map(id => "card " + app.book.cards.get(id).number);
    return numbers.length ? make("p", { class: "hint", text: "Easier once you know " + Words.list(numbers) + "." }) : null;
  }

  function lookByKey(app, event) {
    if (event.target.id !== "asked" || app.looked || (event.key !== "Enter" && event.key !== " ")) return;
    event.preventDefault();
    app.look();
  }

  function note(app, way) {
    const record = Session.recordOf(app.records(), way.key);
    const changed = record && Session.stateOf(app.book, app.records(), way, app.today()) === "corrected";
    return changed ? make("p", { class: "notice", text: "The answer on this card was corrected in edition " + way.card.corrected + ". Learn it as it stands now." }) : null;
  }

  function front(way) {
    if (way.back) return answerOf(way.card.questions[0], "question");
    const questions = way.card.questions;
    if (questions.length === 1) return [Dom.written("p", { class: "question" }, questions[0]), points(questions[0])];
    return [make("ol", { class: "several" }, questions.map(question => make("li", {}, [Dom.written("p", { class: "question" }, question), points(question)])))];
  }

  function points(question) {
    if (question.answer.length < 2) return null;
    return make("p", { class: "hint", text: question.answer.length + " points" + (question.ordered ? ", in order" : ", in any order") });
  }

  function answerOf(question, kind) {
    if (question.answer.length === 1) return [Dom.written("p", { class: kind }, question.answer[0])];
    return [make(question.ordered ? "ol" : "ul", { class: kind + " points" }, question.answer.map(point => Dom.written("li", {}, point)))];
  }

  function pictures(card, answerSide) {
    const shown = card.pictures.filter(given => given.on_answer === answerSide).map(Dom.picture);
    return shown.length ? make("div", { class: "pictures" }, shown) : null;
  }

  // The covering paper that lies on the answer until the pupil has said or written it.
  function cover(app, way) {
    const typing = app.choice().typing;
    const look = make("button", { type: "submit", class: "main", text: "Look" });
    const fields = typing ? typedFields(way, app.typed) : [];
    const form = make("form", {
      class: "cover", autocomplete: "off",
      on: { submit: event => { event.preventDefault(); app.typed = readTyped(form); app.look(); } }
    }, fields.concat([
      make("p", { text: typing ? "Type your answer, then look under the paper." : "Say your answer, or write it down. Then look under the paper." }),
      make("p", { class: "row" }, [look, aloudButton(spoken(way, false))])
    ]));
    return form;
  }

  function typedFields(way, typed) {
    const questions = way.back ? [way.card.questions[0]] : way.card.questions;
    return questions.map((question, at) => {
      const several = !way.back && question.answer.length > 1;
      const label = questions.length > 1 ? "Your answer to " + (at + 1) : way.back ? "The question, or its term" : "Your answer";
      return make("label", { class: "typed" }, [
        make("span", { text: label + (several ? ", one point a line" : "") }),
        make(several ? "textarea" : "input", Object.assign({
          name: "typed", dir: "auto", autocapitalize: "off", autocomplete: "off", spellcheck: "false", value: typed[at] || ""
        }, several ? { rows: String(question.answer.length) } : { type: "text" }))
      ]);
    });
  }

  function readTyped(form) {
    return Array.prototype.map.call(form.querySelectorAll("[name=typed]"), field => field.value);
  }

  function answered(app, way) {
    const card = way.card;
    return make("div", { class: "answered", id: "answered", role: "group", tabindex: "-1", "aria-labelledby": "answer-head answer-text" }, [
      make("h3", { id: "answer-head", text: way.back ? "Question" : card.questions.length > 1 ? "Answers" : "Answer" }),
      make("div", { id: "answer-text" }, revealed(app, way)),
      pictures(card, !way.back),
      seeAlso(app, card),
      make("p", { class: "row" }, [aloudButton(spoken(way, true))])
    ]);
  }

  function revealed(app, way) {
    if (way.back) {
      const question = way.card.questions[0];
      return [Dom.written("p", { class: "answer" }, question), verdict(app, 0, typed => Marking.markQuestion(question, typed))];
    }
    const each = way.card.questions.map((question, at) => answerOf(question, "answer").concat(verdict(app, at, typed => Marking.mark(question, typed))));
    return each.length === 1 ? each[0] : [make("ol", { class: "several" }, each.map(nodes => make("li", {}, nodes)))];
  }

  // What was typed, beside the answer; the pupil stays the judge.
  function verdict(app, at, mark) {
    const typed = (app.typed[at] || "").trim();
    if (!typed) return null;
    const marked = mark(typed);
    const given = marked.found.filter(Boolean).length;
    const told = marked.right ? "It agrees with the card."
      : given ? given + " of " + Words.count(marked.found.length, "point") + " found. Compare the rest yourself."
        : "It is not worded like the card. Compare them and decide.";
    return make("p", { class: "verdict" }, ["You wrote “", make("bdi", { text: typed.replace(/\s*\n\s*/g, "; ") }), "”. ", make("strong", { text: told })]);
  }

  function seeAlso(app, card) {
    const cards = card.see.map(id => app.book.cards.get(id)).filter(Boolean);
    if (!cards.length) return null;
    return make("p", { class: "hint" }, ["Connected: "].concat(cards.map((other, at) => make("span", {}, [at ? "; " : "", "card " + other.number + ", ", Dom.written("span", {}, other.questions[0])]))));
  }

  function spoken(way, answerSide) {
    const questions = way.back ? [way.card.questions[0]] : way.card.questions;
    const answers = questions.map(question => question.answer.map(textOf).join(", "));
    return (answerSide === way.back ? questions.map(textOf) : answers).join(". ");
  }

  function textOf(item) { return item.text; }

  function aloudButton(text) {
    return Aloud.can() ? Dom.button("Read aloud", () => { Aloud.read(text); }) : null;
  }

  function piles(app) {
    const session = app.session;
    return make("section", { class: "piles", "aria-label": "Piles" }, [
      app.looked ? make("div", { class: "choices" }, [
        pileButton("Not yet", "to the bottom", () => { app.put(false); }, "←"),
        pileButton("Known", "put aside", () => { app.put(true); }, "→")
      ]) : null,
      make("ul", { class: "heaps" }, [
        heap(session.pile.length + (session.hand ? 1 : 0), "to ask"),
        heap(session.again.length, "not yet"),
        heap(session.aside.length, "known")
      ]),
      session.last ? make("p", {}, [Dom.button("Take the last card back", app.takeBack)]) : null
    ]);
  }

  function pileButton(name, does, press, key) {
    return make("button", { type: "button", class: "pile", on: { click: press } }, [
      make("strong", { text: name }),
      make("span", { text: does }),
      make("kbd", { "aria-hidden": "true", text: key })
    ]);
  }

  // A pile seen from the side: a line for each of its cards, up to twelve.
  function heap(number, name) {
    const lines = [];
    for (let at = 0; at < Math.min(12, number); at += 1) {
      lines.push(Dom.svg("rect", { x: 1 + (at * 7 % 3), y: 35 - at * 3, width: 43, height: 1.5, class: "stroke" }));
    }
    return make("li", {}, [
      Dom.svg("svg", { viewBox: "0 0 48 38", class: "heap", "aria-hidden": "true", focusable: "false" }, lines),
      make("span", {}, [make("b", { text: String(number) }), " " + name])
    ]);
  }

  // Renews the clock without touching the rest of the page.
  function renewClock(app) {
    const time = document.getElementById("time");
    const old = document.getElementById("ruler");
    if (!time || !old) return;
    const text = Words.minutesLeft(Session.timeLeft(app.session));
    if (time.textContent !== text) time.textContent = text;
    old.parentNode.replaceChild(ruler(app.session), old);
  }

  return { show, renewClock };
})();
