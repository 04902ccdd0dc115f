"""The resting car against a general root finder and against the minimum of its potential energy.

The energy is written here from the parts: bars, bushes, tyres, the springs that resist lean, and the weights'
height. Nothing of the product enters it.
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import optimize

from bothends.model.statics import (
    ALPHA_LEFT,
    ALPHA_RIGHT,
    ARM,
    CONSTANTS,
    LOAD_LEFT,
    RATE,
    ROLL,
    STEEPEST,
    TYRE,
    UNEVEN,
    equilibrium,
)
from model.cars import DEG, Truth, steady


class Pose:
    """Constants, bush rest, turn, lift and ballast of one pose, with its energy."""

    wound = (0.0, 0.0)
    """What an eccentric at each arm has added, [rad]: the bush sits on what that turns the arm on."""

    def __init__(self, constants, rest=0.0, turn=(0.0, 0.0), lift=0.0, ballast=(0.0, 0.0)):
        self.constants = list(constants)
        self.rest, self.turn, self.lift, self.ballast = rest, turn, lift, ballast
        c = self.constants
        self.rate, self.roll, self.tyre = math.exp(c[RATE]), math.exp(c[ROLL]), math.exp(c[TYRE])
        self.arm, self.bush, self.uneven = c[ARM], c[4] * self.rate, c[UNEVEN]
        self.alpha = [c[s] + turn[s] for s in (0, 1)]
        self.load = [c[LOAD_LEFT + s] + ballast[s] for s in (0, 1)]

    def found(self, **near):
        return equilibrium(
            constants=self.constants, rest=self.rest, turn=self.turn, lift=self.lift, ballast=self.ballast, **near
        )  # fmt: skip

    def energy(self, x):
        """[J] at x = (left arm, right arm, left tyre, right tyre), [rad, m]; complex numbers welcome."""
        total, heights = 0.0, []
        for s in (0, 1):
            phi, squash = x[s], x[2 + s]
            heights.append(self.arm * np.sin(phi) - squash)
            total = (
                total
                + 0.5 * self.rate * (self.alpha[s] - phi) ** 2
                + 0.5 * self.bush * (self.rest - (phi - self.wound[s])) ** 2
            )
            total = total + 0.5 * self.tyre * squash**2 + self.load[s] * heights[s]
        lean = heights[0] - heights[1] + self.lift - self.uneven
        return total + 0.25 * self.roll * lean**2

    def gradient(self, x):
        """Exact to rounding, by a complex step."""
        out = []
        for k in range(4):
            z = np.array(x, dtype=complex)
            z[k] += 1e-30j
            out.append(self.energy(z).imag / 1e-30)
        return np.array(out)

    def curvature(self, x):
        out = []
        for k in range(4):
            step = np.zeros(4)
            step[k] = 1e-6
            out.append((self.gradient(x + step) - self.gradient(x - step)) / 2e-6)
        matrix = np.array(out)
        return 0.5 * (matrix + matrix.T)

    def residuals(self, phi):
        """The two equations of rest, for a root finder."""
        force = [
            (self.rate * (self.alpha[s] - phi[s]) + self.bush * (self.rest - phi[s]))
            / (self.arm * math.cos(phi[s]))
            for s in (0, 1)
        ]
        height = [self.arm * math.sin(phi[s]) - force[s] / self.tyre for s in (0, 1)]
        across = 0.5 * self.roll * (height[0] - height[1] + self.lift - self.uneven)
        return [force[0] - self.load[0] - across, force[1] - self.load[1] + across]

    def where(self, rest):
        """The energy's coordinates of an equilibrium."""
        return np.array([*rest.phi, rest.force[0] / self.tyre, rest.force[1] / self.tyre])


def numbers(low, high):
    return st.floats(low, high, allow_nan=False)


@st.composite
def poses(draw, least_n=200.0, most_n=9000.0):
    """Poses as wide as any light car and wider; with loads between these limits."""
    log = math.log
    constants = [
        draw(numbers(-0.6, 0.9)),
        draw(numbers(-0.6, 0.9)),
        draw(numbers(log(300.0), log(9000.0))),
        draw(numbers(0.2, 0.7)),
        draw(numbers(0.0, 0.4)),
        draw(numbers(least_n, most_n)),
        draw(numbers(least_n, most_n)),
        draw(numbers(log(100.0), log(60e3))),
        draw(numbers(-0.03, 0.03)),
        draw(numbers(log(50e3), log(500e3))),
    ]
    ballast = draw(st.sampled_from([(0.0, 0.0), (500.0, 0.0), (250.0, 250.0)]))
    return Pose(
        constants,
        rest=draw(numbers(-0.5, 0.5)),
        turn=(draw(numbers(-0.1, 0.1)), draw(numbers(-0.1, 0.1))),
        lift=draw(numbers(-0.08, 0.08)),
        ballast=ballast,
    )


ORDINARY = Pose(Truth().constants())


@given(poses())
@steady(120)
def test_the_car_rests_in_a_minimum_of_its_energy(pose):
    rest = pose.found()
    assume(rest is not None)
    x = pose.where(rest)
    size = np.array([pose.load[0] * pose.arm, pose.load[1] * pose.arm, *pose.load])
    assert np.abs(pose.gradient(x) / size).max() < 1e-7
    assert np.linalg.eigvalsh(pose.curvature(x)).min() > 0


@given(poses())
@steady(60)
def test_a_general_root_finder_finds_the_same_rest(pose):
    rest = pose.found()
    assume(rest is not None)
    start = [rest.phi[0] + 0.01, rest.phi[1] - 0.01]
    other = optimize.root(pose.residuals, start, tol=1e-13)
    assert np.abs(np.array(pose.residuals(rest.phi))).max() < 1e-8 * max(pose.load)
    if other.success:
        assert rest.phi == pytest.approx(other.x.tolist(), abs=1e-8)


@pytest.mark.parametrize("board", [0.0, 0.05, -0.05])
@pytest.mark.parametrize("ballast", [(0.0, 0.0), (400.0, 100.0)])
@pytest.mark.parametrize("hanging", [(9.0, 11.0), (-2.0, 3.0), (24.0, 20.0)])
def test_going_downhill_in_energy_ends_where_the_model_says(board, ballast, hanging):
    truth = Truth(hanging_deg=hanging, load_kg=(210.0, 250.0), uneven_m=0.004)
    pose = Pose(truth.constants(), rest=3 * DEG, lift=board, ballast=ballast)
    scale = np.array([1.0, 1.0, 0.1, 0.1])
    least = optimize.minimize(
        lambda y: pose.energy(y * scale),
        np.array([0.0, 0.0, 0.1, 0.1]),
        jac=lambda y: pose.gradient(y * scale) * scale,
        method="BFGS",
        options={"gtol": 1e-6},
    )
    rest = pose.found()
    assert rest.phi == pytest.approx(least.x[:2].tolist(), abs=1e-7)
    assert [f / pose.tyre for f in rest.force] == pytest.approx((0.1 * least.x[2:]).tolist(), abs=1e-7)


@pytest.mark.slow
@given(st.one_of(poses(20.0, 400.0), poses(9e3, 40e3)))
@steady(40)
def test_where_there_is_said_to_be_no_rest_none_is_found(pose):
    assume(pose.found() is None)
    for left in np.linspace(-1.4, 1.2, 6):
        for right in np.linspace(-1.4, 1.2, 6):
            other = optimize.root(pose.residuals, [left, right])
            if not other.success or np.abs(other.x).max() > STEEPEST:
                continue
            force = [
                (pose.rate * (pose.alpha[s] - other.x[s]) + pose.bush * (pose.rest - other.x[s]))
                / (pose.arm * math.cos(other.x[s]))
                for s in (0, 1)
            ]
            x = np.array([*other.x, force[0] / pose.tyre, force[1] / pose.tyre])
            # A rest there would have to lift a wheel or balance on a hill of energy.
            assert min(force) <= 0 or np.linalg.eigvalsh(pose.curvature(x)).min() <= 0


@given(poses())
@steady(60)
def test_derivatives_are_those_of_central_differences(pose):
    rest = pose.found()
    assume(rest is not None)
    # Close to where an arm snaps through the derivatives run off; differences cannot follow there.
    assume(max(rest.slope) < -0.05 * (pose.rate + pose.bush) / pose.arm)
    steps = [1e-5, 1e-5, 1e-5, 1e-5, 1e-5, 0.05, 0.05, 1e-4, 1e-5, 1e-4]
    for k in range(CONSTANTS):
        sides = []
        for sign in (1.0, -1.0):
            moved = Pose(pose.constants, pose.rest, pose.turn, pose.lift, pose.ballast)
            moved.constants[k] += sign * steps[k]
            sides.append(moved.found(near=rest.phi))
        assume(sides[0] is not None and sides[1] is not None)
        up, down = sides
        for exact, one, two, size in (
            (rest.d_phi, up.phi, down.phi, 1e-3 / steps[k] * 1e-4),
            (rest.d_force, up.force, down.force, max(pose.load) * 1e-3 / steps[k] * 1e-4),
            (rest.d_height, up.height, down.height, 1e-3 / steps[k] * 1e-4),
        ):
            for s in (0, 1):
                slope = (one[s] - two[s]) / (2 * steps[k])
                assert exact[s][k] == pytest.approx(slope, rel=2e-4, abs=1e-2 * size), (k, s)


def test_slope_is_the_force_by_the_angle_at_fixed_constants():
    rest = ORDINARY.found()
    for s in (0, 1):
        phi = rest.phi[s]
        force = [
            (ORDINARY.rate * (ORDINARY.alpha[s] - p) + ORDINARY.bush * (0.0 - p))
            / (ORDINARY.arm * math.cos(p))
            for p in (phi + 1e-5, phi - 1e-5)
        ]
        assert rest.slope[s] == pytest.approx((force[0] - force[1]) / 2e-5, rel=1e-8)


def test_the_whole_weight_stands_on_the_wheels():
    for pose in (ORDINARY, Pose(ORDINARY.constants, lift=0.05, ballast=(300.0, 0.0))):
        assert sum(pose.found().force) == pytest.approx(sum(pose.load), rel=1e-12)


@given(poses(), numbers(-0.06, 0.06), numbers(-0.06, 0.06))
@steady(60)
def test_an_eccentric_at_the_arm_twists_the_bar_and_leaves_the_bush(pose, left, right):
    # Against the energy of the whole car, in which the bush is twisted by the inner plate alone.
    pose.wound = (left, right)
    pose.alpha = [a + w for a, w in zip(pose.alpha, pose.wound, strict=True)]
    turn = tuple(t + w for t, w in zip(pose.turn, pose.wound, strict=True))
    kept, pose.turn = pose.turn, turn
    rest = pose.found(wound=pose.wound, carried=True)
    assume(rest is not None)
    x = pose.where(rest)
    scale = np.array([pose.rate, pose.rate, *rest.force])
    assert np.abs(pose.gradient(x) / scale).max() < 1e-7
    # The same as a hanging angle that is lower by its angle and the bush's share of that again.
    pose.turn = tuple(t + w * (1.0 + pose.constants[4]) for t, w in zip(kept, pose.wound, strict=True))
    assert pose.found().phi == pytest.approx(rest.phi, abs=1e-9)
    assert rest.felt == pytest.approx([w * (1.0 + pose.constants[4]) for w in pose.wound])


def test_a_board_under_one_tyre_loads_it_and_moves_both_bodies_apart():
    plain, boarded = ORDINARY.found(), Pose(ORDINARY.constants, lift=0.05).found()
    assert boarded.force[0] > plain.force[0]
    assert boarded.force[1] < plain.force[1]
    # Heights are above the board: the raised side squats on its spring.
    assert boarded.height[0] < plain.height[0]
    assert boarded.height[1] > plain.height[1]


def test_a_board_is_felt_as_unevenness_the_other_way():
    lifted = Pose(ORDINARY.constants, lift=0.03).found()
    uneven = list(ORDINARY.constants)
    uneven[UNEVEN] = -0.03
    assert lifted.phi == pytest.approx(Pose(uneven).found().phi, abs=1e-12)


def test_turning_is_the_same_as_hanging_lower():
    turned = Pose(ORDINARY.constants, turn=(0.05, -0.02)).found()
    moved = list(ORDINARY.constants)
    moved[ALPHA_LEFT] += 0.05
    moved[ALPHA_RIGHT] -= 0.02
    assert turned.phi == Pose(moved).found().phi


@given(poses())
@steady(60)
def test_a_mirror_changes_nothing_but_the_names(pose):
    c = pose.constants
    swapped = [c[1], c[0], c[2], c[3], c[4], c[6], c[5], c[7], -c[8], c[9]]
    one = pose.found()
    two = Pose(swapped, pose.rest, pose.turn[::-1], -pose.lift, pose.ballast[::-1]).found()
    assert (one is None) == (two is None)
    if one is not None:
        assert one.phi == pytest.approx(two.phi[::-1], abs=1e-9)
        assert one.force == pytest.approx(two.force[::-1], rel=1e-7)


@given(poses(), numbers(-0.3, 0.3), numbers(-0.3, 0.3))
@steady(60)
def test_the_start_does_not_decide_where_it_rests(pose, left, right):
    rest = pose.found()
    assume(rest is not None)
    # An arm with a single rest: as steep as the load could ever make it, the bar still wins.
    assume(max(pose.load) * pose.arm < 0.8 * (pose.rate + pose.bush))
    again = pose.found(near=(rest.phi[0] + left, rest.phi[1] + right))
    assert again is not None
    assert again.phi == pytest.approx(rest.phi, abs=1e-8)


def test_nearly_vertical_arms_rest_or_have_no_rest():
    for hanging in (80.0, 85.0, 88.0):
        for load in (50.0, 235.0, 2000.0):
            pose = Pose(Truth(hanging_deg=(hanging, hanging), load_kg=(load, load)).constants())
            rest = pose.found()
            if rest is not None:
                assert np.abs(pose.residuals(rest.phi)).max() < 1e-6 * max(pose.load)
                assert max(abs(p) for p in rest.phi) <= STEEPEST


def test_a_tiny_bar_lets_the_arm_past_the_vertical_and_has_no_rest():
    assert Pose(Truth(rate=1.0, load_kg=(500.0, 500.0)).constants()).found() is None


def test_a_wheel_that_would_leave_the_ground_has_no_rest():
    assert Pose(Truth(load_kg=(5.0, 5.0), hanging_deg=(9.0, 14.0)).constants()).found() is None
    assert Pose(ORDINARY.constants, ballast=(-3000.0, 0.0)).found() is None


def test_a_soft_bar_that_could_snap_through_rests_where_loading_first_stops_it():
    # Three rests of one arm: the one met on being loaded from hanging is meant, not the one beyond.
    truth = Truth(rate=900.0, hanging_deg=(60.0, 60.0), load_kg=(230.0, 230.0), bush=0.0, roll=100.0)
    pose = Pose(truth.constants())
    rest = pose.found()
    angles = np.linspace(pose.alpha[0] - 1e-9, -1.55, 20001)
    moment = pose.rate * (pose.alpha[0] - angles) - pose.load[0] * pose.arm * np.cos(angles)
    changes = np.flatnonzero((moment[:-1] < 0) & (moment[1:] >= 0))
    assert rest.phi[0] == pytest.approx(float(angles[changes[0]]), abs=1e-3)
