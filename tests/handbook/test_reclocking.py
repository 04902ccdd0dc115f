"""Re-clocking: teeth one way and the adjuster back the same angle. It buys range of the screw and nothing else.

Derived. At one height under one load the torque of the bar is that of the load, T = F r cos f, and so its twist is
T / K whoever made it, teeth or screw: the wheel's rate, the force at full bump and the load at full droop are those
of before. Several writers (how-tos, read) shift a tooth instead of slackening the screw "to keep the bar firm".
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from handbook.settled import DEG, SAMPLE_RATE, settle

ARM = 0.4
LOADS = st.floats(1500.0, 3500.0)
HEIGHTS = st.floats(-60.0, 60.0)
"""Of the wheel below the pivot, [mm]."""


def force_at(hanging: float, below_mm: float) -> float:
    """Force that holds the wheel so far below the pivot, [N], by the bar's torque over its lever."""
    phi = math.asin(below_mm * 1e-3 / ARM)
    return SAMPLE_RATE * (hanging - phi) / (ARM * math.cos(phi))


def screwed(teeth_deg: float, load: float, below_mm: float) -> float:
    """What the screw has to add to the teeth for the wheel to stand there under that load, [degrees]."""
    return float(
        optimize.brentq(
            lambda turn: settle(hanging_deg=teeth_deg + turn, load_n=load).height[0] * 1e3 - below_mm,
            -25.0 - teeth_deg,
            55.0 - teeth_deg,
        )
    )


@given(count=st.sampled_from((6, 8, 24, 30, 40, 44)), shifted=st.integers(-3, 3), load=LOADS, below=HEIGHTS)
def test_at_equal_height_the_bar_is_as_firm_whether_teeth_or_screw_put_it_there(count, shifted, load, below):
    tooth = 360.0 / count
    plain, moved = [screwed(teeth, load, below) for teeth in (10.0, 10.0 + shifted * tooth)]
    # The screw goes back by exactly the teeth.
    assert moved == pytest.approx(plain - shifted * tooth, abs=1e-6)
    before = settle(hanging_deg=10.0 + plain, load_n=load)
    after = settle(hanging_deg=10.0 + shifted * tooth + moved, load_n=load)
    assert after.slope[0] == pytest.approx(before.slope[0], rel=1e-6)
    # Full bump and full droop, 60 mm up and 80 down from there; both from forces of the bar itself.
    for hanging in (10.0 + plain, 10.0 + shifted * tooth + moved):
        assert force_at(hanging * DEG, below) == pytest.approx(load, rel=1e-6)
        for travel in (-60.0, 80.0):
            assert force_at(hanging * DEG, below + travel) == pytest.approx(
                force_at((10.0 + plain) * DEG, below + travel), rel=1e-6, abs=1e-3
            )


@given(rate=st.floats(0.5, 2.0), load=LOADS, below=HEIGHTS)
def test_only_another_bar_is_firmer_at_the_same_height(rate, load, below):
    # What does change firmness, for contrast: a stiffer bar at the same height, twisted less.
    phi = math.asin(below * 1e-3 / ARM)
    torque = load * ARM * math.cos(phi)
    stood = [
        settle(hanging_deg=(phi + torque / k) / DEG, load_n=load, rate=k)
        for k in (SAMPLE_RATE, rate * SAMPLE_RATE)
    ]
    for rest in stood:
        assert rest.height[0] * 1e3 == pytest.approx(below, abs=1e-4)
    stiffer = -stood[1].slope[0] > -stood[0].slope[0]
    assert stiffer == (rate > 1.0) or rate == pytest.approx(1.0)


@pytest.mark.parametrize(("count", "screw_mm"), [(24, 28), (30, 23), (40, 17), (44, 15)])
def test_a_shifted_tooth_is_so_much_screw(count, screw_mm):
    # Derived, for a lever of 108 mm along the arc: how far the screw goes back for one tooth.
    assert 108.0 * math.radians(360.0 / count) == pytest.approx(screw_mm, abs=0.5)
