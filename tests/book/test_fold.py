"""The sheet of a job: a pure function of the set of its entries, whatever they are and however they came."""

import copy
import itertools
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from book.pages import JOB, Page, an_id, entry_lists, messy_entries
from bothends.book.sheet.cards import merged
from bothends.book.sheet.fold import fold
from bothends.book.sheet.kinds import SCHEMA, schema_of
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request


@pytest.mark.slow(seconds=2)
@given(entry_lists(), st.randoms(use_true_random=False))
def test_any_order_and_any_repetition_give_the_same_sheet(entries, random):
    shuffled = copy.deepcopy(entries) + copy.deepcopy(random.choices(entries, k=5) if entries else [])
    random.shuffle(shuffled)
    assert json.dumps(fold(JOB, shuffled)) == json.dumps(fold(JOB, entries))


@pytest.mark.slow(seconds=2)
@given(entry_lists(), st.data())
def test_chunks_taken_in_any_order_into_two_copies_end_equal(entries, data):
    """Three peers: a phone, the shop, home; each gets every chunk at its own time, some twice."""
    cuts = sorted(data.draw(st.lists(st.integers(0, len(entries)), max_size=4)))
    edges = [0, *cuts, len(entries)]
    chunks = [entries[a:b] for a, b in itertools.pairwise(edges)]
    sheets = []
    for _ in range(3):
        log: list = []
        for chunk in data.draw(st.permutations(chunks)):
            log += chunk
            fold(JOB, log)
            log += chunk
        sheets.append(fold(JOB, log))
    assert sheets[0] == sheets[1] == sheets[2]


@given(st.lists(messy_entries() | st.none() | st.integers(), max_size=8))
def test_no_entry_however_odd_makes_a_sheet_fail(entries):
    sheet = fold(JOB, entries)
    json.dumps([sheet, request(sheet), stages(sheet), timeline(sheet)])
    assert len(sheet["puzzles"]) <= sheet["entries"]


@pytest.mark.slow(seconds=2)
@given(entry_lists())
def test_folding_changes_nothing_that_it_was_given(entries):
    before = copy.deepcopy(entries)
    sheet = fold(JOB, entries)
    request(sheet)
    timeline(sheet)
    assert entries == before


@given(entry_lists())
def test_every_reading_is_on_the_sheet_or_named_as_struck_corrected_or_dropped(entries):
    sheet = fold(JOB, entries)
    # Of the other axle only loads are read.
    puzzles = {row["id"] for row in sheet["puzzles"]}
    accounted = {row["id"] for row in sheet["struck"]} | puzzles
    for row in sheet["readings"]:
        accounted |= {row["id"], *row["corrected"]}
    by_id = {e["id"]: e for e in entries}
    roots = {row["id"] for row in sheet["struck"]}
    for e in entries:
        if e["kind"] == "reading" and e["id"] not in accounted:
            settled = {d for s in entries if s["kind"] == "settle" for d in s["body"]["drops"]}
            chain, name = set(), e["id"]
            while name in by_id and name not in chain:
                chain.add(name)
                name = by_id[name]["body"].get("corrects")
            chain.add(name)
            # A correction that was dropped for another chain does not bring back what it had corrected.
            below = {e["id"]}
            for _ in entries:
                below |= {c["id"] for c in entries if c["body"].get("corrects") in below}
            struck = {s["body"]["entry"] for s in entries if s["kind"] == "strike"}
            assert chain & (settled | roots | struck) or below & (settled | puzzles)


def test_cards_add_to_one_another_and_null_takes_a_value_back():
    page = Page()
    page.write("car", {"bar": {"diameter_mm": 22.0, "bore_mm": 8.0}, "arm_mm": 415.0})
    page.write("car", {"bar": {"bore_mm": None, "length_mm": 600.0}, "trim": {"new": 1}})
    assert fold(JOB, page.entries)["car"] == {
        "bar": {"diameter_mm": 22.0, "length_mm": 600.0},
        "arm_mm": 415.0,
        "trim": {"new": 1},
    }


def aim(*bodies):
    page = Page()
    for body in bodies:
        page.write("target", body, schema=schema_of("target", body))
    return fold(JOB, page.entries)["target"]


RISE = {"as": "rise", "left_rise_mm": 100.0, "right_rise_mm": 90.0}


def test_a_target_that_says_its_form_begins_anew_and_keeps_only_tolerances():
    before = {"left_mm": 250.0, "right_mm": 250.0, "tolerance_mm": 3.0, "lean_mm": 2.0}
    more = {"spot": "bay 2", "measured": "hub-to-body", "ballast_left_kg": 60.0}
    assert aim({**before, **more}, RISE) == {**RISE, "tolerance_mm": 3.0, "lean_mm": 2.0}
    assert aim(before, {**RISE, "tolerance_mm": 8.0, "lean_mm": None}) == {**RISE, "tolerance_mm": 8.0}


def test_heights_from_an_older_phone_begin_a_target_of_another_form_anew():
    heights = {"left_mm": 250.0, "right_mm": 250.0}
    assert aim({**RISE, "lean_mm": 2.0}, heights) == {**heights, "lean_mm": 2.0}
    hub = {"as": "heights", "left_mm": 190.0, "right_mm": 190.0, "measured": "hub-to-body"}
    assert aim(hub, heights) == heights


def test_any_other_entry_about_the_target_patches_it():
    assert aim(RISE, {"tolerance_mm": 3.0}) == {**RISE, "tolerance_mm": 3.0}
    assert aim(RISE, {"left_rise_mm": 80.0, "left_mm": None}) == {**RISE, "left_rise_mm": 80.0}


@given(
    st.lists(
        st.dictionaries(
            st.sampled_from(["left_mm", "right_mm", "tolerance_mm", "lean_mm"]),
            st.none() | st.integers(1, 9),
            max_size=3,
        ),
        max_size=5,
    )
)
def test_targets_as_written_before_there_were_forms_mean_what_they_meant(bodies):
    expected: dict = {}
    for body in bodies:
        expected = merged(expected, body)
    assert aim(*bodies) == expected


def test_a_target_of_a_form_that_this_version_does_not_know_is_listed():
    page = Page()
    page.write("target", RISE)
    odd = page.write("target", {"as": "spirit-level", "left_mm": 3.0})
    sheet = fold(JOB, page.entries)
    assert ([p["id"] for p in sheet["puzzles"]], sheet["target"]) == ([odd["id"]], RISE)


def test_a_plan_in_degrees_or_without_a_promised_height_is_understood():
    page = Page()
    side = {"inner": None, "outer": None, "turn_deg": 8.2, "body_height_mm": None}
    page.write("plan", {"teardown": 1, "odds": 0.4, "left": side, "right": side}, schema=2)
    sheet = fold(JOB, page.entries)
    assert (sheet["puzzles"], len(sheet["plans"]), sheet["state"]) == ([], 1, "planned")


def test_a_follow_up_is_not_taken_for_hand_over_day():
    page = Page()
    page.move(1)
    page.heights(250.0, 250.0, teardown=1, after_km=300)
    assert fold(JOB, page.entries)["state"] == "torn down"
    page.heights(252.0, 251.0, teardown=1)
    assert fold(JOB, page.entries)["state"] == "checked"


def test_a_closed_job_takes_a_follow_up_without_opening_again():
    page = Page()
    page.move(1)
    page.heights(252.0, 251.0, teardown=1)
    page.write("close", {})
    page.heights(250.0, 250.0, teardown=1, after_km=300)
    sheet = fold(JOB, page.entries)
    assert (sheet["state"], len(sheet["readings"]), sheet["puzzles"]) == ("closed", 4, [])


def test_a_job_is_checked_by_the_readings_that_its_target_is_judged_by():
    page = Page()
    page.write("target", {"as": "hanging-angle", "left_deg": 22.0, "right_deg": 22.0})
    page.move(1)
    page.heights(252.0, 251.0, teardown=1)
    assert fold(JOB, page.entries)["state"] == "torn down"
    for side in ("left", "right"):
        page.reading(22.1, what="hanging-angle", side=side, teardown=1)
    assert fold(JOB, page.entries)["state"] == "checked"
    page.write("target", {"as": "level", "measured": "hub-to-body"})
    assert fold(JOB, page.entries)["state"] == "torn down"


def test_a_struck_card_is_as_if_never_written():
    page = Page()
    page.write("target", {"left_mm": 250.0})
    wrong = page.write("target", {"left_mm": 25.0})
    page.strike(wrong["id"])
    assert fold(JOB, page.entries)["target"] == {"left_mm": 250.0}


def test_merge_follows_the_examples_of_the_standard():
    # RFC 7396, appendix A (the cases whose patch is an object).
    cases = [
        ({"a": "b"}, {"a": "c"}, {"a": "c"}),
        ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
        ({"a": "b"}, {"a": None}, {}),
        ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
        ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
        ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
        ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
        ({"a": [{"b": "c"}]}, {"a": [1]}, {"a": [1]}),
        ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
        ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
    ]
    for into, patch, result in cases:
        assert merged(into, patch) == result


def test_an_entry_of_a_newer_kind_or_schema_is_listed_and_changes_nothing_else():
    page = Page()
    page.reading(214.0)
    newer = page.write("varnish", {"coat": 2})
    later = page.write("reading", {"what": "body-height", "side": "left", "value": 1.0}, schema=SCHEMA + 1)
    sheet = fold(JOB, page.entries)
    assert [p["id"] for p in sheet["puzzles"]] == [newer["id"], later["id"]]
    assert all("not understood by this version" in p["text"] for p in sheet["puzzles"])
    assert [r["value"] for r in sheet["readings"]] == [214.0]


def test_fields_this_version_does_not_know_stay_on_the_row():
    page = Page()
    page.reading(214.0, colour="red")
    assert fold(JOB, page.entries)["readings"][0]["colour"] == "red"


def test_entries_of_another_job_are_left_out():
    page, other = Page(), Page(job=an_id(2))
    other.reading(1.0)
    assert fold(JOB, page.entries + other.entries)["entries"] == 0


def test_the_last_tick_of_a_step_counts():
    page = Page()
    for done in (True, False):
        page.write("step", {"step": "chocks", "teardown": 1, "done": done})
    page.write("step", {"step": "chocks", "teardown": 2, "done": True})
    assert [(s["teardown"], s["done"]) for s in fold(JOB, page.entries)["steps"]] == [(1, False), (2, True)]


def test_a_job_moves_from_measuring_to_closed():
    page = Page()
    states = []

    def look():
        states.append(fold(JOB, page.entries)["state"])

    look()
    page.heights(214.0, 212.0)
    look()
    page.plan(1, 0.9, (-3, 4))
    look()
    page.move(1, (-3, 4))
    look()
    page.heights(249.0, 251.0, teardown=1)
    look()
    closing = page.write("close", {"text": "handed over"})
    look()
    page.strike(closing["id"])
    look()
    assert states == ["measuring", "measuring", "planned", "torn down", "checked", "closed", "checked"]
