"""A small term whose checks were worked out by hand with a calendar on paper, read back by icalendar."""

import datetime
import subprocess
import zipfile

import icalendar

# Sessions of five minutes hold ten questions of half a minute. Each topic asks six, so no day holds two.
SETTINGS = """\
department: Geography
school: Ambleford Quay School
years: [8]
terms:
  - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}
  - {name: spring, starts: 2027-01-05, ends: 2027-03-25}
holidays:
  - {name: Autumn half term, starts: 2026-10-26, ends: 2026-10-30}
limits: {seconds_for_a_question: 30}
session: {minutes: 5, review_days: [1, 7, 21]}
scheme:
  - {deck: waves, term: autumn, taught_on: 2026-10-02}
  - {deck: cliffs, term: autumn, taught_on: 2026-10-06}
  - {deck: beaches, term: autumn, taught_on: 2026-10-06}
  - {deck: dunes, term: autumn, taught_on: 2026-12-11}
"""

# Topic and number of days, the day, and why it is that day.
BY_HAND = [
    ("Waves", 1, "2026-10-05"),  # taught on a Friday; the next day is a Saturday
    ("Waves", 7, "2026-10-09"),
    ("Waves", 21, "2026-10-23"),  # the last Friday before half term
    ("Cliffs", 1, "2026-10-07"),
    ("Beaches", 1, "2026-10-08"),  # the 7th is full with Cliffs
    ("Cliffs", 7, "2026-10-13"),
    ("Beaches", 7, "2026-10-14"),  # the 13th is full with Cliffs
    ("Cliffs", 21, "2026-11-02"),  # 27 October is in half term
    ("Beaches", 21, "2026-11-03"),  # and the first day after it is full
    ("Dunes", 1, "2026-12-14"),  # taught on a Friday
    ("Dunes", 7, "2026-12-18"),  # the last day of term
    ("Dunes", 21, "2027-01-05"),  # 1 January is between the terms
]

WORDS = ("delta", "spit", "levee", "gorge", "arch", "stack")


def deck(title):
    cards = "".join(
        f"  - id: {title.lower()}-{word}\n    question: What does {word} mean in {title.lower()}?\n    answer: The {word} of {title}\n"
        for word in WORDS
    )
    return f"title: {title}\nyear: 8\ncards:\n{cards}"


def commit(folder, message):
    identity = ["-c", "user.name=Mara Okonjo", "-c", "user.email=mara.okonjo@ambleford-quay.example"]
    for words in (["add", "--all"], ["commit", "--quiet", "--message", message]):
        subprocess.run(["git", *identity, *words], cwd=folder, check=True, capture_output=True)


def events(path):
    """Identifier, number of the edition, title, days and day of each event of a pack's calendar."""
    with zipfile.ZipFile(path) as pack:
        calendar = icalendar.Calendar.from_ical(pack.read("calendar.ics"))
    for event in calendar.walk("VEVENT"):
        start, end = event.decoded("DTSTART"), event.decoded("DTEND")
        assert end - start == datetime.timedelta(days=1), event
        yield str(event["UID"]), int(event["SEQUENCE"]), str(event["SUMMARY"]), start.isoformat()


def is_as_by_hand(found):
    expected = {(title, after): day for title, after, day in BY_HAND}
    seen = {}
    for _, _, summary, day in found:
        (named,) = [key for key in expected if key[0] in summary and summary.endswith(f"(day {key[1]})")]
        seen[named] = day
    assert seen == expected, sorted(set(seen.items()) ^ set(expected.items()))


def check(run, stage):
    """Two editions: the days are those worked out by hand, and the second moves what the first put there."""
    folder = stage / "by-hand"
    titles = sorted({title for title, _, _ in BY_HAND})
    for title in titles:
        (folder / "decks" / title.lower()).mkdir(parents=True)
        (folder / "decks" / title.lower() / "cards.yaml").write_text(deck(title))
    (folder / "decks/department.yaml").write_text(SETTINGS)
    subprocess.run(["git", "init", "--quiet", "--initial-branch=main"], cwd=folder, check=True)
    for setting, value in (("user.name", "Mara Okonjo"), ("user.email", "mara.okonjo@ambleford-quay.example")):
        subprocess.run(["git", "config", setting, value], cwd=folder, check=True)
    commit(folder, "a term")
    out = stage / "by-hand-packs"
    release = ["release", "--year", 8, "--term", "autumn", "--out", out]
    run(release, folder)
    first = list(events(out / "geography-year-8-autumn-2026-edition-1.zip"))
    assert len(first) == len(BY_HAND), first
    is_as_by_hand(first)
    cliffs = folder / "decks/cliffs/cards.yaml"
    cliffs.write_text(cliffs.read_text().replace("The arch of Cliffs", "The arch that stands before Cliffs"))
    commit(folder, "other words")
    run(release, folder)
    second = list(events(out / "geography-year-8-autumn-2026-edition-2.zip"))
    is_as_by_hand(second)
    identifiers = [uid for uid, *_ in first]
    assert len(set(identifiers)) == len(identifiers) and identifiers == [uid for uid, *_ in second]
    assert {number for _, number, *_ in first} == {1} and {number for _, number, *_ in second} == {2}
