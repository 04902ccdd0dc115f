"""The simulated axle of any layout checked against general tools, and against the season's car."""

import dataclasses
import math

import pytest
from scipy import optimize

from shop.adjusters import Eccentric, Screw
from shop.axle import least, needed, of_car, stands
from shop.car import as_found, rest
from shop.fleet import draw
from shop.layouts import LAYOUTS, made

SEEDS = range(3)


@pytest.mark.parametrize("board", [(0.0, 0.0), (50.0, 0.0)])
@pytest.mark.parametrize("name", LAYOUTS)
def test_an_axle_rests_where_its_potential_energy_is_least(name, board):
    for seed in SEEDS:
        case = made(name, seed)
        found = stands(case.axle, case.found.hanging, case.found.clamped, board_mm=board)
        x = least(case.axle, case.found.hanging, case.found.clamped, board)
        assert found.riding == pytest.approx(x[:2], abs=3e-6)
        squash = [found.force[s] / case.axle.corners[s].tyre for s in (0, 1)]
        assert squash == pytest.approx(x[2:], abs=3e-6)


def test_trailing_arms_rest_as_the_car_of_the_season_does():
    # Written another way: for the load carried across, not for both angles.
    for seed in range(30):
        car = draw(seed)
        state = as_found(car)
        ours = stands(of_car(car), state.hanging, state.clamped, board_mm=(45.0, 0.0), settle_mm=(1.0, -2.0))
        theirs = rest(car, state, board_mm=(45.0, 0.0), settle_mm=(1.0, -2.0))
        assert ours.height == pytest.approx(theirs.height, abs=1e-8)
        assert ours.force == pytest.approx(theirs.force, abs=1e-4)
        assert ours.riding == pytest.approx(theirs.riding, abs=1e-5)


@pytest.mark.parametrize("name", LAYOUTS)
def test_needed_angles_bring_an_axle_to_its_heights(name):
    for seed in SEEDS:
        case = made(name, seed)
        wanted = (case.target_mm + 7.0, case.target_mm - 4.0)
        angles = needed(case.axle, case.found.clamped, wanted)
        there = stands(case.axle, angles, case.found.clamped)
        assert [h * 1e3 for h in there.height] == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("name", LAYOUTS)
def test_a_layout_is_drawn_the_same_again_and_has_something_to_do(name):
    for seed in SEEDS:
        case = made(name, seed)
        assert case == made(name, seed)
        heights = [h * 1e3 for h in stands(case.axle, case.found.hanging, case.found.clamped).height]
        assert not case.lands(heights)


def screwed(case, hanging, side_turns_deg=0.0):
    """Hanging angles once both screws have brought the car to its target, by search over turns."""
    wanted = needed(case.axle, case.found.clamped, (case.target_mm, case.target_mm))
    out = []
    for s, screw in enumerate(case.adjusters):
        begun = hanging[s] + math.radians(side_turns_deg)
        turns = optimize.brentq(
            lambda t, s=s, screw=screw, begun=begun: begun + screw.angle(t) - wanted[s], -60, 60
        )
        out.append(begun + screw.angle(turns))
    return out


def test_a_tooth_shifted_to_keep_the_bar_firm_changes_nothing_on_a_true_car():
    # The myth: shift a tooth instead of slackening the screw. One height is made by the screws alone, and by a
    # tooth more at the anchors with the screws slackened; on linkages, with anti-roll bar and leaf-sprung rear.
    # Loaded, emptied and on a board both cars stand alike.
    for seed in SEEDS:
        case = made("front", seed)
        alone, shifted = [screwed(case, case.found.hanging, deg) for deg in (0.0, 360.0 / 30)]
        for how in (
            {},
            {"ballast_kg": (80.0, 40.0)},
            {"ballast_kg": (-90.0, -90.0)},
            {"board_mm": (45.0, 0.0)},
        ):
            one, two = [stands(case.axle, angles, case.found.clamped, **how) for angles in (alone, shifted)]
            assert one.height == pytest.approx(two.height, abs=1e-9)
            assert one.force == pytest.approx(two.force, abs=1e-5)


def test_what_binds_the_sides_of_a_front_axle_shares_a_turn_of_one_screw():
    # 5 turns of the left screw alone raise that side most, and the other a little.
    for seed in SEEDS:
        case = made("front", seed)
        hanging = case.found.hanging
        before = stands(case.axle, hanging, case.found.clamped)
        turned = (hanging[0] + case.adjusters[0].angle(5.0), hanging[1])
        after = stands(case.axle, turned, case.found.clamped)
        own, other = [(a - b) * 1e3 for a, b in zip(after.height, before.height, strict=True)]
        assert 5.0 < own < 40.0
        assert 0.0 < other < 0.6 * own
        firmer = dataclasses.replace(case.axle, anti_roll=case.axle.anti_roll + 10e3)
        bound = (
            stands(firmer, turned, case.found.clamped).height[0]
            - stands(firmer, hanging, case.found.clamped).height[0]
        )
        assert bound * 1e3 < own


def test_a_screw_on_a_fixed_line_is_worth_most_where_its_lever_is_square():
    # 4.25 in, 20 threads an inch: 0.674 degrees a turn at square (an owner's sum, geometry checked); cos^2 of that
    # off square.
    square = Screw(0.10795, 0.0, 0.0254 / 20, 20.0, 20.0)
    assert math.degrees(square.angle(0.5) - square.angle(-0.5)) == pytest.approx(0.674, abs=5e-4)
    off = dataclasses.replace(square, off=math.radians(12.0))
    share = (off.angle(0.5) - off.angle(-0.5)) / (square.angle(0.5) - square.angle(-0.5))
    assert share == pytest.approx(math.cos(math.radians(12.0)) ** 2, rel=1e-3)
    assert square.kept(25.0) == 20.0


def test_an_eccentric_of_4_mm_at_120_reaches_1_9_degrees_either_way():
    # Derived, invented: asin(4 / 120), 14 mm at an arm of 420.
    middle = Eccentric(0.120, 0.004, 0.0)
    reach = math.degrees(middle.angle(0.25))
    assert reach == pytest.approx(1.9, abs=0.05)
    assert 420.0 * math.radians(reach) == pytest.approx(14.0, abs=0.1)
    assert middle.angle(-0.25) == -middle.angle(0.25)
    assert middle.angle(1.0) == pytest.approx(0.0, abs=1e-12)
