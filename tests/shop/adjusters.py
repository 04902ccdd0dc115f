"""Adjusters as they truly are: what a turn of a screw or eccentric, or a notch, adds to an arm's hanging angle.

Owns that geometry, and how far each can go. Positions are in turns from as found (notches at a notch), raising
positive; angles in radians, lengths in m. What a mechanic measures of an adjuster is ``layouts``' business.
"""

import math
from dataclasses import dataclass

__all__ = ["Adjuster", "Eccentric", "Notches", "Screw"]


@dataclass(frozen=True)
class Screw:
    """A screw on a fixed line beside the bar, against an anchor lever.

    ``square``: from the bar's centre square to that line; ``off``: the lever's angle from square as found,
    raising positive. The lever's end slides along the line, so a turn is worth cos^2 of that angle of what it
    is at square. ``raises``, ``lowers``: turns that are left either way.
    """

    square: float
    off: float
    pitch: float
    raises: float
    lowers: float

    def angle(self, turns: float) -> float:
        """Added to the hanging angle since it was found, [rad]."""
        return math.atan(math.tan(self.off) + turns * self.pitch / self.square) - self.off

    def kept(self, turns: float) -> float:
        """The position that can be reached nearest to one wanted."""
        return max(-self.lowers, min(self.raises, turns))


@dataclass(frozen=True)
class Eccentric:
    """An eccentric of a throw at a radius, as found ``at`` radians from its middle, raising positive."""

    radius: float
    throw: float
    at: float

    def _from_middle(self, turns: float) -> float:
        return math.asin(self.throw / self.radius * math.sin(self.at + 2.0 * math.pi * turns))

    def angle(self, turns: float) -> float:
        """Added to the hanging angle since it was found, [rad]."""
        return self._from_middle(turns) - self._from_middle(0.0)

    def kept(self, turns: float) -> float:
        """An eccentric goes round."""
        return turns


@dataclass(frozen=True)
class Notches:
    """Notches of a shared clamp: a share of each one's angle reaches the hanging angle of both wheels."""

    step: float
    share: float
    raises: int
    lowers: int

    def angle(self, turns: float) -> float:
        """Added to the hanging angle since it was found, [rad]."""
        return self.step * self.share * turns

    def kept(self, turns: float) -> float:
        """Whole notches, as many as there are."""
        return float(max(-self.lowers, min(self.raises, round(turns))))


Adjuster = Screw | Eccentric | Notches
