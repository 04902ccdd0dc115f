"""The cheapest teeth against a search of everything."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model.teeth import (
    cheapest,
    fine_step_deg,
    greatest_common_divisor,
    null_move,
    outer_alone,
    turn_deg,
)
from model.cars import steady

COUNTS = st.integers(3, 200)
USUAL = st.sampled_from(
    [(40, 44), (44, 40), (24, 25), (30, 31), (30, 32), (32, 33), (47, 48), (40, 40), (3, 4)]
)


def cost(inner: int, outer: int) -> tuple:
    """Fewest ends, the outer alone before the inner alone, fewest teeth, fewest at the inner end."""
    ends = (inner != 0) + (outer != 0)
    return ends, bool(inner) if ends == 1 else False, abs(inner) + abs(outer), abs(inner)


def searched(steps: int, inner_teeth: int, outer_teeth: int) -> tuple:
    """The least cost over every pair of whole teeth that turns by ``steps`` fine steps."""
    common = math.gcd(inner_teeth, outer_teeth)
    p, q = inner_teeth // common, outer_teeth // common
    reach = 2 * p + abs(steps) // q + 2
    return min(
        cost(inner, (steps - q * inner) // p)
        for inner in range(-reach, reach + 1)
        if (steps - q * inner) % p == 0
    )


@given(USUAL, st.floats(-60.0, 60.0))
@steady(300)
def test_no_pair_of_teeth_is_cheaper(counts, degrees):
    inner_teeth, outer_teeth = counts
    steps = round(degrees / fine_step_deg(inner_teeth=inner_teeth, outer_teeth=outer_teeth))
    inner, outer = cheapest(steps=steps, inner_teeth=inner_teeth, outer_teeth=outer_teeth)
    assert cost(inner, outer) == searched(steps, inner_teeth, outer_teeth)


@given(COUNTS, COUNTS, st.floats(-60.0, 60.0))
@steady(200)
def test_no_pair_of_teeth_is_cheaper_for_any_counts(inner_teeth, outer_teeth, degrees):
    steps = round(degrees / fine_step_deg(inner_teeth=inner_teeth, outer_teeth=outer_teeth))
    inner, outer = cheapest(steps=steps, inner_teeth=inner_teeth, outer_teeth=outer_teeth)
    assert cost(inner, outer) == searched(steps, inner_teeth, outer_teeth)


@pytest.mark.parametrize(
    ("steps", "inner_teeth", "outer_teeth"),
    # A turn that either end alone could make: 36 degrees as 3 inner or 4 outer teeth, 40 as 1 inner or 2 outer. And
    # 39 degrees, 3 inner less 1 outer tooth: more inner teeth than one period of the vernier.
    [(12, 30, 40), (2, 9, 18), (13, 24, 60)],
)
def test_no_pair_is_cheaper_where_the_counts_have_much_in_common(steps, inner_teeth, outer_teeth):
    inner, outer = cheapest(steps=steps, inner_teeth=inner_teeth, outer_teeth=outer_teeth)
    assert cost(inner, outer) == searched(steps, inner_teeth, outer_teeth)


@given(COUNTS, COUNTS, st.integers(-2000, 2000))
@steady(200)
def test_the_teeth_turn_by_exactly_the_steps_asked(inner_teeth, outer_teeth, steps):
    inner, outer = cheapest(steps=steps, inner_teeth=inner_teeth, outer_teeth=outer_teeth)
    lcm = math.lcm(inner_teeth, outer_teeth)
    assert Fraction(inner, inner_teeth) + Fraction(outer, outer_teeth) == Fraction(steps, lcm)
    turned = turn_deg(inner=inner, outer=outer, inner_teeth=inner_teeth, outer_teeth=outer_teeth)
    assert turned == pytest.approx(steps * 360 / lcm, abs=1e-9)


def test_nothing_is_done_for_nothing():
    assert cheapest(steps=0, inner_teeth=40, outer_teeth=44) == (0, 0)


def test_equal_counts_turn_the_outer_end_alone():
    for steps in range(-8, 9):
        assert cheapest(steps=steps, inner_teeth=40, outer_teeth=40) == (0, steps)


def test_whole_outer_teeth_leave_the_inner_end_alone():
    for teeth in range(-9, 10):
        assert cheapest(steps=10 * teeth, inner_teeth=40, outer_teeth=44) == (0, teeth)


def test_whole_inner_teeth_leave_the_outer_end_alone():
    for teeth in range(-9, 10):
        assert cheapest(steps=11 * teeth, inner_teeth=40, outer_teeth=44) == (teeth, 0)


@given(COUNTS, COUNTS)
@steady(100)
def test_common_divisors_are_pythons(first, second):
    assert greatest_common_divisor(first=first, second=second) == math.gcd(first, second)
    step = fine_step_deg(inner_teeth=first, outer_teeth=second)
    assert step == pytest.approx(360 / math.lcm(first, second), rel=1e-15)


@given(COUNTS, COUNTS, st.integers(-50, 50), st.integers(-50, 50))
@steady(100)
def test_moves_that_cancel_leave_exactly_nothing(inner_teeth, outer_teeth, inner, outer):
    counts = {"inner_teeth": inner_teeth, "outer_teeth": outer_teeth}
    there = turn_deg(inner=inner, outer=outer, **counts)
    back = turn_deg(inner=-inner, outer=-outer, **counts)
    assert there + back == 0.0
    null = null_move(**counts)
    assert turn_deg(inner=null[0], outer=null[1], **counts) == 0.0


@given(COUNTS, COUNTS, st.floats(-300.0, 300.0))
@steady(100)
def test_the_outer_end_alone_comes_within_half_a_tooth(inner_teeth, outer_teeth, steps):
    counts = {"inner_teeth": inner_teeth, "outer_teeth": outer_teeth}
    teeth = outer_alone(steps=steps, **counts)
    wanted = steps * fine_step_deg(**counts)
    assert abs(360 * teeth / outer_teeth - wanted) <= 180 / outer_teeth + 1e-9
