"""Two axles in one job, from the log to the request: what is read and turned at the other axle stands apart."""

import msgspec
import pytest

from book.pages import JOB, Page
from bothends.book.entries import read as read_entry
from bothends.book.sheet.fold import fold
from bothends.book.sheet.kinds import SCHEMA, puzzle
from bothends.book.sheet.outcome import stages, timeline
from bothends.book.sheet.request import request
from bothends.model.request import read

OTHER = {"bar": {"inner_teeth": 40, "outer_teeth": 44}, "arm_mm": 380.0}


def turned():
    """A job of the rear: read at both axles, turned at the front, read again, turned at the rear."""
    page = Page()
    page.write("car", {"bar": {"inner_teeth": 40, "outer_teeth": 44}, "other": OTHER})
    page.write("target", {"left_mm": 250.0, "right_mm": 250.0})
    page.heights(240.0, 246.0)
    page.heights(600.0, 610.0, axle="front")
    page.move(1, (0, 1), axle="front")
    page.heights(247.0, 239.0, teardown=1)
    page.plan(2, 0.9, (0, 0), (-1, 2))
    page.move(2, (0, 0), (-1, 2))
    page.heights(250.0, 250.0, teardown=2)
    return page


def test_what_the_solver_gets_says_of_both_axles_and_names_the_one_of_each_entry():
    sheet = fold(JOB, turned().entries)
    assert sheet["puzzles"] == []
    asked = request(sheet)
    assert asked["stops"] == []
    assert asked["request"]["car"]["other"] == OTHER
    moves = [e for e in asked["request"]["log"] if e["kind"] == "move"]
    assert [(e["teardown"], e.get("axle")) for e in moves] == [(1, "front"), (2, None)]
    case = read(asked["request"])
    assert case.pair is not None
    assert [r.value for r in case.pair.readings] == [0.6, 0.61]
    assert case.elsewhere == {1: True}
    assert case.pair.elsewhere == {2: True}


def test_nothing_said_of_the_front_but_that_it_counts_is_enough():
    page = turned()
    page.write("car", {"other": dict.fromkeys(OTHER)})
    assert request(fold(JOB, page.entries))["request"]["car"]["other"] == {}


def test_readings_and_moves_of_the_front_stand_apart_from_those_that_the_job_is_judged_by():
    sheet = fold(JOB, turned().entries)
    assert [move["teardown"] for move in sheet["moves"]] == [2]
    assert [move["teardown"] for move in sheet["other"]["moves"]] == [1]
    assert {row["axle"] for row in sheet["other"]["readings"]} == {"front"}
    assert sheet["teardowns"] == 2
    assert sheet["state"] == "checked"
    found, front, rear = stages(sheet)
    assert found["reached"]["left_mm"] == 240.0
    # What is turned at the front was not to bring the rear on target.
    assert (front["reached"]["left_mm"], front["turned"], front["hit"]) == (247.0, None, None)
    assert (rear["turned"], rear["hit"]) == ([0, 0, -1, 2], True)
    assert len([e for e in timeline(sheet) if e["row"].get("axle") == "front"]) == 3


def test_a_number_that_moves_of_both_axles_bear_is_a_question():
    page = turned()
    page.device = "phone-b"
    page.move(1, (0, 1))
    (conflict,) = fold(JOB, page.entries)["conflicts"]
    assert conflict["about"] == "teardown"
    assert conflict["text"] == "teardown 1 is entered twice and the axles differ; choose one"


def test_a_move_that_names_the_job_s_own_axle_is_the_same_as_one_that_names_none():
    page = turned()
    page.move(2, (0, 0), (-1, 2), axle="rear")
    sheet = fold(JOB, page.entries)
    assert sheet["conflicts"] == []
    assert [move["teardown"] for move in sheet["moves"]] == [2]


def test_while_the_car_says_nothing_of_the_front_its_moves_are_listed_and_not_used():
    page = turned()
    page.write("car", {"other": None})
    sheet = fold(JOB, page.entries)
    assert len(sheet["puzzles"]) == 3
    assert sheet["other"] == {"readings": [], "moves": [], "hit": None}
    assert [stop["code"] for stop in request(sheet)["stops"]] == ["missing-move"]


def test_a_reader_that_knows_moves_of_one_axle_lists_one_that_names_another_as_not_understood():
    move = Page().move(1, (0, 1), axle="front")
    assert move["schema"] == 4 <= SCHEMA
    assert puzzle(move) == ""


@pytest.mark.parametrize("axle", ["middle", 1])
def test_an_axle_that_no_car_has_is_not_understood_and_fails_nothing(axle):
    page = turned()
    move = page.move(3, (0, 1), axle=axle)
    assert [row["id"] for row in fold(JOB, page.entries)["puzzles"]] == [move["id"]]


def test_the_shop_takes_what_a_phone_writes_of_the_front():
    for entry in turned().entries:
        assert read_entry(msgspec.json.encode(entry))["body"] == entry["body"]


FRONT = {"left_mm": 600.0, "right_mm": 600.0}


def both_wanted(page, **front):
    """The job of the rear with a target of the front beside its own."""
    page.write("target", {"other": front or FRONT})
    return page


def test_a_target_of_both_axles_is_kept_and_asked_for_together():
    sheet = fold(JOB, both_wanted(turned()).entries)
    assert sheet["target"] == {"left_mm": 250.0, "right_mm": 250.0, "other": FRONT}
    asked = request(sheet)["request"]
    assert asked["target"] == sheet["target"]
    case = read(asked)
    assert case.wish.other is not None
    assert case.wish.other.heights == (0.6, 0.6)


def test_what_is_wanted_of_the_front_stays_when_the_target_of_the_rear_is_changed():
    page = both_wanted(turned())
    page.write("target", {"as": "level", "at": "mean"})
    sheet = fold(JOB, page.entries)
    assert sheet["target"] == {"as": "level", "at": "mean", "other": FRONT}


def test_another_form_of_the_front_s_target_begins_that_anew_and_keeps_its_tolerances():
    page = both_wanted(turned(), **FRONT, tolerance_mm=4.0)
    page.write("target", {"other": {"as": "rise", "left_rise_mm": 20.0, "right_rise_mm": 20.0}})
    target = fold(JOB, page.entries)["target"]
    assert target["other"] == {
        "as": "rise",
        "left_rise_mm": 20.0,
        "right_rise_mm": 20.0,
        "tolerance_mm": 4.0,
    }
    page.write("target", {"other": {"tolerance_mm": None}})
    assert "tolerance_mm" not in fold(JOB, page.entries)["target"]["other"]


@pytest.mark.parametrize("taken", [lambda page, entry: page.write("target", {"other": None}), None])
def test_a_target_of_the_front_is_taken_back_or_removed_like_any_other(taken):
    page = turned()
    entry = page.write("target", {"other": FRONT})
    if taken:
        taken(page, entry)
    else:
        page.strike(entry["id"])
    sheet = fold(JOB, page.entries)
    assert sheet["target"] == {"left_mm": 250.0, "right_mm": 250.0}
    assert "other" not in request(sheet)["request"]["target"]


def test_a_form_that_no_plan_of_both_has_leaves_the_front_s_target_on_the_card_alone():
    page = both_wanted(turned())
    page.write("target", {"as": "hanging-angle", "left_deg": 20.0, "right_deg": 20.0})
    sheet = fold(JOB, page.entries)
    assert sheet["target"]["other"] == FRONT
    asked = request(sheet)["request"]
    assert "other" not in asked["target"]
    read(asked)


def test_while_the_car_says_nothing_of_the_front_one_axle_is_planned():
    page = Page()
    page.write("target", {"left_mm": 250.0, "right_mm": 250.0, "other": FRONT})
    page.heights(240.0, 246.0)
    asked = request(fold(JOB, page.entries))["request"]
    assert "other" not in asked["target"]
    read(asked)


def test_targets_of_the_front_entered_apart_are_a_question_and_a_pick_ends_it():
    page = turned()
    (own,) = [entry["id"] for entry in page.entries if entry["kind"] == "target"]
    first = page.write("target", {"other": FRONT}, saw=[own])
    second = page.write("target", {"other": {"left_mm": 610.0, "right_mm": 610.0}}, saw=[own])
    (conflict,) = fold(JOB, page.entries)["conflicts"]
    assert (conflict["about"], conflict["kind"]) == ("card", "target")
    page.write("target", {"other": FRONT}, saw=[first["id"], second["id"]])
    assert fold(JOB, page.entries)["conflicts"] == []


@pytest.mark.parametrize("other", [3, "front", [1], {"as": "hanging-angle"}, {"as": "lowest"}])
def test_a_target_of_the_front_that_no_plan_has_is_not_understood_and_fails_nothing(other):
    page = turned()
    entry = page.write("target", {"other": other})
    sheet = fold(JOB, page.entries)
    assert [row["id"] for row in sheet["puzzles"]] == [entry["id"]]
    assert sheet["target"] == {"left_mm": 250.0, "right_mm": 250.0}


def test_a_reader_that_knows_targets_of_one_axle_lists_one_of_both_as_not_understood():
    entry = Page().write("target", {"other": FRONT})
    assert entry["schema"] == SCHEMA == 6
    assert puzzle(entry) == ""
    assert read_entry(msgspec.json.encode(entry))["body"] == entry["body"]


def test_a_bound_of_the_front_s_target_is_checked_where_it_enters_the_shop():
    entry = Page().write("target", {"other": {"left_mm": -5000.0}})
    with pytest.raises(msgspec.ValidationError, match="left_mm"):
        read_entry(msgspec.json.encode(entry))


def test_whether_the_front_is_on_its_target_goes_by_its_heights_since_the_last_move_of_either_axle():
    page = both_wanted(turned())
    assert fold(JOB, page.entries)["other"]["hit"] is None
    page.heights(601.0, 597.0, axle="front", teardown=2)
    assert fold(JOB, page.entries)["other"]["hit"] is True
    page.heights(640.0, 640.0, axle="front", teardown=2)
    assert fold(JOB, page.entries)["other"]["hit"] is False


def test_a_rise_of_the_front_is_judged_against_the_front_as_found():
    page = both_wanted(turned(), **{"as": "rise", "left_rise_mm": 20.0, "right_rise_mm": 10.0})
    page.heights(620.0, 620.0, axle="front", teardown=2)
    assert fold(JOB, page.entries)["other"]["hit"] is True
    page.strike(page.entries[4]["id"])
    assert fold(JOB, page.entries)["other"]["hit"] is None


def test_of_a_target_of_both_every_stage_says_whether_the_rear_is_on_its_own():
    front = stages(fold(JOB, both_wanted(turned()).entries))[1]
    assert (front["turned"], front["hit"]) == (None, False)
