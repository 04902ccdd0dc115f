"""The vernier of two splined ends: service data, workshop articles, and exact fractions."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bothends.model.teeth import cheapest, fine_step_deg, null_move, turn_deg

# (inner, outer): finest step in exact degrees, lcm, null move. Source: arithmetic, derived. 24/25 (front bars of
# a British sports car of the 1960s), 30/31 and 30/32 (rear bars of small French front-drive cars) are trade
# knowledge, from memory, not checked: used as arithmetic only.
TABLE = {
    (40, 44): (Fraction(360, 440), 440, (10, -11)),
    (24, 25): (Fraction(360, 600), 600, (24, -25)),
    (30, 31): (Fraction(360, 930), 930, (30, -31)),
    (30, 32): (Fraction(360, 480), 480, (15, -16)),
    (32, 33): (Fraction(360, 1056), 1056, (32, -33)),
    (47, 48): (Fraction(360, 2256), 2256, (47, -48)),
}
# The same table as printed: tooth at either end, one of each turned against each other, finest step.
PRINTED = {
    (40, 44): ((9, 0, 0.0), (8, 10, 54.55), (0, 49, 5.45), 0.818182),
    (24, 25): ((15, 0, 0.0), (14, 24, 0.0), (0, 36, 0.0), 0.6),
    (30, 31): ((12, 0, 0.0), (11, 36, 46.45), (0, 23, 13.55), 0.387097),
    (30, 32): ((12, 0, 0.0), (11, 15, 0.0), (0, 45, 0.0), 0.75),
    (32, 33): ((11, 15, 0.0), (10, 54, 32.73), (0, 20, 27.27), 0.340909),
    (47, 48): ((7, 39, 34.47), (7, 30, 0.0), (0, 9, 34.47), 0.159574),
}
COUNTS = st.integers(3, 200)
ARITHMETIC = settings(max_examples=200, deadline=None, database=None, derandomize=True)


def degrees(angle: tuple) -> float:
    whole, minutes, seconds = angle
    return whole + minutes / 60 + seconds / 3600


@pytest.mark.parametrize("pair", sorted(TABLE))
def test_the_table_of_counts_is_exact_in_fractions(pair):
    inner, outer = pair
    step, lcm, null = TABLE[pair]
    assert math.lcm(inner, outer) == lcm
    assert fine_step_deg(inner_teeth=inner, outer_teeth=outer) == float(step)
    assert null_move(inner_teeth=inner, outer_teeth=outer) == null
    assert turn_deg(inner=null[0], outer=null[1], inner_teeth=inner, outer_teeth=outer) == 0.0


@pytest.mark.parametrize("pair", sorted(PRINTED))
def test_the_table_of_counts_reads_as_printed(pair):
    inner, outer = pair
    one_inner, one_outer, against, step = PRINTED[pair]
    found = [
        turn_deg(inner=i, outer=o, inner_teeth=inner, outer_teeth=outer) for i, o in ((1, 0), (0, 1), (1, -1))
    ]
    second = 0.0051 / 3600  # printed to a hundredth of a second
    assert found[0] == pytest.approx(degrees(one_inner), abs=second)
    assert found[1] == pytest.approx(degrees(one_outer), abs=second)
    assert found[2] == pytest.approx(degrees(against), abs=second)
    assert fine_step_deg(inner_teeth=inner, outer_teeth=outer) == pytest.approx(step, abs=5e-7)


def test_different_counts_at_the_two_ends_make_a_vernier():
    # Source: M. J. Nunney, Light and Heavy Vehicle Technology, ch. 22, p. 362, text to Fig. 22.22: a different
    # number of serrations at the two ends is an established way to make a vernier height setting.
    for inner, outer in TABLE:
        fine = fine_step_deg(inner_teeth=inner, outer_teeth=outer)
        assert fine < 360 / max(inner, outer) / 7
    assert fine_step_deg(inner_teeth=40, outer_teeth=40) == 9.0


def test_service_data_of_a_sports_car_agrees_within_its_rounding():
    # Source: manufacturer's service data, rear-engined sports car, 1984 model year, Alignment / Rear suspension /
    # torsion bar adjustment: inner spline 9 degrees, outer printed 8 3/20, both opposed 5/6 (50 minutes).
    assert turn_deg(inner=1, outer=0, inner_teeth=40, outer_teeth=44) == 9.0
    outer = turn_deg(inner=0, outer=1, inner_teeth=40, outer_teeth=44)
    assert outer == pytest.approx(degrees((8, 10, 54.5)), abs=0.05 / 3600)
    assert 0.02 < abs(outer - 8.15) < 0.04
    assert turn_deg(inner=1, outer=-1, inner_teeth=40, outer_teeth=44) == pytest.approx(5 / 6, abs=0.02)


def test_two_workshop_articles_agree_on_millimetres_per_step():
    # Source: owner's workshop article (French), rear-engined saloon, Aug 2011: 40 inner, 44 outer; 9.00, 8.18,
    # step 0.82; arm 425 mm so about 6 mm per step.
    step = math.radians(fine_step_deg(inner_teeth=40, outer_teeth=44))
    assert 425 * step == pytest.approx(6.07, abs=0.005)
    # Source: second owner's workshop article (French), same saloon: one outer spline lowers the car by a little
    # over 60 mm, so an arm of about 420 mm.
    tooth = math.radians(turn_deg(inner=0, outer=1, inner_teeth=40, outer_teeth=44))
    assert 60 / tooth == pytest.approx(420, abs=0.5)
    assert 60 < 425 * tooth < 62


def test_counts_belong_to_their_end_and_are_never_assumed():
    # Source: an owner's article on a rear-engined van of the 1970s gives 44 inner and 40 outer, and in one place a
    # net step of 2/3 degree, which neither order of the counts gives.
    assert turn_deg(inner=1, outer=0, inner_teeth=44, outer_teeth=40) == pytest.approx(360 / 44)
    assert turn_deg(inner=0, outer=1, inner_teeth=44, outer_teeth=40) == 9.0
    for pair in ((40, 44), (44, 40)):
        assert abs(fine_step_deg(inner_teeth=pair[0], outer_teeth=pair[1]) - 2 / 3) > 0.15
    assert cheapest(steps=1, inner_teeth=40, outer_teeth=44) == (1, -1)
    assert cheapest(steps=1, inner_teeth=44, outer_teeth=40) == (-1, 1)


@given(inner=st.integers(-30, 30), outer=st.integers(-30, 30), counts=st.tuples(COUNTS, COUNTS))
@ARITHMETIC
def test_swapping_the_ends_swaps_nothing_but_the_names(inner, outer, counts):
    first, second = counts
    one = turn_deg(inner=inner, outer=outer, inner_teeth=first, outer_teeth=second)
    two = turn_deg(inner=outer, outer=inner, inner_teeth=second, outer_teeth=first)
    assert one == two
    assert one == float(Fraction(360 * inner, first) + Fraction(360 * outer, second))


@given(wanted=st.floats(-40.0, 40.0))
@ARITHMETIC
def test_any_turn_is_met_within_half_a_fine_step(wanted):
    # Source: arithmetic, derived: at 40/44 the error never exceeds 0.40909 degrees = 24 min 32.7 s, so a band of
    # 50 minutes either way can always be met.
    fine = fine_step_deg(inner_teeth=40, outer_teeth=44)
    inner, outer = cheapest(steps=round(wanted / fine), inner_teeth=40, outer_teeth=44)
    error = abs(turn_deg(inner=inner, outer=outer, inner_teeth=40, outer_teeth=44) - wanted)
    assert error <= degrees((0, 24, 32.73)) + 1e-9
    assert error < degrees((0, 50, 0))


# Source: enumeration over i in -10..10, o in -11..11 at 40/44, least total turns, derived. There the two counts
# are taken in opposed directions (turn = 9 i - 360 o / 44); here both are tail down, so the outer changes sign.
OPPOSED = [
    (1.0, 0.8182, (1, 1)),
    (2.0, 1.6364, (2, 2)),
    (-3.0, -3.2727, (-4, -4)),
    (4.0, 4.0909, (5, 5)),
    (5.5, 5.7273, (-3, -4)),
    (10.0, 9.8182, (2, 1)),
]


@pytest.mark.parametrize(("target", "turn", "opposed"), OPPOSED)
def test_nearest_turns_come_with_the_fewest_teeth(target, turn, opposed):
    fine = fine_step_deg(inner_teeth=40, outer_teeth=44)
    inner, outer = cheapest(steps=round(target / fine), inner_teeth=40, outer_teeth=44)
    assert turn_deg(inner=inner, outer=outer, inner_teeth=40, outer_teeth=44) == pytest.approx(turn, abs=5e-5)
    assert (inner, -outer) == opposed
    # The null move leaves the turn where it was.
    assert turn_deg(inner=inner - 10, outer=outer + 11, inner_teeth=40, outer_teeth=44) == turn_deg(
        inner=inner, outer=outer, inner_teeth=40, outer_teeth=44
    )


@given(counts=st.tuples(COUNTS, COUNTS))
@ARITHMETIC
def test_null_moves_of_any_counts_turn_nothing(counts):
    inner, outer = null_move(inner_teeth=counts[0], outer_teeth=counts[1])
    assert inner > 0 > outer
    assert Fraction(inner, counts[0]) + Fraction(outer, counts[1]) == 0
    assert math.gcd(inner, -outer) == 1
