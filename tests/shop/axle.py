"""An axle on bars of any layout, truly: what it is made of and where it comes to rest. Knows nothing of the
model.

Owns the statics of two corners whose wheels go where their linkage takes them, with an anti-roll bar between
them and a rest of the car that stiffens as it leans and stands a little differently at each settling. ``car``
is the same for trailing arms alone, by another way, and both are compared (``test_true_axle``). Does not own
the draw of an axle (``layouts``), its adjusters (``adjusters``), nor readings and jobs (``adjusting``).

More physics here than in the product's model: a wishbone is a linkage, not a lever; each side has its own bar,
arm, rubber and tyre; the rest of the car is no straight line, and leaf springs hold it up to some millimetres
off at each settling; friction of pivots. Not simulated: that the body pitches (the mean of an axle depends on
its own bars alone), pivots tightened anew at the height reached, sideways scrub of the tyres beyond the band of
friction.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy import optimize

from shop.car import GRAVITY, Car, Pose
from shop.wishbones import Course

__all__ = ["Arm", "Axle", "Corner", "energy", "needed", "of_car", "stands"]


@dataclass(frozen=True)
class Arm:
    """A single arm as a course: ``r`` from pivot to the wheel's centre, [m]."""

    r: float

    def g(self, phi: float) -> float:
        """The wheel below where it is with the arm level, [m]."""
        return self.r * math.sin(phi)

    def lever(self, phi: float) -> float:
        """Travel by angle, [m/rad]."""
        return self.r * math.cos(phi)

    def bend(self, phi: float) -> float:
        """How the lever changes by angle, [m/rad^2]."""
        return -self.r * math.sin(phi)


@dataclass(frozen=True)
class Corner:
    """One side; SI and radians, fields as of ``car.Side``."""

    bar: float
    rubber: float
    course: Arm | Course
    load: float
    tyre: float
    mark: float
    hub_mark: float = 0.19

    def pull(self, hanging: float, clamp: float, phi: float) -> float:
        """Torque of bar and rubber about the pivot, [N m]."""
        return self.bar * (hanging - phi) + self.rubber * (clamp - phi)


@dataclass(frozen=True)
class Axle:
    """Two corners and what ties them.

    ``anti_roll`` of this axle's own bar as it is read and judged, [N/m] of difference between the wheels;
    ``roll`` of the rest, [N/m] of lean; ``stiffens`` [1/m^2]: it carries roll D (1 + stiffens D^2). ``uneven``
    [m]; ``friction`` half the width of each side's band, [m]; ``restless`` how far the rest of the car stands
    off at each settling (standard deviation), [m] of unevenness.
    """

    corners: tuple[Corner, Corner]
    anti_roll: float
    roll: float
    uneven: float
    friction: float
    stiffens: float = 0.0
    restless: float = 0.0

    def across(self, lean: float) -> float:
        """Half the difference of the wheels' loads that the rest of the car makes at a lean, [N]."""
        return 0.5 * self.roll * lean * (1.0 + self.stiffens * lean * lean)


def of_car(car: Car) -> Axle:
    """A car of the season, whose bushes are straight, as an axle."""
    corners = tuple(Corner(s.bar, s.bush, Arm(s.arm), s.load, s.tyre, s.mark, s.hub_mark) for s in car.sides)
    return Axle((corners[0], corners[1]), 0.0, car.roll, car.uneven, car.friction)


def stands(
    axle: Axle,
    hanging,
    clamped,
    *,
    board_mm=(0.0, 0.0),
    ballast_kg=(0.0, 0.0),
    settle_mm=(0.0, 0.0),
    uneven_mm: float = 0.0,
) -> Pose:
    """Where the axle comes to rest, by Newton's method on both arms; as ``car.rest`` says.

    ``uneven_mm``: what the rest of the car adds to its unevenness at this settling.
    """
    one, two = axle.corners
    loads = [c.load + kg * GRAVITY for c, kg in zip(axle.corners, ballast_kg, strict=True)]
    raised = (board_mm[0] - board_mm[1] - uneven_mm) * 1e-3 - axle.uneven

    def at(phis):
        """Forces, heights and what is amiss."""
        travel = one.course.g(phis[0]), two.course.g(phis[1])
        tied = axle.anti_roll * (travel[0] - travel[1])
        forces = [
            c.pull(hanging[s], clamped[s], phis[s]) / c.course.lever(phis[s]) - (tied, -tied)[s]
            for s, c in enumerate(axle.corners)
        ]
        heights = [travel[s] - forces[s] / c.tyre for s, c in enumerate(axle.corners)]
        across = axle.across(heights[0] - heights[1] + raised)
        return forces, heights, (forces[0] - loads[0] - across, forces[1] - loads[1] + across)

    # Whatever is drawn rides near level, however far its bars are wound up for that.
    phis = [0.0, 0.0]
    for _ in range(60):
        forces, heights, miss = at(phis)
        tiny = 1e-6
        columns = [at([phis[0] + tiny, phis[1]])[2], at([phis[0], phis[1] + tiny])[2]]
        (a, c), (b, d) = [[(new - old) / tiny for new, old in zip(col, miss, strict=True)] for col in columns]
        det = a * d - b * c
        step = ((d * miss[0] - b * miss[1]) / det, (a * miss[1] - c * miss[0]) / det)
        largest = max(abs(step[0]), abs(step[1]))
        shrink = min(1.0, 0.2 / max(largest, 1e-12))
        phis = [phis[s] - shrink * step[s] for s in (0, 1)]
        if largest < 1e-10:
            break
    else:
        raise ArithmeticError("the axle finds no rest")
    forces, heights, _ = at(phis)
    riding, hub, height = [], [], []
    for s, corner in enumerate(axle.corners):
        off = settle_mm[s] * 1e-3
        riding.append(phis[s] + off / corner.course.lever(phis[s]))
        hub.append(corner.hub_mark + corner.course.g(phis[s]) + off)
        height.append(corner.mark + heights[s] + off)
    return Pose(tuple(riding), tuple(forces), tuple(height), tuple(hub))


def needed(axle: Axle, clamped, heights_mm) -> tuple[float, float]:
    """Hanging angles that bring both marks to the given heights, [rad]; from the heights back."""
    lift = [mm * 1e-3 - c.mark for mm, c in zip(heights_mm, axle.corners, strict=True)]
    across = axle.across(lift[0] - lift[1] - axle.uneven)
    travel, forces = [], []
    for s, sign in ((0, 1.0), (1, -1.0)):
        corner = axle.corners[s]
        forces.append(corner.load + sign * across)
        travel.append(lift[s] + forces[s] / corner.tyre)
    tied = axle.anti_roll * (travel[0] - travel[1])
    found = []
    for s, sign in ((0, 1.0), (1, -1.0)):
        corner, course = axle.corners[s], axle.corners[s].course
        phi = 0.0
        for _ in range(40):
            phi -= (course.g(phi) - travel[s]) / course.lever(phi)
        torque = (forces[s] + sign * tied) * course.lever(phi)
        found.append(phi + (torque - corner.rubber * (clamped[s] - phi)) / corner.bar)
    return found[0], found[1]


def energy(axle: Axle, hanging, clamped, where, board_mm=(0.0, 0.0)) -> float:
    """Potential energy, [J]; ``where`` = (left arm, right arm, left tyre, right tyre), [rad, m]. Least at rest."""
    total, heights, travel = 0.0, [], []
    for s, corner in enumerate(axle.corners):
        phi, squash = where[s], where[2 + s]
        travel.append(corner.course.g(phi))
        heights.append(board_mm[s] * 1e-3 + travel[s] - squash)
        total += 0.5 * corner.bar * (hanging[s] - phi) ** 2 + 0.5 * corner.rubber * (clamped[s] - phi) ** 2
        total += 0.5 * corner.tyre * squash**2 + corner.load * heights[s]
    lean = heights[0] - heights[1] - axle.uneven
    total += 0.5 * axle.anti_roll * (travel[0] - travel[1]) ** 2
    return total + 0.25 * axle.roll * lean**2 * (1.0 + 0.5 * axle.stiffens * lean**2)


def least(axle: Axle, hanging, clamped, board_mm=(0.0, 0.0)) -> np.ndarray:
    """Where that energy is least, by a general minimiser: what ``stands`` is checked against."""
    found = optimize.minimize(
        lambda x: energy(axle, hanging, clamped, (x[0], x[1], 0.1 * x[2], 0.1 * x[3]), board_mm),
        [0.0, 0.0, 0.1, 0.1],
        method="BFGS",
        options={"gtol": 1e-5},
    )
    return found.x * (1.0, 1.0, 0.1, 0.1)
