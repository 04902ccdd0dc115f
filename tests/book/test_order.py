"""The order of entries: the same everywhere, faithful to each device, indifferent to its clock."""

import random
from datetime import timedelta, timezone

from hypothesis import given
from hypothesis import strategies as st

from book.pages import START_MS, Page, an_id, entry_lists
from bothends.book.sheet.order import _minutes, canonical, ordered

YEAR_MS = 365 * 24 * 3600 * 1000


def test_a_clock_a_year_ahead_and_back_again_keeps_the_device_order_and_says_so():
    page = Page()
    for number in range(6):
        ahead = YEAR_MS if number in (1, 2, 3) else 0
        page.write("note", {"text": str(number)}, device_seq=number, ms=ahead + number)
    mixed = page.entries[:]
    random.Random(4).shuffle(mixed)
    order, notes = ordered(mixed)
    assert [e["body"]["text"] for e in order] == ["0", "1", "2", "3", "4", "5"]
    assert [n["id"] for n in notes] == [page.entries[4]["id"], page.entries[5]["id"]]
    assert "clock" in notes[0]["text"]


def test_a_clock_that_went_back_is_said_though_ids_never_go_back():
    page = Page()
    for number, at in enumerate(
        (
            "2026-09-21T10:00:00+02:00",
            "2027-09-21T10:00:00+02:00",
            "2026-09-21T10:05:00+02:00",
            "2026-09-21T09:06:00+01:00",
        )
    ):
        page.write("note", {"text": str(number)}, device_seq=number, at=at)
    assert [n["id"] for n in ordered(page.entries)[1]] == [e["id"] for e in page.entries[2:]]


def test_a_phone_that_travels_to_another_time_zone_has_not_turned_its_clock_back():
    page = Page()
    for number, at in enumerate(("2026-09-21T10:00:00+02:00", "2026-09-21T09:01:00+01:00")):
        page.write("note", {"text": str(number)}, device_seq=number, at=at)
    assert ordered(page.entries)[1] == []


@given(st.datetimes(), st.datetimes(), st.integers(-14 * 60, 14 * 60), st.integers(-14 * 60, 14 * 60))
def test_a_moment_is_reckoned_as_the_calendar_has_it(one, other, ahead, there):
    zones = [timezone(timedelta(minutes=minutes)) for minutes in (ahead, there)]
    both = [each.replace(tzinfo=zone) for each, zone in zip((one, other), zones, strict=True)]
    texts = [each.isoformat(timespec="seconds") for each in both]
    minutes = [_minutes(text) for text in texts]
    began = [each.replace(second=0, microsecond=0) for each in both]
    apart = (began[1] - began[0]) // timedelta(minutes=1)
    assert minutes[1] - minutes[0] == apart


def test_steady_clocks_give_no_note():
    page = Page()
    for number in range(4):
        page.write("note", {"text": str(number)}, device_seq=number)
    assert ordered(page.entries)[1] == []


def test_entries_of_devices_that_count_nothing_follow_their_ids():
    late, early = {"id": an_id(2, START_MS + 9)}, {"id": an_id(3, START_MS)}
    assert ordered([late, early])[0] == [early, late]


def test_of_two_contents_under_one_id_the_same_one_wins_in_either_order():
    one, other = {"id": an_id(1), "body": {"a": 1}}, {"id": an_id(1), "body": {"a": 2}}
    assert ordered([one, other])[0] == ordered([other, one])[0]


@given(entry_lists())
def test_within_a_device_the_count_always_ascends(entries):
    order, _ = ordered(entries)
    for device in ("phone-a", "phone-b", "shop"):
        counts = [e["device_seq"] for e in order if e["device"] == device and "device_seq" in e]
        assert counts == sorted(counts)


def test_numbers_that_mean_the_same_are_the_same_text_and_true_is_not_one():
    assert canonical([3.0, {"b": 1, "a": None}]) == canonical([3, {"a": None, "b": 1.0}])
    assert canonical(True) != canonical(1)
    assert canonical(0.5) != canonical(0)
