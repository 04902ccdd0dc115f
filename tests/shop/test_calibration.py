"""The measures of calibration: promises that are right pass, promises that are not are caught."""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from shop import calibration

COUNT = 4000


@pytest.fixture(scope="module")
def promises():
    rng = np.random.default_rng(11)
    value, sd = rng.normal(250.0, 20.0, COUNT), rng.uniform(0.5, 3.0, COUNT)
    return value, sd, value + sd * rng.normal(size=COUNT)


def test_promises_that_are_right_pass_every_measure(promises):
    pit, score = calibration.pit(*promises), calibration.crps(*promises)
    assert pit.p_kolmogorov > 0.01
    assert pit.p_chi_square > 0.01
    assert sum(pit.bins) == COUNT
    assert pit.z_sd == pytest.approx(1.0, abs=0.04)
    assert score.p > 0.01
    assert score.mean == pytest.approx(score.expected, rel=0.05)


@pytest.mark.parametrize(("stretch", "shift"), [(0.8, 0.0), (1.25, 0.0), (1.0, 0.3)])
def test_promises_too_modest_too_bold_or_off_are_caught(promises, stretch, shift):
    value, sd, came = promises
    pit = calibration.pit(value + shift * sd, sd * stretch, came)
    assert pit.p_kolmogorov < 1e-6
    assert pit.p_chi_square < 1e-6
    assert calibration.crps(value + shift * sd, sd * stretch, came).p < 1e-3


def test_chances_are_uniform_where_promises_are_right():
    rng = np.random.default_rng(12)
    ranked, odds = [], []
    for _ in range(400):
        sd = rng.uniform(0.5, 3.0, 60)
        ranked.append(calibration.crps(np.zeros(60), sd, sd * rng.normal(size=60)).p)
        p = rng.uniform(0.3, 0.99, 120)
        odds.append(calibration.odds(p, rng.random(120) < p).p)
    # Sums of 60 and 120 are not yet quite normal: the band is loose on purpose.
    assert stats.kstest(ranked, "uniform").statistic < 0.12
    assert stats.kstest(odds, "uniform").statistic < 0.12


@pytest.mark.parametrize("came", [-2.5, 0.0, 0.7, 3.0])
def test_the_ranked_score_is_the_integral_that_defines_it(came):
    def gap(x):
        return (stats.norm.cdf(x) - (x >= came)) ** 2

    area = sum(integrate.quad(gap, a, b)[0] for a, b in ((-12.0, came), (came, 12.0)))
    assert float(calibration.crps_normal(came)) == pytest.approx(area, abs=1e-7)


def test_odds_that_are_too_bold_or_too_modest_are_caught():
    rng = np.random.default_rng(13)
    p = rng.uniform(0.5, 0.98, 2000)
    right = calibration.odds(p, rng.random(2000) < p)
    assert abs(right.z) < 2.6
    assert right.brier == pytest.approx(right.expected, abs=0.02)
    assert calibration.odds(p, rng.random(2000) < p - 0.1).z > 4.0
    assert calibration.odds(p, rng.random(2000) < p + 0.5 * (1.0 - p)).z < -4.0


def test_odds_of_a_half_say_nothing_about_calibration():
    found = calibration.odds([0.5, 0.5], [True, False])
    assert math.isnan(found.z)
    assert found.brier == 0.25


def test_promises_without_a_spread_are_refused():
    with pytest.raises(ValueError, match="above zero"):
        calibration.pit([1.0, 2.0], [1.0, 0.0], [1.0, 2.0])
