"""What one axle feels of the other: how it resists lean, and what was turned there since the car was found.

Owns the figures alone, which `couple` works out of the other axle's own estimate; `evidence` and `prior` use them.
Lean is one angle for the whole body, so that a height difference D at one axle is t_other/t D at the other. SI.
"""

import math

from .car import Car

__all__ = ["Felt"]


class Felt:
    """The other axle, as felt at this one.

    Attributes
    ----------
    roll : (logarithm of what it adds against lean [N/m], standard deviation of that)
    lifts : by teardown, what it stood higher on the left after that teardown than now, as a board under this axle's
        left tyre against its right one, [m]
    spreads : by number of a move made there, standard deviation of what that move shifted, [m]
    """

    def __init__(self, roll: tuple, lifts: list, spreads: dict) -> None:
        self.roll = roll
        self.lifts = lifts
        self.spreads = spreads

    @property
    def shift(self) -> float:
        """What moves there have added to the unevenness felt here since the car was found, [m]."""
        return self.lifts[0]

    @property
    def spread(self) -> float:
        """Standard deviation of that."""
        return math.sqrt(sum([self.spreads[move] ** 2 for move in self.spreads]))

    def roll_of(self, car: Car) -> tuple:
        """Mean and spread to believe of this axle's roll support; one that was given is weighed against it.

        >>> car = Car({"car": {"roll_support_n_per_mm": 20.0, "roll_support_sd_n_per_mm": 2.0}})
        >>> mean, sd = Felt((math.log(20e3), 0.1), [0.0], {}).roll_of(car)
        >>> round(math.exp(mean)), round(sd, 3)
        (20000, 0.071)
        """
        mean, sd = self.roll
        if not car.roll_given:
            return mean, sd
        given, wide = math.log(car.roll), min(1.0, car.roll_sd / car.roll)
        weight, other = 1.0 / (sd * sd), 1.0 / (wide * wide)
        return (weight * mean + other * given) / (weight + other), 1.0 / math.sqrt(weight + other)
