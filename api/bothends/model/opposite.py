"""The other axle in the answer: how it stands, what is known of it, and what this axle's plan does to it.

Lean is one angle for the whole body, so that a plan here changes the height difference there by the ratio of the
tracks, half of it up and half of it down: that axle's mean height stays. SI inside, mm and sentences outside.
"""

import math

from .choose import Choice
from .couple import tracks
from .estimate import Estimate
from .fields import SIDES
from .figures import length
from .fittings import HEIGHT
from .lattice import Search
from .learned import learned
from .option import leaning
from .predict import heights
from .sentences import OTHER
from .statics import LOAD_LEFT, LOAD_RIGHT, Equilibrium
from .units import MM

__all__ = ["Opposite"]

STANDS = 0.05 * MM
"""A change below this is none, [m]."""
SHOWN = 10.0 * MM
"""Height difference made at one axle for which the sentence on the order says what comes of it at the other."""


class Opposite:
    """The other axle of one fitted car.

    Parameters
    ----------
    estimate : Estimate
        Of the axle that is planned, whose case has ``felt``.
    other : Estimate
        Of the other one.
    """

    def __init__(self, estimate: Estimate, other: Estimate) -> None:
        assert estimate.case.felt is not None
        self.estimate = estimate
        self.other = other
        self.felt = estimate.case.felt
        self.ratio, self.spread = tracks(estimate.case, other.case)
        self.expected = None
        if leaning(other, "body-height") != "rise":
            self.expected = heights(other, other.now, (False, False), "body-height")

    def change(self, rest: Equilibrium, now: Equilibrium) -> tuple:
        """What an equilibrium here changes of the height difference there: (mean, standard deviation), [m]."""
        if rest is now:
            return 0.0, 0.0
        wide = self.estimate.evidence.wide
        row = [0.0] * self.estimate.evidence.size
        by = 0.0
        for at, sign in ((rest, 1.0), (now, -1.0)):
            for side, way in ((0, 1.0), (1, -1.0)):
                by += sign * way * at.height[side]
                row = [a + sign * way * b for a, b in zip(row, wide(at, HEIGHT, side))]
        spread = math.sqrt((self.ratio * self.estimate.spread_of(row)) ** 2 + (by * self.spread) ** 2)
        return self.ratio * by, spread

    def after(self, rest: Equilibrium, now: Equilibrium) -> dict:
        """What comes of the other axle once this one stands so, until that is set too; as an option says it."""
        by, spread = self.change(rest, now)
        out: dict = {}
        for side in (0, 1):
            half = (0.5, -0.5)[side]
            found = None
            if self.expected is not None:
                mean, variance, _ = self.expected
                sd = math.sqrt(max(0.0, variance[side]) + (0.5 * spread) ** 2)
                found = {"value": (mean[side] + half * by) / MM, "sd": sd / MM}
            rise = {"value": half * by / MM, "sd": 0.5 * spread / MM}
            out[SIDES[side]] = {"rise_mm": rise, "body_height_mm": found}
        out["lean_mm"] = self._lean(by, spread)
        return out

    def _lean(self, by: float, spread: float) -> dict | None:
        if self.expected is None:
            return None
        mean, (vl, vr, vlr), _ = self.expected
        sd = math.sqrt(max(0.0, vl + vr - 2.0 * vlr) + spread**2)
        return {"value": (mean[0] - mean[1] + by) / MM, "sd": sd / MM}

    def order(self) -> tuple:
        """(axle to set first, what 10 mm made there come to at the other, and the other way round), [m].

        A height difference that one axle's bars would have alone is shared with the other: k of k + roll.
        """
        roll = math.exp(self.felt.roll[0])
        own = self._own_stiffness(roll)
        there = SHOWN * self.ratio * own / (own + roll)
        back = SHOWN / self.ratio * roll / (own + roll)
        axles = (self.estimate.case.car.sprung, self.other.case.car.sprung)
        return (axles[0], there, back) if there >= back else (axles[1], back, there)

    def _own_stiffness(self, roll: float) -> float:
        """Load across for each height difference by this axle's own bars, [N/m]."""
        now = self.estimate.now
        by_load = 0.0
        for k, way in ((LOAD_LEFT, 0.5), (LOAD_RIGHT, -0.5)):
            by_load += way * (now.d_height[0][k] - now.d_height[1][k])
        return max(1.0, -1.0 / by_load - roll)

    def answer(self, search: Search, choice: Choice) -> dict:
        """What the answer says of the other axle; each option of the choice is told what it does to that."""
        aim = search.aim
        now = aim.stood or self.estimate.now
        for option, point in zip(choice.options, choice.points):
            rest = point.rest
            if search.estimate.shift:
                # Planned beside the other axle's plan; this is what comes before that.
                rest = self.estimate.rest_at(point.turn, now.phi, aim.lift, aim.ballast, point.wound)
            still = point is search.now or rest is None
            option["other"] = self.after(now if still else rest, now)
        roll, sd = self.felt.roll
        adds = math.exp(roll) * MM
        own, there = self.estimate.case.car.sprung, self.other.case.car.sprung
        first, comes, back = self.order()
        units = self.other.case.units
        gaps = {
            "axle": own,
            "other": there,
            "first": first,
            "then": there if first == own else own,
            "made": length(SHOWN, units),
            "comes": length(comes, units),
            "back": length(back, units),
        }
        return {
            "axle": there,
            "learned": learned(self.other, self.other.now),
            "lean_mm": self._lean(0.0, 0.0),
            "adds_n_per_mm": {"value": adds, "sd": adds * sd},
            "shifted_mm": {"value": self.felt.shift / MM, "sd": self.felt.spread / MM},
            "first": first,
            "words": [self._moved(choice.options[0]["other"], gaps), OTHER["together"] % gaps]
            + [OTHER["order"] % gaps],
        }

    def _moved(self, after: dict, gaps: dict) -> str:
        """The sentence on what the first option does to the other axle."""
        units = self.other.case.units
        by = after["left"]["rise_mm"]["value"] * MM
        said = dict(gaps)
        up = 0 if by > 0.0 else 1
        said["up"], said["down"] = SIDES[up], SIDES[1 - up]
        said["by"] = length(abs(by), units, True)
        name = "still" if abs(by) < STANDS else "moves"
        if after["lean_mm"] is None:
            return OTHER[name] % said
        lean = after["lean_mm"]["value"]
        high = 0 if lean > 0.0 else 1
        said["side"], said["low"] = SIDES[high], SIDES[1 - high]
        said["lean"] = length(abs(lean) * MM, units, True)
        return OTHER[name + "-lean"] % said
