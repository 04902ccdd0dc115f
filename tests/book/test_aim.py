"""What a target comes to on a car as found, and whether the car as read meets it."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from book.pages import JOB, Page
from bothends.book.sheet.aim import Means, as_found, cross, found_first, resolved, verdict
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages
from bothends.book.sheet.request import request
from bothends.model.fields import field, kind
from bothends.model.solve import solve
from bothends.model.wish import Wish

FOUND = {"left": 152.0, "right": 171.0}
HEIGHT = st.floats(1.0, 3000.0)


def rows(page):
    return fold(JOB, page.entries)["readings"]


@pytest.mark.parametrize(
    ("target", "left", "right"),
    [
        ({"as": "rise", "left_rise_mm": 100.0, "right_rise_mm": -20.0}, 252.0, 151.0),
        ({"as": "level"}, 171.0, 171.0),
        ({"as": "level", "at": "lower", "rise_mm": 10.0}, 162.0, 162.0),
        ({"as": "level", "at": "mean"}, 161.5, 161.5),
        ({"as": "level", "at": "higher", "rise_mm": 100}, 271.0, 271.0),
        ({"as": "heights", "left_mm": 250.0, "right_mm": 240.0}, 250.0, 240.0),
        ({"as": "hanging-angle", "left_deg": 22.0, "right_deg": 22.0}, None, None),
    ],
)
def test_a_target_comes_to_heights_on_the_car_as_found(target, left, right):
    found = resolved(target, FOUND)
    assert (found["left_mm"], found["right_mm"]) == (left, right)
    assert {name: found[name] for name in target} == target


def test_a_rise_of_a_side_that_was_not_read_comes_to_no_height():
    rise = {"as": "rise", "left_rise_mm": 100.0, "right_rise_mm": 100.0}
    found = resolved(rise, {"left": 152.0, "right": None})
    assert (found["left_mm"], found["right_mm"]) == (252.0, None)
    level = resolved({"as": "level"}, {"left": 152.0, "right": None})
    assert (level["left_mm"], level["right_mm"]) == (None, None)


def test_heights_that_the_model_worked_out_go_before_those_read():
    kept = {"as": "level", "rise_mm": 100.0, "left_mm": 268.4, "right_mm": 268.4}
    assert resolved(kept, FOUND) == kept


def test_as_found_is_the_mean_of_plain_readings_before_any_teardown():
    page = Page()
    page.heights(150.0, 170.0)
    page.reading(154.0, resettled=1)
    page.reading(181.0, pose={"board_left_mm": 50.0})
    page.reading(140.0, pose={"ballast_left_kg": 60.0})
    page.reading(199.0, pose={"hanging": True})
    page.reading(148.0, after_km=100)
    page.reading(250.0, teardown=1)
    page.reading(120.0, what="hub-to-body")
    assert as_found(found_first(rows(page)), {"as": "level"}) == {"left": 152.0, "right": 170.0}
    assert as_found(found_first(rows(page)), {"as": "level", "ballast_left_kg": 60.0}) == {
        "left": 140.0,
        "right": None,
    }
    assert as_found(found_first(rows(page)), {"as": "level", "measured": "hub-to-body"}) == {
        "left": 120.0,
        "right": None,
    }


def test_a_height_is_judged_with_the_ballast_of_the_target_only():
    page = Page()
    loaded = {"pose": {"ballast_left_kg": 60.0, "ballast_right_kg": 20.0}}
    target = {"left_mm": 250.0, "right_mm": 250.0, "ballast_left_kg": 60.0, "ballast_right_kg": 20.0}
    page.heights(250.0, 250.0, teardown=1)
    assert verdict(Means(rows(page)), target) is None
    page.heights(240.0, 249.0, teardown=1, **loaded)
    assert verdict(Means(rows(page)), target) is False
    assert verdict(Means(rows(page)), {"left_mm": 250.0, "right_mm": 250.0}) is True


def test_a_height_of_the_hub_is_judged_by_the_hub():
    page = Page()
    page.heights(250.0, 250.0, teardown=1)
    target = {"left_mm": 190.0, "right_mm": 190.0, "measured": "hub-to-body"}
    assert verdict(Means(rows(page)), target) is None
    for side, value in (("left", 188.0), ("right", 191.0)):
        page.reading(value, what="hub-to-body", side=side, teardown=1)
        page.reading(300.0, what="hub-to-body", side=side, teardown=1, pose={"hanging": True})
    assert verdict(Means(rows(page)), target) is True


@pytest.mark.parametrize(
    ("left", "right", "met"),
    [(22.7, 21.3, True), (22.9, 22.0, False), (22.0, 21.1, False), (22.0, None, None)],
)
def test_hanging_angles_are_judged_each_for_itself_and_lean_does_not_count(left, right, met):
    page = Page()
    for side, value in (("left", left), ("right", right)):
        if value is not None:
            page.reading(value, what="hanging-angle", side=side, teardown=1)
    assert verdict(Means(rows(page)), {"as": "hanging-angle", "left_deg": 22.0, "right_deg": 22.0}) is met


@given(HEIGHT, HEIGHT, st.floats(-20.0, 20.0), st.sampled_from(["higher", "lower", "mean"]))
def test_a_car_read_where_its_target_lies_is_on_target(left, right, rise, at):
    found = {"left": left, "right": right}
    target = resolved({"as": "level", "at": at, "rise_mm": rise}, found)
    assert min(found.values()) + rise - 1e-9 <= target["left_mm"] <= max(found.values()) + rise + 1e-9
    assume(1.0 <= target["left_mm"] <= 3000.0)
    page = Page()
    page.heights(target["left_mm"], target["right_mm"], teardown=1)
    assert verdict(Means(rows(page)), target) is True
    beyond = field("target.tolerance_mm").default + 0.1
    page.heights(target["left_mm"] + 2 * beyond, target["right_mm"], teardown=1)
    assert verdict(Means(rows(page)), target) is False


def test_a_stage_has_the_heights_that_its_target_comes_to():
    page = Page()
    page.write("target", {"as": "level", "rise_mm": 100.0, "tolerance_mm": 4.0})
    page.heights(152.0, 171.0)
    page.move(1, (0, 3), (0, 2))
    page.heights(269.0, 272.0, teardown=1)
    before, after = stages(fold(JOB, page.entries))
    assert (before["hit"], after["hit"]) == (False, True)
    assert (after["target"]["left_mm"], after["target"]["right_mm"]) == (271.0, 271.0)
    page.reading(284.0, side="right", teardown=1)
    assert stages(fold(JOB, page.entries))[1]["hit"] is False


RISE = st.floats(-500.0, 500.0)
TARGETS = st.one_of(
    st.fixed_dictionaries({"as": st.just("heights"), "left_mm": HEIGHT, "right_mm": HEIGHT}),
    st.fixed_dictionaries({"as": st.just("rise"), "left_rise_mm": RISE, "right_rise_mm": RISE}),
    st.fixed_dictionaries(
        {"as": st.just("level")},
        optional={"at": st.sampled_from(["higher", "lower", "mean"]), "rise_mm": RISE},
    ),
    st.fixed_dictionaries(
        {"as": st.just("hanging-angle"), "left_deg": st.floats(-9, 9), "right_deg": st.just(1)}
    ),
)


@given(TARGETS, st.none() | HEIGHT, st.none() | HEIGHT)
def test_sheet_and_model_agree_on_the_heights_that_a_target_comes_to(target, left, right):
    theirs = Wish(target).wanted(tuple(None if h is None else h * 1e-3 for h in (left, right)))
    ours = resolved(target, {"left": left, "right": right})
    for side, height in zip(("left", "right"), theirs, strict=True):
        found = ours.get(f"{side}_mm")
        assert (found is None) == (height is None)
        assert found is None or found == pytest.approx(height * 1e3, abs=1e-9)


@pytest.mark.parametrize(
    "target",
    [
        {"as": "level", "rise_mm": 30.0},
        {"as": "rise", "left_rise_mm": 30.0, "right_rise_mm": 20.0},
        {"as": "level", "at": "mean", "ballast_left_kg": 40.0},
    ],
    ids=lambda target: target["as"],
)
def test_a_plan_and_the_verdict_on_it_speak_of_the_same_heights(target):
    page = Page()
    page.write("target", target)
    pose = {"ballast_left_kg": target.get("ballast_left_kg", 0.0)}
    for left, right in ((152.0, 171.0), (153.5, 170.0)):
        page.heights(left, right, pose=pose)
    page.reading(148.0, after_km=100)
    sheet = fold(JOB, page.entries)
    answer = solve(request(sheet)["request"])["target"]
    ours = stages(sheet)[0]["target"]
    for name in ("left_mm", "right_mm"):
        assert ours[name] == pytest.approx(answer[name], abs=1e-9)


def weighed(page, loads, **more):
    for axle, both in zip(("front", "rear"), loads, strict=True):
        for side, value in zip(("left", "right"), both, strict=True):
            said = {"axle": "front"} if axle == "front" else {}
            page.write("reading", {"what": "wheel-load", "side": side, "value": value, **said, **more})


@pytest.mark.parametrize(
    ("loads", "heights", "met"),
    [
        (((300, 300), (250, 250)), (172, 171), True),
        # 50.4 % and 50.6 %: half a per cent is allowed.
        (((297.8, 302.2), (252.2, 247.8)), (172, 171), True),
        (((296.7, 303.3), (253.3, 246.7)), (172, 171), False),
        # The lean is free, the mean is not.
        (((300, 300), (250, 250)), (192, 151), True),
        (((300, 300), (250, 250)), (180, 175), False),
        (((300, 300), (250, 250)), (172, None), None),
        (None, (172, 171), None),
    ],
)
def test_a_cross_weight_is_judged_by_four_loads_beside_the_mean_height(loads, heights, met):
    page = Page()
    page.write("target", {"as": "cross-weight", "cross_percent": 50.0, "rise_mm": 10.0})
    page.heights(152.0, 171.0)
    page.write("move", {"teardown": 1, "left": {"inner": 0, "outer": 1}, "right": {"inner": 0, "outer": 0}})
    if loads:
        weighed(page, loads, teardown=1)
    for side, value in zip(("left", "right"), heights, strict=True):
        if value is not None:
            page.write("reading", {"what": "body-height", "side": side, "value": value, "teardown": 1})
    assert stages(fold(JOB, page.entries))[1]["hit"] is met


LOAD = st.floats(50.0, 900.0)


@given(loads=st.tuples(*[LOAD] * 4), sds=st.tuples(*[st.floats(0.5, 20.0)] * 4))
def test_the_spread_of_a_cross_weight_is_that_of_its_loads(loads, sds):
    def cross_of(four):
        (lf, rf), (lr, rr) = four[:2], four[2:]
        return cross(((lf, rf), (lr, rr)), ((sds[0] ** 2, sds[1] ** 2), (sds[2] ** 2, sds[3] ** 2)))

    found = cross_of(loads)
    assert found["cross_kg"] == pytest.approx((found["cross_percent"] / 50 - 1) * sum(loads), abs=1e-6)
    for name, sd in (("cross_percent", "cross_sd_percent"), ("cross_kg", "cross_sd_kg")):
        slopes = [
            cross_of([load + (n == i) * 1e-3 for n, load in enumerate(loads)])[name] - found[name]
            for i in range(4)
        ]
        spread = math.hypot(*(1e3 * slope * each for slope, each in zip(slopes, sds, strict=True)))
        assert found[sd] == pytest.approx(spread, rel=1e-3)


def test_a_stage_says_the_cross_weight_of_its_four_loads_and_repeats_narrow_it():
    page = Page()
    weighed(page, ((431, 442), (303, 304)))
    first = stages(fold(JOB, page.entries))[0]
    assert first["cross_percent"] == pytest.approx(100 * 745 / 1480)
    assert first["cross_kg"] == pytest.approx(10)
    assert first["cross_sd_kg"] == pytest.approx(2 * kind("wheel-load").sd)
    weighed(page, ((431, 442), (303, 304)))
    assert stages(fold(JOB, page.entries))[0]["cross_sd_kg"] == pytest.approx(2**0.5 * kind("wheel-load").sd)
    only = Page()
    only.reading(431.0, what="wheel-load", side="left")
    told = stages(fold(JOB, only.entries))[0]
    assert [told[name] for name in told if name.startswith("cross_")] == [None] * 4
