"""What a device entered while it went by something else than what a person chose in the end; and who wrote what."""

import pytest

from book.pages import JOB, Page
from bothends.book.sheet.fold import fold


def two_moves():
    """Two devices that turned other teeth in teardown 1, each with a height after it, and a height before both."""
    page = Page()
    page.device = "phone-a"
    page.reading(200.0)
    page.move(1, (-3, 4))
    page.reading(230.0, teardown=1)
    page.device = "phone-b"
    page.reading(201.0)
    page.move(1, (-3, 5))
    page.reading(240.0, teardown=1)
    a, b = (e for e in page.entries if e["kind"] == "move")
    return page, a, b


def chosen_moves() -> Page:
    """The same, and the first one's teeth chosen."""
    page, a, b = two_moves()
    page.write("settle", {"keeps": a["id"], "drops": [b["id"]]})
    return page


def unsure(page: Page) -> list[dict]:
    return fold(JOB, page.entries)["unsure"]


def test_readings_after_a_teardown_whose_teeth_were_not_chosen_are_asked_about():
    page, a, b = two_moves()
    assert unsure(page) == []
    page.device = "desk"
    settle = page.write("settle", {"keeps": a["id"], "drops": [b["id"]]})
    (asked,) = unsure(page)
    after_b = page.entries[5]
    assert asked["readings"] == [after_b["id"]]
    assert (asked["kind"], asked["teardown"], asked["device"]) == ("move", 1, "phone-b")
    assert (asked["choice"], asked["kept"]["value"], asked["lost"]["value"]) == (
        settle["id"],
        [-3, 4, 0, 0, 0.0, 0.0],
        [-3, 5, 0, 0, 0.0, 0.0],
    )
    # Nothing is left out meanwhile, and a plan can be made.
    assert after_b["id"] in [row["id"] for row in fold(JOB, page.entries)["readings"]]


def test_the_other_choice_asks_about_the_other_devices_readings():
    page, a, b = two_moves()
    page.write("settle", {"keeps": b["id"], "drops": [a["id"]]})
    assert [asked["device"] for asked in unsure(page)] == ["phone-a"]


@pytest.mark.parametrize("how", ["holds", "corrected", "removed", "choice taken back"])
def test_the_question_ends_once_somebody_has_looked(how):
    page, a, b = two_moves()
    settle = page.write("settle", {"keeps": a["id"], "drops": [b["id"]]})
    (asked,) = unsure(page)
    (name,) = asked["readings"]
    if how == "holds":
        page.write("note", {"about": name, "checked": asked["choice"], "text": "Right"})
    elif how == "corrected":
        page.reading(231.0, teardown=1, corrects=name)
    elif how == "removed":
        page.strike(name)
    else:
        page.strike(settle["id"])
    assert unsure(page) == []


def test_what_is_read_after_the_choice_is_not_asked_about():
    page, a, b = two_moves()
    page.write("settle", {"keeps": a["id"], "drops": [b["id"]]})
    page.device = "phone-b"
    page.reading(231.0, teardown=1)
    assert len(unsure(page)[0]["readings"]) == 1


def test_the_same_teeth_entered_twice_make_nothing_unsure():
    page = Page()
    a = page.move(1, (-3, 4))
    page.device = "phone-b"
    b = page.move(1, (-3, 4))
    page.reading(240.0, teardown=1)
    page.write("settle", {"keeps": a["id"], "drops": [b["id"]]})
    assert unsure(page) == []


def cards(kind: str, one: dict, other: dict, read: dict | None = None):
    """Two say a card otherwise, the second reads something, a third picks what the first said."""
    page = Page()
    first = page.write(kind, one, saw=[])
    page.device = "phone-b"
    second = page.write(kind, other, saw=[])
    page.reading(240.0, **(read or {}))
    page.device = "desk"
    pick = page.write(kind, one, saw=[first["id"], second["id"]])
    return page, pick


@pytest.mark.parametrize("field", ["inner_teeth", "diameter_mm"])
def test_what_was_read_while_another_bar_or_count_was_believed_is_asked_about(field):
    page, pick = cards("car", {"bar": {field: 40}}, {"bar": {field: 41}})
    (asked,) = unsure(page)
    assert (asked["kind"], asked["field"], asked["choice"]) == ("car", f"bar.{field}", pick["id"])
    assert (asked["kept"]["value"], asked["lost"]["value"], len(asked["readings"])) == (40, 41, 1)


def test_another_arm_length_makes_no_reading_unsure():
    page, _ = cards("car", {"arm_mm": 400.0}, {"arm_mm": 410.0})
    assert unsure(page) == []


def test_a_height_stays_a_height_whatever_target_was_believed():
    page, _ = cards("target", {"left_mm": 250.0, "right_mm": 250.0}, {"left_mm": 260.0, "right_mm": 260.0})
    assert unsure(page) == []


def test_readings_for_a_target_that_is_met_otherwise_are_asked_about():
    other = {"as": "heights", "left_mm": 250.0, "right_mm": 250.0, "measured": "hub-to-body"}
    one = {"as": "heights", "left_mm": 250.0, "right_mm": 250.0}
    page, _ = cards("target", one, other, {"what": "hub-to-body"})
    assert [asked["kind"] for asked in unsure(page)] == ["target"]
    page, _ = cards("target", one, other)
    assert unsure(page) == []


def test_who_has_seen_the_other_and_says_otherwise_has_not_chosen_between_two():
    page = Page()
    first = page.write("car", {"bar": {"inner_teeth": 40}}, saw=[])
    page.reading(240.0)
    page.device = "phone-b"
    page.write("car", {"bar": {"inner_teeth": 41}}, saw=[first["id"]])
    assert unsure(page) == []


def test_a_row_has_the_name_of_its_writer_or_the_first_one_given_on_its_device():
    page = Page()
    page.reading(214.0)
    page.reading(215.0, side="right")
    page.entries[-1]["writer"] = "Ben"
    page.write("note", {"text": "x"}, writer="Ann")
    page.device = "phone-b"
    page.reading(216.0)
    page.device = "phone-c"
    page.write("note", {"text": "y"}, writer="")
    page.reading(217.0)
    sheet = fold(JOB, page.entries)
    assert [row["writer"] for row in sheet["readings"]] == ["Ben", "Ben", None, ""]
    assert [row["writer"] for row in sheet["notes"]] == ["Ann", ""]
    assert sheet["writers"] == {"phone-a": "Ben", "phone-c": ""}
