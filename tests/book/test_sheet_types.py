"""The sheet's types as the page has them (web/types/sheet.d.ts) against what real logs fold to, name by name."""

import re
from collections import defaultdict
from collections.abc import Iterator
from typing import Any

import pytest

from book.test_phone import JOB, TOP, examples
from book.test_unsure import chosen_moves
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request

INTERFACE = re.compile(r"^export interface (\w+)(?: extends (\w+))? \{\n(.*?)^\}", re.M | re.S)
FIELD = re.compile(r"^  (\w+): ", re.M)
CARDS = ("about", "car", "known", "target")
"""Cards are bodies of entries, which openapi/bothends.json describes."""


def declared() -> dict[str, set[str]]:
    """The names of every interface of the file, with those of what it extends."""
    text = (TOP / "web/types/sheet.d.ts").read_text(encoding="utf-8")
    found: dict[str, set[str]] = {}
    for name, parent, fields in INTERFACE.findall(text):
        found[name] = set(FIELD.findall(fields)) | found.get(parent, set())
    return found


def kept(row: dict[str, Any], bodies: dict[str, dict[str, Any]]) -> set[str]:
    """The names of a row that its entry's body does not have."""
    return set(row) - set(bodies[row["id"]]) | {"id", "at", "device", "writer"}


def parts(entries: list[dict[str, Any]]) -> Iterator[tuple[str, set[str]]]:
    """Every named part of what a log folds to: the name of its interface, and the names in it."""
    sheet = fold(JOB, entries)
    bodies = {entry["id"]: entry["body"] for entry in entries if isinstance(entry.get("body"), dict)}
    yield "Sheet", set(sheet)
    for where, name in (("readings", "Chained"), ("moves", "Numbered"), ("struck", "Struck")):
        yield from ((name, kept(row, bodies)) for row in sheet[where])
    for where in ("plans", "notes", "steps", "settlements"):
        yield from (("Row", kept(row, bodies)) for row in sheet[where])
    for where, name in (("conflicts", "Conflict"), ("waiting", "Waiting"), ("puzzles", "Puzzle")):
        yield from ((name, set(row)) for row in sheet[where])
    yield from (("Clock", set(row)) for row in sheet["clocks"])
    yield "Erased", set(sheet["erased"])
    yield from (("Unsure", set(row)) for row in sheet["unsure"])
    yield from (("Said", set(said)) for row in sheet["conflicts"] for said in row["values"])
    asked = request(sheet)
    yield "Request", set(asked)
    yield from (("Stop", set(stop)) for stop in asked["stops"])
    for stage in stages(sheet):
        yield "Stage", set(stage)
        for where, name in (("promised", "Promised"), ("reached", "Reached"), ("settled", "Settled")):
            if stage[where] is not None:
                yield name, set(stage[where])
    for happened in timeline(sheet):
        if happened["row"].get("came"):
            yield "Came", set(happened["row"]["came"])


@pytest.fixture(scope="module")
def seen() -> dict[str, set[frozenset[str]]]:
    """The names that each part was seen with."""
    out: dict[str, set[frozenset[str]]] = defaultdict(set)
    for entries in [*examples(150), chosen_moves().entries]:
        # One that only a newer app understands, in every log.
        erasure = {"id": "erasure", "job": JOB, "device": "d", "at": "", "kind": "erase", "body": {}}
        newer = {"id": "newer", "job": JOB, "device": "d", "at": "", "kind": "hologram", "body": {}}
        for name, names in parts([*entries, newer, erasure]):
            out[name].add(frozenset(names))
    return out


@pytest.mark.slow(seconds=0.3)
@pytest.mark.parametrize("name", sorted(declared().keys() - {"Folded"}))
def test_what_a_log_folds_to_has_the_names_that_the_page_believes_in(seen, name):
    assert seen[name] == {frozenset(declared()[name])}
