"""The other axle carried on one block amidships: what this axle's own bars do, and that it is no plain height."""

import copy
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model.estimate import Estimate
from bothends.model.evidence import OFF_CENTRE
from bothends.model.problem import ModelProblem
from bothends.model.request import read
from bothends.model.solve import Plan, solve
from bothends.model.statics import LOAD_LEFT, ROLL, UNEVEN, equilibrium
from model.cars import Sheet, Truth, drawn, steady

KINDS = ("body-height", "riding-angle", "hub-to-body", "wheel-load")
DATUM = {"datum": 1.0, "sd": 0.28}
LEVEL = {"as": "level", "at": "higher"}


def centred(truth: Truth, noise=None) -> Sheet:
    """Plain readings, and heights and riding angles with the other axle on a block."""
    sheet = Sheet(truth, noise).plain(1, **DATUM)
    return sheet.both("body-height", centred=True).both("riding-angle", centred=True, **DATUM)


@steady(30)
@given(
    roll=st.floats(1e3, 60e3),
    uneven=st.floats(-0.03, 0.03),
    lift=st.floats(-0.05, 0.05),
    anti=st.none() | st.floats(1e3, 30e3),
)
def test_neither_roll_stiffness_nor_unevenness_nor_a_board_reaches_an_axle_that_carries_itself(
    roll, uneven, lift, anti
):
    def rest(constants: list, lift: float):
        return equilibrium(
            constants=constants, rest=0.1, lift=lift, free=True, anti=None if anti is None else math.log(anti)
        )

    own = rest(Truth(hanging_deg=(12.0, 10.0)).constants(), 0.0)
    other = rest(Truth(hanging_deg=(12.0, 10.0), roll=roll, uneven_m=uneven).constants(), lift)
    assert other.height == pytest.approx(own.height, abs=1e-12)
    for side in (0, 1):
        assert other.d_height[side][ROLL] == other.d_height[side][UNEVEN] == 0.0
    if anti is None:
        # Each side carries its own load, whatever the other does.
        assert own.force == pytest.approx(Truth().constants()[LOAD_LEFT : LOAD_LEFT + 2], rel=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_derivatives_of_a_reading_with_the_other_axle_on_a_block_are_those_of_finite_differences(kind):
    sheet = centred(drawn(3)).both(*KINDS, centred=True).both("wheel-load", "hub-to-body").plain()
    evidence = Estimate(read(sheet.request(anti_roll_n_per_mm=4.0))).evidence
    theta = Estimate(read(sheet.request(anti_roll_n_per_mm=4.0))).theta
    step = 1e-6
    for o in [o for o in evidence.observations if o.kind == kind and o.centred]:
        value, row = evidence.expected(o, theta, evidence.rests(theta, None))
        for k in range(evidence.size):
            ends = []
            for way in (1, -1):
                moved = theta[:]
                moved[k] += way * step * max(1.0, abs(theta[k]))
                ends.append(evidence.expected(o, moved, evidence.rests(moved, None))[0])
            slope = (ends[0] - ends[1]) / (2.0 * step * max(1.0, abs(theta[k])))
            assert row[k] == pytest.approx(slope, rel=2e-5, abs=1e-8 * max(1.0, abs(value))), k


def test_whose_the_lean_is_shows_at_once():
    # The same lean as found, once by this axle's own bars and once by an uneven one at the other end.
    own = Truth(hanging_deg=(12.0, 10.0), load_kg=(235.0, 235.0))
    other = Truth(hanging_deg=(12.0, 12.0), load_kg=(235.0, 235.0), uneven_m=0.02)
    learned = {}
    for name, truth in (("own", own), ("other", other)):
        sheet = centred(truth)
        before = Estimate(read(Sheet(truth).plain(1, **DATUM).request(unevenness_sd_mm=20.0)))
        after = Estimate(read(sheet.request(unevenness_sd_mm=20.0)))
        learned[name] = [estimate.constant(UNEVEN) for estimate in (before, after)]
    for name, e in (("own", 0.0), ("other", 0.02)):
        (_, sd_before), (value, sd) = learned[name]
        assert sd < 0.75 * sd_before, name
        assert abs(value - e) < 1.5 * sd, name
    assert learned["other"][1][0] - learned["own"][1][0] > 0.008


def test_a_block_off_the_middle_is_allowed_for():
    # Ten millimetres off the middle: the load that crosses looks like no slip, and moves no plan much.
    truth = Truth()
    shift = 0.5 * OFF_CENTRE * sum(truth.load_kg)
    carried = Truth(load_kg=(truth.load_kg[0] + shift, truth.load_kg[1] - shift))
    sheet = Sheet(truth).plain(2, **DATUM)
    plain = solve(sheet.request())
    apart = Sheet(carried)
    apart.both("body-height", centred=True).both("riding-angle", centred=True, **DATUM)
    sheet.log += apart.log
    answer = solve(sheet.request())
    assert answer["doubts"] == []
    for side in ("left", "right"):
        assert answer["now"][side]["body_height_mm"]["value"] == pytest.approx(
            plain["now"][side]["body_height_mm"]["value"], abs=0.6
        )


@pytest.mark.parametrize("seed", range(3))
def test_such_heights_are_never_taken_for_heights_as_found(seed):
    truth = drawn(seed)
    alone = centred(truth).request()
    alone["target"] = dict(LEVEL)
    plain = Sheet(truth).plain(1, **DATUM).request()
    plain["target"] = dict(LEVEL)
    # The level is that of the car on all its wheels: what the block shows does not move it but by the fit.
    found = solve(alone)["target"]
    assert found["left_mm"] == pytest.approx(solve(plain)["target"]["left_mm"], abs=1e-9)
    # Read so alone, the marks are known, and the height as found follows from the model.
    only = copy.deepcopy(alone)
    only["log"] = [entry for entry in only["log"] if entry["what"] != "body-height" or "pose" in entry]
    assert len(only["log"]) == len(alone["log"]) - 2
    assert solve(only)["target"]["left_mm"] != found["left_mm"]


def test_the_loads_of_four_wheels_are_not_looked_for_there():
    sheet = Sheet(Truth()).plain(1, **DATUM).both("wheel-load", centred=True)
    sheet.log += [
        {"kind": "reading", "what": "wheel-load", "side": side, "axle": "front", "value": 300.0}
        for side in ("left", "right")
    ]
    assert solve(sheet.request())["cross_weight"] is None


def test_it_is_advised_where_it_brings_something_and_not_twice():
    sheet = Sheet(Truth(hanging_deg=(12.0, 10.0))).plain(1, **DATUM)
    car = {"roll_support_sd_n_per_mm": 12.0}

    def offered(sheet: Sheet) -> dict:
        answer = Plan(sheet.request((260.0, 260.0), **car)).answer()
        return {test["what"]: test for test in answer["measure_next"]}

    test = offered(sheet)["centre-jack"]
    assert test["side"] == "both"
    assert test["text"].startswith("Centre-jack test: the other axle on one round block")
    sheet.both("body-height", centred=True).both("riding-angle", centred=True, **DATUM)
    assert "centre-jack" not in offered(sheet)


def test_an_arm_that_hangs_has_no_other_axle_on_a_block():
    request = Sheet(Truth()).plain(1).request()
    pose = {"hanging": True, "centred": True}
    request["log"].append(
        {"kind": "reading", "what": "riding-angle", "side": "left", "value": 4.0, "pose": pose}
    )
    with pytest.raises(ModelProblem, match="take hanging or centred off") as caught:
        solve(request)
    assert caught.value.path.endswith(".pose.centred")


def slipped(log: list, name: str) -> list:
    """Take a block for granted that was not there, or the other way round; log indexes of what is wrong now."""
    block = [i for i, e in enumerate(log) if (e.get("pose") or {}).get("centred")]
    plain = [i for i, e in enumerate(log) if "pose" not in e and e["what"] in ("body-height", "riding-angle")]
    wrong = {"block not said": block, "one block not said": block[:1], "no block there": plain[-4:]}[name]
    for i in wrong:
        if name == "no block there":
            log[i]["pose"] = {"centred": True}
        else:
            del log[i]["pose"]
    return wrong


@pytest.mark.parametrize("seed", [None, 1, 2, 3])
@pytest.mark.parametrize(
    ("name", "guess"),
    [
        ("block not said", "other axle on a block"),
        ("one block not said", "other axle on a block"),
        ("no block there", "other axle not on a block"),
    ],
)
def test_a_block_that_was_not_said_or_not_there_is_found_like_other_slips(name, guess, seed):
    # Leaning by its own bars, so that the block shows: some 15 mm of either side's height.
    truth = Truth(hanging_deg=(17.0, 8.0))
    sheet = Sheet(truth, None if seed is None else np.random.default_rng(seed)).plain(2, **DATUM)
    for _ in range(2):
        sheet.both("body-height", centred=True).both("riding-angle", centred=True, **DATUM)
    request = sheet.request(unevenness_sd_mm=20.0)
    assert solve(request)["doubts"] == []
    wrong = slipped(request["log"], name)
    doubt = solve(request)["doubts"][0]
    assert (doubt["guess"], doubt["field"], doubt["entries"]) == (guess, "pose.centred", wrong)
    assert doubt["repaired_value"] is None
    assert doubt["text"].startswith("Check whether the other axle stood on a block")
