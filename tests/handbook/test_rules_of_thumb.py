"""The trade's rules of thumb held against the model. All of them: common practice, no source."""

import math
from types import SimpleNamespace

import pytest

from bothends.model.bands import USUAL
from bothends.model.bar import rate_nm_per_rad
from bothends.model.fields import field
from bothends.model.figures import POUND_KG
from bothends.model.option import wheel_rate
from bothends.model.request import read
from bothends.model.statics import ARM, equilibrium
from bothends.model.teeth import fine_step_deg, turn_deg
from bothends.model.units import GRAVITY, INCH, MM
from handbook.settled import DEG, SAMPLE_RATE, constants, settle


def mm_per_degree(*, arm_m: float) -> float:
    """Height for a degree of hanging angle with the arm level, [mm]."""
    level = 2500 * arm_m / SAMPLE_RATE / DEG
    return settle(hanging_deg=level, load_n=2500, arm_m=arm_m).d_height[0][0] * DEG * 1e3


def car(**more):
    """A car on ordinary tyres and bushes, its two sides alike, resting a little above level."""
    rate = rate_nm_per_rad(diameter_m=0.022, bore_m=0.0, length_m=0.6, shear_modulus_pa=78.5e9)
    given = constants(hanging_deg=12.0, load_n=2350.0, rate=rate, arm_m=0.415)
    given[4] = 0.045
    given[7] = math.log(13e3)
    given[9] = math.log(180e3)
    return equilibrium(constants=given, rest=0.0, **more)


def test_a_degree_is_about_a_quarter_inch_on_a_short_arm():
    # Common practice, no source.
    assert mm_per_degree(arm_m=0.3638) == pytest.approx(0.25 * INCH, abs=0.001)


def test_longer_arms_give_seven_to_nine_millimetres_a_degree():
    # Common practice, no source: makers' manuals say 7 to 9 mm on longer arms.
    assert mm_per_degree(arm_m=0.401) == pytest.approx(7.0, abs=0.01)
    assert mm_per_degree(arm_m=0.516) == pytest.approx(9.0, abs=0.01)


def test_four_inches_are_asked_for_as_sixteen_degrees_and_do_not_come():
    # Common practice, no source: a quarter inch a degree makes 16 degrees of four inches; height is not linear in
    # angle, and on an arm of another length the rule misses by more than any tolerance.
    assert 4 / 0.25 == 16
    before = car()
    after = car(turn=(16 * DEG, 16 * DEG))
    raised = (after.height[0] - before.height[0]) * 1e3
    assert raised > 4 * INCH + 5.0
    straight = 16 * DEG * (before.d_height[0][0] + before.d_height[0][1]) * 1e3
    assert abs(raised - straight) > 1.0


def test_two_teeth_at_the_outer_end_show_a_little_over_sixteen_degrees():
    # Common practice, no source.
    shown = turn_deg(inner=0, outer=2, inner_teeth=40, outer_teeth=44)
    assert 16.0 < shown < 16.5


def test_one_tooth_turns_nine_degrees_or_eight_and_the_fine_step_under_one():
    # Common practice, no source: 40 and 44 teeth; 9, 8.18 and 0.818 degrees; equal counts give no fine step.
    assert turn_deg(inner=1, outer=0, inner_teeth=40, outer_teeth=44) == 9.0
    assert turn_deg(inner=0, outer=1, inner_teeth=40, outer_teeth=44) == pytest.approx(8.18, abs=0.005)
    assert fine_step_deg(inner_teeth=40, outer_teeth=44) == pytest.approx(0.818, abs=0.0005)
    assert fine_step_deg(inner_teeth=44, outer_teeth=44) == turn_deg(
        inner=0, outer=1, inner_teeth=44, outer_teeth=44
    )


def test_a_gauge_of_a_fifth_of_a_degree_can_tell_one_fine_step():
    # Common practice, no source.
    assert fine_step_deg(inner_teeth=40, outer_teeth=44) > 4 * 0.2


def test_raising_one_side_lifts_the_other_a_little_and_loses_part_of_its_own():
    # Common practice, no source: the rest of the car resists leaning.
    before = car()
    after = car(turn=(3 * DEG, 0.0))
    own = after.height[0] - before.height[0]
    other = after.height[1] - before.height[1]
    both = car(turn=(3 * DEG, 3 * DEG)).height[0] - before.height[0]
    assert 0 < other < 0.5 * own
    assert own < both
    assert own + other == pytest.approx(both, rel=0.02)


def test_the_bush_adds_a_few_per_cent_and_pulls_toward_its_clamping():
    # Common practice, no source.
    given = constants(hanging_deg=12.0, load_n=2350.0)
    heights = []
    for ratio, rest in ((0.0, 0.0), (0.045, 0.0), (0.045, 10 * DEG), (0.045, -10 * DEG)):
        given[4] = ratio
        heights.append(equilibrium(constants=given, rest=rest).height[0])
    bare, level, low, high = heights
    assert high < level < low
    assert abs(level - bare) < 0.01


def test_usual_hanging_angles_ride_near_level():
    # Common practice, no source: around 17 to 24 degrees on a light rear-engined saloon.
    for hanging in (17.0, 24.0):
        assert abs(settle(hanging_deg=hanging, load_n=2500).phi[0]) < 8 * DEG


def test_makers_tolerances_are_assumed_where_none_is_given():
    # Common practice, no source: about 5 mm from the set height and 5 to 8 mm side to side.
    bar = {"diameter_mm": 22.0, "length_mm": 600.0, "inner_teeth": 40, "outer_teeth": 44}
    log = [
        {"kind": "reading", "what": what, "side": side, "value": value}
        for side in ("left", "right")
        for what, value in (("hanging-angle", 12.0), ("body-height", 220.0))
    ]
    case = read(
        {
            "car": {"bar": bar, "arm_mm": 415.0},
            "target": {"left_mm": 250.0, "right_mm": 250.0},
            "log": log,
        }
    )
    assert case.wish.tolerance == pytest.approx(5e-3)
    assert 5e-3 <= case.wish.lean <= 8e-3


def test_friction_is_worth_a_few_millimetres_between_two_settlings():
    # Common practice, no source: two settlings may differ by a band of about four of its spreads.
    assert 2e-3 < 4 * USUAL < 5e-3


@pytest.mark.parametrize(
    ("diameter", "length", "lever"), [(0.866, 23.6, 16.3), (1.0, 40.0, 14.0), (0.74, 22.4, 15.7)]
)
def test_the_trades_rate_of_a_bar_at_the_wheel(diameter, length, lever):
    # Common practice, no source: 1,120,000 d^4 / (L l^2), lb/in, of a steel bar d thick, L long, on a lever l,
    # [in]; pi/32 of a modulus of about 11.4e6 psi, rounded to three figures.
    rounded = 0.005 / 1.12
    by_hand = 1.12e6 * diameter**4 / (length * lever**2)
    inch = INCH * MM
    pound = POUND_KG * GRAVITY
    measures = {"diameter_m": diameter * inch, "bore_m": 0.0, "length_m": length * inch}
    for psi, within in (
        (11.4e6, rounded),
        (field("car.bar.shear_modulus_gpa").default * 1e9 * inch**2 / pound, 0.006),
    ):
        rate = rate_nm_per_rad(**measures, shear_modulus_pa=psi * pound / inch**2)
        level = settle(
            hanging_deg=20.0, load_n=20.0 * DEG * rate / (lever * inch), rate=rate, arm_m=lever * inch
        )
        assert level.phi[0] == pytest.approx(0.0, abs=1e-9)
        found = wheel_rate(SimpleNamespace(theta={ARM: lever * inch}), level, 0) / (pound / inch)
        # A level arm: bar and lever, and nothing of the angle.
        assert found == pytest.approx(by_hand, rel=within)
