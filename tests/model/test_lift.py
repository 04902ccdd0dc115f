"""What lifting the arm onto its stop takes: one figure where everything is known, a range that holds where not."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model.bar import lift
from bothends.model.solve import Plan, solve
from bothends.model.statics import ARM, RATE
from bothends.model.travel import travels
from model.cars import BAR, DEG, SIDES, Sheet, Truth, steady
from model.cases import rise, stood, tossed, wished

NAMES = ("torque_nm", "force_n", "energy_j")
STOP = {"stop_deg": 3.0}


def lifts(request: dict) -> list:
    return [option[side]["lift"] for option in solve(request)["options"] for side in SIDES]


@given(st.integers(0, 500))
@steady(60)
def test_the_figure_lies_in_its_range(seed):
    for found in lifts(tossed(seed)):
        for name in NAMES:
            assert 0.0 <= found["low"][name] <= found[name] <= found["high"][name]


KNOWN = {
    "stop given": wished(stood(), rise(30.0), limits=STOP),
    "hang test": wished(stood().both("riding-angle", hung_deg=3.0), rise(30.0)),
}


@pytest.mark.parametrize("request_", KNOWN.values(), ids=KNOWN.keys())
def test_where_stop_bar_and_angle_are_known_the_range_is_the_figure(request_):
    for found in lifts(request_):
        assert not found["assumed"]
        assert found["low"] == found["high"] == {name: found[name] for name in NAMES}
        assert found["torque_nm"] > 0.0


UNKNOWN = {
    "no stop": wished(stood(), rise(30.0)),
    "no bar": wished(stood(), rise(30.0), limits=STOP, bar={"inner_teeth": 40, "outer_teeth": 44}),
    "no length": wished(stood(), rise(30.0), limits=STOP, bar={**BAR, "length_mm": None}),
    "no hanging angle": wished(Sheet(Truth()).both("riding-angle", "body-height"), rise(30.0), limits=STOP),
    "nothing": {"target": rise(30.0)},
}


@pytest.mark.parametrize("request_", UNKNOWN.values(), ids=UNKNOWN.keys())
def test_where_one_of_them_is_not_known_the_range_is_wide_and_says_so(request_):
    for found in lifts(request_):
        assert found["assumed"]
        for name in NAMES:
            assert found["low"][name] < found["high"][name]


def test_one_side_may_be_known_and_the_other_not():
    sheet = stood().read("riding-angle", 0, hung_deg=3.0)
    for option in solve(wished(sheet, rise(30.0)))["options"]:
        assert [option[side]["lift"]["assumed"] for side in SIDES] == [False, True]


@pytest.mark.parametrize("request_", UNKNOWN.values(), ids=UNKNOWN.keys())
def test_the_range_holds_nine_in_ten_of_what_is_believed(request_):
    # Rate, arm, hanging angle and stop drawn as they are believed together: a stiffer bar is wound up less.
    plan = Plan({**request_, "log": request_.get("log", [])})
    option = plan.answer()["options"][0]
    estimate = plan.estimate
    rng = np.random.default_rng(5)
    size = len(estimate.theta)
    covariance = np.array(estimate.covariance) * np.outer(estimate.scale, estimate.scale)
    draws = rng.multivariate_normal(np.zeros(size), covariance, 2000)
    for s, side in enumerate(SIDES):
        stop = travels(estimate)[s].stop
        row = np.zeros(size) if stop.row is None else np.array(stop.row)
        inside = dict.fromkeys(NAMES, 0)
        for draw in draws:
            one = lift(
                rate=math.exp(estimate.theta[RATE] + draw[RATE]),
                hanging_rad=option[side]["hanging_deg"] * DEG + draw[s],
                stop_rad=stop.value + row @ draw + rng.normal(0.0, stop.own),
                arm_m=estimate.theta[ARM] + draw[ARM],
            )
            for name in NAMES:
                low, high = [option[side]["lift"][end][name] for end in ("low", "high")]
                inside[name] += low <= one[name] <= high
        # What is skewed by the rate and cut off at nothing leaves a few more inside, or out.
        for name in NAMES:
            assert 0.85 < inside[name] / len(draws) <= 1.0, (side, name)


def test_only_a_high_end_of_nothing_is_slack():
    # A relaxed arm that hangs well above a stop that was given lifts nothing, however it is counted.
    request = wished(stood(), rise(-30.0), limits={"stop_deg": 15.0, "bump_mm": 300.0})
    first = solve(request)["options"][0]
    for side in SIDES:
        assert first[side]["lift"]["high"] == dict.fromkeys(NAMES, 0.0)
    assert sum("slack" in words for words in first["cautions"]) == 2
    # Where the stop is only believed, the same arm may still be heavy to lift.
    request["car"]["limits"] = {}
    open_ = solve(request)["options"][0]
    assert all(open_[side]["lift"]["high"]["force_n"] > 100.0 for side in SIDES)
    assert not any("slack" in words for words in open_["cautions"])
