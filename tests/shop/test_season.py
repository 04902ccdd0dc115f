"""A small season on seeds the product was never tuned on.

The large version is ``bench_season.py``; the goals on other scenarios are ``test_goals``'s. Bounds here allow for
chance: a count must reach what a product that is exactly on target would reach on 199 of 200 draws of as many
cars (the 0.5 % quantile of the binomial), so a test on so few cars says "not clearly worse than the target", no
more. Targets: product goals, no source.
"""

import math

import pytest

from bothends.model.solve import solve
from shop import bench_calibration, calibration, season, tally
from shop.bands import least, most
from shop.car import as_found
from shop.fleet import draw

JUDGING = 1_000_000
CARS = 40, 100
"""How many in every run, and with ``--long``: every bound follows the count. A goal of 0.92 lets 32 of 40
suffice."""
CHANCE = 0.005


@pytest.fixture(scope="module")
def boards(long):
    return [season.play(JUDGING + i, "boards", solve) for i in range(CARS[long])]


@pytest.fixture(scope="module")
def plain(long):
    return [season.play(JUDGING + i, "plain", solve) for i in range(CARS[long])]


def test_the_report_counts_what_happened():
    def plan(odds, landed):
        return season.Plan(odds, (0, 0), ((0, 0), (0, 0)), (0, 0), (1, 1), (0, 0), (0, 0), (0, 0), landed, 0)

    def car(*plans, error=""):
        return season.Outcome(1, "raise", (40, 44), (250.0, 250.0), list(plans), error)

    counted = tally.report(
        [
            car(plan(0.9, True)),
            car(plan(0.7, False), plan(0.8, True)),
            car(plan(0.8, False), plan(0.9, False)),
            car(error="boom"),
        ]
    )
    assert (counted.first, counted.second) == (0.25, 0.5)
    assert (counted.promised, counted.kept) == (pytest.approx(0.8), pytest.approx(1 / 3))
    assert (counted.sure, counted.sure_kept) == (2, 0.5)
    assert counted.errors == ["seed 1: boom"]


def test_leave_it_turns_nothing_and_the_car_settles_once_more():
    car = draw(3)
    leave = {
        side: {"inner": 0, "outer": 0, "body_height_mm": {"value": 1.0, "sd": 1.0}}
        for side in ("left", "right")
    }
    state, plan = season.follow(car, as_found(car), {"options": [{"odds": 1.0, **leave}], "doubts": []})
    assert state == as_found(car)
    assert not plan.landed


def test_no_car_of_the_season_is_refused(boards, plain):
    assert tally.report(boards).errors == []
    assert tally.report(plain).errors == []


def test_with_board_tests_first_teardowns_land(boards):
    assert tally.report(boards).first >= least(0.92, len(boards))


def test_without_board_tests_first_teardowns_land(plain):
    assert tally.report(plain).first >= least(0.70, len(plain))


def test_second_teardowns_land_what_the_first_left(boards, plain):
    assert tally.report(boards).second >= least(0.985, len(boards))
    assert tally.report(plain).second >= least(0.985, len(plain))


def test_board_tests_are_worth_taking(boards, plain):
    # The same cars, so the difference has less scatter than either rate.
    assert tally.report(boards).first >= tally.report(plain).first


@pytest.mark.parametrize("style", ["boards", "plain"])
def test_odds_promised_are_odds_kept(style, request):
    counted = tally.report(request.getfixturevalue(style))
    chance = 2.58 * math.sqrt(counted.promised * (1.0 - counted.promised) / counted.cars)
    assert abs(counted.promised - counted.kept) <= 0.05 + chance
    assert counted.sure_kept >= least(0.80, counted.sure)
    chance = 2.58 * math.sqrt(counted.promised_after * (1.0 - counted.promised_after) / counted.cars)
    assert abs(counted.promised_after - counted.kept_after) <= 0.05 + chance


def test_logs_of_the_season_raise_no_doubt(boards):
    plans = [plan for o in boards for plan in o.plans]
    assert sum(plan.doubts > 0 for plan in plans) / len(plans) <= most(0.02, len(plans))


@pytest.mark.parametrize("style", ["boards", "plain"])
def test_promised_heights_fall_as_a_normal_with_their_spread_would(style, request):
    first = [o.plans[0] for o in request.getfixturevalue(style)]
    for name, held in bench_calibration.promises(first).items():
        found = calibration.pit(*held)
        assert found.p_kolmogorov > CHANCE, (name, found)
        # Too modest is no fault that misleads: only scores above what was promised count.
        score = calibration.crps(*held)
        assert score.z < 2.58, (name, score)
