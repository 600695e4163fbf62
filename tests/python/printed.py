"""Printed cards, read back by pdfplumber and pdfinfo: where they stand, how large they are, what is on them."""

import csv
import itertools
import pathlib
import subprocess

import pdfplumber

PAPER = pathlib.Path(__file__).resolve().parents[1] / "data/paper.csv"
POINTS = 72 / 25.4
# How far anything may be from where it should be, in millimetres.
NEAR = 0.1
# What the template leaves at the edges of a card, in millimetres.
INSET = 3
FLIPS = ("long", "short")


def card_sizes():
    """Width and height by word, in millimetres: A6 and A7 by ISO 216, the others as the help says."""
    with PAPER.open(newline="") as table:
        iso = {row["name"]: (float(row["width_mm"]), float(row["height_mm"])) for row in csv.DictReader(table)}
    return {"standard": (95, 68), "a7": iso["A7"][::-1], "a6": iso["A6"], "index": (127, 76)}


def near(one, other):
    return abs(one - other) <= NEAR


def sides(page):
    """Number, word, left and top of each side of a card, by the coloured bands with their words, in millimetres."""
    found = []
    for band in page.curves:
        if band["fill"] and near((band["bottom"] - band["top"]) / POINTS, 7):
            words = page.crop((band["x0"], band["top"], band["x1"], band["bottom"])).extract_text().split()
            word = next(word for word in words if word in ("question", "answer"))
            found.append((int(words[0]), word, band["x0"] / POINTS - INSET, band["top"] / POINTS - INSET))
    return found


def is_sized(page, left, top, card):
    """Whether the lines that are cut along, and the edges of the paper, leave a card of that size there."""
    long = [line for line in page.lines if max(line["width"], line["height"]) > 100 * POINTS]
    down = {line["x0"] / POINTS for line in long if line["width"] < 1} | {0, page.width / POINTS}
    across = {line["top"] / POINTS for line in long if line["height"] < 1} | {0, page.height / POINTS}
    cut = lambda lines, at: any(near(line, at) for line in lines)
    return cut(down, left) and cut(down, left + card[0]) and cut(across, top) and cut(across, top + card[1])


def outside(page, found, card):
    """The letters that lie on no card; the line above the cards names the sheet and is cut off."""
    on_card = lambda letter: any(
        left * POINTS <= letter["x0"] and letter["x1"] <= (left + card[0]) * POINTS
        and top * POINTS <= letter["top"] and letter["bottom"] <= (top + card[1]) * POINTS
        for _, _, left, top in found
    )
    # A letter's box is as high as the line, which may lie above a band whose letters do not.
    first = min(top for _, _, _, top in found) * POINTS
    return [letter["text"] for letter in page.chars if letter["bottom"] > first and not on_card(letter)]


def behind(page, left, top, card, flip):
    """Where the back of a card lies when the printer turns the paper on that edge."""
    width, height = page.width / POINTS, page.height / POINTS
    upright = width < height
    return (width - left - card[0], top) if (flip == "long") == upright else (left, height - top - card[1])


def sheet_is_true(front, back, card, flip):
    """Holds two pages against each other; how many cards they have."""
    fronts, backs = sides(front), sides(back)
    assert {word for _, word, _, _ in fronts} == {"question"} and {word for _, word, _, _ in backs} == {"answer"}
    answers = {number: (left, top) for number, _, left, top in backs}
    assert sorted(answers) == sorted(number for number, _, _, _ in fronts) and len(backs) == len(answers)
    for number, _, left, top in fronts:
        expected = behind(front, left, top, card, flip)
        assert all(map(near, answers[number], expected)), (number, answers[number], expected)
        assert is_sized(front, left, top, card), (number, left, top, card)
        assert is_sized(back, *answers[number], card), (number, answers[number], card)
    assert not outside(front, fronts, card) and not outside(back, backs, card), (front.page_number, flip)
    return len(fronts)


def document_is_true(path, card, flip):
    """Every page with cards has its back behind it, and the file is tagged; how many cards it has."""
    info = subprocess.run(["pdfinfo", str(path)], check=True, capture_output=True).stdout.decode()
    assert any(line.split() == ["Tagged:", "yes"] for line in info.splitlines()), info
    with pdfplumber.open(path) as document:
        sheets = [page for page in document.pages if sides(page)]
        assert len(sheets) % 2 == 0 and all(page.page_number % 2 == 1 for page in sheets[::2]), path
        return sum(sheet_is_true(front, back, card, flip) for front, back in zip(sheets[::2], sheets[1::2]))


def check(run, stage, folder):
    """Prints a pack in every size for both kinds of printer, full and blank, and reads each."""
    out = stage / "printed"
    counts = set()
    for (paper, card), flip, backs in itertools.product(card_sizes().items(), FLIPS, ("full", "blank")):
        if backs == "blank" and paper != "a6":
            continue
        asked = ["--paper", paper, "--flip", flip, "--backs", backs, "--out", out / f"{paper}-{flip}-{backs}"]
        run(["print", "--year", 8, "--term", "autumn", *asked], folder)
        (path,) = (out / f"{paper}-{flip}-{backs}").glob("*.pdf")
        counts.add(document_is_true(path, card, flip))
    assert len(counts) == 1 and min(counts) >= 8, counts
