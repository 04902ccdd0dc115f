"""What turns a bar's end, or its arm, without a spline being drawn: a screw, an eccentric or a notched plate.

Whatever it is and at whichever end, it adds an angle to the hanging angle. Owns that angle as a function of turns
and back, how many turns are left, and what is believed of an adjuster where it was not measured. Turns and angles
are positive where they raise the car, and are the wheel's, wherever its adjuster sits. SI, radians; turns are
revolutions of the nut, bolt or eccentric, and of a notched plate notches.
"""

import math

from . import beliefs
from .field import choice, flag, needed, part, take
from .fields import ADJUSTERS, ECCENTRIC, ENDS, LONGER, NO_ADJUSTER, NOTCH, SCREW, SIDES
from .problem import ModelProblem
from .teeth import POSITIONS, TWELFTHS
from .units import DEG, MM

__all__ = ["PARTS", "Adjuster", "per_tooth"]

PARTS = {NO_ADJUSTER: 1, SCREW: TWELFTHS, ECCENTRIC: POSITIONS, NOTCH: 1}
"""Positions to a turn that a plan goes by: twelfths of a screw, where a flat of the nut is two of them; five
degrees of an eccentric, since a twelfth of its turn lifts a car by some 7 mm; whole notches."""


class Adjuster:
    """The adjuster of one axle, checked; both sides alike but for what is left of them.

    Attributes
    ----------
    kind : one of fields.ADJUSTERS; ``there`` whether there is any
    inner : whether it acts at the bar's inner end
    across, shared : as the request says
    lever, pitch, throw : [m]; ``step`` [rad] of one notch; ``share`` of the angle that reaches the hanging angle
    gain_sd : spread of the logarithm of what a turn gives, about what these figures say
    pitch_sd : spread of the logarithm of the pitch
    longer : 1 where a longer reading of the bolt raises the car, -1 where it lowers
    """

    def __init__(self, car: dict) -> None:
        source = part(car, "adjuster", "$.car")
        at = "$.car.adjuster"
        self.kind = choice(source, "kind", at, ADJUSTERS, NO_ADJUSTER)
        usual = "outer" if self.kind == ECCENTRIC else "inner"
        self.inner = choice(source, "end", at, ENDS, usual) == "inner"
        self.across = flag(source, "across", at)
        self.shared = flag(source, "shared", at)
        self.share = needed(source, "car.adjuster.share")
        lever, self.lever_sd = self._believed(
            source, "lever_mm", beliefs.LEVER_GIVEN_SD_MM, take(source, "car.adjuster.lever_sd_mm")
        )
        self.lever_given = take(source, "car.adjuster.lever_mm") is not None
        if self.kind == ECCENTRIC and not self.lever_given:
            lever = beliefs.ECCENTRIC_LEVER_MM
        self.lever = lever * MM
        pitch, pitch_sd = self._believed(source, "pitch_mm", 0.0)
        self.pitch = pitch * MM
        self.pitch_sd = pitch_sd / pitch
        self.pitch_given = pitch_sd == 0.0
        throw, throw_sd = self._believed(source, "throw_mm", None)
        self.throw_given = take(source, "car.adjuster.throw_mm") is not None
        self.step_given = take(source, "car.adjuster.step_deg") is not None
        self.throw = throw * MM
        step, step_sd = self._believed(source, "step_deg", None)
        self.step = step * DEG
        if self.kind == ECCENTRIC and self.throw >= self.lever:
            raise ModelProblem(
                "out-of-range",
                at + ".throw_mm",
                "an eccentric's throw must be less than its lever of %g mm, got %g mm" % (lever, throw),
            )
        self.gain_sd = {
            SCREW: math.sqrt((self.lever_sd / lever) ** 2 + self.pitch_sd**2),
            ECCENTRIC: math.sqrt((self.lever_sd / lever) ** 2 + (throw_sd / throw) ** 2),
            NOTCH: step_sd / step,
        }.get(self.kind, 0.0)
        self._range(source)
        self.at = tuple([needed(part(source, "at_deg", at), "car.adjuster.at_deg." + s) * DEG for s in SIDES])
        self.longer = 1.0 if choice(source, "longer", at, LONGER, LONGER[0]) == LONGER[0] else -1.0

    @staticmethod
    def _believed(source: dict, name: str, given: float | None, said: float | None = None) -> tuple:
        """(value, spread) in the field's unit: as given, or as believed."""
        path = "car.adjuster." + name
        value = take(source, path)
        if value is None:
            mean, sd = beliefs.BELIEVED[path]
            return mean, sd if said is None else said
        if said is None:
            said = beliefs.STEP_GIVEN_SD * value if given is None else given
        return value, said

    def _range(self, source: dict) -> None:
        self._left: list = []
        for side in SIDES:
            ways = []
            for name in ("raise_turns", "lower_turns"):
                ways.append(take(part(source, name, "$.car.adjuster"), "car.adjuster.%s.%s" % (name, side)))
            self._left.append(tuple(ways))

    @property
    def there(self) -> bool:
        """Whether the car has one."""
        return self.kind != NO_ADJUSTER

    @property
    def whole(self) -> bool:
        """Whether it goes by whole steps only."""
        return self.kind == NOTCH

    @property
    def unsure(self) -> bool:
        """Whether what a turn gives was left out of the request, in part or whole."""
        given = {
            SCREW: self.lever_given and self.pitch_given,
            ECCENTRIC: self.throw_given and self.lever_given,
        }
        return self.there and not given.get(self.kind, self.step_given)

    @property
    def parts(self) -> int:
        """Positions to a turn that a plan goes by."""
        return PARTS[self.kind]

    @property
    def fine(self) -> bool:
        """Whether these lie so close that the nearest will do."""
        return self.kind == SCREW

    def angle(self, turns: float, side: int) -> float:
        """What so many turns since the car was found have added to the hanging angle, [rad].

        A screw's lever swings little, so that its angle is taken along the arc; see ``per_tooth`` for what the
        other two ways of reckoning differ by.
        """
        if self.kind == SCREW:
            return self.share * turns * self.pitch / self.lever
        if self.kind == NOTCH:
            return self.share * turns * self.step
        if self.kind == ECCENTRIC:
            at = self.at[side]
            now = self._eccentric(at + 2.0 * math.pi * turns)
            return self.share * (now - self._eccentric(at))
        return 0.0

    def _eccentric(self, position: float) -> float:
        return math.asin(self.throw / self.lever * math.sin(position))

    def turns(self, angle: float, side: int) -> float | None:
        """Turns since the car was found that come to an angle, [rad]; None where it reaches no such angle.

        Of an eccentric the nearest from where it was found.
        """
        if self.share == 0.0 or not self.there:
            return None
        if self.kind == SCREW:
            return angle / self.share * self.lever / self.pitch
        if self.kind == NOTCH:
            return angle / self.share / self.step
        at = self.at[side]
        sine = math.sin(angle / self.share + self._eccentric(at)) * self.lever / self.throw
        if abs(sine) > 1.0:
            return None
        best = None
        for position in (math.asin(sine), math.pi - math.asin(sine), -math.pi - math.asin(sine)):
            turns = (position - at) / (2.0 * math.pi)
            if best is None or abs(turns) < abs(best):
                best = turns
        return best

    def slope(self, turns: float, side: int) -> float:
        """What one more turn adds there, [rad a turn]."""
        if self.kind != ECCENTRIC:
            return self.angle(1.0, side)
        ratio = self.throw / self.lever
        position = self.at[side] + 2.0 * math.pi * turns
        lean = ratio * math.sin(position)
        return self.share * 2.0 * math.pi * ratio * math.cos(position) / math.sqrt(1.0 - lean * lean)

    def left(self, turned: float, side: int) -> tuple:
        """Turns left to raise and to lower after so many since the car was found; None where nobody said.

        Of an eccentric up to where it is thrown furthest.
        """
        if self.kind == ECCENTRIC:
            quarter = 0.25 - self.at[side] / (2.0 * math.pi)
            return (quarter - turned, 0.5 - quarter + turned)
        up, down = self._left[side]
        return (None if up is None else up - turned, None if down is None else down + turned)

    def reach(self, turned: float, side: int) -> tuple:
        """(to raise, to lower) as ``left``, with what is believed where nobody said."""
        up, down = self.left(turned, side)
        if up is None:
            up = beliefs.TURNS_LEFT - turned
        if down is None:
            down = beliefs.TURNS_LEFT + turned
        return up, down


def per_tooth(*, teeth: int, lever_m: float, pitch_m: float, by: str = "arc") -> float:
    """Turns of a screw that undo one tooth at the anchor.

    Parameters
    ----------
    teeth : teeth a revolution at that end
    lever_m, pitch_m : [m]
    by : "arc", along the lever's end; "chord", straight across; "fixed", a screw that keeps its axis, to which the
        lever is square half way

    >>> round(per_tooth(teeth=24, lever_m=0.10795, pitch_m=0.00127), 2)
    22.25
    """
    angle = 2.0 * math.pi / teeth
    if by == "chord":
        travel = 2.0 * lever_m * math.sin(0.5 * angle)
    elif by == "fixed":
        travel = 2.0 * lever_m * math.tan(0.5 * angle)
    else:
        travel = lever_m * angle
    return travel / pitch_m
