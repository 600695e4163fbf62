"""Holds JUnit reports, which the tests in Rust wrote down, against a published schema. Argument: their folder."""

import pathlib
import sys
import xml.etree.ElementTree as ElementTree

import xmlschema

SCHEMA = pathlib.Path(__file__).resolve().parents[1] / "data/outside/junit-4.xsd"

# What code hosts read besides, so that a click leads to the line; the schema does not know it.
KNOWN_TO_HOSTS = ("file", "line")


def without_extras(path):
    tree = ElementTree.parse(path)
    for case in tree.iter("testcase"):
        for name in KNOWN_TO_HOSTS:
            case.attrib.pop(name, None)
    return tree.getroot()


def main():
    schema = xmlschema.XMLSchema(SCHEMA)
    paths = sorted(pathlib.Path(sys.argv[1]).glob("*.xml"))
    assert len(paths) > 40, f"only {len(paths)} reports"
    cases = 0
    for path in paths:
        root = without_extras(path)
        schema.validate(root)
        cases += len(list(root.iter("testcase")))
    # The schema refuses what is wrong, so that the check above can fail.
    wrong = without_extras(paths[0])
    next(wrong.iter("testcase")).attrib["severity"] = "high"
    assert not schema.is_valid(wrong)
    nameless = without_extras(paths[0])
    del next(nameless.iter("testsuite")).attrib["name"]
    assert not schema.is_valid(nameless)
    print(f"ok      {len(paths)} JUnit reports with {cases} cases keep to {SCHEMA.name}")


main()
