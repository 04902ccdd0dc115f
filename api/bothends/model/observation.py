"""Readings of one kind in one stand of the car, averaged, and the stands in which a car was read.

Owns what makes two readings repeats of one another. What one should read is `evidence`'s business. SI, radians.
"""

import math

from .fields import KINDS
from .reading import Reading
from .units import SIZE

__all__ = ["MODEL_ERROR", "Observation", "Stand", "grouped"]

MODEL_ERROR = {k.name: k.error * SIZE[k.unit] for k in KINDS}
"""What the model itself leaves out, per kind, [rad, m, N]; friction and clamping come on top, shared."""


class Stand:
    """How a car stood on its wheels while it was read after one teardown.

    ``lift`` board left less board right, [m]; ``ballast`` (2,) [N]; ``centred`` whether the other axle was carried
    on one block amidships; ``spot`` where it stood, ``after`` km since hand-over, ``resettled`` which settling,
    None where not said. ``key`` has all of it: two stands that say the same are one.
    """

    def __init__(self, o: "Observation") -> None:
        self.teardown = o.teardown
        self.lift = o.lift
        self.ballast = o.ballast
        self.centred = o.centred
        self.spot = o.spot
        self.after = o.after
        self.resettled = o.resettled
        self.key = (o.teardown, o.lift, o.ballast, o.centred, o.spot, o.after, o.resettled)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Stand) and self.key == other.key

    def __hash__(self) -> int:
        return hash(self.key)


class Observation:
    """Repeats of one reading, averaged.

    ``value`` their weighted mean, ``spread`` the standard deviation of that mean by gauge or tape alone,
    ``members`` the readings, ``pose`` an index into the evidence's poses (None where the arm hangs), ``place`` the
    pose as its readings have it, ``lift``, ``ballast`` and ``centred`` what that says (see `Stand`),
    ``hung`` the arm's angle read in the same hang test, itself an Observation, or None.
    """

    def __init__(self, first: Reading) -> None:
        self.kind = first.kind
        self.side = first.side
        self.teardown = first.teardown
        self.place = first.pose
        self.lift, left, right, self.centred = first.pose
        self.ballast = (left, right)
        self.hanging = first.hanging
        self.gravity = first.gravity
        self.spot = first.spot
        self.after = first.after
        self.resettled = first.resettled
        self.members: list[Reading] = []
        self.pose: int | None = None
        self.hung: Observation | None = None
        self.extra = 0.0
        self.value = 0.0
        self.spread = 0.0

    def average(self) -> None:
        weight = 0.0
        total = 0.0
        for reading in self.members:
            w = 1.0 / (reading.sd * reading.sd)
            weight += w
            total += w * reading.value
        self.value = total / weight
        self.spread = 1.0 / math.sqrt(weight)

    def model_error(self) -> float:
        """Standard deviation of what no repeat removes, [rad, m or N]."""
        return math.sqrt(MODEL_ERROR[self.kind] ** 2 + self.extra)


def grouped(readings: list) -> list:
    """Observations of the readings, in the order their first members were logged."""
    groups = {}
    order = []
    for reading in readings:
        key = (
            reading.kind, reading.side, reading.teardown, reading.pose, reading.hanging, reading.gravity,
            reading.spot, reading.after, reading.resettled,
        )  # fmt: skip
        if key not in groups:
            groups[key] = Observation(reading)
            order.append(groups[key])
        groups[key].members.append(reading)
    for observation in order:
        observation.average()
    return order
