"""Two wishbones and an upright, exactly: where the wheel's centre goes as the sprung arm swings.

Owns that plane linkage alone. Seen from the front, x outwards and y upwards, [m]; the bar's arm is the sprung one,
its angle positive with the ball joint below the pivot, as everywhere. Solved in closed form, as the meeting of
two circles; ``tests/handbook/test_wishbones.py`` holds it to a general solver. What a simulated car needs many
times is fitted once by a polynomial.
"""

import functools
import math
from dataclasses import dataclass

import numpy as np

__all__ = ["INVENTED", "Course", "Wishbones", "course"]

FURTHEST = math.radians(16.0)
"""How far the sprung arm swings either way in what is fitted."""
DEGREE = 9


@dataclass(frozen=True)
class Wishbones:
    """Lengths in m. ``apart``: the upper pivot from the lower one, outwards and upwards; ``upright``: between
    the ball joints; ``hub``: the wheel's centre from the lower ball joint, across the upright and along it.
    """

    lower: float
    upper: float
    apart: tuple[float, float]
    upright: float
    hub: tuple[float, float]
    sprung: str = "lower"

    @property
    def arm(self) -> float:
        """Inner pivot to ball joint of the sprung arm, as by tape."""
        return self.lower if self.sprung == "lower" else self.upper

    def joints(self, phi: float) -> tuple[np.ndarray, np.ndarray]:
        """Lower and upper ball joint with the sprung arm at an angle, [m]."""
        pivots = np.zeros(2), np.array(self.apart)
        own, other = (0, 1) if self.sprung == "lower" else (1, 0)
        lengths = (self.lower, self.upper)
        moved = pivots[own] + lengths[own] * np.array([math.cos(phi), -math.sin(phi)])
        # The other ball joint: on its own arm's circle and on the upright's about the one that is known.
        across = moved - pivots[other]
        far = float(np.hypot(*across))
        along = (lengths[other] ** 2 - self.upright**2 + far**2) / (2.0 * far)
        aside = math.sqrt(lengths[other] ** 2 - along**2)
        unit = across / far
        square = np.array([-unit[1], unit[0]]) * (1.0 if own == 0 else -1.0)
        found = pivots[other] + along * unit + aside * square
        return (moved, found) if own == 0 else (found, moved)

    def below(self, phi: float) -> float:
        """The wheel's centre below the lower pivot, [m]."""
        low, high = self.joints(phi)
        along = (high - low) / self.upright
        across = np.array([along[1], -along[0]])
        return -float((low + self.hub[0] * across + self.hub[1] * along)[1])


class Course:
    """Travel of the wheel against the sprung arm's angle, fitted once: ``g`` [m], ``lever`` g' and ``bend`` g''."""

    def __init__(self, linkage: Wishbones) -> None:
        phis = FURTHEST * np.cos(np.pi * (np.arange(60) + 0.5) / 60.0)
        level = linkage.below(0.0)
        travel = [linkage.below(float(phi)) - level for phi in phis]
        fitted = np.polynomial.Polynomial.fit(phis, travel, DEGREE).convert()
        self._rows = [[float(c) for c in p.coef[::-1]] for p in (fitted, fitted.deriv(), fitted.deriv(2))]

    def _at(self, row: int, phi: float) -> float:
        value = 0.0
        for c in self._rows[row]:
            value = value * phi + c
        return value

    def g(self, phi: float) -> float:
        """How far the wheel stands below where it is with the arm level, [m]."""
        return self._at(0, phi)

    def lever(self, phi: float) -> float:
        """Travel by angle, [m/rad]."""
        return self._at(1, phi)

    def bend(self, phi: float) -> float:
        """How the lever changes by angle, [m/rad^2]."""
        return self._at(2, phi)


@functools.cache
def course(linkage: Wishbones) -> Course:
    """The course of a linkage, fitted once."""
    return Course(linkage)


INVENTED = {
    "pick-up": Wishbones(0.400, 0.270, (0.090, 0.210), 0.250, (0.110, 0.095)),
    "van": Wishbones(0.360, 0.260, (0.060, 0.210), 0.220, (0.090, 0.090)),
    "saloon": Wishbones(0.340, 0.230, (0.070, 0.225), 0.255, (0.100, 0.105)),
    "roadster": Wishbones(0.320, 0.230, (0.050, 0.190), 0.200, (0.095, 0.090)),
    "bar on the upper arm": Wishbones(0.400, 0.300, (0.080, 0.200), 0.260, (0.100, 0.110), "upper"),
}
"""Five invented double wishbones in round numbers; no vehicle's."""
