"""Two axles on one stiff body: what each feels of the other, worked by full solution of four corners.

The full solution is ``test_corners.corners``, in numpy; what is compared with it is `couple`, on axles of long
arms, whose wheels travel straight. Lengths in mm, rates in N/mm, half tracks in m.
"""

import math
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model.couple import _Axle
from bothends.model.statics import equilibrium
from handbook.test_corners import LONG, TABLE, G, corners, stiff

LOAD = 300.0
RATES = st.floats(8.0, 60.0)


def straight(rate: float, roll: float) -> list:
    """Constants of an axle whose wheels have that rate and stand level under their load."""
    bar = rate * 1e3 * LONG**2
    return stiff([LOAD * G * LONG / bar] * 2, bar, (LOAD, LOAD), roll)


def felt(rate: float, half: tuple, bar: float = 0.0, raised: float = 0.0) -> tuple:
    """(what an axle adds against lean at another one [N/mm], unevenness felt there [mm]) once its left spring has
    grown by ``raised``; ``half`` the half tracks, the other one's first.
    """
    turns = [(0.0, 0.0), (raised * 1e-3 / LONG, 0.0)]
    evidence = SimpleNamespace(
        turn_at=lambda _theta, teardown: turns[teardown], wound_at=lambda _theta, _teardown: (0.0, 0.0)
    )

    def rest_at(turn, wound, centred, theta):
        anti = math.log(bar * 1e3) if bar else None
        return equilibrium(constants=theta, turn=turn, rest=0.0, free=centred, anti=anti, wound=wound)

    # Whatever the rest of the car was taken for when that axle was read, it drops out.
    fitted = SimpleNamespace(evidence=evidence, case=SimpleNamespace(teardowns=1), rest_at=rest_at)
    axle = _Axle(fitted, straight(rate, 17.0), [1])
    ratio = half[1] / half[0]
    return axle.stiffness * 1e-3 * ratio**2, axle.shifts[0] * 1e3 / ratio


def test_what_a_front_with_a_bar_adds_at_a_narrower_rear_is_as_worked():
    # Derived, by full solution and by formula: half tracks 0.66 and 0.72 m, wheel rate 22, bar 4: 35.70 N/mm.
    assert felt(22.0, (0.66, 0.72), bar=4.0)[0] == pytest.approx(35.70, abs=0.01)


def leant(own: float, roll: float, uneven: float) -> float:
    """Rise of the left side of an axle, [mm], once the rest of the car stands ``uneven`` higher on the left."""
    rest = equilibrium(constants=straight(own, roll), rest=0.0, lift=-uneven * 1e-3)
    assert rest is not None
    return 0.5e3 * (rest.height[0] - rest.height[1])


@pytest.mark.parametrize(
    ("car", "_front", "_rear", "heights"), [row for row in TABLE if "body" not in row[0]]
)
def test_a_longer_front_spring_leans_our_rear_as_the_table_says(car, _front, _rear, heights):
    half = car.get("half", (0.7, 0.7))
    roll, uneven = felt(car.get("front", 20.0), (half[1], half[0]), car.get("bar", 0.0), 10.0)
    assert leant(car.get("rear", 20.0), roll, uneven) == pytest.approx(heights[2], abs=6e-3)


@given(
    front=RATES,
    rear=RATES,
    bar=st.floats(0.0, 30.0),
    half=st.tuples(st.floats(0.5, 0.9), st.floats(0.5, 0.9)),
    raised=st.floats(-30.0, 30.0),
)
def test_any_front_leans_any_rear_as_the_full_solution_of_four_corners_says(front, rear, bar, half, raised):
    _, rises = corners(raised=raised, front=front, rear=rear, bar=bar, half=half)
    roll, uneven = felt(front, (half[1], half[0]), bar, raised)
    assert leant(rear, roll, uneven) == pytest.approx(rises[2], rel=2e-3, abs=2e-3)
    assert rises[2] + rises[3] == pytest.approx(0.0, abs=1e-6)


@given(own=RATES, other=RATES, half=st.floats(0.5, 0.9), raised=st.floats(-30.0, 30.0))
def test_with_the_other_axle_on_a_pivot_ours_leans_by_its_own_springs_as_the_full_solution_says(
    own, other, half, raised
):
    # A track of next to nothing at the other axle is a pivot: it carries weight and no moment.
    loads, rises = corners(raised=raised, front=own, rear=other, half=(half, 1e-5))
    assert loads[0] == pytest.approx(0.0, abs=1e-6)
    heights = []
    for turn in (0.0, raised * 1e-3 / LONG):
        rest = equilibrium(constants=straight(own, 17.0), rest=0.0, turn=(turn, 0.0), free=True)
        assert rest is not None
        heights.append(1e3 * (rest.height[0] - rest.height[1]))
    assert heights[1] - heights[0] == pytest.approx(rises[0] - rises[1], rel=2e-3, abs=2e-3)
