"""Odds of landing against scipy.stats and scipy.integrate."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, special, stats

from bothends.model.odds import COARSE, interval, landing
from model.cars import steady


def spread(sx, sy, r):
    return (sx * sx, sy * sy, r * sx * sy)


def other_way(mean, variance, tolerance, lean):
    """The same probability by scipy, over the difference first and then along it.

    d = x - y is normal; given d, x is normal and lies within limits that move with d. Another pair of variables,
    another rule and adaptive steps: nothing in common with the product but the question.
    """
    (mx, my), (vx, vy, vxy) = mean, variance
    vd = vx + vy - 2 * vxy
    md = mx - my
    sd = math.sqrt(vd)
    slope = (vx - vxy) / vd
    rest = math.sqrt(vx - slope * (vx - vxy))

    def inner(d):
        low, high = max(-tolerance, d - tolerance), min(tolerance, d + tolerance)
        if high <= low:
            return 0.0
        m = mx + slope * (d - md)
        density = math.exp(-0.5 * ((d - md) / sd) ** 2) / (sd * math.sqrt(2 * math.pi))
        return (special.ndtr((high - m) / rest) - special.ndtr((low - m) / rest)) * density

    edge = min(lean, 2 * tolerance)
    low, high = max(-edge, md - 9 * sd), min(edge, md + 9 * sd)
    if low >= high:
        return 0.0
    points = [0.0]
    for bound, tilt in ((-tolerance, 0.0), (tolerance, 0.0), (-tolerance, 1.0), (tolerance, 1.0)):
        q = slope - tilt
        if abs(q) > 1e-12:
            at = md + (bound + tilt * md - mx) / q
            points += [at - 5 * rest / abs(q), at, at + 5 * rest / abs(q)]
    points += [md + k * sd for k in (-3, -1, 0, 1, 3)]
    cuts = sorted({low, high, *[p for p in points if low < p < high]})
    return sum(
        integrate.quad(inner, a, b, epsabs=1e-12, epsrel=1e-11, limit=200)[0]
        for a, b in itertools.pairwise(cuts)
    )


COORDINATE = st.floats(-12.0, 12.0)
SPREAD = st.floats(0.05, 12.0)
WIDTH = st.floats(0.2, 15.0)


@given(COORDINATE, COORDINATE, SPREAD, SPREAD, st.floats(-0.999, 0.999), WIDTH, WIDTH)
@steady(120)
def test_odds_are_scipys_over_the_hexagon(mx, my, sx, sy, r, tolerance, lean):
    given_ = {"mean": (mx, my), "variance": spread(sx, sy, r), "tolerance": tolerance, "lean": lean}
    expected = other_way(**given_)
    assert landing(**given_) == pytest.approx(expected, abs=1e-9)
    assert landing(**given_, rule=COARSE) == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize("r", [0.9999, -0.9999, 0.99999, -0.99999])
@pytest.mark.parametrize("sy", [0.8, 2.0, 3.0])
@pytest.mark.parametrize("mean", [(0.0, 0.0), (3.0, 1.0), (5.2, 4.8)])
def test_odds_hold_as_the_sides_move_as_one(r, sy, mean):
    given_ = {"mean": mean, "variance": spread(2.0, sy, r), "tolerance": 5.0, "lean": 2.5}
    assert landing(**given_) == pytest.approx(other_way(**given_), abs=1e-8)


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("sy", [0.3, 2.0, 4.0])
@pytest.mark.parametrize("mean", [(0.0, 0.0), (3.0, 1.0), (-4.9, -4.0)])
def test_sides_that_move_exactly_as_one_leave_a_single_interval(sign, sy, mean):
    sx, tolerance, lean = 2.0, 5.0, 3.0
    k = sign * sy / sx
    # u is the left side's deviation from its mean: every bound is an interval of u.
    low, high = -tolerance - mean[0], tolerance - mean[0]
    for offset, slope, width in ((mean[1], k, tolerance), (mean[0] - mean[1], 1 - k, lean)):
        if abs(slope) < 1e-12:
            if abs(offset) > width:
                low, high = 1.0, 0.0
            continue
        ends = sorted(((-width - offset) / slope, (width - offset) / slope))
        low, high = max(low, ends[0]), min(high, ends[1])
    exact = max(0.0, stats.norm.cdf(high / sx) - stats.norm.cdf(low / sx)) if high > low else 0.0
    found = landing(mean=mean, variance=spread(sx, sy, sign), tolerance=tolerance, lean=lean)
    assert found == pytest.approx(exact, abs=2e-6)


@pytest.mark.parametrize("r", [-0.9, 0.0, 0.5, 0.95])
@pytest.mark.parametrize("mean", [(0.0, 0.0), (2.0, -3.0), (6.0, 6.0)])
def test_without_a_limit_on_lean_the_box_is_scipys(r, mean):
    sx, sy = 2.5, 1.5
    covariance = [[sx * sx, r * sx * sy], [r * sx * sy, sy * sy]]
    box = stats.multivariate_normal(mean, covariance).cdf([5.0, 5.0], lower_limit=[-5.0, -5.0])
    for lean in (10.0, 1e3):
        found = landing(mean=mean, variance=spread(sx, sy, r), tolerance=5.0, lean=lean)
        assert found == pytest.approx(float(box), abs=1e-5)


@pytest.mark.parametrize(
    ("mean", "r", "lean"), [((1.0, -1.0), 0.4, 4.0), ((0.0, 3.0), -0.3, 6.0), ((-2.0, -2.0), 0.8, 2.0)]
)
def test_odds_are_those_of_a_double_integral(mean, r, lean):
    sx, sy = 2.5, 2.0
    density = stats.multivariate_normal(mean, [[sx * sx, r * sx * sy], [r * sx * sy, sy * sy]]).pdf
    total = 0.0
    cuts = sorted({-5.0, 5.0, lean - 5.0, 5.0 - lean})
    for a, b in itertools.pairwise(cuts):
        total += integrate.dblquad(
            lambda y, x: density([x, y]),
            a,
            b,
            lambda x: max(-5.0, x - lean),
            lambda x: min(5.0, x + lean),
            epsabs=1e-8,
        )[0]
    found = landing(mean=mean, variance=spread(sx, sy, r), tolerance=5.0, lean=lean)
    assert found == pytest.approx(total, abs=1e-7)


@given(COORDINATE, COORDINATE, SPREAD, SPREAD, st.floats(-0.99, 0.99), WIDTH, WIDTH)
@steady(80)
def test_sides_signs_and_units_do_not_matter(mx, my, sx, sy, r, tolerance, lean):
    vx, vy, vxy = spread(sx, sy, r)
    odds = landing(mean=(mx, my), variance=(vx, vy, vxy), tolerance=tolerance, lean=lean)
    assert 0.0 <= odds <= 1.0
    swapped = landing(mean=(my, mx), variance=(vy, vx, vxy), tolerance=tolerance, lean=lean)
    turned = landing(mean=(-mx, -my), variance=(vx, vy, vxy), tolerance=tolerance, lean=lean)
    metres = landing(
        mean=(mx * 1e-3, my * 1e-3),
        variance=(vx * 1e-6, vy * 1e-6, vxy * 1e-6),
        tolerance=tolerance * 1e-3,
        lean=lean * 1e-3,
    )
    assert swapped == pytest.approx(odds, abs=1e-9)
    assert turned == pytest.approx(odds, abs=1e-9)
    assert metres == pytest.approx(odds, abs=1e-9)


@given(COORDINATE, COORDINATE, SPREAD, SPREAD, st.floats(-0.99, 0.99), WIDTH, WIDTH)
@steady(80)
def test_a_wider_band_is_never_less_likely(mx, my, sx, sy, r, tolerance, lean):
    base = {"mean": (mx, my), "variance": spread(sx, sy, r)}
    odds = landing(tolerance=tolerance, lean=lean, **base)
    assert landing(tolerance=tolerance * 1.1, lean=lean, **base) >= odds - 1e-9
    assert landing(tolerance=tolerance, lean=lean * 1.1, **base) >= odds - 1e-9
    one = interval(mean=mx, sd=sx, half_width=tolerance)
    two = interval(mean=my, sd=sy, half_width=tolerance)
    assert odds <= min(one, two) + 1e-9


@given(COORDINATE, SPREAD, WIDTH)
@steady(60)
def test_one_side_alone_is_scipys_normal(mean, sd, half_width):
    expected = stats.norm.cdf(half_width, mean, sd) - stats.norm.cdf(-half_width, mean, sd)
    assert interval(mean=mean, sd=sd, half_width=half_width) == pytest.approx(float(expected), abs=1e-14)


def test_a_height_known_exactly_is_in_or_out():
    assert interval(mean=4.9, sd=0.0, half_width=5.0) == 1.0
    assert interval(mean=5.1, sd=0.0, half_width=5.0) == 0.0
    for mean, odds in (((1.0, -1.0), 1.0), ((1.0, -2.5), 0.0), ((5.5, 5.0), 0.0), ((5.0, 6.0), 0.0)):
        assert landing(mean=mean, variance=(0.0, 0.0, 0.0), tolerance=5.0, lean=3.0) == odds


@pytest.mark.parametrize("known", [0.0, 1e-30, 1e-10, 1e-6])
def test_one_side_known_exactly_leaves_the_other_to_what_the_lean_allows(known):
    # Left at 3 of a tolerance of 5 with a lean of 4: the right may lie from -1 to 5.
    expected = float(stats.norm.cdf(5.0, 1.0, 2.0) - stats.norm.cdf(-1.0, 1.0, 2.0))
    one = landing(mean=(3.0, 1.0), variance=(known**2, 4.0, 0.0), tolerance=5.0, lean=4.0)
    two = landing(mean=(1.0, 3.0), variance=(4.0, known**2, 0.0), tolerance=5.0, lean=4.0)
    assert one == pytest.approx(expected, abs=1e-6)
    assert two == pytest.approx(expected, abs=1e-6)
    assert landing(mean=(5.1, 1.0), variance=(0.0, 4.0, 0.0), tolerance=5.0, lean=4.0) == 0.0


@pytest.mark.parametrize("size", [1e-3, 1e-6, 1e-9])
def test_tiny_spreads_are_as_good_as_known(size):
    inside = landing(mean=(4.0, 2.0), variance=spread(size, size, 0.5), tolerance=5.0, lean=3.0)
    outside = landing(mean=(4.0, 0.0), variance=spread(size, size, 0.5), tolerance=5.0, lean=3.0)
    edge = landing(mean=(5.0, 4.0), variance=spread(size, size, 0.5), tolerance=5.0, lean=3.0)
    # A mean of 4 holds no more than 4e-16 of its digits: that is the rounding, in spreads.
    assert inside == pytest.approx(1.0, abs=1e-9 + 1e-15 / size)
    assert outside == pytest.approx(0.0, abs=1e-9)
    assert edge == pytest.approx(0.5, abs=1e-6)


def test_far_off_heights_have_no_odds():
    assert landing(mean=(300.0, 300.0), variance=(1.0, 1.0, 0.2), tolerance=5.0, lean=5.0) == 0.0
    assert landing(mean=(0.0, 300.0), variance=(1.0, 1.0, 0.2), tolerance=5.0, lean=5.0) == 0.0


def test_huge_spreads_have_odds_of_the_hexagons_area():
    # Flat density: area over the peak. Hexagon of tolerance 5 and lean 4: 100 less two corners of 6 by 6 / 2.
    sd = 1e4
    expected = (100.0 - 36.0) / (2 * math.pi * sd * sd)
    found = landing(mean=(0.0, 0.0), variance=(sd * sd, sd * sd, 0.0), tolerance=5.0, lean=4.0)
    assert found == pytest.approx(expected, rel=1e-6)


def test_odds_are_how_often_it_happens():
    rng = np.random.default_rng(7)
    mean, sx, sy, r = (1.0, -1.5), 2.0, 3.0, 0.6
    draws = rng.multivariate_normal(mean, [[sx**2, r * sx * sy], [r * sx * sy, sy**2]], 200_000)
    x, y = draws.T
    often = np.mean((abs(x) <= 5) & (abs(y) <= 5) & (abs(x - y) <= 4))
    found = landing(mean=mean, variance=spread(sx, sy, r), tolerance=5.0, lean=4.0)
    assert found == pytest.approx(float(often), abs=4 * math.sqrt(0.25 / 200_000))
