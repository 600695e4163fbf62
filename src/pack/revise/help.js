// How to use the page, its keys, and the cautions of the pack.
const Help = (() => {
  "use strict";

  const make = Dom.make;

  function show(app) {
    const book = app.book;
    const days = Words.list(book.days.map(String));
    return {
      title: "How to use this page",
      nodes: [
        make("h2", { id: "view", tabindex: "-1", text: "How to use this page" }),
        make("ol", { class: "steps" }, [
          "Work for a short time, at most " + book.longest + " minutes. Then take a break.",
          "Read the question. Say the answer or write it down before you look under the paper.",
          "Be honest: known goes aside, not yet goes to the bottom of the pile and comes again before you stop.",
          "Come back " + days + " days after you first knew a card. The page tells you what is to come back.",
          "A card that you knew at once at every check leaves the pack. You can take it back.",
          "Some cards are also asked the other way round, once you know them: the answer is shown and you say the question."
        ].map(text => make("li", { text }))),
        make("h3", { text: "Keys" }),
        make("table", { class: "keys" }, [
          make("caption", { class: "unseen", text: "Keys in a session" }),
          make("thead", {}, [make("tr", {}, [make("th", { scope: "col", text: "Key" }), make("th", { scope: "col", text: "In a session" })])]),
          make("tbody", {}, [
            ["Enter or space", "look under the paper"],
            ["→", "known, once you have looked"],
            ["←", "not yet, once you have looked"],
            ["Esc", "pause, and go on"],
            ["Tab", "from one button to the next"]
          ].map(row => make("tr", {}, [make("th", { scope: "row" }, [make("kbd", { text: row[0] })]), make("td", { text: row[1] })])))
        ]),
        make("p", { text: "The arrow keys do nothing while you type. With a screen reader in reading mode they stay the screen reader’s; use the buttons." }),
        book.pack.cautions.length ? make("h3", { text: "Please note" }) : null
      ].concat(book.pack.cautions.map(text => make("p", { dir: "auto", text })))
    };
  }

  return { show };
})();
