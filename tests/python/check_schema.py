"""The demonstration held against JSON Schema and YAML in another language.

Every deck and the settings pass their schema as PyYAML reads them, and what `deckle` reads of them,
written down by the integration tests, is what PyYAML reads: each text, in order, at its place.

usage: check_schema.py ROOT READING
"""

import json
import sys
from pathlib import Path

import jsonschema
import yaml


def main(root, reading):
    passed = failed = 0
    for name, check in checks(Path(root), json.loads(Path(reading).read_text("utf-8"))):
        problems = check()
        passed += not problems
        failed += bool(problems)
        print(f"{'ok  ' if not problems else 'FAIL'} {name}")
        for problem in problems[:10]:
            print(f"     {problem}")
    print(f"check_schema: {passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


def checks(root, reading):
    """Names of checks, each with a function that gives a list of problems."""
    schemas = {path.name.split(".")[0]: json.loads(path.read_text("utf-8")) for path in (root / "schema").glob("*.json")}
    for name, schema in sorted(schemas.items()):
        yield f"schema/{name}: valid, and so are its examples", lambda schema=schema: examples(schema)
    paths = sorted(path.relative_to(root).as_posix() for path in (root / "decks").rglob("*.yaml"))
    yield "the reading covers every file", lambda: [] if paths == sorted(reading) else [f"{paths} {sorted(reading)}"]
    for path in paths:
        text = (root / path).read_text("utf-8")
        schema = schemas["deck" if path.endswith("/cards.yaml") else "department"]
        yield f"{path}: by the schema", lambda text=text, schema=schema: by_schema(text, schema)
        yield f"{path}: the same texts", lambda text=text, path=path: same_texts(text, reading.get(path, []))


def by_schema(text, schema):
    value = as_json(yaml.safe_load(text))
    return [f"{error.json_path}: {error.message}" for error in validator(schema).iter_errors(value)]


def as_json(value):
    """The value with dates as text, as editors hand it on."""
    return json.loads(json.dumps(value, default=str))


def validator(schema):
    kind = jsonschema.Draft202012Validator
    return kind(schema, format_checker=kind.FORMAT_CHECKER)


def examples(schema):
    jsonschema.Draft202012Validator.check_schema(schema)
    problems = []
    parts = [schema]
    while parts:
        part = parts.pop()
        if isinstance(part, list):
            parts.extend(part)
        if not isinstance(part, dict):
            continue
        parts.extend(value for name, value in part.items() if name != "examples")
        if isinstance(part.get("examples"), list):
            own = validator({**part, "$defs": schema.get("$defs", {})})
            problems += [f"{example}: {error.message}" for example in part["examples"] for error in own.iter_errors(example)]
    return problems


def same_texts(text, read):
    ours = list(scalars(yaml.compose(text, Loader=yaml.SafeLoader)))
    if len(ours) != len(read):
        return [f"{len(read)} texts, where PyYAML has {len(ours)}"]
    return [problem for node, scalar in zip(ours, read) if (problem := difference(node, scalar))]


def scalars(node):
    """All texts in order, names of fields included."""
    if isinstance(node, yaml.ScalarNode):
        yield node
    elif isinstance(node, yaml.SequenceNode):
        for item in node.value:
            yield from scalars(item)
    else:
        for name, value in node.value:
            yield from scalars(name)
            yield from scalars(value)


def difference(node, scalar):
    # What PyYAML takes for a number, a date or a truth value is text as well before it is resolved.
    line = node.start_mark.line + 1
    if node.value != scalar["says"]:
        return f"line {line}: {scalar['says']!r}, where PyYAML has {node.value!r}"
    if scalar["in_lines"]:
        return None
    places = [(mark.line + 1, mark.column + 1) for mark in (node.start_mark, node.end_mark)]
    found = [(place["line"], place["column"]) for place in (scalar["start"], scalar["end"])]
    return None if places == found else f"line {line}: {node.value!r} at {found}, where PyYAML has {places}"


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
