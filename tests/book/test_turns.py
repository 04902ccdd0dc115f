"""Turns of adjusters beside teeth, and the axle a job is of, from the log to the request and the shop's tables."""

import pytest

from book.pages import JOB, Page
from bothends.book.sheet.fold import fold
from bothends.book.sheet.kinds import SCHEMA, puzzle
from bothends.book.sheet.outcome import stages
from bothends.book.sheet.request import request
from bothends.model.request import read

CAR = {
    "sprung": "front",
    "axle": "wishbone",
    "adjuster": {
        "kind": "screw",
        "lever_mm": 108.0,
        "pitch_mm": 1.27,
        "raise_turns": {"left": 12.0, "right": 9.0},
        "across": False,
    },
}


def screwed():
    """A front car on screws, planned, turned and read."""
    page = Page()
    page.write("car", CAR)
    page.write("target", {"left_mm": 250.0, "right_mm": 250.0})
    page.heights(240.0, 246.0)
    page.reading(22.5, what="bolt-length")
    page.reading(260.0, what="wheel-load", axle="rear")
    return page


def test_what_the_solver_gets_has_the_axle_the_adjuster_and_the_turns_of_a_side_that_has_some():
    page = screwed()
    page.adjust(1, 2.25)
    asked = request(fold(JOB, page.entries))["request"]
    assert asked["car"]["sprung"] == "front"
    assert asked["car"]["adjuster"] == CAR["adjuster"]
    assert asked["log"][-1] == {
        "kind": "move",
        "teardown": 1,
        "left": {"inner": 0, "outer": 0, "turns": 2.25},
        "right": {"inner": 0, "outer": 0},
    }
    assert [entry["what"] for entry in asked["log"][:4]] == [
        "body-height",
        "body-height",
        "bolt-length",
        "wheel-load",
    ]
    assert read(asked).moves[1][1] == ((0, 0, 2.25), (0, 0, 0.0))


def test_two_moves_of_one_number_with_other_turns_are_a_question_of_an_adjustment():
    page = screwed()
    page.adjust(1, 2.25)
    page.device = "phone-b"
    page.adjust(1, 2.5)
    (conflict,) = fold(JOB, page.entries)["conflicts"]
    assert conflict["text"] == "adjustment 1 is entered twice and the turns differ; choose one"
    assert [value["value"] for value in conflict["values"]] == [
        [0, 0, 0, 0, 2.25, 0.0],
        [0, 0, 0, 0, 2.5, 0.0],
    ]


def test_teeth_beside_turns_are_a_teardown_and_the_question_says_what_differs():
    page = screwed()
    for device, teeth, turns in (("phone-a", 1, 2.25), ("phone-b", 2, 2.5)):
        page.device = device
        page.write("move", {"teardown": 1, "left": {"outer": teeth, "turns": turns}})
    (conflict,) = fold(JOB, page.entries)["conflicts"]
    assert conflict["text"] == "teardown 1 is entered twice and the teeth and turns differ; choose one"


def test_turns_to_one_position_however_they_are_typed_are_no_question():
    page = screwed()
    page.adjust(1, 25.0 / 12.0)
    page.device = "phone-b"
    page.adjust(1, 2.08)
    assert fold(JOB, page.entries)["conflicts"] == []


def test_two_corrections_of_the_turns_of_a_move_are_a_question():
    page = screwed()
    first = page.adjust(1, 2.25)
    page.adjust(1, 2.0, corrects=first["id"])
    page.device = "phone-b"
    page.adjust(1, 1.0, corrects=first["id"])
    (conflict,) = fold(JOB, page.entries)["conflicts"]
    assert (conflict["about"], conflict["kind"]) == ("correction", "move")


def test_readings_after_turns_that_were_not_chosen_are_asked_about():
    page = screwed()
    kept = page.adjust(1, 2.25)
    page.device = "phone-b"
    lost = page.adjust(1, 3.0)
    height = page.reading(251.0, teardown=1)
    page.device = "desk"
    page.write("settle", {"keeps": kept["id"], "drops": [lost["id"]]})
    (asked,) = fold(JOB, page.entries)["unsure"]
    assert asked["readings"] == [height["id"]]
    assert asked["text"] == "read while its device had other turns for adjustment 1 than those chosen"


@pytest.mark.parametrize(
    ("turned", "followed"), [((2.25, -0.5), True), ((2.08, -0.5), False), ((2.25, 0.0), False)]
)
def test_a_plan_of_turns_was_followed_where_the_same_was_turned(turned, followed):
    page = screwed()
    both = {"left": {"inner": 0, "outer": 0, "turns": 2.25}, "right": {"inner": 0, "outer": 0, "turns": -0.5}}
    page.write("plan", {"teardown": 1, "odds": 0.9, **both})
    page.adjust(1, *turned)
    page.heights(250.0, 250.0, teardown=1)
    stage = stages(fold(JOB, page.entries))[-1]
    assert (stage["followed"], stage["turned"], stage["turns"]) == (followed, [0, 0, 0, 0], list(turned))
    assert stage["hit"] is True


def test_a_plan_of_screws_needs_no_tooth_counted():
    page = screwed()
    both = {"left": {"turns": 2.25, "turn_deg": 1.5}, "right": {"turns": 0.0, "turn_deg": 0.0}}
    entry = page.write("plan", {"teardown": 1, "odds": 0.9, "ends_disturbed": 0, **both})
    assert puzzle(entry) == ""
    page.adjust(1, 2.25)
    assert stages(fold(JOB, page.entries))[-1]["followed"] is True


def test_a_reader_that_knows_no_adjusters_lists_a_move_of_screws_as_not_understood():
    move = Page().adjust(1, 2.25)
    assert move["schema"] == 3 <= SCHEMA


def test_turns_that_are_no_number_or_beyond_reason_are_not_understood_and_fail_nothing():
    for turns in ("two", True, 1e308, [1.0]):
        page = screwed()
        move = page.write("move", {"teardown": 1, "left": {"turns": turns}})
        sheet = fold(JOB, page.entries)
        assert [row["id"] for row in sheet["puzzles"]] == [move["id"]]
        assert sheet["teardowns"] == 0


def test_only_loads_of_the_other_axle_count_and_they_stand_apart_from_the_jobs_own():
    page = screwed()
    odd = page.reading(700.0, axle="rear")
    own = page.reading(241.0, axle="front")
    sheet = fold(JOB, page.entries)
    assert [row["id"] for row in sheet["puzzles"]] == [odd["id"]]
    assert "only wheel loads" in sheet["puzzles"][0]["text"]
    assert own["id"] in [row["id"] for row in sheet["readings"]]
    assert stages(sheet)[0]["reached"]["left_mm"] == 240.5


def test_two_words_about_an_adjuster_s_thread_are_a_question_of_that_field_alone():
    page = screwed()
    page.device = "phone-b"
    page.write("car", {"adjuster": {"raise_turns": {"left": 10.0}}}, saw=[])
    (conflict,) = fold(JOB, page.entries)["conflicts"]
    assert conflict["field"] == "adjuster.raise_turns.left"
    assert conflict["text"].startswith("left raise_turns of the adjuster")
