"""Promise and outcome of each teardown."""

from book.pages import JOB, Page
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages, timeline, within

TARGET = {"left_mm": 250.0, "right_mm": 250.0, "tolerance_mm": 5.0, "lean_mm": 5.0}


def job(left=249.0, right=251.0, *, teeth=((-3, 4), (0, 1)), planned=None):
    page = Page()
    page.write("target", TARGET)
    page.heights(214.0, 210.0)
    page.plan(1, 0.91, *(planned or teeth), heights=(249.6, 250.2), target=TARGET)
    page.move(1, *teeth)
    page.heights(left, right, teardown=1)
    return page


def last(page):
    return stages(fold(JOB, page.entries))[-1]


def test_a_stage_holds_promise_and_outcome_side_by_side():
    stage = last(job())
    assert stage["promised"] == {
        "odds": 0.91,
        "left_mm": 249.6,
        "left_sd_mm": 1.8,
        "right_mm": 250.2,
        "right_sd_mm": 1.8,
    }
    assert stage["reached"] == {"left_mm": 249.0, "right_mm": 251.0, "lean_mm": -2.0}
    assert (stage["turned"], stage["followed"], stage["hit"]) == ([-3, 4, 0, 1], True, True)


def test_height_and_lean_each_decide():
    assert last(job(255.0, 251.0))["hit"] is True
    assert last(job(255.1, 251.0))["hit"] is False
    assert last(job(247.0, 252.1))["hit"] is False


def test_without_both_heights_there_is_no_outcome():
    page = Page()
    page.write("target", TARGET)
    page.move(1)
    page.reading(250.0, teardown=1)
    assert last(page)["hit"] is None


def test_repeats_are_averaged_and_boards_and_ballast_left_out():
    page = job(249.0, 251.0)
    page.reading(251.0, side="left", teardown=1)
    page.reading(290.0, side="left", teardown=1, pose={"board_left_mm": 50.0})
    page.reading(230.0, side="left", teardown=1, pose={"ballast_left_kg": 40.0})
    assert last(page)["reached"]["left_mm"] == 250.0


def test_the_lean_counts_from_the_lean_that_was_wanted():
    target = {"left_mm": 250.0, "right_mm": 240.0}
    assert within({"left": 251.0, "right": 241.0}, target) is True
    assert within({"left": 254.0, "right": 238.0}, target) is False


def test_the_target_promised_is_the_one_judged_by():
    page = job()
    page.write("target", {"left_mm": 200.0, "right_mm": 200.0})
    assert last(page)["hit"] is True


def test_turning_other_teeth_than_planned_is_said():
    assert last(job(planned=((1, 0), (1, 0))))["followed"] is False


def test_the_plan_that_was_turned_is_the_promise_even_when_another_was_made_later():
    page = Page()
    page.write("target", TARGET)
    page.plan(1, 0.8, (1, 0))
    page.plan(1, 0.6, (2, 0))
    page.move(1, (1, 0))
    assert last(page)["promised"]["odds"] == 0.8


def test_a_move_may_name_its_plan():
    page = Page()
    page.write("target", TARGET)
    named = page.plan(1, 0.8, (1, 0))
    page.plan(1, 0.6, (1, 0))
    page.move(1, (1, 0), plan=named["id"])
    assert last(page)["promised"]["odds"] == 0.8


def test_the_timeline_follows_the_work_not_the_clocks():
    page = job()
    page.entries.reverse()
    for number, entry in enumerate(page.entries):
        entry["id"] = entry["id"][:-3] + f"{number:03x}"
    kinds = [(item["kind"], item["row"].get("teardown", 0)) for item in timeline(fold(JOB, page.entries))]
    assert kinds == [
        ("reading", 0),
        ("reading", 0),
        ("plan", 1),
        ("move", 1),
        ("reading", 1),
        ("reading", 1),
    ]


def test_a_plan_in_the_timeline_says_what_came():
    plan = next(i["row"] for i in timeline(fold(JOB, job().entries)) if i["kind"] == "plan")
    assert plan["came"] == {"left_mm": 249.0, "right_mm": 251.0, "hit": True, "followed": True}


def test_angles_are_taken_off_their_datum_and_left_out_without_one_against_gravity():
    page = Page()
    page.reading(11.2, what="hanging-angle", side="left", datum=8.0)
    page.reading(3.4, what="hanging-angle", side="left")
    page.reading(30.0, what="hanging-angle", side="left", reference="gravity")
    assert abs(stages(fold(JOB, page.entries))[0]["hanging_deg"]["left"] - 3.3) < 1e-9
