"""Awkward cars by themselves: what a scenario adds is what its table says, and the added physics rests where
its potential energy is least.
"""

import dataclasses
import itertools
import math
import statistics

import numpy as np
import pytest
from scipy import optimize, stats

from shop import scenario
from shop.awkward import BUSH_TWIST_DEG
from shop.car import as_found, rest, settling_mm
from shop.energy import potential_energy
from shop.fleet import draw
from shop.judge import as_usual, heights_read
from shop.seer import case_of
from shop.stand import sunk_mm

SIDES = ("left", "right")


@pytest.mark.parametrize("name", ["lever", "bush", "floor-5-named", "driver-75-read", "nothing-level"])
def test_awkward_cars_rest_where_their_potential_energy_is_least(name, long):
    for seed in range(6 if long else 2):
        case = case_of(name, seed)
        car, state, board = case.car, as_found(case.car), (0.0, 45.0 if seed % 2 else 0.0)
        for stand in (case.read, case.judged):
            under, ballast = stand.raised_mm(board), stand.ballast_kg

            def energy(x, car=car, state=state, under=under, ballast=ballast):
                where = (x[0], x[1], 0.1 * x[2], 0.1 * x[3])
                return potential_energy(car, state, where, board_mm=under, ballast_kg=ballast)

            first = optimize.minimize(energy, [0.0, 0.0, 0.1, 0.1], method="BFGS", options={"gtol": 1e-5})
            found = stand.rest(car, state, board_mm=board)
            assert found.riding == pytest.approx(first.x[:2], abs=2e-6)


@pytest.mark.parametrize("name", list(scenario.SCENARIOS))
def test_needed_hanging_angles_bring_the_car_to_its_wish(name, long):
    for seed in range(5 if long else 2):
        case = case_of(name, seed)
        car, state = case.car, as_found(case.car)
        wish = case.wish(case.first_log())[1]
        degrees = wish.needed_hanging_deg(car, state.clamped)
        there = dataclasses.replace(state, hanging=tuple(math.radians(d) for d in degrees))
        heights = [h * 1e3 for h in wish.stood(car, there).height]
        assert heights == pytest.approx(wish.target_mm, abs=1e-6)
        assert wish.lands(heights)


def test_a_scenario_without_additions_is_the_usual_car():
    for seed in range(10):
        for name in ("given", "closed", "floor-3-named", "driver-60-read", "tails"):
            assert case_of(name, seed).car == draw(seed)
        case = case_of("boards", seed)
        assert case.request(case.first_log())["log"] == case.mechanic.log(as_found(case.car), "boards")


def test_levers_are_longer_by_nothing_to_fifteen_in_a_hundred():
    cars = [case_of("lever", seed).car for seed in range(400)]
    off = [0.5e3 * (c.sides[0].arm + c.sides[1].arm) / c.arm_mm - 1.0 for c in cars]
    assert statistics.mean(off) == pytest.approx(0.075, abs=0.007)
    assert statistics.stdev(off) == pytest.approx(0.15 / math.sqrt(12.0), rel=0.1)


def test_a_stiff_bush_has_half_as_much_again_at_twelve_degrees_and_the_usual_rate_at_rest():
    side = case_of("bush", 1).car.sides[0]
    twist = math.radians(BUSH_TWIST_DEG)
    assert side.bush_torque(twist) == pytest.approx(1.5 * side.bush * twist)
    assert side.stiffness(0.0) == pytest.approx(side.bar + side.bush)
    slope = (side.bush_torque(twist + 1e-6) - side.bush_torque(twist - 1e-6)) / 2e-6
    assert side.stiffness(twist) - side.bar == pytest.approx(slope, rel=1e-6)


def test_a_second_settling_is_marked_and_repeats_of_one_settling_are_not():
    car = case_of("friction-4", 2).car
    assert car.friction == 4e-3
    log = case_of("friction-4", 2).first_log()
    assert {e.get("resettled") for e in log if e["what"] == "body-height"} == {0, 1}
    assert all("resettled" not in e for e in log if e["what"] == "hanging-angle")
    assert settling_mm(car, 0, 0) != settling_mm(car, 0, 1)
    apart = {"friction-4": [], "friction-4-unmarked": []}
    for name, found in apart.items():
        for seed in range(150):
            log = case_of(name, seed).first_log()
            read = [e["value"] for e in log if e["what"] == "body-height" and not e.get("pose")]
            found += [read[2] - read[0], read[3] - read[1]]
        log = case_of(name, 2).first_log()
        assert any("resettled" in e for e in log) == (name == "friction-4")
    # Two readings 1.5 mm off each, rounded to 1; and two settlings within a band of 8 mm.
    noise = 2.0 * (1.5**2 + 1.0 / 12.0)
    assert np.var(apart["friction-4-unmarked"]) == pytest.approx(noise, rel=0.25)
    assert np.var(apart["friction-4"]) == pytest.approx(noise + 2.0 * 8.0**2 / 12.0, rel=0.25)


def test_the_floor_lifts_as_a_board_and_differs_between_spots_only():
    twists = [case_of("floor-5-unnamed", seed) for seed in range(300)]
    apart = [c.judged.twist_mm - c.read.twist_mm for c in twists]
    assert statistics.stdev(apart) == pytest.approx(5.0, rel=0.1)
    same = case_of("floor-5-same", 4)
    assert same.read == same.judged != case_of("given", 4).read
    case, state = twists[4], as_found(twists[4].car)
    board = (case.judged.twist_mm, 0.0)
    there = rest(case.car, state, board_mm=board)
    assert case.judged.rest(case.car, state).height == pytest.approx(there.height, abs=1e-9)


def test_heavy_tails_keep_their_core_and_reach_far():
    off = []
    for seed in range(250):
        case = case_of("tails", seed)
        for e in case.first_log():
            if e["what"] == "hanging-angle" and case.mechanic.reads_datum:
                true = math.degrees(case.car.sides[SIDES.index(e["side"])].hanging)
                off.append((e["value"] - e["datum"] - true) / (0.2 * math.sqrt(2.0)))
    tall = sum(abs(z) > 4.0 for z in off) / len(off)
    assert sum(abs(z) < 1.0 for z in off) / len(off) == pytest.approx(0.64, abs=0.06)
    assert tall > 20.0 * 2.0 * stats.norm.sf(4.0)
    assert stats.t.cdf(1.19688, 3.0) == pytest.approx(stats.norm.cdf(1.0), abs=1e-5)


def test_some_unknown_cars_are_to_be_raised_far_and_have_the_droop_for_it():
    cars = [case_of("nothing-rise", seed).car for seed in range(300)]
    far = []
    for car in cars:
        found = rest(car, as_found(car))
        if car.target_mm - 500.0 * (found.height[0] + found.height[1]) > 70.0:
            far.append(car)
            there = needed_riding(car)
            assert max(there) < math.radians(car.stop_deg)
            assert car.droop_mm > 100.0
    assert len(far) / 300 == pytest.approx(0.2, abs=0.06)


def needed_riding(car):
    state = as_found(car)
    degrees = as_usual(car).needed_hanging_deg(car, state.clamped)
    return rest(car, dataclasses.replace(state, hanging=tuple(map(math.radians, degrees)))).riding


def test_after_hand_over_the_car_sinks_as_far_as_the_run_in_has_come():
    cars = [draw(seed) for seed in range(400)]
    full = [sunk_mm(car, 1e6) for car in cars]
    common = [0.5 * (a + b) for a, b in full]
    assert statistics.mean(common) == pytest.approx(-1.0, abs=0.25)
    assert statistics.stdev(common) == pytest.approx(1.5, rel=0.1)
    assert statistics.stdev(a - b for a, b in full) == pytest.approx(1.0, rel=0.1)
    for car, sunk in itertools.islice(zip(cars, full, strict=True), 10):
        share = 1.0 - math.exp(-0.5)
        assert sunk_mm(car, 50.0) == pytest.approx([share * mm for mm in sunk])
        assert sunk_mm(car, 0.0) == (0.0, 0.0)
    case = case_of("given", 3)
    log = case.mechanic.followed_up(as_found(case.car), 300.0)
    assert {e["after_km"] for e in log} == {300.0}
    assert {e["what"] for e in log} == {"riding-angle", "body-height"}
    assert heights_read(log) is None
