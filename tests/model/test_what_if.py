"""Other bars, other loads, other wishes: against minima of energy, scaling laws, sampling, and the plan itself."""

import itertools
import json
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import optimize, stats

from bothends.model import phase, predict
from bothends.model.evidence import MARK_LEFT
from bothends.model.odds import landing
from bothends.model.problem import ModelProblem
from bothends.model.refit import COMMON, PAIR, SETTING, Rebarred, hanging_for
from bothends.model.solve import Plan, solve
from bothends.model.statics import ALPHA_LEFT, BUSH, RATE, equilibrium
from bothends.model.what_if import Bench, what_if
from model.cars import BAR, BOOK_RATE, DEG, SIDES, Sheet, Truth, plain, steady
from model.test_statics import Pose, poses

THICKER = {"bar": {"diameter_mm": 24.0}}


@pytest.fixture(scope="module")
def boards():
    """A request whose readings are exact, of a car as the book has it."""
    return Sheet(Truth()).plain().boards().request()


# -- the bars now fitted --------------------------------------------------------------------------------------


def same_figures(trial, option):
    assert trial["odds"]["typical"] == option["odds"] == trial["odds"]["worst"]
    assert trial["ride_hz"] == option["ride_hz"]
    assert trial["label"] == option["label"]
    for side in SIDES:
        for name in ("inner", "outer", "hanging_deg", "riding_deg", "lift", "stress_at_bump_mpa", "bump_left_mm",
                     "droop_left_mm", "body_height_mm"):  # fmt: skip
            assert trial[side][name] == option[side][name], name


def test_no_change_is_the_ordinary_plan(boards):
    same_figures(what_if(boards, {})["trial"], solve(boards)["options"][0])


def test_another_wish_is_the_ordinary_plan_for_it(boards):
    wish = {"left_mm": 231.0, "lean_mm": 7.0}
    same_figures(
        what_if(boards, {"target": wish})["trial"],
        Plan(boards).answer({**boards["target"], **wish})["options"][0],
    )


def test_the_car_as_it_is_stands_as_the_plan_says_it_does(boards):
    found, now = what_if(boards, THICKER)["as_it_is"], solve(boards)["now"]
    for side in SIDES:
        assert found[side]["body_height_mm"] == now[side]["body_height_mm"]
        assert found[side]["hanging_deg"] == pytest.approx(now[side]["hanging_deg"]["value"])
        assert found[side]["load_kg"] == pytest.approx(now[side]["load_kg"]["value"])
    assert found["ends_disturbed"] == 0


@pytest.mark.parametrize("kg", [(60.0, 60.0), (80.0, 0.0), (-45.0, -30.0)])
def test_with_more_or_less_in_it_the_untouched_car_stands_where_ballast_puts_it(boards, kg):
    trial = what_if(boards, {"load_kg": {"left": kg[0], "right": kg[1]}})["trial"]
    rest = Truth().settled(ballast_kg=kg)
    for s, side in enumerate(SIDES):
        assert trial[side]["untouched_mm"]["value"] == pytest.approx((0.245 + rest.height[s]) * 1e3, abs=1e-3)
    # The plan under that load is the plan of a car that has always carried it.
    heavier = Truth(load_kg=(235.0 + kg[0], 235.0 + kg[1]))
    for s, side in enumerate(SIDES):
        turn = [trial[x]["hanging_deg"] - heavier.hanging_deg[i] for i, x in enumerate(SIDES)]
        height = (0.245 + heavier.settled(turn).height[s]) * 1e3
        assert trial[side]["body_height_mm"]["value"] == pytest.approx(height, abs=1e-3)


def test_travel_is_counted_from_where_the_car_was_taken_in_and_not_from_where_the_load_puts_it(boards):
    change = {"load_kg": {"left": 60.0, "right": 60.0}, "target": {"left_mm": 245.0, "right_mm": 245.0}}
    trial = what_if(boards, change)["trial"]
    found = Truth().settled()
    for s, side in enumerate(SIDES):
        down = 415.0 * (math.sin(trial[side]["riding_deg"] * DEG) - math.sin(found.phi[s]))
        assert trial[side]["bump_left_mm"] == pytest.approx(60.0 + down, abs=1e-3)
        assert trial[side]["droop_left_mm"] == pytest.approx(90.0 - down, abs=1e-3)


# -- other bars ------------------------------------------------------------------------------------------------


@given(poses(), st.floats(-0.03, 0.03), st.floats(-0.03, 0.03))
@steady(60)
def test_the_angle_found_backwards_rests_at_the_heights_wanted(pose, up_left, up_right):
    rest = pose.found()
    assume(rest is not None)
    heights = (rest.height[0] + up_left, rest.height[1] + up_right)
    found = hanging_for(constants=pose.constants, rest=pose.rest, heights=heights)
    assume(found is not None)
    hanging, riding = found
    again = equilibrium(constants=[*hanging, *pose.constants[2:]], rest=pose.rest, near=riding)
    assume(again is not None)
    assert again.height == pytest.approx(heights, abs=1e-9)
    assert again.phi == pytest.approx(riding, abs=1e-9)


@pytest.mark.parametrize(
    ("bar", "load"),
    [
        ({"diameter_mm": 24.0}, (0.0, 0.0)),
        ({"diameter_mm": 26.0, "bore_mm": 15.0, "length_mm": 560.0}, (40.0, 10.0)),
        ({"diameter_mm": 20.5}, (-20.0, -20.0)),
    ],
)
def test_set_so_the_least_energy_is_at_the_wanted_heights(boards, bar, load):
    # Independent of the solver: scipy minimises the energy written in test_statics, with the rate by
    # pi G (d^4 - b^4) / (32 L) and the bush's own rate as it was.
    more = dict(zip(SIDES, load, strict=True))
    wish = {"left_mm": 228.0, "right_mm": 236.0}
    trial = what_if(boards, {"bar": bar, "load_kg": more, "target": wish})["trial"]
    full = {**BAR, **bar}
    rate = (
        math.pi * 78.5e9 * (full["diameter_mm"] ** 4 - full["bore_mm"] ** 4) * 1e-9 / (32 * full["length_mm"])
    )
    truth = Truth(rate=rate, bush=0.045 * BOOK_RATE / rate, load_kg=(235.0 + load[0], 235.0 + load[1]))
    constants = truth.constants()
    for s, side in enumerate(SIDES):
        constants[s] = trial[side]["hanging_deg"] * DEG
    pose = Pose(constants)
    start = [-0.1, -0.1, 0.015, 0.015]
    least = optimize.minimize(pose.energy, start, jac=pose.gradient, method="BFGS", options={"gtol": 1e-6})
    for s, wanted in enumerate((228.0, 236.0)):
        height = 0.245 + 0.415 * math.sin(least.x[s]) - least.x[2 + s]
        assert height * 1e3 == pytest.approx(wanted, abs=1e-3)
    assert trial["left"]["body_height_mm"]["value"] == pytest.approx(228.0, abs=1e-6)


@pytest.mark.parametrize(
    ("bar", "times"),
    [
        # Source: the polar moment of a round section, pi d^4 / 32 (Philpot, MecMovies M6; Singer and Pytel,
        # ch. 3): twice the diameter is sixteen times the rate; a bore of half the diameter takes a sixteenth.
        ({"diameter_mm": 44.0}, 16.0),
        ({"length_mm": 300.0}, 2.0),
        ({"bore_mm": 11.0}, 15.0 / 16.0),
        ({"diameter_mm": 44.0, "length_mm": 1200.0, "bore_mm": 22.0}, 7.5),
        ({"shear_modulus_gpa": 74.0}, 74.0 / 78.5),
    ],
)
def test_the_rate_follows_the_new_bars_geometry(boards, bar, times):
    answer = what_if(boards, {"bar": bar})
    was = answer["as_it_is"]["bar_nm_per_deg"]["value"]
    assert answer["trial"]["bar_nm_per_deg"]["value"] == pytest.approx(times * was, rel=1e-9)


def test_twist_by_the_same_weight_falls_with_the_fourth_power_of_the_diameter():
    # Twist = moment / rate; the same source. Without bushes, at one height, the moment about the bar is the same.
    sheet = Sheet(Truth(bush=0.0)).plain().boards()
    request = sheet.request(bush={"ratio": 0.0, "ratio_sd": 0.0001})
    found = [what_if(request, {"bar": {"diameter_mm": d}})["trial"]["left"] for d in (22.0001, 26.0)]
    twists = [f["hanging_deg"] - f["riding_deg"] for f in found]
    assert found[0]["riding_deg"] == pytest.approx(found[1]["riding_deg"], abs=1e-9)
    assert twists[0] / twists[1] == pytest.approx((26.0 / 22.0001) ** 4, rel=1e-4)


def test_stress_at_bump_and_lift_are_those_of_the_bar_alone(boards):
    # Closed form: stress G d twist / (2 L), torque rate times twist, energy half of torque times twist.
    boards = {**boards, "car": {**boards["car"], "limits": {"stop_deg": 0.0, "bump_mm": 60.0}}}
    trial = what_if(boards, THICKER)["trial"]
    rate = trial["bar_nm_per_deg"]["value"]
    found = Truth().settled()
    for s, side in enumerate(SIDES):
        it = trial[side]
        bump = math.degrees(math.asin(math.sin(found.phi[s]) - 60.0 / 415.0))
        twist = (it["hanging_deg"] - bump) * DEG
        assert it["stress_at_bump_mpa"] == pytest.approx(78.5e3 * 24.0 * twist / (2 * 600.0), rel=1e-6)
        assert it["lift"]["torque_nm"] == pytest.approx(rate * it["hanging_deg"], rel=1e-6)
        assert it["lift"]["energy_j"] == pytest.approx(0.5 * rate * it["hanging_deg"] ** 2 * DEG, rel=1e-6)
        assert it["lift"]["force_n"] == pytest.approx(it["lift"]["torque_nm"] / 0.415, rel=1e-6)


def test_stiffer_bars_hang_less_and_ride_faster(boards):
    found = [what_if(boards, {"bar": {"diameter_mm": d}})["trial"] for d in (21.0, 22.5, 24.0, 26.0)]
    for softer, stiffer in itertools.pairwise(found):
        assert stiffer["ride_hz"] > softer["ride_hz"]
        for side in SIDES:
            assert stiffer[side]["hanging_deg"] < softer[side]["hanging_deg"]
            assert stiffer[side]["wheel_rate_n_per_mm"] > softer[side]["wheel_rate_n_per_mm"]


def test_droop_read_after_a_teardown_is_that_of_the_bars_that_were_in_then():
    sheet = Sheet(Truth()).plain().boards()
    sheet.move((1, 0), (1, 0)).plain().hung(12.0)
    for change in (THICKER, {"load_kg": {"left": 40.0, "right": 40.0}}):
        trial = what_if(sheet.request(), change)["trial"]
        for side in SIDES:
            droop = 415.0 * (math.sin(12.0 * DEG) - math.sin(trial[side]["riding_deg"] * DEG))
            assert trial[side]["droop_left_mm"] == pytest.approx(droop, abs=0.1)


# -- what the log taught, and what it cannot have taught ---------------------------------------------------------


def test_what_is_common_to_two_bars_is_kept_and_the_rest_renewed():
    # The rule against numpy's conditional normal: two correlated logarithms, the log sees the old one only.
    old, new, read_sd, read = 0.03, 0.05, 0.012, 0.021
    joint = np.array([[old**2, COMMON * old * new], [COMMON * old * new, new**2]])
    gain = joint[:, 0] / (joint[0, 0] + read_sd**2)
    mean, covariance = gain * read, joint - np.outer(gain, joint[0])
    share = COMMON * new / old
    assert share * mean[0] == pytest.approx(mean[1])
    assert share**2 * covariance[0, 0] + new**2 * (1 - COMMON**2) == pytest.approx(covariance[1, 1])
    assert share * covariance[0, 0] == pytest.approx(covariance[0, 1])


def test_a_bar_that_is_not_in_is_known_less_well_than_one_that_the_log_weighed():
    # Scales tell loads, and so the old bars' rate; nothing tells the new ones'.
    sheet = Sheet(Truth()).plain(3).boards(rounds=3)
    for _ in range(4):
        sheet.both("wheel-load")
    answer = what_if(sheet.request(unsprung_sd_kg=0.5), THICKER)
    was, trial = answer["as_it_is"]["bar_nm_per_deg"], answer["trial"]["bar_nm_per_deg"]
    assert was["sd"] / was["value"] < 0.02
    assert math.sqrt(1 - COMMON**2) * 0.03 < trial["sd"] / trial["value"] < 0.03


def test_a_new_job_with_the_other_bars_begins_from_what_the_old_one_taught():
    # What the log taught of arm and roll support comes through; the bars' rate is as open as any new bars'.
    sheet = Sheet(Truth(arm_m=0.419, roll=17e3)).plain(4).boards(rounds=4).hung()
    request = sheet.request()
    trial = what_if(request, THICKER)["trial"]
    rate = BOOK_RATE * (24.0 / 22.0) ** 4
    truth = Truth(arm_m=0.419, roll=17e3, rate=rate, bush=0.045 * BOOK_RATE / rate,
                  hanging_deg=tuple(trial[s]["hanging_deg"] for s in SIDES))  # fmt: skip
    new = {**BAR, "diameter_mm": 24.0}
    ask = Sheet(truth).plain().request(bar=new, known=trial["posterior"])
    fresh = Sheet(truth).plain().request(bar=new)
    learned, blank = solve(ask)["learned"], solve(fresh)["learned"]
    assert learned["arm_mm"]["sd"] < blank["arm_mm"]["sd"]
    assert abs(learned["arm_mm"]["value"] - 419.0) < abs(blank["arm_mm"]["value"] - 419.0)
    assert learned["roll_support_n_per_mm"]["sd"] < 0.5 * blank["roll_support_n_per_mm"]["sd"]
    assert 0.02 < learned["bar_nm_per_deg"]["sd"] / learned["bar_nm_per_deg"]["value"] < 0.03
    assert what_if(request, {})["trial"]["posterior"] is None


def rebarred(request, change):
    """The estimates behind a trial: as fitted, and with the other bars."""
    found = Bench(request)
    case, load = found._changed(change)
    return found.plan.estimate, Rebarred(found.plan.estimate, case, load)


def test_the_spread_of_the_heights_is_that_of_sampled_cars(boards):
    base, other = rebarred(boards, THICKER)
    rng = np.random.default_rng(20)
    scale = np.array(base.scale)
    covariance = np.array(base.covariance) * np.outer(scale, scale)
    draws = rng.multivariate_normal(base.theta, covariance, 3000)
    book_old, book_new = math.log(BOOK_RATE), math.log(BOOK_RATE * (24.0 / 22.0) ** 4)
    heights = []
    for draw in draws:
        theta = list(draw)
        own = rng.normal(0.0, 0.03 * math.sqrt(1 - COMMON**2))
        theta[RATE] = book_new + COMMON * (draw[RATE] - book_old) + own
        theta[BUSH] = draw[BUSH] * math.exp(draw[RATE] - theta[RATE])
        for s in (0, 1):
            twist = other.theta[s] - other.rest.phi[s]
            theta[s] = other.theta[s] + rng.normal(0.0, SETTING) + twist * rng.normal(0.0, PAIR)
            theta[s] += theta[BUSH] * rng.normal(0.0, 2.5 * DEG)
        rest = equilibrium(constants=theta, rest=0.0)
        heights.append([theta[MARK_LEFT + s] + rest.height[s] + rng.normal(0.0, 0.0009) for s in (0, 1)])
    mean, variance, _ = predict.heights(other, other.rest, (True, True))
    sampled = np.cov(np.array(heights).T)
    assert np.mean(heights, axis=0) == pytest.approx(mean, abs=4e-4)
    # 3,000 draws tell a variance to 2.6 % (one standard deviation).
    assert [sampled[0, 0], sampled[1, 1]] == pytest.approx(variance[:2], rel=0.09)
    assert sampled[0, 1] == pytest.approx(variance[2], abs=0.09 * variance[0])


@pytest.mark.slow(seconds=2)
def test_the_odds_over_phases_are_those_of_sampled_phases(boards):
    rng = np.random.default_rng(7)
    for teeth in ({}, {"inner_teeth": 30, "outer_teeth": 31}, {"outer_teeth": 40}):
        trial = what_if(boards, {"bar": {"diameter_mm": 24.0, **teeth}})["trial"]
        _, other = rebarred(boards, {"bar": {"diameter_mm": 24.0, **teeth}})
        _, (vl, vr, vlr), _ = predict.heights(other, other.rest, (True, True))
        step = trial["step_deg"]["fine"] * DEG
        phases = rng.uniform(-0.5 * step, 0.5 * step, (400_000, 2))
        slopes = np.array([other.rest.d_height[s][ALPHA_LEFT : ALPHA_LEFT + 2] for s in (0, 1)])
        noise = rng.multivariate_normal([0.0, 0.0], [[vl, vlr], [vlr, vr]], len(phases))
        off = (phases @ slopes.T + noise) * 1e3
        landed = (np.abs(off) <= 5.0).all(axis=1) & (np.abs(off[:, 0] - off[:, 1]) <= 5.0)
        assert trial["odds"]["typical"] == pytest.approx(landed.mean(), abs=0.003)
        assert trial["left"]["body_height_mm"]["sd"] == pytest.approx(off[:, 0].std(), rel=0.01)
        assert trial["lean_mm"]["sd"] == pytest.approx((off[:, 0] - off[:, 1]).std(), rel=0.01)
        assert trial["odds"]["worst"] <= trial["odds"]["typical"] <= trial["odds"]["best"] + 1e-9


def test_best_is_a_step_right_there_and_worst_half_a_step_off(boards):
    trial = what_if(boards, THICKER)["trial"]
    _, other = rebarred(boards, THICKER)
    _, (vl, vr, vlr), _ = predict.heights(other, other.rest, (True, True))
    box = stats.multivariate_normal([0.0, 0.0], [[vl * 1e6, vlr * 1e6], [vlr * 1e6, vr * 1e6]])
    wide = what_if(boards, {**THICKER, "target": {"lean_mm": 200.0}})["trial"]
    assert wide["odds"]["best"] == pytest.approx(box.cdf([5, 5], lower_limit=[-5, -5]), abs=1e-4)
    half = 0.5 * trial["step_deg"]["fine"] * DEG
    corners = []
    for left, right in ((half, half), (half, -half)):
        move = tuple(other.rest.d_height[s][0] * left + other.rest.d_height[s][1] * right for s in (0, 1))
        corners.append(landing(mean=move, variance=(vl, vr, vlr), tolerance=0.005, lean=0.005))
    assert trial["odds"]["worst"] == pytest.approx(min(corners), abs=1e-6)


def test_the_nodes_are_those_of_gauss_and_legendre():
    nodes, weights = np.polynomial.legendre.leggauss(5)
    assert [n for n, _ in phase.FIVE] == pytest.approx(nodes, abs=1e-14)
    assert [w for _, w in phase.FIVE] == pytest.approx(weights, abs=1e-14)


def test_a_fine_step_in_millimetres_is_the_rise_of_the_body_with_both_sides_turned(boards):
    trial = what_if(boards, THICKER)["trial"]
    assert trial["step_deg"]["fine"] == pytest.approx(360.0 / 440.0)
    assert trial["mm_per_fine_step"] == pytest.approx(trial["mm_per_deg"] * 360.0 / 440.0)
    bars = {**THICKER["bar"], "outer_teeth": 40}
    coarse = what_if(boards, {"bar": bars})
    assert coarse["trial"]["step_deg"]["fine"] == pytest.approx(9.0)
    assert any("no fine step" in words for words in coarse["cautions"])


# -- limits, cautions, refusals ----------------------------------------------------------------------------------


def test_heights_that_no_angle_gives_are_answered_with_what_stops_them(boards):
    trial = what_if(boards, {"bar": {"diameter_mm": 10.0}})["trial"]
    assert trial["left"] is None
    assert trial["ride_hz"] is None
    assert trial["odds"] == {"typical": 0.0, "best": 0.0, "worst": 0.0}
    assert trial["stopped_by"] == ["No hanging angle of these bars gives this target"]
    assert [o["what"] for o in trial["obstacles"]] == ["reach"]


def test_a_limit_given_for_the_old_bars_is_said_to_be_theirs():
    request = Sheet(Truth()).plain().request(limits={"permissible_stress_mpa": 500.0, "stop_deg": 18.0})
    trial = what_if(request, THICKER)["trial"]
    assert trial["permissible_given"]
    assert any("above the 500 MPa given" in words for words in trial["stopped_by"])
    assert any("given for the bars now fitted" in words for words in trial["cautions"])
    assert any("above its stop" in words for words in trial["cautions"])
    own = what_if(request, {"bar": {"diameter_mm": 24.0, "permissible_stress_mpa": 900.0}})["trial"]
    assert not any("bars now fitted" in words for words in own["cautions"])
    assert own["permissible_stress_mpa"] == 900.0
    assert own["stopped_by"] == []


def test_other_bars_carry_their_own_cautions_and_the_standing_ones(boards):
    words = what_if(boards, THICKER)["cautions"]
    assert "the car's manual" in words[0]
    assert "loaded torsion bar" in " ".join(words)
    assert words[2:] == what_if(boards, {})["cautions"]


def test_a_hard_ride_is_said(boards):
    trial = what_if(boards, {"bar": {"diameter_mm": 30.0}})["trial"]
    assert any("outside the usual 0.8 to 2.2 Hz" in words for words in trial["cautions"])


def test_a_log_that_disagrees_is_said_here_too():
    request = plain()
    request["log"][2]["value"] *= -1.0
    assert "disagree" in " ".join(what_if(request, THICKER)["cautions"])


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"bar": {"diameter_mm": 2.0}}, "$.change.bar.diameter_mm"),
        ({"bar": {"bore_mm": 22.0}}, "$.change.bar.bore_mm"),
        ({"bar": {"inner_teeth": 40.5}}, "$.change.bar.inner_teeth"),
        ({"bar": {"permissible_stress_mpa": 5.0}}, "$.change.bar.permissible_stress_mpa"),
        ({"bar": "thick"}, "$.change.bar"),
        ({"load_kg": {"left": math.nan}}, "$.change.load_kg.left"),
        ({"load_kg": {"right": -400.0}}, "$.change.load_kg.right"),
        ({"target": {"right_mm": 0.0}}, "$.change.target.right_mm"),
        ("thicker", "$.change"),
    ],
)
def test_a_slip_in_a_trial_is_named_at_its_field(boards, change, path):
    with pytest.raises(ModelProblem) as caught:
        what_if(boards, change)
    assert (caught.value.code, caught.value.path) == ("out-of-range", path)


def test_a_bore_left_over_from_thicker_bars_is_named_at_the_diameter(boards):
    boards = json.loads(json.dumps(boards))
    boards["car"]["bar"].update(diameter_mm=24.0, bore_mm=12.0)
    with pytest.raises(ModelProblem) as caught:
        what_if(boards, {"bar": {"diameter_mm": 11.0}})
    assert caught.value.path == "$.change.bar.diameter_mm"


def test_a_load_under_which_a_wheel_would_leave_the_ground_is_refused():
    uneven = Sheet(Truth(uneven_m=0.08)).plain().request(unevenness_mm=80.0)
    with pytest.raises(ModelProblem) as caught:
        what_if(uneven, {"load_kg": {"left": -225.0, "right": -225.0}})
    assert (caught.value.code, caught.value.path) == ("no-equilibrium", "$.change.load_kg")


def test_a_trial_leaves_request_and_fit_as_they_were(boards):
    before = json.dumps(boards)
    found = Bench(boards)
    first = json.dumps(found.try_out({}))
    for change in (THICKER, {"load_kg": {"left": 50.0}}, {"bar": {"inner_teeth": 41}}):
        found.try_out(change)
    assert json.dumps(found.try_out({})) == first
    assert json.dumps(boards) == before


def test_bars_of_the_same_measures_are_the_bars_that_are_in(boards):
    same = what_if(boards, {"bar": {"diameter_mm": 22.0, "bore_mm": 0.0, "inner_teeth": 40}})["trial"]
    assert not same["other_bars"]
    assert what_if(boards, {"bar": {"inner_teeth": 41}})["trial"]["other_bars"]


def test_a_mirrored_car_is_answered_in_the_mirror():
    truth = Truth(hanging_deg=(7.0, 10.0), load_kg=(250.0, 222.0))
    one = what_if(plain(truth, target=(240.0, 246.0)), THICKER)["trial"]
    two = what_if(plain(truth.mirrored(), target=(246.0, 240.0)), THICKER)["trial"]
    assert one["odds"]["typical"] == pytest.approx(two["odds"]["typical"], abs=1e-6)
    assert one["left"]["hanging_deg"] == pytest.approx(two["right"]["hanging_deg"], abs=1e-6)
    assert one["right"]["lift"]["force_n"] == pytest.approx(two["left"]["lift"]["force_n"], rel=1e-6)
