"""Holds the program against other readers and writers: PyYAML, jsonschema, icalendar, and Python's own csv,
zipfile and hashlib; printed cards against pdfplumber and pdfinfo (`printed.py`, `reading_order.py`); a calendar
against one made by hand (`by_hand.py`); the shelf against feedparser (`shelf.py`). Argument: the program."""

import csv
import datetime
import hashlib
import io
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import zipfile

import icalendar
import jsonschema
import yaml

import by_hand
import formulas
import printed
import reading_order
import shelf

ROOT = pathlib.Path(__file__).resolve().parents[2]
DECKLE = pathlib.Path(sys.argv[1]).resolve()
PACKS = [(7, "autumn"), (7, "spring"), (8, "autumn"), (8, "spring"), (9, "autumn"), (9, "spring")]

DAY = datetime.timedelta(days=1)


def run(arguments, folder, status=0):
    """What the program prints, in an environment of its own."""
    done = subprocess.run(
        [str(DECKLE), *map(str, arguments)],
        cwd=folder,
        capture_output=True,
        env={"PATH": f"{DECKLE.parent}:{os.environ['PATH']}", "HOME": str(folder), "LC_ALL": "C.UTF-8"},
    )
    assert done.returncode == status, (arguments, done.returncode, done.stdout[-2000:], done.stderr[-2000:])
    return done.stdout.decode()


def schema(name):
    return jsonschema.Draft202012Validator(json.loads((ROOT / "schema" / name).read_text()))


def as_json(value):
    """What PyYAML reads, with dates as text: JSON knows none."""
    return json.loads(json.dumps(value, default=str))


def demonstration_passes_its_schemas(stage):
    """JSON Schema 2020-12 by the jsonschema library, over PyYAML's reading."""
    deck, department = schema("deck.schema.json"), schema("department.schema.json")
    decks = sorted((ROOT / "decks").glob("**/cards.yaml"))
    assert len(decks) >= 8, decks
    for path in decks:
        deck.validate(as_json(yaml.safe_load(path.read_text())))
    department.validate(as_json(yaml.safe_load((ROOT / "decks/department.yaml").read_text())))


def broken_decks_do_not(stage):
    """The same schemas refuse what the program refuses, so that the check above can fail."""
    validator = schema("deck.schema.json")
    sound = as_json(yaml.safe_load((ROOT / "decks/year-8/rivers/cards.yaml").read_text()))
    for breaking in (
        lambda deck: deck["cards"][0].pop("answer"),
        lambda deck: deck["cards"][0].update(colour="blue"),
        lambda deck: deck["cards"][0].update(id="Not An Id"),
        lambda deck: deck["cards"][0].update(needs="rivers"),
        lambda deck: deck.pop("title"),
    ):
        broken = json.loads(json.dumps(sound))
        breaking(broken)
        assert not validator.is_valid(broken)


def outputs_pass_their_schemas(stage):
    department = stage / "kept/department"
    schema("findings.schema.json").validate(json.loads(run(["check", "--format", "json"], department)))
    review = run(["review", "HEAD~1..HEAD", "--format", "json"], department)
    schema("review.schema.json").validate(json.loads(review))
    for path in sorted((stage / "kept/packs").glob("*.zip")):
        schema("verify.schema.json").validate(json.loads(run(["verify", path, "--format", "json"], department)))
        with zipfile.ZipFile(path) as pack:
            schema("pack.schema.json").validate(json.loads(pack.read("pack.json")))


def packs_are_whole(stage):
    """Zip by zipfile, SHA-256 by hashlib, against pack.json and the tag."""
    department = stage / "kept/department"
    paths = sorted((stage / "kept/packs").glob("*.zip"))
    assert len(paths) == 2, paths
    for path in paths:
        with zipfile.ZipFile(path) as pack:
            assert pack.testzip() is None
            manifest = json.loads(pack.read("pack.json"))
            listed = {entry["name"]: entry["sha256"] for entry in manifest["files"]}
            assert set(pack.namelist()) == set(listed) | {"pack.json"}, (pack.namelist(), listed)
            for name, digest in listed.items():
                assert hashlib.sha256(pack.read(name)).hexdigest() == digest, name
        tag = f"packs/year-8/autumn-2026/{manifest['edition']}"
        message = subprocess.run(
            ["git", "cat-file", "tag", tag], cwd=department, capture_output=True, check=True
        ).stdout.decode()
        assert hashlib.sha256(path.read_bytes()).hexdigest() in message, message
        assert manifest["commit"] in message


def csv_is_rfc_4180(stage):
    """Python's csv reads the same cards as pack.json holds; no cell starts a formula."""
    for path in sorted((stage / "kept/packs").glob("*.zip")):
        with zipfile.ZipFile(path) as pack:
            raw = pack.read("cards.csv").decode("utf-8-sig")
            manifest = json.loads(pack.read("pack.json"))
        assert raw.count("\r\n") == raw.count("\n")
        rows = list(csv.DictReader(io.StringIO(raw, newline=""), strict=True))
        assert len(rows) == len(manifest["cards"])
        for row, card in zip(rows, manifest["cards"]):
            assert None not in row and None not in row.values(), row
            assert row["id"] == card["id"] and row["number"] == str(card["number"])
            asked = card["questions"][0]["question"]
            assert row["question"] in (asked, "'" + asked), (row["question"], asked)
            for cell in row.values():
                assert not cell.startswith(("=", "+", "-", "@", "\t", "\r")), cell


def calendars_are_the_plan(stage):
    """RFC 5545 by the icalendar library: the events are those of `deckle plan`, on the same days."""
    department = stage / "kept/department"
    plan = json.loads(run(["plan", "--format", "json"], department))
    schema("plan.schema.json").validate(plan)
    planned = {}
    for year in plan["years"]:
        for day in year["days"]:
            assert day["seconds"] <= plan["session"]["minutes"] * 60, day
            for check in day["checks"]:
                planned[check["uid"]] = (year["year"], check["term"], day["day"], check["after"], check["title"])
    previews = stage / "calendars"
    for year, term in PACKS:
        run(["release", "--year", year, "--term", term, "--preview", "--out", previews], department)
    released = sorted((stage / "kept/packs").glob("*.zip"))
    found = {}
    for path in sorted(previews.glob("*.zip")) + released:
        with zipfile.ZipFile(path) as pack:
            raw = pack.read("calendar.ics")
            manifest = json.loads(pack.read("pack.json"))
        lines = raw.split(b"\r\n")
        assert raw.count(b"\n") == raw.count(b"\r") == len(lines) - 1 and max(map(len, lines)) <= 75
        calendar = icalendar.Calendar.from_ical(raw)
        assert not calendar.errors and str(calendar["VERSION"]) == "2.0" and calendar["PRODID"]
        edition = 0 if manifest["edition"] == "preview" else manifest["edition"]
        for event in calendar.walk("VEVENT"):
            assert not event.errors and event["SEQUENCE"] == edition, event
            assert event.decoded("DTSTAMP").tzinfo and event.decoded("DTEND") - event.decoded("DTSTART") == DAY
            uid, summary = str(event["UID"]), str(event["SUMMARY"])
            year, term, day, after, title = planned[uid]
            assert (year, term) == (manifest["year"], manifest["term"]), (uid, manifest["year"])
            assert event.decoded("DTSTART").isoformat() == day, (uid, day)
            assert title in summary and summary.endswith(f"(day {after})"), summary
            assert path in released or uid not in found, uid
            found[uid] = day
    assert len(found) == len(planned) > 20, (len(found), len(planned))


def pyyaml_reads_the_same_texts(stage):
    """Wherever PyYAML makes text of a scalar of the demonstration, the program reads that text."""
    repository = stage / "copy"
    repository.mkdir()
    git = lambda *words: subprocess.run(
        ["git", "-c", "user.name=A", "-c", "user.email=a@b.example", *words], cwd=repository, check=True, capture_output=True
    )
    git("init", "--quiet", "--initial-branch=main")
    subprocess.run(["cp", "-r", str(ROOT / "decks"), str(repository)], check=True)
    git("add", "--all")
    git("commit", "--quiet", "--message", "copy")
    ours = {}
    for year, term in PACKS:
        run(["release", "--year", year, "--term", term, "--preview", "--out", stage / "previews"], repository)
    for path in sorted((stage / "previews").glob("*.zip")):
        with zipfile.ZipFile(path) as pack:
            ours.update({card["id"]: card for card in json.loads(pack.read("pack.json"))["cards"]})
    compared = 0
    for path in sorted((ROOT / "decks").glob("**/cards.yaml")):
        for card in yaml.safe_load(path.read_text())["cards"]:
            mine = ours.pop(card["id"])
            for theirs, question in zip([card, *card.get("also", [])], mine["questions"]):
                answer = theirs["answer"] if isinstance(theirs["answer"], list) else [theirs["answer"]]
                pairs = [(theirs["question"], question["question"]), *zip(answer, question["answer"])]
                pairs += zip(theirs.get("accept", []), question["accept"])
                for theirs_text, our_text in pairs:
                    if isinstance(theirs_text, str):
                        assert theirs_text.rstrip("\n") == our_text, (card["id"], theirs_text, our_text)
                        compared += 1
    assert not ours, ours.keys()
    assert compared > 500, compared


def printed_cards_lie_back_to_back(stage):
    """ISO 216 and the kind of printer, by pdfplumber; tagged, by pdfinfo."""
    printed.check(run, stage, stage / "kept/department")


def printed_cards_are_read_in_order(stage):
    """The structure of the tagged PDF, by pdfplumber: sheet by sheet, card by card, each with its parts in order."""
    reading_order.check_cards(run, stage, stage / "kept/department")


def a_quiz_is_two_pages_in_order(stage):
    """The same of a quiz; and its JSON keeps to its schema."""
    schema("quiz.schema.json").validate(reading_order.check_quiz(run, stage, stage / "kept/department"))


def a_calendar_is_as_worked_out_by_hand(stage):
    """Weekends, holidays, full days and a second edition, by icalendar."""
    by_hand.check(run, stage)


def formulas_are_the_same_on_the_page_and_on_paper(stage):
    """MathML against the tagged PDF, letter by letter, with their alternative texts."""
    formulas.check(run, stage)


def the_shelf_is_read_by_others(stage):
    """RFC 4287 by feedparser and an XML reader, the list by jsonschema, the digests by hashlib."""
    shelf.check(run, schema, stage, stage / "kept/department")


def main():
    checks = [
        demonstration_passes_its_schemas,
        broken_decks_do_not,
        outputs_pass_their_schemas,
        packs_are_whole,
        csv_is_rfc_4180,
        calendars_are_the_plan,
        pyyaml_reads_the_same_texts,
        printed_cards_lie_back_to_back,
        printed_cards_are_read_in_order,
        a_quiz_is_two_pages_in_order,
        a_calendar_is_as_worked_out_by_hand,
        formulas_are_the_same_on_the_page_and_on_paper,
        the_shelf_is_read_by_others,
    ]
    failed = 0
    with tempfile.TemporaryDirectory() as folder:
        stage = pathlib.Path(folder)
        run(["tour", "--keep", "kept"], stage)
        for check in checks:
            try:
                check(stage)
                print(f"ok      {check.__name__}")
            except Exception as error:  # every check is run and told
                failed += 1
                print(f"FAILED  {check.__name__}: {type(error).__name__}: {error}")
    print(f"{len(checks) - failed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


main()
