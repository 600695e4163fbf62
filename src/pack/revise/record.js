// The pupil's own record: save, bring in, erase; and how to use the page.
const Record = (() => {
  "use strict";

  const make = Dom.make;

  function show(app) {
    return {
      title: "Your record",
      nodes: [
        make("h2", { id: "view", tabindex: "-1", text: "Your record" }),
        make("p", { text: "What you have done stays on this device, in this browser: the names of cards and the days on which you knew them or not. Nothing about you is kept, and nothing is sent anywhere." }),
        saving(app),
        bringing(app),
        erasing(app)
      ]
    };
  }

  function section(id, title, children) {
    return make("section", { "aria-labelledby": id }, [make("h3", { id, text: title })].concat(children));
  }

  function saving(app) {
    const text = make("textarea", { id: "as-text", rows: "6", readonly: true, spellcheck: "false", hidden: true, "aria-label": "Your record as text" });
    return section("save-head", "Save it as a file", [
      make("p", { text: "To carry on with another device or browser, or to be safe." }),
      make("p", { class: "row" }, [
        Dom.button("Save as a file", () => { download(app); }, "main"),
        Dom.button("Show as text to copy", () => {
          text.value = app.store.exportText(app.today());
          text.hidden = false;
          text.focus();
          text.select();
        })
      ]),
      text
    ]);
  }

  function download(app) {
    const blob = new Blob([app.store.exportText(app.today())], { type: "application/json" });
    const address = URL.createObjectURL(blob);
    const link = make("a", { href: address, download: "record-" + app.book.pack.pack + "-" + app.today() + ".json", hidden: true });
    document.body.appendChild(link);
    link.click();
    document.body.removeChild(link);
    setTimeout(() => { URL.revokeObjectURL(address); }, 10000);
    app.say("The file was handed to your browser to save.");
  }

  function bringing(app) {
    const told = make("p", { class: "told", id: "import-told" });
    const text = make("textarea", { id: "import-text", rows: "4", spellcheck: "false" });
    const file = make("input", { type: "file", id: "import-file", accept: ".json,application/json" });
    const take = written => {
      const result = app.store.importText(written, Session.newer);
      told.textContent = outcome(result);
      app.say(told.textContent);
    };
    file.addEventListener("change", () => {
      if (!file.files || !file.files[0]) return;
      if (file.files[0].size > 2000000) {
        told.textContent = outcome({ problem: "large" });
        return;
      }
      const reader = new FileReader();
      reader.onload = () => { take(String(reader.result)); };
      reader.onerror = () => { told.textContent = outcome({ problem: "unreadable" }); };
      reader.readAsText(file.files[0]);
    });
    return section("import-head", "Bring in a saved record", [
      make("p", { text: "It is added to what is here. Where both know a card, the later day counts." }),
      make("p", {}, [make("label", { "for": "import-file", text: "From a file " }), file]),
      make("p", {}, [make("label", { "for": "import-text", text: "Or paste its text" }), text]),
      make("p", {}, [Dom.button("Bring in the text", () => { take(text.value); })]),
      told
    ]);
  }

  function outcome(result) {
    switch (result.problem) {
      case undefined: return result.added ? "Brought in: " + Words.cards(result.added) + " brought up to date." : "Nothing in it was newer than what is here.";
      case "large": return "That is too large to be a record of this page. Nothing was changed.";
      case "newer": return "That record was written by a newer edition of this page. Open the newest pack and bring it in there. Nothing was changed.";
      case "other": return "That record belongs to another pack" + (result.pack ? " (" + result.pack + ")" : "") + ". Nothing was changed.";
      default: return "That is not a record saved by this page, or it is damaged. Nothing was changed.";
    }
  }

  function erasing(app) {
    const sure = make("div", { class: "notice", hidden: true, role: "group", "aria-label": "Erase for good?" }, [
      make("p", { text: "Erase for good? Every card of this pack will be new again on this device." }),
      make("p", { class: "row" }, [
        Dom.button("Yes, erase it", () => { app.erase(); }, "plain"),
        Dom.button("No, keep it", () => { sure.hidden = true; first.focus(); }, "main")
      ])
    ]);
    const first = Dom.button("Erase my record", () => {
      sure.hidden = false;
      sure.querySelectorAll("button")[1].focus();
    });
    return section("erase-head", "Erase it", [make("p", {}, [first]), sure]);
  }

  return { show };
})();
