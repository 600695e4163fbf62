// The first page: what comes back today, and a session to begin.
const Today = (() => {
  "use strict";

  const make = Dom.make;

  function show(app) {
    const view = Session.overview(app.book, app.records(), app.today());
    return {
      title: "Today",
      nodes: [
        make("h2", { id: "view", tabindex: "-1", text: "Today" }),
        make("p", { class: "date", text: Words.date(app.today()) }),
        trouble(app),
        make("p", { class: "lead", text: Words.today(view, app.today()) }),
        make("p", { text: Words.fresh(view.fresh) }),
        corrections(view),
        resume(app),
        chooser(app, view),
        coming(app, view)
      ]
    };
  }

  const TROUBLES = {
    refused: "This browser keeps nothing for this page. What you do is remembered only until you close it: save it as a file under “Your record” before you go.",
    damaged: "What was kept here could not be read. A copy was set aside and this page starts afresh; a saved file can be brought in under “Your record”.",
    newer: "Your record was written by a newer edition of this page. It is left as it is, and nothing you do here is kept. Open the newest pack."
  };

  function trouble(app) {
    const problem = app.store.problem();
    return problem ? make("p", { class: "notice", text: TROUBLES[problem] }) : null;
  }

  function corrections(view) {
    if (!view.corrected.length) return null;
    return make("section", { class: "notice", "aria-labelledby": "corrected-head" }, [
      make("h3", { id: "corrected-head", text: "Corrected since you last looked" }),
      make("p", { text: "These answers have changed. Their cards come back, even if they had left the pack." }),
      make("ul", {}, view.corrected.map(card => make("li", {}, ["Card " + card.number + ": ", Dom.written("span", {}, card.questions[0])])))
    ]);
  }

  function resume(app) {
    if (!app.session || app.session.over) return null;
    const left = app.session.pile.length + app.session.again.length + (app.session.hand ? 1 : 0);
    return make("p", { class: "notice" }, [
      "A session is open, with " + Words.cards(left) + " in its pile. ",
      Dom.button("Go on with it", () => { app.go("ask"); })
    ]);
  }

  function chooser(app, view) {
    const choice = app.choice();
    const pileLine = make("p", { class: "pile-line", role: "status" });
    const begin = make("button", { type: "submit", class: "main", text: "Begin" });
    const renew = () => {
      const planned = app.plan();
      pileLine.textContent = app.choice().topics.length ? Words.pile(planned) : "Choose a topic first.";
      begin.disabled = planned.pile.length === 0;
    };
    const changed = () => {
      app.store.setOptions(read(form, app));
      renew();
    };
    const form = make("form", {
      class: "chooser",
      on: { change: changed, submit: event => { event.preventDefault(); app.begin(app.plan().pile, false); } }
    }, [
      topicsField(view, choice),
      pileLine,
      make("p", {}, [begin]),
      make("details", { class: "ways" }, [
        make("summary", { text: "Order, length and ways of working" }),
        orderField(choice, view.topics.length),
        lengthField(app, choice),
        make("fieldset", {}, [
          make("legend", { text: "Ways of working" }),
          check("typing", choice.typing, "Type the answers, and have them compared"),
          hasExtension(app) ? check("extension", choice.extension, "Include the extension cards") : null
        ])
      ])
    ]);
    renew();
    return form;
  }

  function hasExtension(app) {
    return app.book.pack.cards.some(card => card.extension);
  }

  function topicsField(view, choice) {
    return make("fieldset", { class: "topics" }, [make("legend", { text: "Topics" })].concat(view.topics.map((topic, at) => make("label", { class: "topic topic-" + at }, [
        make("input", { type: "checkbox", name: "topic", value: topic.deck, checked: choice.topics.indexOf(topic.deck) >= 0 }),
        make("span", { class: "band", dir: "auto", text: topic.topic }),
        make("span", { class: "amount", text: amounts(topic) })
      ]))));
  }

  function amounts(topic) {
    const parts = [];
    if (topic.back) parts.push(topic.back + " back today");
    if (topic.counts["new"]) parts.push(topic.counts["new"] + " new");
    return parts.length ? parts.join(", ") : "nothing today";
  }

  function orderField(choice, topics) {
    if (topics < 2) return null;
    return make("fieldset", {}, [
      make("legend", { text: "Order" }),
      radio("order", "topic", !choice.mixed, "One topic after another"),
      radio("order", "mixed", choice.mixed, "Topics mixed")
    ]);
  }

  function lengthField(app, choice) {
    const lengths = [5, 10, 15, 20].filter(minutes => minutes < app.book.longest).concat(app.book.longest);
    return make("fieldset", { class: "lengths" }, [make("legend", { text: "How long" })].concat(lengths.map(minutes => radio("minutes", String(minutes), choice.minutes === minutes, minutes + " minutes"))));
  }

  function radio(name, value, checked, text) {
    return make("label", {}, [make("input", { type: "radio", name, value, checked }), make("span", { text })]);
  }

  function check(name, checked, text) {
    return make("label", {}, [make("input", { type: "checkbox", name, checked }), make("span", { text })]);
  }

  function read(form, app) {
    const chosen = name => form.querySelector("[name=" + name + "]:checked");
    const topics = Array.prototype.map.call(form.querySelectorAll("[name=topic]:checked"), box => box.value);
    const order = chosen("order");
    return {
      topics,
      mixed: Boolean(order) && order.value === "mixed",
      minutes: Number((chosen("minutes") || {}).value) || app.book.longest,
      typing: Boolean(chosen("typing")),
      extension: hasExtension(app) ? Boolean(chosen("extension")) : true
    };
  }

  function coming(app, view) {
    if (!view.coming.length) return null;
    return make("section", { class: "coming", "aria-labelledby": "coming-head" }, [
      make("h3", { id: "coming-head", text: "Later" }),
      make("ul", {}, view.coming.slice(0, 5).map(held => make("li", { text: Words.cards(held.cards) + " " + Words.when(held.day, app.today()) })))
    ]);
  }

  return { show };
})();
