// Puts the page together: which view is shown, the session of this tab, the clock.
(() => {
  "use strict";

  const make = Dom.make;
  const VIEWS = [
    ["today", "Today", Today.show], ["known", "What you know", Lists.known], ["hardest", "Hardest cards", Lists.hardest],
    ["left", "Left the pack", Lists.away], ["record", "Your record", Record.show], ["help", "How to use", Help.show]
  ];
  const TICK = 5000;
  const WARNED = 5 * 60000;

  const book = Session.open(Pack.read(document.getElementById("pack").textContent));
  const store = Store.open(book.pack.pack, () => window.localStorage);
  const main = document.getElementById("main");
  const said = document.getElementById("said");
  const sessionPlace = "deckle/" + book.pack.pack + "/session";

  const app = {
    book, store, session: readSession(), looked: false, typed: [],
    records: () => store.read().records,
    now: () => Date.now(),
    today, choice, plan, say, go, begin, look, put, pause,
    stop, takeBack, bringBack, closeSession, erase
  };

  function today() {
    const now = new Date();
    const two = number => (number < 10 ? "0" : "") + number;
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }

  function choice() {
    const options = store.read().options;
    const topics = Array.isArray(options.topics) ? book.topics.filter(deck => options.topics.indexOf(deck) >= 0) : book.topics;
    return {
      topics, mixed: options.mixed === true, typing: options.typing === true, extension: options.extension !== false,
      minutes: options.minutes > 0 && options.minutes <= book.longest ? options.minutes : book.longest
    };
  }

  function plan() {
    const day = today();
    return Session.plan(book, app.records(), choice(), day, Number(day.replace(/-/g, "")));
  }

  // The session lives with its tab, so that two tabs can each have one.
  function readSession() {
    try { return sound(Store.sessionFrom(window.sessionStorage.getItem(sessionPlace) || "null")); } catch (error) { return null; }
  }

  function sound(session) {
    if (!session || (session.hand === null && !session.over)) return null;
    const keys = session.pile.concat(session.again, session.aside, session.hand || []);
    const known = keys.every(key => book.byKey.has(key));
    return known ? Object.assign(session, { at: Date.now() }) : null;
  }

  function setSession(session) {
    app.session = session;
    try {
      if (session) window.sessionStorage.setItem(sessionPlace, JSON.stringify(session));
      else window.sessionStorage.removeItem(sessionPlace);
    } catch (error) {
      // Refused: it stays in memory.
    }
  }

  function say(text) {
    said.textContent = "";
    setTimeout(() => { said.textContent = text; }, 60);
  }

  function begin(keys, taken) {
    drawNext(Session.start(book, keys, choice().minutes, app.now(), taken));
    go("ask");
  }

  function drawNext(session) {
    const drawn = Session.draw(Session.tick(session, app.now()), book, app.records(), today());
    app.looked = false;
    app.typed = [];
    setSession(drawn.over ? Object.assign({}, drawn, { rest: app.now() + Session.BREAK_MINUTES * 60000 }) : drawn);
  }

  function look() {
    app.looked = true;
    Aloud.hush();
    render("answered");
  }

  function put(known) {
    const done = Session.put(Session.tick(app.session, app.now()), book, app.records(), known, today());
    store.setRecord(done.key, done.record);
    Aloud.hush();
    drawNext(done.session);
    const left = app.session.pile.length + app.session.again.length + (app.session.hand ? 1 : 0);
    say(app.session.over ? "" : (known ? "Known, put aside. " : "Not yet, to the bottom. ") + Words.cards(left) + " left.");
    render(app.session.over ? "view" : "asked");
  }

  function takeBack() {
    const back = Session.takeBack(Session.tick(app.session, app.now()));
    if (!back) return;
    store.setRecord(back.key, back.record);
    setSession(Object.assign(back.session, { paused: false }));
    app.looked = false;
    app.typed = [];
    say("The last card is back.");
    render("asked");
  }

  function pause(paused) {
    const fields = main.querySelectorAll("[name=typed]");
    if (fields.length) app.typed = Array.prototype.map.call(fields, field => field.value);
    setSession(Session.pause(app.session, app.now(), paused));
    Aloud.hush();
    render(paused ? "view" : app.looked ? "answered" : "asked");
  }

  function stop() {
    const stopped = Session.stop(Session.tick(app.session, app.now()));
    setSession(Object.assign(stopped, { rest: app.now() + Session.BREAK_MINUTES * 60000 }));
    Aloud.hush();
    render("view");
  }

  function closeSession() {
    setSession(null);
    go("today");
  }

  function bringBack(way) {
    store.setRecord(way.key, Session.bringBack(Session.recordOf(app.records(), way.key)));
    say("Card " + way.card.number + " is back in the pack.");
    render("view");
  }

  function erase() {
    store.erase();
    setSession(null);
    say("Your record was erased.");
    go("today");
  }

  function viewName() {
    const name = window.location.hash.slice(1);
    if (name === "ask") return app.session ? "ask" : "today";
    return VIEWS.some(view => view[0] === name) ? name : "today";
  }

  // The view is drawn at once, not when the browser comes to tell of the new address.
  let drawn = "";
  function go(name) {
    drawn = "#" + name;
    window.location.hash = name;
    render("view");
  }

  function current() {
    const name = viewName();
    if (name === "ask") return app.session.over ? Rest.show(app) : Asking.show(app);
    return VIEWS.filter(view => view[0] === name)[0][2](app);
  }

  // Draws the view and puts the focus on the element `focus`, or leaves it where it is.
  function render(focus) {
    const name = viewName();
    const view = current();
    Dom.clear(main);
    view.nodes.forEach(node => { if (node) main.appendChild(node); });
    document.title = view.title + " – " + title();
    document.documentElement.className = name === "ask" && !app.session.over ? "asking" : "";
    renewContents(name);
    if (!focus) return;
    const found = document.getElementById(focus) || document.getElementById("view") || document.getElementById("asked");
    const target = found && found.id === "asked" ? main.querySelector("[name=typed]") || found : found;
    if (target) target.focus({ preventScroll: focus !== "answered" });
    if (focus !== "answered") window.scrollTo(0, 0);
  }

  function title() {
    const pack = book.pack;
    return pack.department + ", Year " + pack.year + ", " + pack.term;
  }

  function renewContents(name) {
    const contents = document.getElementById("contents");
    Dom.clear(contents);
    contents.appendChild(make("ul", {}, VIEWS.map(view => make("li", {}, [make("a", { href: "#" + view[0], "aria-current": view[0] === name ? "page" : null, text: view[1] })]))));
  }

  function drawHead() {
    const pack = book.pack;
    const head = document.getElementById("head");
    head.insertBefore(make("p", { class: "school", dir: "auto", text: pack.school }), head.firstChild);
    head.appendChild(make("p", { class: "edition", text: Words.edition(pack.edition) + " · " + Words.cards(pack.cards.length) }));
  }

  // Topic colours come with the pack; a rule each, since the page allows no style attributes.
  function colourTopics() {
    const sheet = document.styleSheets[0];
    book.pack.topics.forEach((topic, at) => {
      sheet.insertRule(".topic-" + at + " .band,.topic-" + at + ".known .band{background-color:" + topic.band + ";color:" + topic.text + "}", sheet.cssRules.length);
      sheet.insertRule(".topic-" + at + "{--band:" + topic.band + "}", sheet.cssRules.length);
    });
  }

  function tick() {
    const session = app.session;
    if (!session || document.hidden) return;
    if (session.over) return Rest.renewClock(app);
    // Time on another view is no time of the session.
    if (viewName() !== "ask") return setSession(Object.assign({}, session, { at: app.now() }));
    const before = Session.timeLeft(session);
    setSession(Session.tick(session, app.now()));
    const after = Session.timeLeft(app.session);
    if (before > WARNED && after <= WARNED) say("Five minutes left.");
    if (before > 0 && after === 0) say("Time is up. Finish this card; then comes a break.");
    Asking.renewClock(app);
  }

  function onKey(event) {
    const session = app.session;
    const typing = /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName);
    if (viewName() !== "ask" || !session || session.over || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    if (event.key === "Escape") return pause(!session.paused);
    if (typing || session.paused || !app.looked || event.repeat) return;
    if (event.key !== "ArrowLeft" && event.key !== "ArrowRight") return;
    event.preventDefault();
    put(event.key === "ArrowRight");
  }

  // Another tab changed the record: show it, unless a card is being asked.
  function onOutside(event) {
    if (store.isMine(event.key) && viewName() !== "ask" && viewName() !== "record") render(null);
  }

  let shown = today();
  function onReturn() {
    if (document.hidden) return Aloud.hush();
    tick();
    if (today() !== shown && viewName() !== "ask") render(null);
    shown = today();
  }

  window.addEventListener("hashchange", () => {
    const already = drawn === window.location.hash;
    drawn = "";
    if (already) return;
    Aloud.hush();
    render("view");
  });
  document.querySelector(".skip").addEventListener("click", event => {
    event.preventDefault();
    main.focus();
  });
  window.addEventListener("storage", onOutside);
  document.addEventListener("keydown", onKey);
  document.addEventListener("visibilitychange", onReturn);
  setInterval(tick, TICK);

  drawHead();
  colourTopics();
  render(null);
})();
