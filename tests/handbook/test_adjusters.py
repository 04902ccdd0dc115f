"""Adjusters against figures worked by hand and published sums; what each figure is worth stands beside it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from model.cars import DEG, steady
from scipy import optimize

from bothends.model.adjuster import Adjuster, per_tooth
from bothends.model.screw import bearing_radius, diameter, pitch_diameter, torques

LEVER = 4.25 * 25.4e-3
PITCH = 25.4e-3 / 20
TEETH = 24


def adjuster(**given) -> Adjuster:
    return Adjuster({"adjuster": given})


@pytest.mark.parametrize(("by", "turns"), [("chord", 22.19), ("arc", 22.25), ("fixed", 22.38)])
def test_one_tooth_of_24_is_just_over_22_turns_of_a_20_tpi_screw_at_four_and_a_quarter_inches(by, turns):
    # An owner's sum published in a forum of owners of a 1950s roadster: 1.125 in of nut, "just over 22 turns"; its
    # geometry is good. The three ways of reckoning worked by hand.
    assert per_tooth(teeth=TEETH, lever_m=LEVER, pitch_m=PITCH, by=by) == pytest.approx(turns, abs=0.005)
    if by == "arc":
        assert PITCH * per_tooth(teeth=TEETH, lever_m=LEVER, pitch_m=PITCH) / 25.4e-3 == pytest.approx(
            1.1127, abs=1e-3
        )


def test_such_a_screw_turns_a_lever_by_two_thirds_of_a_degree():
    # 0.674 degrees a turn: worked by hand from the same figures.
    screw = adjuster(kind="screw", lever_mm=LEVER * 1e3, pitch_mm=PITCH * 1e3)
    assert screw.angle(1.0, 0) / DEG == pytest.approx(0.674, abs=5e-4)


@pytest.mark.parametrize(
    ("teeth", "travel"), [(24, 28), (30, 23), (40, 17), (44, 15)], ids=["24", "30", "40", "44"]
)
def test_a_tooth_at_the_anchor_is_so_much_screw(teeth, travel):
    # Lever 108 mm: worked by hand.
    assert 108.0 * 2.0 * math.pi / teeth == pytest.approx(travel, abs=0.6)


@pytest.mark.parametrize(
    ("torque", "lever", "pitch", "mean", "radius", "force", "raising", "lowering"),
    [
        (1000.0, 108.0, 1.27, 11.9, 9.0, 9.3, (20, 39), (16, 35)),
        (300.0, 108.0, 1.27, 11.9, 9.0, 2.8, (6, 12), (5, 11)),
        (2400.0, 120.0, 2.0, 18.7, 13.0, 20.0, (64, 125), (51, 113)),
    ],
    ids=["bar on its wheels", "the same hanging", "light truck"],
)
def test_torque_at_the_nut(torque, lever, pitch, mean, radius, force, raising, lowering):
    # Worked by hand from the mechanics of a screw, friction 0.12 and 0.25.
    push = torque / (lever * 1e-3)
    assert push / 1e3 == pytest.approx(force, abs=0.06)
    for friction, up, down in zip((0.12, 0.25), raising, lowering, strict=True):
        found = torques(
            force=push, pitch=pitch * 1e-3, mean=mean * 1e-3, radius=radius * 1e-3, friction=friction
        )
        assert found == pytest.approx((up, down), rel=0.03, abs=0.6)


def test_thread_and_head_follow_from_the_pitch_as_those_of_a_fine_iso_screw():
    # M20 x 2: pitch diameter 18.701 mm, nut 30 mm across its flats, hole 22 mm (tables, from memory).
    assert diameter(2e-3) == pytest.approx(20e-3)
    assert pitch_diameter(2e-3) == pytest.approx(18.701e-3, abs=1e-6)
    assert bearing_radius(2e-3) == pytest.approx(0.25 * (30e-3 + 22e-3))


def test_a_screw_always_holds_itself():
    for pitch in (0.5e-3, 1.27e-3, 2e-3, 4e-3):
        raising, lowering = torques(
            force=1.0, pitch=pitch, mean=pitch_diameter(pitch), radius=bearing_radius(pitch), friction=0.12
        )
        assert raising > lowering > 0.0
        assert pitch / (2.0 * math.pi) / raising < 0.15


def test_an_eccentric_of_four_millimetres_at_120_gives_nearly_two_degrees_either_way():
    # Throw and lever invented, the range worked by hand: 1.9 degrees, some 14 mm at an arm of 415.
    plate = adjuster(kind="eccentric", throw_mm=4.0, lever_mm=120.0)
    assert plate.angle(0.25, 0) / DEG == pytest.approx(1.91, abs=5e-3)
    assert plate.angle(-0.25, 0) == -plate.angle(0.25, 0)
    assert 415.0 * plate.angle(0.25, 0) == pytest.approx(14.0, abs=0.2)
    assert plate.left(0.0, 0) == (0.25, 0.25)
    # Seen as two circles that meet, by a general root finder.
    for position in (10.0, 45.0, 80.0):
        lift = optimize.brentq(lambda a: 120.0 * math.sin(a) - 4.0 * math.sin(position * DEG), -0.1, 0.1)  # noqa: B023
        assert plate.angle(position / 360.0, 0) == pytest.approx(lift, abs=1e-12)


def test_half_of_a_packs_adjuster_reaches_the_hanging_angle_where_there_are_two_equal_packs():
    # K_u / K with equal packs: worked by hand.
    assert adjuster(kind="notch", step_deg=10.0, share=0.5).angle(1.0, 0) / DEG == pytest.approx(5.0)


@given(
    st.sampled_from(["screw", "eccentric", "notch"]),
    st.floats(-60.0, 60.0),
    st.floats(-0.2, 0.2),
    st.floats(0.1, 1.0),
)
@steady(200)
def test_turns_come_back_from_their_angle(kind, at, turns, share):
    many = 1.0 if kind == "eccentric" else 50.0
    one = adjuster(kind=kind, share=share, at_deg={"left": at})
    # An eccentric has two positions of one angle: the nearer is meant.
    if kind == "eccentric" and abs(at / 360.0 + turns) > 0.25:
        return
    assert one.turns(one.angle(turns * many, 0), 0) == pytest.approx(turns * many, abs=1e-6)
    step = 1e-6
    slope = (one.angle(turns * many + step, 0) - one.angle(turns * many - step, 0)) / (2.0 * step)
    assert one.slope(turns * many, 0) == pytest.approx(slope, rel=1e-5, abs=1e-7)


def test_an_eccentric_reaches_no_angle_beyond_its_throw():
    assert adjuster(kind="eccentric", throw_mm=4.0, lever_mm=120.0).turns(3.0 * DEG, 0) is None


def test_what_is_left_goes_down_as_it_is_used():
    screw = adjuster(kind="screw", raise_turns={"left": 9.0}, lower_turns={"left": 7.0})
    assert screw.left(2.25, 0) == (6.75, 9.25)
    assert screw.left(2.25, 1) == (None, None)
