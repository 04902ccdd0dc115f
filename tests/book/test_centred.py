"""Readings with the other axle carried amidships in the book: asked of the model, and never a plain height."""

import msgspec
import pytest

from book.pages import JOB, Page
from bothends.book.entries import read as read_entry
from bothends.book.sheet.fold import fold
from bothends.book.sheet.kinds import SCHEMA, puzzle, stands
from bothends.book.sheet.outcome import stages
from bothends.book.sheet.request import request

CENTRED = {"centred": True}


def read_so(page: Page, teardown: int = 0, **more) -> Page:
    """Both heights with the other axle on a block, 20 mm apart."""
    for side, value in (("left", 200.0), ("right", 220.0)):
        page.write(
            "reading",
            {
                "what": "body-height",
                "side": side,
                "value": value,
                "teardown": teardown,
                "pose": CENTRED,
                **more,
            },
        )
    return page


def visit() -> Page:
    page = Page()
    page.write("target", {"left_mm": 215.0, "right_mm": 215.0})
    for side in ("left", "right"):
        page.write("reading", {"what": "body-height", "side": side, "value": 215.0, "teardown": 0})
    return page


def test_the_solver_is_told_that_the_other_axle_was_on_a_block():
    log = request(fold(JOB, read_so(visit()).entries))["request"]["log"]
    assert [entry.get("pose") for entry in log] == [None, None, CENTRED, CENTRED]


def test_such_heights_are_neither_as_found_nor_reached_and_decide_no_verdict():
    page = visit()
    plain = stages(fold(JOB, page.entries))
    assert stages(fold(JOB, read_so(page).entries)) == plain
    page.move(1, (0, 1))
    read_so(page, 1)
    sheet = fold(JOB, page.entries)
    last = stages(sheet)[-1]
    assert last["reached"] == {"left_mm": None, "right_mm": None, "lean_mm": None}
    assert last["hit"] is None
    # The job waits for the heights on all its wheels.
    assert sheet["state"] == "torn down"
    for side in ("left", "right"):
        page.write("reading", {"what": "body-height", "side": side, "value": 215.0, "teardown": 1})
    sheet = fold(JOB, page.entries)
    assert stages(sheet)[-1]["hit"] is True
    assert sheet["state"] == "checked"


def test_a_reader_that_knows_no_such_pose_lists_it_as_not_understood():
    (entry,) = [e for e in read_so(Page()).entries if e["body"].get("side") == "left"]
    assert entry["schema"] == 5 <= SCHEMA
    assert puzzle(entry) == ""


@pytest.mark.parametrize("said", ["yes", 1, []])
def test_a_pose_said_in_no_known_way_is_not_understood_and_fails_nothing(said):
    page = visit()
    entry = page.write(
        "reading", {"what": "body-height", "side": "left", "value": 214.0, "pose": {"centred": said}}
    )
    assert [row["id"] for row in fold(JOB, page.entries)["puzzles"]] == [entry["id"]]


def test_the_shop_takes_what_a_phone_writes_of_it():
    for entry in read_so(visit()).entries:
        assert read_entry(msgspec.json.encode(entry))["body"] == entry["body"]


def test_a_car_with_ballast_stands_on_all_its_wheels_and_one_on_a_block_does_not():
    assert stands({"pose": {"ballast_left_kg": 60.0, "hanging": False}})
    for pose in (CENTRED, {"hanging": True}, {"board_right_mm": 50.0}):
        assert not stands({"pose": pose})
