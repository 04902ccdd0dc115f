"""The target on this very car: the numbers a wish comes to, and how far an equilibrium is from them.

A side whose height was read is judged by its height; one that was not, by its change since the car was found. A
target of hanging angles is judged by the angles. Owns the deviation and its covariance, which is what the odds are
of; `wish` owns what was asked.
"""

from .case import Case
from .estimate import Estimate
from .figures import angle, length
from .odds import RULE, landing
from .predict import heights, mark_of, reach, slope
from .statics import Equilibrium
from .wish import Wish, as_found

__all__ = ["Aim"]


class Aim:
    """One wish resolved on one estimate.

    Attributes
    ----------
    wish : Wish
    found : (2,) heights as found of the kind that is measured, at the wish's ballast, [m]; None where not read
    wanted : (2,) heights wanted, [m]; None where a side is judged by its change, or by its angle
    tolerance, lean : half widths, in m or, of a hanging-angle target, in rad
    unreached : the sentence for a target that cannot be reached, by its name in OBSTACLES
    now : Equilibrium of the car with nothing turned, at the wish's ballast; None where it would not stand
    stood : the same as it stands at present: another one only where the other axle is planned too (`beside`)
    """

    unreached = "reach"

    def __init__(self, estimate: Estimate, wish: Wish) -> None:
        self.estimate = estimate
        self.wish = wish
        self.tolerance = wish.tolerance
        self.lean = wish.lean
        self.ballast = wish.ballast
        self.angles = wish.angles
        twist = estimate.evidence.spots.get(wish.spot)
        self.lift = 0.0 if twist is None else estimate.theta[twist]
        self.now = self.rest_at(estimate.turns[-1])
        self.stood = self.now
        if estimate.shift:
            self.stood = estimate.rest_at(estimate.turns[-1], None, self.lift + estimate.shift, self.ballast)
        self.start = estimate.before or (
            self._as_found(self.lift, self.ballast) if len(estimate.turns) > 1 else self.stood
        )
        self.found = self._found(estimate.case)
        self.wanted = wish.wanted(self.found)
        if wish.rise is not None and (self.wanted[0] is None or self.wanted[1] is None):
            # Judged by the change itself: whether it leans afterwards nobody can tell.
            self.lean = 2.0 * self.tolerance
        # How often friction enters each side: a change has that of the settling before it too.
        self.rubs = tuple([0.0 if self.angles else 2.0 if want is None else 1.0 for want in self.wanted])

    def rest_at(
        self, turn: tuple, near: tuple | None = None, wound: tuple | None = None
    ) -> Equilibrium | None:
        """Equilibrium after turns since the first hanging angle, with the wish's ballast, on its spot.

        ``wound`` (2,) is what of the turns the adjusters added; as they are now, where left out.
        """
        return self.estimate.rest_at(turn, near, self.lift, self.ballast, wound)

    def _as_found(self, lift: float, ballast: tuple) -> Equilibrium | None:
        return self.estimate.stood(0, lift, ballast)

    def _found(self, case: Case) -> tuple:
        """Means of the plain readings as found, each carried by the model to the wish's ballast."""
        out: list = []
        plain = as_found(case.readings, self.wish.measured)
        for side in (0, 1):
            total = 0.0
            for reading in plain[side]:
                total += reading.value + self._carried(reading.pose[1:3], side)
            if plain[side]:
                out.append(total / len(plain[side]))
            else:
                out.append(self._estimated(side))
        return tuple(out)

    def _carried(self, ballast: tuple, side: int) -> float:
        """Change of a height as found from one ballast to the wish's, [m]."""
        if ballast == self.ballast or self.start is None:
            return 0.0
        there = self._as_found(0.0, ballast)
        if there is None:
            return 0.0
        kind = self.wish.measured
        here = reach(self.estimate, self.start, side, kind)[0]
        return here - reach(self.estimate, there, side, kind)[0]

    def _estimated(self, side: int) -> float | None:
        """Height as found of a side that was read in another pose only; None where its mark was never read.

        A level needs it; a rise does not, and is then judged by the change.
        """
        mark = mark_of(self.estimate, self.wish.measured, side)
        if mark is None or self.start is None or self.wish.level is None:
            return None
        return self.estimate.theta[mark] + reach(self.estimate, self.start, side, self.wish.measured)[0]

    def expect(self, rest: Equilibrium, turn: tuple, moved: tuple) -> tuple:
        """Deviation from the target in one equilibrium: (mean (2,), variance (3,), rows (2, n)).

        Parameters
        ----------
        rest : Equilibrium
        turn : (2,) turns since the first hanging angle, [rad]
        moved : (2,) bool, whether that side is taken apart
        """
        if self.angles is not None:
            return self._angles(turn, rest.wound)
        since = tuple([self.start if want is None else None for want in self.wanted])
        mean, variance, rows = heights(self.estimate, rest, moved, self.wish.measured, since, self.wish.spot)
        rise = self.wish.rise or (0.0, 0.0)
        off = []
        for side in (0, 1):
            want = self.wanted[side]
            off.append(mean[side] - (rise[side] if want is None else want))
        return tuple(off), variance, rows

    def plain(self, rest: Equilibrium, turn: tuple) -> tuple:
        """Deviation (2,) with both bushes clamped as they usually are: what the search is steered by."""
        if self.angles is not None:
            return self._angles(turn, rest.wound)[0]
        rise = self.wish.rise or (0.0, 0.0)
        out = []
        for side in (0, 1):
            want = self.wanted[side]
            value = reach(self.estimate, rest, side, self.wish.measured)[0]
            mark = mark_of(self.estimate, self.wish.measured, side)
            if want is not None and mark is not None:
                out.append(self.estimate.theta[mark] + value - want)
            else:
                stood = reach(self.estimate, self.start or rest, side, self.wish.measured)[0]
                out.append(value - stood - rise[side])
        return tuple(out)

    def _angles(self, turn: tuple, wound: tuple) -> tuple:
        estimate = self.estimate
        off = []
        rows = []
        for side in (0, 1):
            row = [0.0] * estimate.evidence.size
            row[side] = 1.0
            estimate.evidence.fit.geared(row, wound)
            rows.append(row)
            off.append(estimate.theta[side] + turn[side] - self.angles[side])  # type: ignore[index]
        return tuple(off), estimate.covariances(rows), tuple(rows)

    def odds(self, off: tuple, variance: tuple, rule: list = RULE) -> float:
        """The odds that a deviation lies within the target, a mean over what is known of friction."""
        estimate = self.estimate
        total = 0.0
        for weight, more in estimate.bands.spread(estimate.friction):
            wide = (variance[0] + self.rubs[0] * more, variance[1] + self.rubs[1] * more, variance[2])
            chance = landing(mean=off, variance=wide, tolerance=self.tolerance, lean=self.lean, rule=rule)
            total += weight * chance
            if not self.rubs[0]:
                return chance
        return total

    def slope(self, rest: Equilibrium) -> tuple:
        """Change of both deviations with both hanging angles, (2, 2) [m/rad], or 1 for angles."""
        if self.angles is not None:
            return ((1.0, 0.0), (0.0, 1.0))
        return slope(self.estimate, rest, self.wish.measured)

    def nearest(self, off: tuple) -> dict:
        """The gaps of the sentence on what cannot be reached: how far off each side would stay."""
        units = self.estimate.case.units
        shown = [angle(abs(x)) if self.angles is not None else length(abs(x), units) for x in off]
        return {"left": shown[0], "right": shown[1]}
