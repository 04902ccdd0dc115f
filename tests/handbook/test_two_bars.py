"""Two bars or packs on one arm: what one adjuster moves, what stays locked in, and equal counts at both ends.

Derived: potential energies of both bars, minimised here by a general solver, against the project's statics of one
bar that stands for the two. The sample bar of the reference table is taken for both together.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from bothends.model.teeth import fine_step_deg, turn_deg
from handbook.settled import DEG, SAMPLE_RATE, settle

ARM = 0.4
BOTH = SAMPLE_RATE * DEG
"""Rate of the sample bar, [N m/degree]."""
SHARES = st.floats(0.1, 0.9)
HANGING = st.floats(5.0, 25.0)


def hangs(rates, hanging_deg) -> tuple[float, list[float], float]:
    """Where a free arm on two bars hangs, [degrees], what torque each has then, [N m], and the energy, [J]."""

    def energy(x: float) -> float:
        return math.fsum(
            0.5 * k * ((a - x) * DEG) ** 2 / DEG for k, a in zip(rates, hanging_deg, strict=True)
        )

    at = float(optimize.minimize_scalar(energy, bracket=(-30.0, 30.0)).x)
    return at, [k * (a - at) for k, a in zip(rates, hanging_deg, strict=True)], energy(at)


def rides(rates, hanging_deg, load: float) -> float:
    """Height of the wheel below the pivot under a load, [mm], on two bars."""

    def energy(x: float) -> float:
        bars = math.fsum(0.5 * k / DEG * (a * DEG - x) ** 2 for k, a in zip(rates, hanging_deg, strict=True))
        return bars + load * ARM * math.sin(x)

    at = optimize.minimize_scalar(energy, bounds=(-1.0, 1.0), method="bounded", options={"xatol": 1e-10}).x
    return ARM * math.sin(float(at)) * 1e3


def test_one_adjuster_on_two_equal_packs_moves_half_and_locks_in_143_newton_metres():
    # Derived: (K / 2) psi / 2 for psi 10 degrees.
    packs = (0.5 * BOTH, 0.5 * BOTH)
    at, torque, _ = hangs(packs, (10.0, 0.0))
    assert at == pytest.approx(5.0, abs=1e-6)
    assert torque == pytest.approx([143.0, -143.0], abs=0.5)


def test_two_unlike_bars_on_a_free_arm_hold_each_other_wound():
    # Derived: one has 0.733 of the rate and hangs at 20 degrees, the other at 8: 134 N m and 14 J stay locked in;
    # one tooth of 9 degrees on the second counts 2.40.
    rates = (BOTH * (9.0 - 2.40) / 9.0, BOTH * 2.40 / 9.0)
    at, torque, energy = hangs(rates, (20.0, 8.0))
    assert torque == pytest.approx([134.0, -134.0], abs=0.5)
    assert energy == pytest.approx(14.0, abs=0.1)
    tooth = turn_deg(inner=1, outer=0, inner_teeth=40, outer_teeth=44)
    assert hangs(rates, (20.0, 8.0 + tooth))[0] - at == pytest.approx(2.40, abs=1e-6)


@given(share=SHARES, first=HANGING, second=HANGING, load=st.floats(1500.0, 3500.0))
def test_parallel_bars_ride_as_one_bar_of_both_rates_hanging_between(share, first, second, load):
    rates = (share * BOTH, (1.0 - share) * BOTH)
    ours = settle(hanging_deg=share * first + (1.0 - share) * second, load_n=load, arm_m=ARM)
    assert rides(rates, (first, second), load) == pytest.approx(ours.height[0] * 1e3, abs=1e-3)


@given(share=SHARES, turn=st.floats(-12.0, 12.0))
def test_an_adjuster_of_one_pack_raises_as_its_share_of_the_rate(share, turn):
    rates = (share * BOTH, (1.0 - share) * BOTH)
    moved = rides(rates, (17.5 + turn, 17.5), 2500.0) - rides(rates, (17.5, 17.5), 2500.0)
    before, after = [
        settle(hanging_deg=17.5 + more, load_n=2500.0, arm_m=ARM).height[0] * 1e3
        for more in (0.0, share * turn)
    ]
    assert moved == pytest.approx(after - before, abs=1e-3)


def test_bars_in_series_add_their_compliances():
    # Derived: 1 / K adds. One torque winds both; the energy is least where it does.
    first, second, twist = 0.7 * BOTH, 1.9 * BOTH, 15.0
    at = optimize.minimize_scalar(
        lambda x: first * x**2 + second * (twist - x) ** 2, bracket=(0.0, twist), tol=1e-12
    ).x
    assert first * float(at) == pytest.approx(twist / (1.0 / first + 1.0 / second), rel=1e-6)


def test_equal_counts_miss_by_half_a_tooth():
    # Derived: 40 teeth at both ends, 400 mm: half a step is 31 mm, and there is no finer one.
    assert fine_step_deg(inner_teeth=40, outer_teeth=40) == 9.0
    assert 400.0 * math.radians(4.5) == pytest.approx(31.0, abs=0.5)
    for count in (6, 8, 24, 30):
        step = fine_step_deg(inner_teeth=count, outer_teeth=count)
        assert step == turn_deg(inner=1, outer=0, inner_teeth=count, outer_teeth=count)


@pytest.mark.parametrize(("span", "share"), [(1.0, 0.24), (1.7, 0.42), (2.5, 0.61), (4.1, 1.0)])
def test_an_eccentric_reaches_so_many_turns_with_the_outer_end_alone(span, share):
    # Derived: outer teeth of 8.18 degrees and so many degrees of eccentric either way; counted over wanted turns.
    tooth = turn_deg(inner=0, outer=1, inner_teeth=40, outer_teeth=44)
    wanted = [i * 0.02 for i in range(18000)]
    reached = sum(abs(x - tooth * round(x / tooth)) <= span for x in wanted) / len(wanted)
    assert reached == pytest.approx(share, abs=0.01)
    assert min(1.0, 2.0 * span / tooth) == pytest.approx(share, abs=0.005)
