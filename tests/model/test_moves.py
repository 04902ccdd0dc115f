"""Moves as turns, exactly."""

import math

from hypothesis import given
from hypothesis import strategies as st

from bothends.model.moves import turns_of
from bothends.model.request import read
from model.cars import DEG, Sheet, Truth, steady

TEETH = st.integers(-20, 20)
ENDS = st.tuples(TEETH, TEETH)


def turns(moves, teeth=(40, 44)):
    sheet = Sheet(Truth(), teeth=teeth).plain()
    for left, right in moves:
        sheet.move(left=left, right=right)
    return turns_of(read(sheet.request()))


def test_a_car_as_found_has_not_turned():
    assert turns([]) == [(0.0, 0.0)]


def test_tail_down_is_positive_at_either_end_and_moves_add_up():
    found = turns([((-3, 4), (0, 1)), ((1, 0), (0, -1))])
    assert len(found) == 3
    assert abs(found[1][0] / DEG - (-27 + 4 * 360 / 44)) < 1e-12
    assert abs(found[1][1] / DEG - 360 / 44) < 1e-12
    assert abs(found[2][0] / DEG - (-18 + 4 * 360 / 44)) < 1e-12
    assert found[2][1] == 0.0


@given(st.lists(st.tuples(ENDS, ENDS), max_size=6))
@steady(50)
def test_moves_that_are_all_taken_back_leave_exactly_nothing(moves):
    back = [tuple((-i, -o) for i, o in move) for move in moves]
    assert turns([*moves, *back])[-1] == (0.0, 0.0)


def test_the_null_move_leaves_exactly_nothing():
    assert turns([((10, -11), (-10, 11))])[-1] == (0.0, 0.0)


def test_ends_have_their_own_counts():
    found = turns([((1, 0), (0, 1))], teeth=(30, 32))
    assert math.isclose(found[1][0], 2 * math.pi / 30, rel_tol=1e-14)
    assert math.isclose(found[1][1], 2 * math.pi / 32, rel_tol=1e-14)
