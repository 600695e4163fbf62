"""What a screen reader makes of printed cards: the tagged PDF's structure, read by pdfplumber, holds each
sheet's question sides and then its answer sides, card by card, each with its parts in order; and a quiz
its questions and then its answers."""

import json
import re
import zipfile

import pdfplumber


def marked(page):
    """The letters of a page by the number of the marked content that they belong to."""
    found = {}
    for letter in page.chars:
        if letter.get("mcid") is not None:
            found.setdefault(letter["mcid"], []).append(letter["text"])
    return {number: "".join(letters) for number, letters in found.items()}


def blocks(path):
    """The leaves of the structure in reading order: the kind of what they are in, the page and the text."""
    with pdfplumber.open(path) as document:
        pages = {page.page_number: marked(page) for page in document.pages}

        def walk(element, page):
            page = element.get("page_number", page)
            # A leaf's marked contents come before what stands inside of it, as in the sheets' headings.
            text = "".join(pages.get(page, {}).get(number, "") for number in element.get("mcids", []))
            if text.strip():
                yield element["type"], page, text
            for child in element.get("children", []):
                yield from walk(child, page)

        for element in document.structure_tree:
            yield from walk(element, None)


def squeezed(text):
    """Letters and figures alone: line breaks, blanks, ligatures' pieces and hyphens are the typesetter's."""
    return re.sub(r"[\W_]+", "", text)


def plain(text):
    """Text of a card without its marks; none when it holds a formula, which is read by its own words."""
    return None if "$" in text else squeezed(re.sub(r"[*~^`]", "", text))


def in_order(text, parts, what):
    """Each part stands in the text, behind the one before."""
    at = 0
    for part in parts:
        found = text.find(part, at)
        assert found >= 0, (what, part, text[at : at + 400])
        at = found + len(part)


def sheets_are_read_card_by_card(path, cards, on_a_sheet):
    """The whole document as one text, against the cards in the order in which they must come."""
    text = squeezed("".join(text for _, _, text in blocks(path)))
    expected = []
    for first in range(0, len(cards), on_a_sheet):
        sheet = cards[first : first + on_a_sheet]
        for side in ("question", "answer"):
            for card in sheet:
                expected.append(squeezed(f"{card['number']}{card['topic']}{side}"))
                for question in card["questions"]:
                    texts = [question["question"]] if side == "question" else question["answer"]
                    expected += filter(None, map(plain, texts))
    assert len(expected) > 4 * len(cards), len(expected)
    in_order(text, expected, path.name)


def check_cards(run, stage, folder):
    out = stage / "order"
    run(["release", "--preview", "--year", 8, "--term", "autumn", "--out", out], folder)
    (path,) = out.glob("*.zip")
    with zipfile.ZipFile(path) as pack:
        cards = json.loads(pack.read("pack.json"))["cards"]
        pack.extract("cards.pdf", out)
    assert any(len(card["questions"]) > 1 for card in cards), "no card has connected questions"
    sheets_are_read_card_by_card(out / "cards.pdf", cards, 8)


def check_quiz(run, stage, folder):
    """Questions on the first page, answers on the second, each numbered and in order."""
    path = stage / "quiz.pdf"
    asked = ["quiz", "--year", 8, "--on", "2026-11-25"]
    run([*asked, "--out", path], folder)
    quiz = json.loads(run([*asked, "--format", "json"], folder))
    found = list(blocks(path))
    assert {page for _, page, _ in found} == {1, 2}, {page for _, page, _ in found}
    on = lambda number: squeezed("".join(text for _, page, text in found if page == number))
    assert len(quiz["questions"]) == 10
    in_order(on(1), filter(None, [plain(one["question"]) for one in quiz["questions"]]), "questions")
    answers = [answer for one in quiz["questions"] for answer in one["answer"]]
    in_order(on(2), filter(None, map(plain, answers)), "answers")
    return quiz
