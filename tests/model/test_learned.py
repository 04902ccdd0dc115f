"""What an answer says it learned, against the truth and against finite differences."""

import math

import numpy as np
import pytest

from bothends.model.estimate import Estimate
from bothends.model.learned import learned, posterior, slope
from bothends.model.prior import KEPT, NAMES
from bothends.model.request import read
from bothends.model.solve import solve
from bothends.model.statics import CONSTANTS, equilibrium
from model.cars import DEG, Sheet, Truth, drawn, plain


def test_exact_readings_of_the_book_car_teach_the_book_car():
    truth = Truth()
    found = solve(plain(truth))["learned"]
    rest = truth.settled()
    expected = {
        "bar_nm_per_deg": truth.rate * DEG,
        "arm_mm": 415.0,
        "roll_support_n_per_mm": 13.0,
        "bush_ratio": 0.045,
        "tyre_n_per_mm": 180.0,
        "mm_per_deg": slope(rest),
    }
    assert set(found) == set(expected)
    for name, value in expected.items():
        assert found[name]["value"] == pytest.approx(value, rel=1e-6), name
        assert found[name]["sd"] > 0.0


def test_spreads_before_any_board_are_the_books():
    found = solve(plain())["learned"]
    assert found["roll_support_n_per_mm"]["sd"] == pytest.approx(5.0, rel=0.05)
    assert found["tyre_n_per_mm"]["sd"] == pytest.approx(35.0, rel=0.05)
    assert found["bush_ratio"]["sd"] == pytest.approx(0.02, rel=0.05)
    assert found["arm_mm"]["sd"] == pytest.approx(3.0, rel=0.05)
    assert found["bar_nm_per_deg"]["sd"] < 0.03 * found["bar_nm_per_deg"]["value"]


def test_the_slope_is_the_height_of_both_sides_turned_alike():
    truth = Truth()
    up, down = [truth.settled(turn_deg=(d, d)).height for d in (0.01, -0.01)]
    expected = (sum(up) - sum(down)) / 2 / 0.02 * 1e3
    assert slope(truth.settled()) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_the_slopes_spread_is_that_of_everything_it_rests_on(seed):
    sheet = Sheet(drawn(seed), np.random.default_rng(seed)).plain(2)
    if seed % 2:
        sheet.boards()
    estimate = Estimate(read(sheet.request()))
    row = [0.0] * estimate.evidence.size
    for k in range(CONSTANTS):
        step = 1e-3 * estimate.constant(k)[1]
        sides = []
        for sign in (1, -1):
            moved = list(estimate.theta)
            moved[k] += sign * step
            sides.append(slope(equilibrium(constants=moved, rest=estimate.case.car.rest)))
        row[k] = (sides[0] - sides[1]) / (2 * step)
    found = learned(estimate, estimate.rest_at((0.0, 0.0)))["mm_per_deg"]
    # To first order it rests on the arm and the bush; the rest adds less than a third.
    assert found["sd"] == pytest.approx(estimate.spread_of(row), rel=0.3)


def test_a_posterior_is_the_lasting_part_of_the_whole():
    estimate = Estimate(read(plain(drawn(1), np.random.default_rng(1))))
    found = posterior(estimate)
    assert found["names"] == list(NAMES)
    for i, k in enumerate(KEPT):
        mean, sd = estimate.constant(k)
        assert found["mean"][i] == mean
        assert math.sqrt(found["covariance"][i][i]) == pytest.approx(sd)
        for j in range(len(KEPT)):
            assert found["covariance"][i][j] == pytest.approx(found["covariance"][j][i])
    assert np.linalg.eigvalsh(np.array(found["covariance"])).min() > 0
