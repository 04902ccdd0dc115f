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


def test_a_follow_up_is_a_stage_of_its_own_and_leaves_hand_over_day_alone():
    page = job(253.0, 251.0)
    before = last(page)
    page.reading(247.0, side="left", teardown=1, after_km=300)
    page.reading(246.0, side="left", teardown=1, after_km=300.0, resettled=1)
    page.reading(248.5, side="right", teardown=1, after_km=300)
    page.reading(244.0, side="left", teardown=1, after_km=40)
    found, hand_over, first, second = stages(fold(JOB, page.entries))
    assert hand_over == before
    assert (found["after_km"], hand_over["after_km"], first["after_km"], second["after_km"]) == (
        None,
        None,
        40.0,
        300.0,
    )
    assert second["reached"] == {"left_mm": 246.5, "right_mm": 248.5, "lean_mm": -2.0}
    assert second["settled"] == {"left_mm": -6.5, "right_mm": -2.5}
    assert (second["hit"], second["still_within"], second["promised"], second["move"]) == (
        None,
        True,
        None,
        None,
    )
    assert first["settled"] == {"left_mm": -9.0, "right_mm": None}
    assert first["still_within"] is None


def test_a_follow_up_says_when_the_target_is_no_longer_met():
    page = job(251.0, 251.0)
    page.heights(244.0, 246.0, teardown=1, after_km=500)
    found = stages(fold(JOB, page.entries))
    assert (found[1]["hit"], found[2]["hit"], found[2]["still_within"]) == (True, None, False)


def test_what_a_follow_up_has_settled_compares_like_with_like():
    page = Page()
    page.write("target", {**TARGET, "ballast_left_kg": 60.0})
    page.move(1)
    page.heights(250.0, 250.0, teardown=1, pose={"ballast_left_kg": 60.0})
    page.heights(255.0, 252.0, teardown=1, after_km=100)
    assert last(page)["settled"] == {"left_mm": None, "right_mm": None}
    page.heights(254.0, 252.5, teardown=1)
    assert last(page)["settled"] == {"left_mm": 1.0, "right_mm": -0.5}


def test_readings_after_a_new_settling_count_in_the_mean():
    page = job(249.0, 251.0)
    page.reading(255.0, side="left", teardown=1, resettled=1)
    assert last(page)["reached"]["left_mm"] == 252.0


def in_degrees(left, right, *, counted=True, done=((0, 0), (0, 0))):
    page = Page()
    if counted:
        page.write("car", {"bar": {"inner_teeth": 40, "outer_teeth": 44}})
    sides = {"left": {"turn_deg": left, "body_height_mm": None}, "right": {"turn_deg": right}}
    page.write("plan", {"teardown": 1, "odds": 0.4, **sides})
    page.move(1, *done)
    return page


def test_a_plan_in_degrees_was_followed_where_the_net_turn_is_within_half_a_fine_step():
    # 360 / lcm(40, 44) = 360 / 440; -3 inner and 4 outer turn 7 of these steps: 5.727 degrees.
    step = 360.0 / 440.0
    done = ((-3, 4), (0, 0))
    assert last(in_degrees(7 * step + 0.49 * step, 0.0, done=done))["followed"] is True
    assert last(in_degrees(7 * step + 0.51 * step, 0.0, done=done))["followed"] is False
    assert last(in_degrees(7 * step, step, done=done))["followed"] is False


def test_before_the_teeth_are_counted_nobody_can_say_whether_a_plan_in_degrees_was_followed():
    stage = last(in_degrees(5.7, 0.0, counted=False, done=((-3, 4), (0, 0))))
    assert (stage["followed"], stage["turned"]) == (None, [-3, 4, 0, 0])
    assert stage["promised"] == {
        "odds": 0.4,
        "left_mm": None,
        "left_sd_mm": None,
        "right_mm": None,
        "right_sd_mm": None,
    }


def test_follow_ups_come_after_hand_over_day_in_the_timeline():
    page = Page()
    page.heights(244.0, 246.0, teardown=1, after_km=500)
    page.move(1)
    page.heights(250.0, 250.0, teardown=1)
    rows = [item["row"] for item in timeline(fold(JOB, page.entries)) if item["kind"] == "reading"]
    assert [row.get("after_km") for row in rows] == [None, None, 500, 500]
