"""Unknowns that only some axles and logs have: an adjuster's gain, its thread, an anti-roll bar, and what four
kinds of reading bring with them.

Owns where they stand among the unknowns of a fit, what is believed of them, and the equations of those readings:

    arm difference     a sin f                          a between the two points
    gap, damper        offset + ratio r sin f           an offset for each side
    bolt length        offset +- pitch turns            an offset for each side

An axle without any of this has none of these unknowns, and its fit is as if they did not exist. SI, radians.
"""

import math

from .beliefs import SETTLING_KM
from .case import Case
from .statics import ARM, CONSTANTS, Equilibrium

__all__ = ["BY_ANGLE", "FORCE", "HEIGHT", "PHI", "Fittings", "settled"]

PHI, FORCE, HEIGHT = range(3)
"""Which of an equilibrium's quantities a derivative is of."""
RATIOS = ("bump-gap", "damper-length")
BY_ANGLE = ("arm-difference",) + RATIOS
MOST_GAIN = 3.0
"""Logarithm of a gain against what lever and pitch say that no fit goes beyond."""


def settled(after: float) -> float:
    """Share of a car's settling that is reached after driving so far, [km].

    >>> round(settled(100.0), 3)
    0.632
    """
    return 1.0 - math.exp(-after / SETTLING_KM)


class Fittings:
    """Where the further unknowns stand, each None where there is no such.

    ``gain`` the logarithm of what a turn adds against what lever and pitch say, ``pitch`` that of the thread's
    pitch, ``anti`` of the anti-roll bar's rate, ``span`` of an arm difference [m]; ``ratio`` by kind, ``offset`` by
    kind: the left side's, the right one's follows, [m]. ``size`` is how many unknowns there are with these.
    """

    def __init__(self, case: Case, kinds: list, size: int) -> None:
        car = case.car
        self.car = car
        self.adjuster = car.adjuster
        # Whether the bushes go along with it, see `statics.equilibrium`.
        self.carried = self.adjuster.there and not self.adjuster.inner
        self.gain: int | None = None
        self.pitch: int | None = None
        self.anti: int | None = None
        self.span: int | None = None
        self.ratio: dict = {}
        self.offset: dict = {}
        self.believed: list = []
        """(index, mean, spread) of those that are believed before any reading."""
        self.size = size
        if self.adjuster.there:
            spread = self.adjuster.gain_sd
            if "bolt-length" in kinds and self.adjuster.pitch_sd > 0.0:
                # The bolt's length tells of the thread, and through it of what a turn gives.
                self.pitch = self._one(0.0, self.adjuster.pitch_sd)
                spread = math.sqrt(max(0.0, spread * spread - self.adjuster.pitch_sd**2))
            self.gain = self._one(0.0, max(1e-6, spread))
        if car.anti > 0.0:
            self.anti = self._one(math.log(car.anti), min(1.0, max(1e-6, car.anti_sd / car.anti)))
        if "arm-difference" in kinds:
            self.span = self._one(car.span[0], car.span[1])
        for kind, belief in (("bump-gap", car.bump_ratio), ("damper-length", car.damper_ratio)):
            if kind in kinds:
                self.ratio[kind] = self._one(belief[0], belief[1])
        for kind in RATIOS + ("bolt-length",):
            if kind in kinds:
                self.offset[kind] = self.size
                self.size += 2

    def _one(self, mean: float, spread: float) -> int:
        self.believed.append((self.size, mean, spread))
        self.size += 1
        return self.size - 1

    def factor(self, theta: list) -> float:
        """What a turn adds against what lever and pitch say."""
        if self.gain is None:
            return 1.0
        return math.exp(theta[self.gain] + (0.0 if self.pitch is None else theta[self.pitch]))

    def sane(self, theta: list) -> bool:
        """Whether a fit may go there."""
        for index in (self.gain, self.pitch):
            if index is not None and abs(theta[index]) > MOST_GAIN:
                return False
        return self.anti is None or theta[self.anti] < 50.0

    def standing(self, row: list, rest: Equilibrium, what: int, side: int, times: float = 1.0) -> None:
        """Put the derivatives of one of a rest's quantities into a row, ``times`` as much."""
        d = (rest.d_phi, rest.d_force, rest.d_height)[what][side]
        row[:CONSTANTS] = d if times == 1.0 else [times * x for x in d]
        if self.anti is not None:
            row[self.anti] = times * rest.by_anti[what][side]

    def geared(self, row: list, wound: tuple) -> None:
        """Derivatives by the gain: it moves each side's hanging angle by what was wound there, [rad], which is
        what bar and bush feel of it where the car stands.
        """
        for index in (self.gain, self.pitch):
            if index is not None:
                row[index] += row[0] * wound[0] + row[1] * wound[1]

    def reach(self, kind: str, theta: list) -> float:
        """What a reading of an arm changes for a settled height, [m/m]."""
        if kind == "arm-difference":
            return theta[self.span] / theta[ARM]  # type: ignore[index] # there is such a reading
        return theta[self.ratio[kind]]

    def by_angle(
        self, kind: str, side: int, theta: list, rest: Equilibrium, row: list, share: float
    ) -> float:
        """What a reading of an arm's angle should be, [m]; its derivatives go into ``row``.

        ``share`` of the settling after hand-over is in it as a height, [m].
        """
        phi = rest.phi[side]
        sine = math.sin(phi)
        if kind == "arm-difference":
            index = self.span
            span = theta[index]  # type: ignore[index] # there is such a reading
            self.standing(row, rest, PHI, side, span * math.cos(phi))
            row[index] = sine + share / theta[ARM]  # type: ignore[index] # as above
            row[ARM] -= share * span / theta[ARM] ** 2
            return span * (sine + share / theta[ARM])
        ratio = theta[self.ratio[kind]]
        arm = theta[ARM]
        self.standing(row, rest, PHI, side, ratio * arm * math.cos(phi))
        row[ARM] += ratio * sine
        row[self.ratio[kind]] = arm * sine + share
        row[self.offset[kind] + side] = 1.0
        return theta[self.offset[kind] + side] + ratio * (arm * sine + share)

    def longer_by(self, theta: list) -> float:
        """What one raising turn adds to the reading of an adjusting bolt, [m]."""
        pitch = self.adjuster.longer * self.adjuster.pitch
        return pitch if self.pitch is None else pitch * math.exp(theta[self.pitch])

    def bolt(self, side: int, theta: list, turns: float, row: list) -> float:
        """How long an adjusting bolt should read after so many turns since the car was found, [m]."""
        first = self.offset["bolt-length"]
        length = self.longer_by(theta) * turns
        row[first + side] = 1.0
        if self.pitch is not None:
            row[self.pitch] = length
        return theta[first + side] + length
