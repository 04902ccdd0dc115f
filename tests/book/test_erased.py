"""What stands of an entry once its customer was erased: no word of it, every figure."""

import json
import typing

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from book.pages import JOB, an_id, entry_lists, messy_entries
from bothends.book import bodies, entries
from bothends.book.sheet.erased import KEPT, PERSONAL, covered, erased
from bothends.book.sheet.fold import fold
from bothends.book.sheet.order import canonical
from bothends.book.sheet.outcome import stages
from bothends.book.sheet.request import request

NAME = "Maren Ólafsdóttir"
FIGURES = ("car", "target", "readings", "moves", "teardowns", "state", "plans")


def texts_in(kind) -> set[str]:
    """Names of the fields of a struct, and of the structs in it, that may hold a text."""
    found: set[str] = set()

    def walk(kind, name):
        if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
            for field in msgspec.structs.fields(kind):
                walk(field.type, field.encode_name)
        elif typing.get_origin(kind) is typing.Literal:
            if any(isinstance(choice, str) for choice in typing.get_args(kind)):
                found.add(name)
        elif kind is str:
            found.add(name)
        elif typing.get_origin(kind) is not dict:
            for inner in typing.get_args(kind):
                if not isinstance(inner, (str, msgspec.Meta)):
                    walk(inner, name)

    walk(kind, "")
    return found


def test_every_text_of_every_kind_is_said_to_stay_or_to_go():
    kinds = {
        kind.__struct_config__.tag: kind for kind in typing.get_args(entries.Entry) if isinstance(kind, type)
    }
    del kinds["erase"]
    assert set(kinds) == set(KEPT)
    for tag, kind in kinds.items():
        body = next(f.type for f in msgspec.structs.fields(kind) if f.name == "body")
        found = texts_in(body) | ({"what"} if tag == "reading" else set())
        assert found == set(KEPT[tag]) | set(PERSONAL.get(tag, ())), tag
        assert not set(KEPT[tag]) & set(PERSONAL.get(tag, ())), tag


@st.composite
def personal_logs(draw: st.DrawFn) -> list[dict]:
    """Logs with a name in every place for words, places of later versions included."""
    log = draw(entry_lists(most=12))
    for entry in log:
        if entry["kind"] == "car" and "bar" in entry["body"]:
            # A text where a number belongs is no figure, and goes.
            entry["body"]["bar"]["outer_teeth"] = 44
        # A target that says nothing but a text is no target before, nor after.
        new = () if entry["kind"] == "target" else ("caption",)
        for name in (*PERSONAL.get(entry["kind"], ()), *new):
            if draw(st.booleans()):
                entry["body"][name] = draw(st.sampled_from([NAME, f"for {NAME}", "AB 12"]))
        if draw(st.booleans()):
            entry["body"]["more"] = {"said": [NAME, 3, {"by": NAME}], "so": 4}
        if draw(st.booleans()):
            entry["writer"] = NAME
            entry["heard"] = NAME
    first = {"device": "shop", "at": "2026-09-21T10:00:00Z"}
    note = {"id": an_id(700), "job": JOB, "kind": "note", "body": {"text": NAME, "about": an_id(1)}, **first}
    return [*log, note]


def plain(value):
    """A sheet's part without words and names of writers."""
    if isinstance(value, dict):
        gone = ("label", "method", "writer", "caption", "more", "erased")
        return {name: plain(inner) for name, inner in value.items() if name not in gone}
    return [plain(inner) for inner in value] if isinstance(value, list) else value


@given(personal_logs())
def test_no_word_is_left_and_every_figure_is(log):
    left = [erased(entry) for entry in log]
    assert "Maren" not in json.dumps(left, ensure_ascii=False)
    assert [entry["id"] for entry in left] == [entry["id"] for entry in log]
    before, after = fold(JOB, log), fold(JOB, left)
    assert plain({name: before[name] for name in FIGURES}) == plain({name: after[name] for name in FIGURES})
    assert plain(stages(before)) == plain(stages(after))
    assert plain(request(before)) == plain(request(after))
    assert after["erased"] == {"id": None, "at": None, "device": None}
    assert after["owner"] == after["title"] == after["wish"] == ""


@given(messy_entries())
def test_erasing_again_changes_nothing_and_no_entry_makes_it_fail(entry):
    if not isinstance(entry["body"], (dict, type(None))):
        entry["body"] = {"value": entry["body"]}
    once = erased(entry)
    assert canonical(erased(once)) == canonical(once)
    assert fold(JOB, [once])["entries"] == fold(JOB, [entry])["entries"]


@given(personal_logs())
def test_what_is_left_may_be_sent_again_where_what_came_might(log):
    for entry in log:
        sent = {**entry, "at": "2026-09-21T10:00:00Z"}
        try:
            entries.read(msgspec.json.encode(sent))
        except (msgspec.ValidationError, entries.EntryError):
            continue
        entries.read(msgspec.json.encode(erased(sent)))


def test_a_number_of_a_car_stays_and_a_key_made_of_names_goes():
    number = an_id(9)
    for said, left in ((number, {"car_id": number}), ("gannet / maren", {}), (3, {}), (None, {})):
        card = {"id": an_id(1), "kind": "job", "body": {"owner": "Maren", "car_id": said}}
        assert erased(card)["body"] == left


def test_the_thing_itself_and_what_has_no_words_are_left_as_they_are():
    erasure = {"id": an_id(1), "kind": "erase", "body": {"entries": 3}}
    reading = {
        "id": an_id(2),
        "kind": "reading",
        "body": {"what": "body-height", "side": "left", "value": 214.0},
    }
    assert not covered(erasure, an_id(9))
    assert erased(reading) is reading


@pytest.mark.parametrize(
    ("heard", "gone"), [(None, True), (an_id(4), True), (an_id(5), False), (an_id(6), False)]
)
def test_what_was_written_in_the_knowledge_of_an_erasure_is_a_new_fact(heard, gone):
    entry = {"id": an_id(9), "kind": "note", "body": {"text": "new owner"}}
    assert covered({**entry, "erasure": heard} if heard else entry, an_id(5)) is gone
    assert not covered(entry, None)
    assert bodies.EraseBody().entries == 0
