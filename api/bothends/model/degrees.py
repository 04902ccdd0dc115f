"""The plan while the teeth are not counted: how many degrees each arm is to be turned, and the odds of that.

Nobody can count splines in a closed car. So each side is planned to turn by whatever brings the target, the nearest
step will be taken once both ends are counted, and the odds are a mean over the phase of that unknown step. An end
that is held leaves whole teeth of the other end only, which is a far coarser step.
"""

import math

from .beliefs import FINE_STEP_DEG, TOOTH_DEG
from .cost import END_COST
from .estimate import Estimate
from .lattice import FURTHEST, Search
from .phase import over_phases
from .point import Point
from .units import DEG
from .wish import Wish

__all__ = ["Degrees"]


class Degrees(Search):
    """The same search as `lattice.Lattice`, over turns that are not whole teeth; ``step`` (2,) [rad] a side."""

    def __init__(self, estimate: Estimate, wish: Wish | None = None) -> None:
        car = estimate.case.car
        steps = []
        for inner, outer in car.held:
            count = car.outer_teeth if inner else car.inner_teeth
            tooth = TOOTH_DEG * DEG if count is None else 2.0 * math.pi / count
            steps.append(0.0 if inner and outer else tooth if inner or outer else FINE_STEP_DEG * DEG)
        self.step = tuple(steps)
        # What advice counts in while there are no teeth.
        self.fine = FINE_STEP_DEG * DEG
        self.unit = tuple([step / self.fine for step in steps])
        Search.__init__(self, estimate, wish)
        self.now = self.turned((0.0, 0.0))

    def turned(self, by: tuple) -> Point:
        """The point that turns both sides by so much from the present, [rad]."""
        moved = tuple([abs(b) > 0.5 * s and s > 0.0 for b, s in zip(by, self.step)])
        turn = []
        for side in (0, 1):
            hanging = self.estimate.theta[side] + self.start[side]
            reach = max(-FURTHEST - hanging, min(FURTHEST - hanging, by[side])) if moved[side] else 0.0
            turn.append(self.start[side] + reach)
        point = Point(None, None, tuple(turn), moved)
        self.work_out(point, self.rest.phi)
        if point.rest is None:
            return point
        point.swing = tuple([0.5 * s if m else 0.0 for s, m in zip(self.step, moved)])
        if point.ends() == 0:
            self.judge(point)
        else:
            slope = self.aim.slope(point.rest)
            swing = tuple([tuple([slope[s][k] * point.swing[k] for s in (0, 1)]) for k in (0, 1)])
            point.odds = over_phases(point.off, point.variance, swing, self.aim)["typical"]
            point.variance = _widened(point.variance, swing)
        point.score = point.odds - END_COST * point.ends()
        return point

    def both_ends(self) -> Point | None:
        """Both sides turned to where the target is."""
        # A side that cannot turn is left; then the other comes as near as it can alone.
        if 0.0 in self.step:
            side = 0 if self.step[1] == 0.0 else 1
            return self.one_side(side) if self.step[side] else None
        return self.turned(tuple(self.centre))

    def outer_ends(self) -> Point | None:
        """Nothing yet: what outer ends alone can do is only known once they are counted."""
        return None

    def one_side(self, side: int) -> Point | None:
        """One side turned to where it comes nearest, the other left alone."""
        by = self.alone(side)
        point = self.turned((by, 0.0) if side == 0 else (0.0, by))
        return point if point.ends() and point.rest is not None else None


def _widened(variance: tuple, swing: tuple) -> tuple:
    """Variance of the deviation with the unknown phase in it: uniform, a third of the square of its half width."""
    (a, c), (b, d) = swing
    return (
        variance[0] + (a * a + b * b) / 3.0,
        variance[1] + (c * c + d * d) / 3.0,
        variance[2] + (a * c + b * d) / 3.0,
    )
