"""What may enter the shop: typed where this version knows the kind, kept as it is where it does not."""

import json

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from book.pages import Page, entry_lists
from bothends.book.bodies import ReadingBody
from bothends.book.entries import BYTES, DEPTH, Entry, EntryError, read, same
from bothends.book.sheet.kinds import KINDS, SCHEMA, puzzle
from bothends.model import fields


def raw(entry) -> bytes:
    return json.dumps(entry).encode()


def refused(entry) -> str:
    with pytest.raises(msgspec.ValidationError) as caught:
        read(raw(entry))
    return str(caught.value)


@pytest.mark.slow(seconds=2)
@given(entry_lists())
def test_whatever_the_shop_takes_in_the_sheet_understands(entries):
    for entry in entries:
        try:
            taken = read(raw(entry))
        except msgspec.ValidationError:
            continue
        assert puzzle(taken) == ""


def test_every_kind_has_a_type():
    assert {kind.__struct_config__.tag for kind in Entry.__args__} == set(KINDS)
    tags = {kind.__struct_config__.tag for kind in ReadingBody.__args__}
    assert tags == {kind.name for kind in fields.KINDS}


def test_unknown_fields_come_through_in_the_envelope_and_in_the_body():
    entry = Page().reading(214.0, colour="red")
    entry["mood"] = {"good": True}
    assert read(raw(entry)) == entry


def test_an_unknown_kind_or_a_newer_schema_is_taken_as_it_is():
    page = Page()
    for entry in (
        page.write("varnish", {"anything": [1]}),
        page.write("move", {"teardown": "first"}, schema=SCHEMA + 1),
    ):
        assert read(raw(entry)) == entry


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"id": "x"}, "$.id"),
        ({"id": "0198b2ad-0000-4000-8000-000000000000"}, "$.id"),
        ({"job": "0198B2AD-0000-7000-8000-000000000000"}, "$.job"),
        ({"device": "phone a"}, "$.device"),
        ({"device": "phone\n"}, "$.device"),
        ({"at": "2026-09-21T10:00:00"}, "$.at"),
        ({"at": "yesterday"}, "$.at"),
        ({"kind": "Reading"}, "$.kind"),
        ({"schema": 0}, "$.schema"),
        ({"device_seq": -1}, "$.device_seq"),
        ({"body": []}, "$.body"),
        ({"body": {"what": "body-height", "side": "left", "value": "214"}}, "$.body.value"),
        ({"body": {"what": "body-height", "side": "left", "value": 5000}}, "$.body.value"),
        ({"body": {"what": "body-height", "side": "middle", "value": 214}}, "$.body.side"),
        ({"body": {"what": "mood", "side": "left", "value": 214}}, "$.body.what"),
        ({"body": {"what": "body-height", "side": "left", "value": 1, "teardown": 0.5}}, "$.body.teardown"),
    ],
)
def test_a_wrong_field_is_refused_by_its_path(change, path):
    assert refused({**Page().reading(214.0), **change}).endswith(f"at `{path}`")


def test_bounds_follow_what_was_read():
    page = Page()
    read(raw(page.reading(1500.0, what="wheel-load")))
    assert "$.body.value" in refused(page.reading(1500.0, what="hanging-angle"))


def test_a_whole_number_may_be_written_with_a_point():
    read(raw(Page().move(1.0)))  # type: ignore[arg-type]


def test_an_entry_too_large_or_nested_too_deeply_is_refused():
    page = Page()
    with pytest.raises(EntryError, match=str(BYTES)) as caught:
        read(raw(page.write("note", {"text": "x", "more": "y" * BYTES})))
    assert caught.value.code == "too-large"
    deep: list = []
    for _ in range(DEPTH):
        deep = [deep]
    with pytest.raises(EntryError) as caught:
        read(raw(page.write("note", {"text": "x", "more": deep})))
    assert caught.value.code == "too-deep"


@given(st.recursive(st.none() | st.booleans() | st.integers() | st.text(), st.lists, max_leaves=20))
def test_equal_content_is_the_same_however_it_was_written(value):
    entry = {"id": "a", "body": {"b": value, "a": 1.0}}
    shuffled = json.loads(json.dumps({"body": {"a": 1, "b": value}, "id": "a"}))
    assert same(entry, shuffled)


def test_true_is_not_one():
    assert not same({"a": True}, {"a": 1})
