"""The tour's shelf: its feed against RFC 4287 by feedparser and an XML reader, its list by jsonschema, and what
lies there by hashlib and zipfile."""

import datetime
import hashlib
import json
import re
import shutil
import urllib.parse
import uuid
import xml.etree.ElementTree as ElementTree
import zipfile

import feedparser

ATOM = "{http://www.w3.org/2005/Atom}"
# Where the shelf might stand; nothing is asked of it.
ADDRESS = "http://shelf.example/packs/"
ONCE = {"id", "title", "updated", "content"}


def check(run, schema, stage, department):
    shelf = stage / "shelf"
    shutil.copytree(stage / "kept/shelf", shelf)
    told = json.loads((shelf / "shelf.json").read_text())
    schema("shelf.schema.json").validate(told)
    editions_are_whole(shelf, told)
    first = feed(shelf, told)
    assert [entry["title"] for entry in first] == [
        "Year 8, autumn 2026, edition 2; 1 card corrected", "Year 8, autumn 2026, edition 1"], first
    # A feed that is written on keeps its names, and tells of what was withdrawn.
    withdraw = ["publish", "--shelf", shelf, "--withdraw", "packs/year-8/autumn-2026/1", "--format", "json"]
    reason = "a slip in <the worked example> & no more"
    who = department / ".git/config"
    who.write_text(who.read_text() + "[user]\n\tname = Mary Okonjo\n\temail = m.okonjo@ambleford-quay.example\n")
    schema("publish.schema.json").validate(json.loads(run([*withdraw, "--reason", reason], department)))
    told = json.loads((shelf / "shelf.json").read_text())
    schema("shelf.schema.json").validate(told)
    second = feed(shelf, told)
    assert {entry["id"] for entry in first} < {entry["id"] for entry in second}
    newest = second[0]
    assert newest["title"] == "Withdrawn: Year 8, autumn 2026, edition 1", newest["title"]
    assert reason in newest["content"][0]["value"] or reason in newest["summary"], newest
    assert newest["tags"][0]["term"] == "withdrawal"
    # Taken back, it is told once more, and what was told before keeps its name.
    restore = ["publish", "--shelf", shelf, "--restore", "packs/year-8/autumn-2026/1", "--format", "json"]
    schema("publish.schema.json").validate(json.loads(run(restore, department)))
    told = json.loads((shelf / "shelf.json").read_text())
    schema("shelf.schema.json").validate(told)
    third = feed(shelf, told)
    assert {entry["id"] for entry in second} < {entry["id"] for entry in third}
    assert "Back on the shelf: Year 8, autumn 2026, edition 1" in {entry["title"] for entry in third}, third


def editions_are_whole(shelf, told):
    assert len(told["editions"]) == 2
    for edition in told["editions"]:
        folder = shelf / edition["folder"]
        assert {path.name for path in folder.iterdir()} == {f["name"] for f in [*edition["files"], edition["zip"]]}
        for file in [*edition["files"], edition["zip"]]:
            data = (folder / file["name"]).read_bytes()
            assert (len(data), hashlib.sha256(data).hexdigest()) == (file["size"], file["sha256"]), file
        with zipfile.ZipFile(folder / edition["zip"]["name"]) as pack:
            for name in pack.namelist():
                assert pack.read(name) == (folder / name).read_bytes(), name


def feed(shelf, told):
    """The feed's entries, as feedparser has them."""
    data = (shelf / "feed.xml").read_bytes()
    well_formed(ElementTree.fromstring(data))
    parsed = feedparser.parse(data, response_headers={"content-location": ADDRESS + "feed.xml", "content-type": "application/atom+xml"})
    assert not parsed.bozo, parsed.get("bozo_exception")
    assert parsed.version == "atom10", parsed.version
    assert parsed.feed.id == told["id"] and parsed.feed.title.startswith("Geography"), parsed.feed
    dates = [entry.updated_parsed for entry in parsed.entries]
    assert dates == sorted(dates, reverse=True) and parsed.feed.updated_parsed == dates[0], dates
    for entry in parsed.entries:
        for link in entry.links:
            address = urllib.parse.urlsplit(link.href)
            assert link.href.startswith(ADDRESS), link
            target = shelf / address.path.removeprefix(urllib.parse.urlsplit(ADDRESS).path)
            assert target.is_file(), link
            if address.fragment:
                assert f'id="{address.fragment}"' in target.read_text(), link
            if link.rel == "enclosure":
                assert int(link.length) == target.stat().st_size, link
    return parsed.entries


def well_formed(root):
    """What RFC 4287 asks of every feed and entry (sections 4.1.1 and 4.1.2)."""
    assert root.tag == ATOM + "feed"
    entries = root.findall(ATOM + "entry")
    assert entries
    for element in [root, *entries]:
        names = [child.tag.removeprefix(ATOM) for child in element]
        for name in ONCE - ({"content"} if element is root else set()):
            assert names.count(name) == 1, (name, names)
        assert any(link.get("rel") == "alternate" for link in element.findall(ATOM + "link"))
        date = element.findtext(ATOM + "updated")
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(Z|[+-]\d\d:\d\d)", date), date
        datetime.datetime.fromisoformat(date)
    assert root.find(ATOM + "author") is not None
    ids = [element.findtext(ATOM + "id") for element in [root, *entries]]
    assert len(set(ids)) == len(ids), ids
    assert all(uuid.UUID(one.removeprefix("urn:uuid:")).version == 5 for one in ids), ids
