"""Where the limits of travel come from, side by side, and which of them may forbid."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model import beliefs, travel
from bothends.model.solve import Plan, solve
from bothends.model.travel import CERTAIN, Limit, travels
from model.cars import BAR, DEG, SIDES, Sheet, Truth, drawn, steady

TRUTH = Truth(hanging_deg=(9.0, 11.0))


def limits(sheet: Sheet, **car) -> tuple:
    return travels(Plan(sheet.request(**car)).estimate)


def sources(sides: tuple) -> list:
    return [(s.bump.source, s.droop.source, s.stop.source) for s in sides]


def fall_mm(side: int, angle_deg: float) -> float:
    """Travel from as found down to where the arm stands at an angle, [mm]."""
    return TRUTH.arm_m * (math.sin(angle_deg * DEG) - math.sin(TRUTH.settled().phi[side])) * 1e3


# -- where they come from -----------------------------------------------------------------------------------------


def test_what_nobody_measured_is_assumed_as_believed():
    for side, found in enumerate(limits(Sheet(TRUTH).plain())):
        assert (found.bump.value, found.bump.sd) == pytest.approx((0.060, 0.020))
        assert (found.droop.value, found.droop.sd) == pytest.approx((0.090, 0.025))
        assert found.bump.assumed and found.droop.assumed and found.stop.assumed  # noqa: PT018
        # The arm is taken to rest on its stop at full droop, so that the two cannot disagree.
        assert fall_mm(side, found.stop.value / DEG) == pytest.approx(90.0, abs=1e-3)


def test_limits_that_are_given_hold_for_both_sides():
    given_ = {"bump_mm": 40.0, "droop_mm": 70.0, "stop_deg": 5.0}
    for found in limits(Sheet(TRUTH).plain().hung(4.0), limits=given_):
        for limit, value in ((found.bump, 0.040), (found.droop, 0.070), (found.stop, 5.0 * DEG)):
            assert (limit.source, limit.sd) == ("given", 0.0)
            assert limit.value == pytest.approx(value)


@pytest.mark.parametrize("side", [0, 1])
def test_the_arm_read_hanging_measures_stop_and_droop_of_its_own_side(side):
    sheet = Sheet(TRUTH).plain().read("riding-angle", side, hung_deg=4.0)
    found = limits(sheet)
    assert sources(found)[side] == ("assumed", "measured", "measured")
    assert sources(found)[1 - side] == ("assumed", "assumed", "assumed")
    assert found[side].stop.value == pytest.approx(4.0 * DEG)
    assert found[side].droop.value * 1e3 == pytest.approx(fall_mm(side, 4.0), abs=1e-3)
    assert 0.001 < found[side].droop.sd < 0.005


@pytest.mark.parametrize("side", [0, 1])
def test_hub_to_body_hanging_and_on_the_wheels_measures_droop_of_its_own_side(side):
    sheet = Sheet(TRUTH).both("riding-angle", "hub-to-body", "body-height")
    sheet.read("riding-angle", side, hung_deg=4.0).read("hub-to-body", side, hung_deg=4.0)
    found = limits(sheet)
    assert found[side].droop.source == "measured"
    assert found[side].droop.value * 1e3 == pytest.approx(fall_mm(side, 4.0), abs=0.01)
    # Two readings of a tape, and one settling.
    rub = Plan(sheet.request()).estimate.friction * 1e3
    tape = math.sqrt(2 * 1.5**2 + rub**2)
    assert found[side].droop.sd * 1e3 == pytest.approx(tape, rel=0.02)
    assert found[1 - side].droop.assumed


def test_travel_counts_from_as_found_whenever_it_is_measured():
    sheet = Sheet(TRUTH).plain().move(left=(0, 1), right=(1, 0))
    for more in (lambda s: s.both("hub-to-body").both("riding-angle", "hub-to-body", hung_deg=4.0),
                 lambda s: s.both("riding-angle", hung_deg=4.0)):  # fmt: skip
        found = limits(more(Sheet(TRUTH).plain().move(left=(0, 1), right=(1, 0))))
        for side in (0, 1):
            assert found[side].droop.value * 1e3 == pytest.approx(fall_mm(side, 4.0), abs=0.5)
    assert sources(limits(sheet)) == [("assumed", "assumed", "assumed")] * 2


def test_a_stop_that_is_given_says_how_far_the_wheel_may_drop():
    # The bush is taken to have been clamped with the arm on that stop.
    truth = replace(TRUTH, rest_deg=5.0)
    for side, found in enumerate(limits(Sheet(truth).plain(), limits={"stop_deg": 5.0})):
        assert sources((found,)) == [("assumed", "stop", "given")]
        down = truth.arm_m * (math.sin(5.0 * DEG) - math.sin(truth.settled().phi[side]))
        assert found.droop.value == pytest.approx(down, abs=1e-6)


def test_a_gauge_without_its_datum_measures_a_stop_less_well():
    sharp = limits(Sheet(TRUTH).plain().both("riding-angle", hung_deg=4.0))
    blunt = limits(Sheet(TRUTH).plain().both("riding-angle", hung_deg=4.0, reference="gravity"))
    assert blunt[0].stop.sd > 5.0 * sharp[0].stop.sd


def test_an_arm_is_placed_once_its_riding_angle_is_read():
    assert all(found.placed for found in limits(Sheet(TRUTH).both("riding-angle", "body-height")))
    assert not any(found.placed for found in limits(Sheet(TRUTH).both("body-height")))


# -- which of them forbid -----------------------------------------------------------------------------------------


@given(st.floats(0.0, 0.2), st.floats(0.0, 0.05), st.floats(-0.1, 0.3))
@steady(100)
def test_given_ones_forbid_what_passes_them_measured_ones_beyond_their_range_and_others_nothing(
    value, sd, over
):
    assert Limit(value, sd, "given").forbids(over) == (over > 0.0)
    assert Limit(value, sd, "measured").forbids(over) == (over > CERTAIN * sd)
    for source in ("assumed", "stop"):
        assert not Limit(value, sd, source).forbids(over)


def test_the_range_is_that_of_ninety_in_a_hundred():
    assert math.erf(CERTAIN / math.sqrt(2.0)) == pytest.approx(0.90, abs=5e-4)


def raised(sheet: Sheet, up_mm: tuple, **car) -> dict:
    """The first plan for a rise by so much."""
    request = sheet.request(**car)
    request["target"] = {"as": "rise", "left_rise_mm": up_mm[0], "right_rise_mm": up_mm[1]}
    answer = solve(request)
    return answer, answer["options"][0]


def passed(option: dict, what: str) -> list:
    return [(o["side"], o["given"]) for o in option["obstacles"] if o["what"] == what]


def test_droop_that_was_measured_forbids_only_beyond_its_own_range():
    # 80 and 89 mm of droop are left: a rise of so much more than that.
    sheet = Sheet(TRUTH).plain(2).both("hub-to-body").both("riding-angle", "hub-to-body", hung_deg=4.0)
    sd = limits(sheet)[1].droop.sd * 1e3
    for up, forbids in ((fall_mm(1, 4.0) + 2.0, False), (fall_mm(1, 4.0) + 3.0 * sd + 6.0, True)):
        _, option = raised(sheet, (up - 25.0, up))
        assert passed(option, "droop") in ([], [("right", forbids)])
        if forbids:
            assert passed(option, "droop") == [("right", True)]
            assert "measured as" in option["stopped_by"][0]


def test_one_side_may_be_forbidden_and_the_other_not():
    sheet = Sheet(TRUTH).plain(2).read("riding-angle", 0, hung_deg=-2.0)
    _, option = raised(sheet, (70.0, 70.0))
    assert passed(option, "droop") == [("left", True)]
    _, option = raised(sheet, (120.0, 120.0))
    # The other side's droop is only believed: a caution.
    assert passed(option, "droop") == [("left", True), ("right", False)]
    (words,) = [o["words"] for o in option["obstacles"] if not o["given"] and o["what"] == "droop"]
    assert "assumed, not measured" in words
    assert words in option["cautions"]


def test_a_plan_whose_arms_ride_past_a_given_stop_is_forbidden_where_their_angle_was_read():
    # Ten degrees and more, and a stop of 7.5.
    truth = Truth(hanging_deg=(21.0, 21.0))
    for what, placed in ((("riding-angle", "body-height"), True), (("body-height",), False)):
        sheet = Sheet(truth).both(*what)
        answer, option = raised(sheet, (110.0, 110.0), limits={"stop_deg": 7.5})
        assert min(option[side]["riding_deg"] for side in SIDES) > 7.5
        assert passed(option, "stop") == [("left", placed), ("right", placed)]
        stop = next(o for o in option["obstacles"] if o["what"] == "stop")
        assert stop["by_deg"] == pytest.approx(option["left"]["riding_deg"] - 7.5, abs=1e-6)
        assert option["recommended"] != placed
        assert (answer["headline"]["code"] == "forbidden") == placed


def test_a_car_that_rides_past_its_stop_as_found_is_not_flagged_for_it():
    truth = Truth(hanging_deg=(30.0, 30.0))
    answer, _ = raised(Sheet(truth).plain(), (-30.0, -30.0), limits={"stop_deg": 0.0, "droop_mm": 0.0})
    assert answer["now"]["left"]["riding_deg"]["value"] > 5.0
    for option in answer["options"]:
        assert passed(option, "stop") == passed(option, "droop") == []


# -- what is assumed changes nothing ------------------------------------------------------------------------------


def told(answer: dict) -> list:
    """Order, odds and what stops it: all that an assumed limit must not touch."""
    return [
        (
            o["label"],
            o["odds"],
            o["recommended"],
            o["stopped_by"],
            o["left"]["turn_deg"],
            o["right"]["turn_deg"],
        )
        for o in answer["options"]
    ]


@pytest.mark.slow(seconds=2)
@given(
    seed=st.integers(0, 300),
    up=st.tuples(st.floats(-90.0, 150.0), st.floats(-90.0, 150.0)),
    boards=st.booleans(),
    counted=st.booleans(),
    hung=st.sampled_from([None, 0, 1]),
    assumed=st.tuples(
        st.floats(0.0, 300.0), st.floats(0.1, 80.0), st.floats(0.0, 300.0), st.floats(0.1, 80.0)
    ),
)
@steady(60)
def test_an_assumed_limit_never_changes_order_or_odds(seed, up, boards, counted, hung, assumed):
    sheet = Sheet(drawn(seed), np.random.default_rng(seed)).both("riding-angle", "body-height")
    if boards:
        sheet.boards()
    if hung is not None:
        sheet.read("riding-angle", hung, hung_deg=4.0)
    request = {
        "car": {"bar": dict(BAR) if counted else {}},
        "target": {"as": "rise", "left_rise_mm": up[0], "right_rise_mm": up[1]},
        "log": sheet.log,
    }
    usual = solve(request)
    with pytest.MonkeyPatch.context() as patch:
        for name, value in zip(("BUMP_MM", "BUMP_SD_MM", "DROOP_MM", "DROOP_SD_MM"), assumed, strict=True):
            patch.setattr(travel, name, value)
        other = solve(request)
    assert told(other) == told(usual)


def test_a_limit_given_generously_is_as_good_as_none():
    sheet = Sheet(TRUTH).plain()
    _, open_ = raised(sheet, (60.0, 60.0))
    _, given_ = raised(sheet, (60.0, 60.0), limits={"bump_mm": 300.0, "droop_mm": 300.0})
    assert (given_["odds"], given_["left"]["steps"]) == (open_["odds"], open_["left"]["steps"])


def test_what_is_believed_of_travel_is_as_documented():
    assert (beliefs.BUMP_MM, beliefs.BUMP_SD_MM) == (60.0, 20.0)
    assert (beliefs.DROOP_MM, beliefs.DROOP_SD_MM) == (90.0, 25.0)
