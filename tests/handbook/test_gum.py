"""Uncertainty: the worked examples of the GUM (JCGM 100:2008), its supplements, and probabilities of landing.

The product propagates to first order by a covariance and turns a normal spread into odds. It has no such
arithmetic, so these are not checked: effective degrees of freedom by Welch and Satterthwaite and the expanded
uncertainties resting on them (H.1's nu 16, t 2.92, U 93 nm; G.4.1's nu 19.0, t 2.09, U 2.2 %), Student's t (2.92078
and 2.30600), second-order terms (H.1's 34 nm), and the shortest intervals of Monte Carlo distributions (JCGM 101,
9.2.3: 3.88; 9.2.4: 17.0). Of the last two the normal answers are checked.
"""

import math

import numpy as np
import pytest

from bothends.model.fit import fit
from bothends.model.linalg import quadratic
from bothends.model.odds import interval, landing


def diagonal(spreads) -> list:
    return [[s * s if i == j else 0.0 for j in range(len(spreads))] for i, s in enumerate(spreads)]


def test_the_end_gauge_of_example_h1():
    # Source: GUM H.1. l = l_S + d - l_S (dalpha theta + alpha_S dtheta).
    found = quadratic(diagonal([5.8, 3.9, 6.7]), [1.0] * 3, [1.0] * 3)
    spread_d = math.sqrt(found)
    assert spread_d == pytest.approx(9.7, abs=0.05)
    assert spread_d == pytest.approx(9.6819, abs=5e-5)
    gauge, offset = 50.000623e6, 215.0
    assert (gauge + offset) * 1e-6 == pytest.approx(50.000838, abs=5e-7)
    alpha, theta = 11.5e-6, -0.1
    row = [1.0, 1.0, -gauge * theta, -gauge * alpha, 0.0, 0.0]
    spreads = [25.0, spread_d, 1e-6 / 3**0.5, 0.05 / 3**0.5, 2e-6 / 3**0.5, (0.2**2 + 0.5**2 / 2) ** 0.5]
    variance = quadratic(diagonal(spreads), row, row)
    # 1002 and 32 as printed; 1002.60 and 31.664 unrounded (derived).
    assert variance == pytest.approx(1002, abs=1)
    assert variance == pytest.approx(1002.60, abs=0.05)
    assert math.sqrt(variance) == pytest.approx(31.664, abs=5e-4)


def test_resistance_and_reactance_of_example_h2():
    # Source: GUM H.2: means of five simultaneous readings, their covariance carried to R, X and Z.
    volts = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
    amperes = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) * 1e-3
    phase = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
    covariance = (np.cov(np.array([volts, amperes, phase])) / 5).tolist()
    spreads = [covariance[i][i] ** 0.5 for i in range(3)]
    for i, j, expected in ((0, 1, -0.36), (0, 2, 0.86), (1, 2, -0.65)):
        assert covariance[i][j] / spreads[i] / spreads[j] == pytest.approx(expected, abs=0.005)
    v, i, f = volts.mean(), amperes.mean(), phase.mean()
    z = v / i
    rows = {
        "R": [math.cos(f) / i, -z * math.cos(f) / i, -z * math.sin(f)],
        "X": [math.sin(f) / i, -z * math.sin(f) / i, z * math.cos(f)],
        "Z": [1 / i, -z / i, 0.0],
    }
    unrounded = {
        "R": (z * math.cos(f), 127.73217, 0.071071),
        "X": (z * math.sin(f), 219.84651, 0.295582),
        "Z": (z, 254.25970, 0.236336),
    }
    found = {}
    for name, (value, expected, deviation) in unrounded.items():
        assert value == pytest.approx(expected, abs=5e-6)
        found[name] = math.sqrt(quadratic(covariance, rows[name], rows[name]))
        assert found[name] == pytest.approx(deviation, abs=6e-7)
    for first, second, expected in (("R", "X", -0.588), ("R", "Z", -0.485), ("X", "Z", 0.993)):
        shared = quadratic(covariance, rows[first], rows[second])
        assert shared / found[first] / found[second] == pytest.approx(expected, abs=0.0006)


def test_the_thermometer_line_of_example_h3():
    # Source: GUM H.3, a straight line by least squares; unrounded figures derived.
    at = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]

    def residuals(y):
        value = [y[0] + y[1] * (t - 20) - c for t, c in zip(at, b, strict=True)]
        return value, [[1.0, t - 20] for t in at]

    result = fit(residuals=residuals, start=[0.0, 0.0])
    s = math.sqrt(2 * result["cost"] / 9)
    assert s == pytest.approx(0.0034976, abs=5e-8)
    assert result["x"] == pytest.approx([-0.171204, 0.0021827], abs=5e-7)
    covariance = [[s * s * c for c in row] for row in result["covariance"]]
    spreads = [math.sqrt(covariance[k][k]) for k in (0, 1)]
    assert spreads == pytest.approx([0.0028776, 0.00066794], rel=2e-5)
    assert covariance[0][1] / spreads[0] / spreads[1] == pytest.approx(-0.930430, abs=5e-7)
    row = [1.0, 10.0]
    assert result["x"][0] + 10 * result["x"][1] == pytest.approx(-0.149377, abs=5e-7)
    assert math.sqrt(quadratic(covariance, row, row)) == pytest.approx(0.0041386, abs=5e-8)


def test_relative_uncertainties_of_a_product_in_example_g4():
    # Source: GUM G.4.1 (inputs from memory, not checked): 0.25, 0.57, 0.82 % give 1.03 %.
    found = quadratic(diagonal([0.25, 0.57, 0.82]), [1.0] * 3, [1.0] * 3)
    assert math.sqrt(found) == pytest.approx(1.03, abs=0.005)


@pytest.mark.parametrize(
    ("spreads", "combined", "half_width"),
    [
        # Source: JCGM 101, 9.2.3, four rectangular of u 1, the normal answer; from memory, not checked; derived.
        ([1.0] * 4, 2.0, 3.92),
        # Source: JCGM 101, 9.2.4, three of u 1 and one of u 10, the normal answer; likewise.
        ([1.0, 1.0, 1.0, 10.0], 10.15, 19.9),
    ],
)
def test_sums_of_rectangular_spreads_taken_as_normal(spreads, combined, half_width):
    u = math.sqrt(quadratic(diagonal(spreads), [1.0] * 4, [1.0] * 4))
    assert u == pytest.approx(combined, abs=0.005)
    assert interval(mean=0.0, sd=u, half_width=half_width) == pytest.approx(0.95, abs=5e-4)


def test_probability_of_conformance_below_one_limit():
    # Source: JCGM 106 (text not seen, from memory; arithmetic checked): y -5.47, u 0.05, upper limit -5.40: 0.9192.
    # One limit is a band whose other limit is far away.
    far = 100.0
    one = interval(mean=-5.47 + 5.40 + far, sd=0.05, half_width=far)
    assert one == pytest.approx(0.9192, abs=5e-5)
    # The same through both sides: the other side and the lean are as good as sure.
    both = landing(mean=(-5.47 + 5.40 + far, 0.0), variance=(0.05**2, 1e-6, 0.0), tolerance=far, lean=3 * far)
    assert both == pytest.approx(one, abs=1e-9)


# Odds, derived.
@pytest.mark.parametrize(("mean", "odds"), [(0.0, 0.954500), (2.0, 0.882375)])
def test_a_normal_height_within_five(mean, odds):
    assert interval(mean=mean, sd=2.5, half_width=5.0) == pytest.approx(odds, abs=5.1e-7)
    sure = landing(mean=(mean, 0.0), variance=(6.25, 1e-12, 0.0), tolerance=5.0, lean=50.0)
    assert sure == pytest.approx(odds, abs=5.1e-7)


@pytest.mark.parametrize(("half_width", "odds"), [(5.0, 0.997996), (3.0, 0.884079)])
def test_a_step_rounded_to_whole_teeth_with_normal_noise(half_width, odds):
    # A uniform of +-2.856 plus N(0, 1): the normal's odds averaged over the uniform by Gauss-Legendre.
    nodes, weights = np.polynomial.legendre.leggauss(40)
    found = sum(
        0.5 * w * interval(mean=2.856 * x, sd=1.0, half_width=half_width)
        for x, w in zip(nodes.tolist(), weights.tolist(), strict=True)
    )
    assert found == pytest.approx(odds, abs=5.1e-7)


@pytest.mark.parametrize(("lean", "odds"), [(5.0, 0.842701), (8.0, 0.976348)])
def test_the_difference_of_two_independent_sides(lean, odds):
    found = landing(mean=(0.0, 0.0), variance=(6.25, 6.25, 0.0), tolerance=100.0, lean=lean)
    assert found == pytest.approx(odds, abs=5.1e-7)


def test_the_chance_of_conformity_of_a_reading_between_two_limits():
    # Source: JCGM 106:2012, 7.4: 13.6 with u 1.8, limits 12.5 and 16.3 (inputs published; text not seen). The value
    # is derived: Phi(1.5) - Phi(-0.6111).
    value, sd, low, high = 13.6, 1.8, 12.5, 16.3
    off, half = value - 0.5 * (low + high), 0.5 * (high - low)
    assert interval(mean=off, sd=sd, half_width=half) == pytest.approx(0.6626, abs=5e-5)
    # The same for a car of which one side is known to be right and the lean does not matter, either way round.
    for mean, variance in (((off, 0.0), (sd**2, 0.0, 0.0)), ((0.0, off), (0.0, sd**2, 0.0))):
        found = landing(mean=mean, variance=variance, tolerance=half, lean=100.0)
        assert found == pytest.approx(0.6626, abs=5e-5)
    # And of two that are read alike and apart: both must conform.
    both = landing(mean=(off, off), variance=(sd**2, sd**2, 0.0), tolerance=half, lean=100.0)
    assert both == pytest.approx(0.6626**2, abs=1e-4)
