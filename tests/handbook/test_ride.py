"""Ride statics: frequency, wheel rate with its geometric term, and camber of axles that are not trailing.

Not checked here because the product has no such arithmetic: fore-and-aft pull and toe of a trailing arm, the
maker's comfort bands (1 to 1.5 Hz; the product only cautions outside 0.8 to 2.2 Hz), pitch of a road that sets
the wheel hopping.
"""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from bothends.model.option import camber_change_deg, ride_hz
from bothends.model.statics import ARM, equilibrium
from bothends.model.units import GRAVITY, INCH
from handbook.settled import DEG, SAMPLE_RATE, constants, settle


def hertz(*, wheel_rate: float, load: float) -> float:
    """The project's ride frequency of a level arm of 1 m, [Hz], from wheel rate [N/m] and load [N]."""
    rest = SimpleNamespace(slope=(-wheel_rate,) * 2, phi=(0.0, 0.0), force=(load, load))
    return ride_hz(SimpleNamespace(theta={ARM: 1.0}), rest)


@pytest.mark.parametrize(
    ("frequency", "deflection_mm"),
    [(0.8, 388.13), (1.0, 248.405), (1.2, 172.504), (1.25, 158.979), (1.5, 110.402), (2.0, 62.101)],
)
def test_frequency_follows_from_static_deflection(frequency, deflection_mm):
    # Source: physics, f = (1/2 pi) sqrt(g/deflection), derived. Rounded "10 in for 1 Hz" in Gillespie, Fundamentals
    # of Vehicle Dynamics, ch. 5: from memory, not checked.
    load = 3000.0
    assert hertz(wheel_rate=load / (deflection_mm * 1e-3), load=load) == pytest.approx(frequency, rel=2e-5)
    inverse = GRAVITY / (2 * math.pi * frequency) ** 2 * 1e3
    assert inverse == pytest.approx(deflection_mm, abs=0.006)


@pytest.mark.parametrize(("inches", "per_minute"), [(10.0, 59.3), (1.0, 187.6)])
def test_cycles_a_minute_from_inches(inches, per_minute):
    # Source: derived, 187.64 / sqrt(inches); Olley-era form "188 / sqrt": from memory, not checked.
    deflection = inches * INCH * 1e-3
    assert 60 * hertz(wheel_rate=1000 / deflection, load=1000) == pytest.approx(per_minute, abs=0.05)


def test_a_quarter_tonne_on_a_kilogram_force_a_millimetre_is_near_one_hertz():
    # Source: J. Edgar, Springs and Natural Frequencies, 2007: 250 kg on 1 kgf/mm settles 250 mm, close to 1 Hz;
    # 0.997 Hz derived.
    assert hertz(wheel_rate=GRAVITY * 1e3, load=250 * GRAVITY) == pytest.approx(0.997, abs=5e-4)


def test_springs_in_parallel_make_the_wheel_hop():
    # Source: Barton & Fieldhouse, Automotive Chassis Engineering (Springer), p. 213: (20.63 + 300) kN/m, 40 kg,
    # 14.25 Hz; a pitch of 0.2 m gives 2.85 m/s, 10.26 km/h.
    found = hertz(wheel_rate=20.63e3 + 300e3, load=40 * GRAVITY)
    assert found == pytest.approx(14.25, abs=0.005)
    assert 0.2 * found == pytest.approx(2.85, abs=0.005)
    assert 0.2 * found * 3.6 == pytest.approx(10.26, abs=0.005)


def test_wheel_rate_of_a_spring_part_way_along_the_arm():
    # Source: Barton & Fieldhouse, section 3.9, Eqs 3.22-3.33, pp. 177-179: wheel rate = spring rate times (c/b)^2,
    # small motion only: 50 N/mm at c/b 0.75 gives 28.125. A spring at c on an arm b is a bar of rate k c^2.
    arm = 0.4
    rate = 50e3 * (0.75 * arm) ** 2
    load = 2000.0
    level = load * arm / rate / DEG
    rest = settle(hanging_deg=level, load_n=load, rate=rate, arm_m=arm)
    assert rest.phi[0] == pytest.approx(0.0, abs=1e-12)
    assert -rest.slope[0] / arm == pytest.approx(28.125e3, rel=1e-12)


@pytest.mark.parametrize(
    ("hanging", "load"), [(17.5, 2500), (17.5, 3000), (20.0, 2500), (20.0, 3000), (40.0, 2500)]
)
def test_wheel_rate_carries_the_geometric_term(hanging, load):
    # Source: Milliken, Race Car Vehicle Dynamics (the form from memory, not checked): the wheel rate adds a
    # geometric term, for a torsion bar k/(R cos f)^2 - F tan f/(R cos f). And by finite differences of the load.
    rest = settle(hanging_deg=hanging, load_n=load)
    phi = rest.phi[0]
    lever = 0.4 * math.cos(phi)
    found = -rest.slope[0] / lever
    assert found == pytest.approx(SAMPLE_RATE / lever**2 - load * math.tan(phi) / lever, rel=1e-9)
    more, less = [settle(hanging_deg=hanging, load_n=load + d).height[0] for d in (1.0, -1.0)]
    assert found == pytest.approx(2.0 / (less - more), rel=1e-6)
    assert ride_hz(SimpleNamespace(theta=constants(hanging_deg=hanging, load_n=load)), rest) == pytest.approx(
        math.sqrt(found * GRAVITY / load) / (2 * math.pi), rel=1e-12
    )


def test_central_difference_over_one_newton_gives_the_printed_wheel_rate():
    # Derived: central difference of the height over F +- 1 N gives 20.44300 N/mm at 17.5 degrees and 2500 N.
    more, less = [settle(hanging_deg=17.5, load_n=2500 + d).height[0] for d in (1.0, -1.0)]
    assert 2e-3 / (less - more) == pytest.approx(20.44300, abs=5.1e-6)


def test_the_frequency_is_that_of_bars_and_bushes_with_the_tyres_left_out():
    loads = (2400.0, 2600.0)
    given = constants(hanging_deg=18.0, load_n=2500.0)
    given[5], given[6] = loads
    given[4] = 0.05
    tyres = [equilibrium(constants=[*given[:9], math.log(t)], rest=0.0) for t in (150e3, 1e15)]
    one, two = [ride_hz(SimpleNamespace(theta=given), rest) for rest in tyres]
    # Tyres that share no lean leave the arms where they are.
    assert one == pytest.approx(two, rel=1e-9)
    expected = 0.0
    for side in (0, 1):
        phi = tyres[1].phi[side]
        rate = 1.05 * SAMPLE_RATE / (0.4 * math.cos(phi)) ** 2 - loads[side] * math.tan(phi) / (
            0.4 * math.cos(phi)
        )
        expected += 0.5 * math.sqrt(rate * GRAVITY / loads[side]) / (2 * math.pi)
    assert two == pytest.approx(expected, rel=1e-9)


def test_a_quarter_inch_a_degree_belongs_to_one_arm():
    # Source: arithmetic, derived: "one degree is a quarter inch" holds for an arm of 363.8 mm (14.32 in); 400 mm
    # gives 6.98 mm (0.275 in).
    assert pytest.approx(14.32, abs=0.005) == 363.8 / INCH
    for arm, height in ((0.3638, 6.35), (0.4, 6.98)):
        hanging = 2500 * arm / SAMPLE_RATE / DEG
        rest = settle(hanging_deg=hanging, load_n=2500, arm_m=arm)
        assert rest.d_height[0][0] * DEG * 1e3 == pytest.approx(height, abs=0.005)
    assert pytest.approx(0.275, abs=0.0005) == 6.98 / INCH


def half_axle(*, length_mm: float, angle_deg: float):
    return SimpleNamespace(axle="swing", half_axle=length_mm * 1e-3, half_axle_angle=angle_deg * DEG)


@pytest.mark.parametrize(
    ("length", "angle", "degrees"), [(600, 0.0, 2.3880), (600, 3.0, 2.3939), (650, 0.0, 2.2042)]
)
def test_camber_of_a_swing_half_axle(length, angle, degrees):
    # Derived: half-axle from pivot to wheel plane, 25 mm of height. The sign, top outward positive, is ISO
    # 8855:2011's, from memory, not checked. Rear camber follows from the torsion bar setting on swing axles, there
    # is no separate adjustment: alignment data, rear-engined saloon, 1973 and 1976.
    car = half_axle(length_mm=length, angle_deg=angle)
    assert camber_change_deg(car, 0.025, 0.1) == pytest.approx(degrees, abs=5.1e-5)
    # A wheel that goes down is tucked under: its top goes outward.
    assert camber_change_deg(car, 0.025, 0.1) > 0 > camber_change_deg(car, -0.025, -0.1)


@pytest.mark.parametrize("sweep", [0.0, 10.0, 15.0, 45.0])
@pytest.mark.parametrize("swing", [-20.0, -3.0, 8.0, 25.0])
def test_camber_of_a_semi_trailing_arm_by_turning_the_wheel_in_space(sweep, swing):
    # Source: geometry, by Rodrigues' rotation. Axes forward, left, up; the left wheel's spindle points left. The
    # pivot lies level, its inner end swept back by the sweep; the wheel, behind it, goes down as the arm turns.
    pivot = np.array([math.sin(sweep * DEG), math.cos(sweep * DEG), 0.0])
    spindle = np.array([0.0, 1.0, 0.0])
    arm = np.array([-1.0, 0.0, 0.0])

    def turned(v, angle):
        return (
            v * math.cos(angle)
            + np.cross(pivot, v) * math.sin(angle)
            + pivot * (pivot @ v) * (1 - math.cos(angle))
        )

    sense = 1.0 if turned(arm, 0.1)[2] < 0 else -1.0
    moved = turned(spindle, sense * swing * DEG)
    # The spindle's outer end dips where the top of the wheel goes outward.
    expected = -math.asin(moved[2]) / DEG
    car = SimpleNamespace(axle="semi-trailing", sweep=sweep * DEG)
    assert camber_change_deg(car, 0.0, swing * DEG) == pytest.approx(expected, abs=1e-9)


def test_a_trailing_arm_across_the_car_keeps_its_camber():
    assert camber_change_deg(SimpleNamespace(axle="trailing"), 0.05, 0.2) == 0.0
