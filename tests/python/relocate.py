"""Finding quotes again, side by side with the package reanchor, on the same edits. Argument: the file that the
tests in Rust wrote, one edit to a line: the notes before and after, the quote, where it is now, where it was found."""

import collections
import json
import sys

from reanchor import describe_quote, prepare_document, resolve_quote


def characters(text, span):
    """A span in bytes as one in characters."""
    return None if span is None else [len(text.encode()[:at].decode()) for at in span]


def verdict(wanted, found):
    """Whether a span is the right place (half of what both cover), a wrong one, or none."""
    if found is None:
        return "none"
    if wanted is None:
        return "wrong"
    shared = min(wanted[1], found[1]) - max(wanted[0], found[0])
    whole = max(wanted[1], found[1]) - min(wanted[0], found[0])
    return "right" if shared * 2 >= whole else "wrong"


def theirs(before, quote, notes):
    start = before.find(quote)
    selector = describe_quote(before, start, start + len(quote))
    place = resolve_quote(prepare_document(notes), selector)
    return None if place is None else [place.start, place.end]


def main(path):
    counts = {"deckle": collections.Counter(), "reanchor": collections.Counter()}
    edits = there = 0
    with open(path, encoding="utf-8") as lines:
        for line in map(json.loads, lines):
            notes = line["notes"]
            wanted = characters(notes, line["wanted"])
            edits += 1
            there += wanted is not None
            counts["deckle"][verdict(wanted, characters(notes, line["found"]))] += 1
            counts["reanchor"][verdict(wanted, theirs(line["before"], line["quote"], notes))] += 1
    print(f"finding quotes again: {edits} edits, in {there} of them the passage is still there")
    share = {}
    for name, count in counts.items():
        share[name] = (count["right"] / there, count["wrong"] / edits)
        print(f"  {name:10} recall {share[name][0]:.4f}  wrong places {share[name][1]:.4f}")
    assert edits > 2000
    assert share["deckle"][0] >= max(0.98, share["reanchor"][0]), share
    assert share["deckle"][1] <= min(0.04, share["reanchor"][1]), share


main(sys.argv[1])
