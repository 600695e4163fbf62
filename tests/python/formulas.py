"""The same formulas on the revision page and on paper: what MathML shows, letter by letter, against what
pdfplumber reads from the cards, and the alternative text of both."""

import collections
import html.parser
import json
import pathlib
import re
import subprocess
import unicodedata
import zipfile

import pdfplumber

FORMULAS = pathlib.Path(__file__).resolve().parents[1] / "data/formulas.txt"
SETTINGS = """\
department: Geography
school: Ambleford Quay School
years: [8]
terms:
  - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}
scheme:
  - {deck: formulas, term: autumn}
policy: {no-source: off}
"""


class Shown(html.parser.HTMLParser):
    """The letters of MathML, and its alternative text."""

    def __init__(self, markup):
        super().__init__()
        self.letters, self.alt = "", None
        self.feed(markup)

    def handle_starttag(self, tag, attributes):
        if tag == "math":
            self.alt = dict(attributes)["alttext"]

    def handle_data(self, text):
        self.letters += text


# Roots and the long bars of vectors are drawn, not written; a bar above a letter and arrows are either.
DRAWN = "√¯‾→⃗⟶"
SAME = str.maketrans({"−": "-", "’": "'", "′": "'", "∕": "/", "⁄": "/"})


def letters(text):
    """Each letter and sign with how often it is there; blanks and what is drawn left out."""
    written = "".join(sign for sign in text if sign not in DRAWN)
    plain = unicodedata.normalize("NFKC", written).translate(SAME)
    # MathML says that a function is applied by a sign that nobody sees.
    return collections.Counter(sign for sign in plain if not sign.isspace() and unicodedata.category(sign) != "Cf")


def on_the_page(pack):
    """By card, what its answer shows on the revision page."""
    page = pack.read("revise.html").decode()
    data = json.loads(re.search(r'<script type="application/json" id="pack">(.*?)</script>', page, re.S)[1])
    for card in data["cards"]:
        yield card["id"], Shown(card["questions"][0]["answer"][0]["html"])


def on_paper(path, count):
    """What stands in each formula of the answer sides, in the order of the cards, with its alternative text."""
    with pdfplumber.open(path) as document:
        pages = {}
        for page in document.pages:
            for letter in page.chars:
                pages.setdefault((page.page_number, letter.get("mcid")), []).append(letter["text"])

        def text(element, page):
            page = element.get("page_number", page)
            own = "".join("".join(pages.get((page, number), [])) for number in element.get("mcids", []))
            return own + "".join(text(child, page) for child in element.get("children", []))

        def walk(element, page):
            page = element.get("page_number", page)
            if element["type"] == "Formula":
                yield element.get("alt_text"), text(element, page)
            else:
                for child in element.get("children", []):
                    yield from walk(child, page)

        found = [formula for element in document.structure_tree for formula in walk(element, None)]
    # The answer list at the end has each once more.
    assert len(found) == 2 * count, (len(found), count)
    assert found[:count] == found[count:]
    return found[:count]


def check(run, stage):
    formulas = FORMULAS.read_text().splitlines()
    assert len(formulas) > 40
    folder = stage / "formulas"
    (folder / "decks/formulas").mkdir(parents=True)
    (folder / "decks/department.yaml").write_text(SETTINGS)
    cards = "".join(
        f"  - id: formula-{at}\n    question: How is relation number {at} written?\n    answer: {json.dumps(f'${formula}$')}\n"
        for at, formula in enumerate(formulas)
    )
    (folder / "decks/formulas/cards.yaml").write_text(f"title: Formulas\nyear: 8\ncards:\n{cards}")
    for words in (["init", "--quiet"], ["add", "--all"], ["commit", "--quiet", "--message", "formulas"]):
        identity = ["-c", "user.name=Mara Okonjo", "-c", "user.email=mara.okonjo@ambleford-quay.example"]
        subprocess.run(["git", *identity, *words], cwd=folder, check=True, capture_output=True)
    out = stage / "formulas-pack"
    run(["release", "--preview", "--year", 8, "--term", "autumn", "--out", out], folder)
    (path,) = out.glob("*.zip")
    with zipfile.ZipFile(path) as pack:
        page = list(on_the_page(pack))
        pack.extract("cards.pdf", out)
    paper = on_paper(out / "cards.pdf", len(formulas))
    assert [f"formula-{at}" for at in range(len(formulas))] == [card for card, _ in page]
    for formula, (_, shown), (alt, printed) in zip(formulas, page, paper):
        assert alt == shown.alt, (formula, alt, shown.alt)
        assert letters(printed) == letters(shown.letters), (formula, printed, shown.letters)
