"""One axle as it will stand once the other one is set too: what a plan there brings here.

Lean is one angle for the whole body (`couple`): what is turned at one axle changes the height difference at which
that axle carries its own loads, and so the unevenness felt at the other one. A fitted car with that added is the
same car, so every search, limit and chance works on it as on any other. Nothing is fitted here. SI, radians.
"""

import math

from .estimate import Estimate
from .fittings import HEIGHT
from .point import Point
from .statics import UNEVEN

__all__ = ["Beside", "brought"]


class Beside(Estimate):
    """A fitted car, as if the other axle had been set already.

    Parameters
    ----------
    base : Estimate
    shift : what that adds to the unevenness felt here, as a height at this axle, [m]
    spread : standard deviation of that, [m]
    """

    def __init__(self, base: Estimate, shift: float, spread: float) -> None:
        self.as_fitted(base)
        self.theta[UNEVEN] += shift
        self.shift = shift
        self.shift_sd = spread
        # A car that would not stand so is found out by whoever asks for a way to turn it.
        self.now = self.rest_at(self.turns[-1], base.now.phi) or base.now

    def lift_at(self, teardown: int) -> float:
        """As of the car it is made of, whose other axle had not been set then."""
        return Estimate.lift_at(self, teardown) + self.shift


def brought(estimate: Estimate, point: Point, ballast: tuple, track: tuple) -> tuple | None:
    """What a way to turn one axle adds to the unevenness felt at the other one: (mean, standard deviation), [m].

    Parameters
    ----------
    estimate : of the axle that is turned
    point : the way
    ballast : (2,) what is then in the car over this axle, [N], and is not now
    track : (this axle's track against the other's, its spread)

    Returns
    -------
    As a height at the other axle; None where this axle would not stand by itself.
    """
    evidence = estimate.evidence
    wound = point.wound or estimate.wounds[-1]
    stood = estimate.rest_at(estimate.turns[-1], centred=True)
    rest = estimate.rest_at(point.turn, None, 0.0, ballast, wound, centred=True)
    if stood is None or rest is None:
        return None
    by = 0.0
    rows = []
    for at, sign in ((rest, 1.0), (stood, -1.0)):
        left, right = [evidence.wide(at, HEIGHT, side) for side in (0, 1)]
        by += sign * (at.height[0] - at.height[1])
        rows.append([sign * (a - b) for a, b in zip(left, right)])
    after, before = rows
    row = [a + b for a, b in zip(after, before)]
    variance = 0.0
    fresh = evidence.clamp_spread(estimate.theta, estimate.case.car.rest_sd)
    for side in (0, 1):
        # A bush that is clamped anew loses the clamping it had; one that is not keeps it.
        index, mean, spread = estimate.clamp(side)
        felt = before[side] if point.moved[side] else row[side]
        if index is None:
            variance += (felt * spread) ** 2
        else:
            by += felt * mean
            row[index] = felt
        if point.moved[side]:
            variance += (after[side] * fresh) ** 2
        # The nearest step of a plan in degrees lies anywhere within half a step.
        variance += (after[side] * point.swing[side]) ** 2 / 3.0
    ratio, unsure = track
    variance += max(0.0, estimate.joint(row, row)) + (by * unsure) ** 2
    return by / ratio, math.sqrt(variance) / ratio
