"""What only some axles have: an adjuster, an anti-roll bar, four more kinds of reading; and that others do not."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model.beliefs import FRONT_ANTI_ROLL, WISHBONE, WISHBONE_SD
from bothends.model.car import Car
from bothends.model.estimate import Estimate
from bothends.model.fields import ENDS, KINDS, SIDES
from bothends.model.request import read
from bothends.model.solve import solve
from bothends.model.statics import CONSTANTS, equilibrium
from model.cars import DEG, Sheet, Truth, plain, steady
from model.cases import FRONT, RANGE, SCREW, Wishbones, front, rise

MORE = ("arm-difference", "bump-gap", "bolt-length", "damper-length")
READ = {
    "body-height": 600.0, "hub-to-body": 380.0, "arm-difference": -30.0, "bump-gap": 25.0, "damper-length": 300.0,
    "bolt-length": 50.0, "riding-angle": -5.0, "wheel-load": 400.0,
}  # fmt: skip


def everything(end: str = "inner") -> dict:
    """A log of a front axle with every kind of reading before and after an adjustment, and once it was driven."""
    log: list = [{"kind": "move", "teardown": 1, "left": {"turns": 4}, "right": {"turns": 3.25}}]
    for teardown in (0, 1):
        for side in SIDES:
            for what, value in READ.items():
                for after in (None, 80.0) if what not in ("wheel-load", "bolt-length") else (None,):
                    entry = {"kind": "reading", "what": what, "side": side, "value": value + 4.0 * teardown}
                    log.append({**entry, "teardown": teardown, "after_km": after})
    return {"car": {**FRONT, "adjuster": {"kind": "screw", "end": end}}, "target": rise(20.0), "log": log}


@pytest.mark.slow
@pytest.mark.parametrize("end", ENDS)
def test_every_reading_depends_on_every_unknown_as_its_derivatives_say(end):
    evidence = (estimate := Estimate(read(everything(end)))).evidence
    assert {o.kind for o in evidence.observations} == {k.name for k in KINDS} - {"hanging-angle"}
    theta = estimate.theta
    rests = evidence.rests(theta, None)
    for o in evidence.observations:
        row = evidence.expected(o, theta, rests)[1]
        for k in range(evidence.size):
            step = 1e-6 * max(1e-2, abs(theta[k]))
            ends = []
            for by in (step, -step):
                moved = theta[:]
                moved[k] += by
                ends.append(evidence.expected(o, moved, evidence.rests(moved, None))[0])
            slope = (ends[0] - ends[1]) / (2.0 * step)
            assert row[k] == pytest.approx(slope, rel=1e-4, abs=1e-6 * max(1.0, abs(theta[k]))), (o.kind, k)


def test_an_axle_without_any_of_it_has_no_such_unknown():
    evidence = Estimate(read(plain())).evidence
    assert (evidence.fit.gain, evidence.fit.pitch, evidence.fit.anti, evidence.fit.span) == (None,) * 4
    assert evidence.fit.believed == []
    assert evidence.size == CONSTANTS + 2 + 2


def test_an_adjuster_of_no_kind_leaves_every_figure_as_it_was():
    without = plain()
    request = plain(adjuster={"kind": "none", "lever_mm": 110.0}, sprung="rear")
    assert solve(request) == solve(without)


@given(st.floats(3.0, 16.0), st.floats(-0.05, 0.05), st.floats(0.0, 40e3), st.floats(5e3, 30e3))
@steady(60)
def test_an_anti_roll_bar_adds_to_the_moment_of_either_arm_what_it_takes_off_the_other(
    hang, lift, rate, roll
):
    constants = Truth(hanging_deg=(hang + 6.0, hang + 8.0), roll=roll).constants()
    rest = equilibrium(constants=constants, rest=0.0, lift=lift, anti=math.log(max(rate, 1e-3)))
    if rest is None:
        return
    arm, stiff, bush = constants[3], math.exp(constants[2]), constants[4] * math.exp(constants[2])
    low, high = [arm * math.sin(phi) for phi in rest.phi]
    push = max(rate, 1e-3) * (high - low)
    for s, by in ((0, push), (1, -push)):
        phi = rest.phi[s]
        bar = (stiff * (constants[s] - phi) + bush * (0.0 - phi)) / (arm * math.cos(phi))
        assert rest.force[s] == pytest.approx(bar + by, rel=1e-9)
    lean = rest.height[0] - rest.height[1] + lift
    assert rest.force[0] - constants[5] == pytest.approx(0.5 * roll * lean, abs=1e-5)
    assert sum(rest.force) == pytest.approx(constants[5] + constants[6], rel=1e-9)


def test_an_anti_roll_bar_of_nothing_is_none_to_the_last_bit():
    constants = Truth().constants()
    one = equilibrium(constants=constants, rest=0.0, lift=0.05)
    two = equilibrium(constants=constants, rest=0.0, lift=0.05, anti=-800.0)
    assert one.phi == two.phi
    assert one.height == two.height
    assert one.d_height == two.d_height


def test_the_rest_follows_the_anti_roll_bar_as_its_derivatives_say():
    constants = Truth(hanging_deg=(9.0, 12.0)).constants()
    step = 1e-5
    ends = [equilibrium(constants=constants, rest=0.0, lift=0.04, anti=9.0 + by) for by in (step, -step)]
    rest = equilibrium(constants=constants, rest=0.0, lift=0.04, anti=9.0)
    for what, name in enumerate(("phi", "force", "height")):
        for s in (0, 1):
            slope = (getattr(ends[0], name)[s] - getattr(ends[1], name)[s]) / (2.0 * step)
            assert rest.by_anti[what][s] == pytest.approx(slope, rel=1e-6, abs=1e-9)
    for k in range(CONSTANTS):
        h = 1e-6 * max(1e-2, abs(constants[k]))
        pair = []
        for by in (h, -h):
            moved = constants[:]
            moved[k] += by
            pair.append(equilibrium(constants=moved, rest=0.0, lift=0.04, anti=9.0))
        for s in (0, 1):
            slope = (pair[0].height[s] - pair[1].height[s]) / (2.0 * h)
            assert rest.d_height[s][k] == pytest.approx(slope, rel=1e-4, abs=1e-7)


def test_a_bar_found_by_the_slow_search_is_that_of_newtons_method():
    constants = Truth(hanging_deg=(14.0, 3.0)).constants()
    near = equilibrium(constants=constants, rest=0.0, lift=0.06, anti=9.2)
    far = equilibrium(constants=constants, rest=0.0, lift=0.06, anti=9.2, near=(1.5, -1.5))
    assert near.phi == pytest.approx(far.phi, abs=1e-9)


# -- facts


def test_a_front_axle_has_beliefs_of_its_own():
    car = Car({"car": {"sprung": "front"}})
    assert (car.roll * 1e-3, car.roll_sd * 1e-3, car.uneven_sd * 1e3) == pytest.approx((18.0, 8.0, 6.0))
    assert car.anti * 1e-3 == pytest.approx(FRONT_ANTI_ROLL)
    assert Car({"car": {}}).anti == 0.0
    assert Car({"car": {"sprung": "front", "anti_roll_off": True}}).anti == 0.0
    assert Car({"car": {"sprung": "front", "anti_roll_n_per_mm": 0.0}}).anti == 0.0


def test_the_lever_of_a_wishbone_is_its_arm_and_a_little_more():
    car = Car({"car": {"axle": "wishbone", "arm_mm": 350.0, "arm_sd_mm": 2.0}})
    assert car.arm == pytest.approx(0.35 * WISHBONE)
    assert car.arm_sd == pytest.approx(math.hypot(0.002, 0.35 * WISHBONE_SD))


def test_one_adjuster_for_both_wheels_is_turned_once():
    request = front(rise(5.0), {"kind": "notch", "shared": True})
    request["log"].append({"kind": "move", "teardown": 1, "left": {"turns": 2}})
    assert read(request).moves[1][1] == ((0, 0, 2.0), (0, 0, 2.0))


# -- what readings teach


def gain(request: dict) -> tuple:
    """The adjuster's gain against lever and pitch, and its spread."""
    estimate = Estimate(read(request))
    mean, sd = estimate.constant(estimate.evidence.fit.gain)
    return math.exp(mean), sd


def test_a_first_adjustment_teaches_what_a_turn_gives():
    true = Wishbones(gain=1.2)
    wide = {"kind": "screw", "lever_mm": None, "pitch_mm": None}
    request = true.job((5.0, 5.0), bolts=False, adjuster=wide)
    believed = (1.5 / 110.0) / (SCREW["pitch_mm"] / SCREW["lever_mm"])
    before = gain({**request, "log": request["log"][:6]})
    after = gain(request)
    assert before == pytest.approx((1.0, 0.247), abs=0.01)
    assert after[0] * believed == pytest.approx(1.2, rel=0.12)
    assert after[1] < 0.6 * before[1]


def test_what_was_learned_of_a_turn_comes_back_at_the_next_visit():
    answer = solve(Wishbones(gain=1.1).job((5.0, 5.0)))
    known = answer["posterior"]
    assert {"ln_gain", "ln_anti_roll"} <= set(known["names"])
    again = Estimate(read(front(rise(5.0), {**SCREW, **RANGE}, known=known)))
    mean, sd = again.constant(again.evidence.fit.gain)
    place = known["names"].index("ln_gain")
    assert (mean, sd * sd) == pytest.approx(
        (known["mean"][place], known["covariance"][place][place]), rel=0.05
    )
    # A car that has no adjuster any more keeps it for later.
    plainly = solve(front(rise(5.0), {"kind": "none"}, known=known))["posterior"]
    assert plainly["names"] == known["names"] or set(plainly["names"]) == set(known["names"])


@pytest.mark.parametrize(
    ("true", "said", "guess"),
    [
        ((4.0, 2.0), (5.0, 2.0), "one turn fewer"),
        ((4.0, 2.0), (3.0, 2.0), "one turn more"),
        ((-4.0, 2.0), (4.0, 2.0), "adjuster turned the wrong way"),
        ((1.0, 6.0), (6.0, 1.0), "adjusters swapped"),
    ],
)
def test_bolt_lengths_tell_which_turns_were_miscounted(true, said, guess):
    request = Wishbones().job(true, said)
    for entry in request["log"]:
        if entry.get("what") == "bolt-length":
            entry["sd"] = 0.15
    doubt = solve(request)["doubts"][0]
    assert doubt["guess"] == guess
    if guess != "adjusters swapped":
        assert doubt["repaired_value"] == true[0]


def test_turns_that_were_counted_right_are_not_doubted():
    for turns in ((4.0, 2.0), (0.5, 0.0), (-3.25, 6.0)):
        assert solve(Wishbones().job(turns))["doubts"] == []


def test_the_pitch_that_nobody_read_is_told_by_the_bolt():
    request = Wishbones().job((6.0, 6.0), adjuster={"pitch_mm": None})
    estimate = Estimate(read(request))
    index = estimate.evidence.fit.pitch
    pitch = estimate.case.car.adjuster.pitch * math.exp(estimate.theta[index])
    assert pitch * 1e3 == pytest.approx(SCREW["pitch_mm"], abs=0.06)
    assert estimate.constant(index)[1] < 0.1


def test_arm_differences_place_the_arms_as_angles_do():
    request = Wishbones().job((2.0, 2.0))
    request["car"]["point_span_mm"] = Wishbones.lean
    estimate = Estimate(read(request))
    true = Wishbones().stands((0.0, 0.0)).phi
    blind = Estimate(
        read({**request, "log": [e for e in request["log"] if e.get("what") != "arm-difference"]})
    )
    for s in (0, 1):
        assert estimate.found.phi[s] == pytest.approx(true[s], abs=0.3 * DEG)
        spreads = [e.spread_of(e.evidence.wide(e.found, 0, s)) for e in (estimate, blind)]
        assert spreads[0] < 0.2 * spreads[1]


def test_a_gap_and_a_damper_tell_how_far_the_hub_moved_once_their_ratio_is_known():
    true = Wishbones()
    request = true.job((5.0, 5.0))
    hubs = [[0.3675 * math.sin(phi) for phi in true.stands(turns).phi] for turns in ((0.0, 0.0), (5.0, 5.0))]
    for what, ratio in (("bump-gap", 0.6), ("damper-length", 0.7)):
        log = [e for e in request["log"] if e["kind"] == "move"]
        for t in (0, 1):
            for s, side in enumerate(SIDES):
                value = 300.0 + 1e3 * ratio * hubs[t][s]
                log.append({"kind": "reading", "what": what, "side": side, "value": value, "teardown": t})
        name = what.split("-")[0] + "_ratio"
        told = {**request, "log": log, "car": {**request["car"], name: ratio}}
        assert solve(told)["doubts"] == []
        unknown = {**request["car"], "adjuster": {"kind": "screw"}}
        with_log = Estimate(read({**told, "car": {**unknown, name: ratio}}))
        without = Estimate(read({**told, "log": log[:1], "car": unknown}))
        assert (
            with_log.constant(with_log.evidence.fit.gain)[1]
            < 0.75 * without.constant(without.evidence.fit.gain)[1]
        )


def test_the_other_axles_unevenness_is_noise_of_each_pose_at_the_front_only():
    request = front(rise(20.0), {**SCREW, **RANGE})
    rear = {**request, "car": {**request["car"], "sprung": "rear", "unevenness_sd_mm": 6.0,
                               "roll_support_n_per_mm": 18.0, "roll_support_sd_n_per_mm": 8.0,
                               "anti_roll_n_per_mm": 6.0, "anti_roll_sd_n_per_mm": 6.0}}  # fmt: skip
    spreads = [solve(r)["options"][0]["left"]["body_height_mm"]["sd"] for r in (request, rear)]
    assert spreads[0] > spreads[1]


@pytest.mark.slow
def test_simulated_bolts_and_heights_come_true():
    # Plans from the same unknowns that the log was drawn with: figures are as wide as they say.
    rng = np.random.default_rng(7)
    off = []
    for _ in range(60):
        true = Wishbones(gain=math.exp(float(rng.normal(0.0, 0.037))), anti=6e3)
        request = {
            "car": {**FRONT, "adjuster": {**SCREW, **RANGE}, "arm_mm": 350.0 * 1.01 / 1.05, "arm_sd_mm": 2.0},
            "target": rise(20.0),
            "log": true.log((0.0, 0.0), bolts=False),
        }
        option = solve(request)["options"][0]
        turns = [option[side]["turns"] for side in SIDES]
        before, after = true.stands((0.0, 0.0)), true.stands(turns)
        for s, side in enumerate(SIDES):
            told = option[side]["rise_mm"]
            off.append((1e3 * (after.height[s] - before.height[s]) - told["value"]) / told["sd"])
    # No friction and no noise in these logs: what is left of the spread is the gain's and geometry's.
    assert abs(np.mean(off)) < 0.6
    assert np.max(np.abs(off)) < 2.5


def test_a_turn_needs_an_adjuster_to_be_turned():
    sheet = Sheet(Truth()).plain()
    request = sheet.request()
    request["log"].append({"kind": "move", "teardown": 1, "left": {"turns": 1.0}})
    with pytest.raises(Exception, match="adjuster was turned"):
        read(request)


def test_an_anti_roll_bar_and_the_rest_of_the_car_are_told_apart_in_few_steps_or_left_as_believed():
    # Both resist lean: whole steps went to and fro between them, and a sound log was called contradictory.
    for seed in range(12):
        rng = np.random.default_rng(seed)
        true = Wishbones(gain=1.0, anti=float(rng.choice([300.0, 1400.0, 9e3])))
        turns = [float(t) for t in rng.uniform(-9.0, 9.0, 2)]
        request = true.job(turns, bolts=False)
        for entry in request["log"]:
            if "value" in entry:
                entry["value"] += float(rng.normal(0.0, 2.0))
        assert solve(request)["options"]
