"""Absolute cross-weight: what four scales say of it, as the car stands now and after an option.

The rest of the car resists lean and nothing else, so that a change of rear lean D moves k_roll D of cross-weight
(RF + LR), half of it at each axle: what the rear bars change of it follows from the rear's own equilibrium. What it
is to begin with only four scales can tell. Scales show the whole wheel, unsprung part included; both ends of the
difference have it, so that readings are taken as they are. SI inside, percent and kg outside.

Source: balance of four corners, checked against a full solution of four corners (tests/handbook/test_corners.py).
"""

import math

from .aim import Aim
from .beliefs import PAD_MM, TRACK_SD
from .case import Case
from .estimate import Estimate
from .fields import FRONT, REAR, SIDES
from .figures import length
from .fittings import FORCE
from .observation import Observation
from .sentences import CROSS
from .statics import ROLL, UNEVEN, Equilibrium
from .travel import CERTAIN
from .units import GRAVITY, MM
from .warp import cross_weight, diagonals, total, warped

__all__ = ["Cross", "Weighed", "crossed", "spread_of_change", "weighed"]

EVEN = 50.0
"""Cross-weight with equal diagonals, [%]."""


class Weighed:
    """Four loads of one stage, with one ballast in the car.

    ``loads`` ((left, right) front, (left, right) rear), [N], means of repeats; ``variance`` of each likewise, by
    the scales alone; ``teardown``, ``after`` km since hand-over, ``ballast`` (2,) [N].
    """

    def __init__(self, teardown: int, after: float, ballast: tuple, wheels: list) -> None:
        self.teardown = teardown
        self.after = after
        self.ballast = ballast
        means = [_mean(readings) for readings in wheels]
        self.loads = ((means[0][0], means[1][0]), (means[2][0], means[3][0]))
        self.variance = ((means[0][1], means[1][1]), (means[2][1], means[3][1]))


def _mean(readings: list) -> tuple:
    """Weighted mean of repeats and its variance."""
    repeats = Observation(readings[0])
    repeats.members = readings
    repeats.average()
    return repeats.value, repeats.spread**2


def weighed(case: Case, ballast: tuple = (0.0, 0.0)) -> Weighed | None:
    """The four loads that were read last in one stage; None where no stage has all four.

    Wheels stand on the floor, on scales or on blocks of one height: with a board under one tyre, or an axle carried
    amidships, the car is warped, and such loads do not count.

    Parameters
    ----------
    case : Case
    ballast : (2,) [N], what is preferred where one stage was weighed with several
    """
    found: dict = {}
    for reading in case.other + [r for r in case.readings if r.kind == "wheel-load"]:
        if not reading.level:
            continue
        left, right = reading.pose[1:3]
        key = (reading.teardown, reading.after, (left, right) == ballast, left, right)
        wheels = found.setdefault(key, [[], [], [], []])
        wheels[2 * (reading.axle != FRONT) + reading.side].append(reading)
    whole = sorted([key for key in found if min([len(wheel) for wheel in found[key]])])
    if not whole:
        return None
    key = whole[len(whole) - 1]
    return Weighed(key[0], key[1], key[3:], found[key])


class Cross:
    """Cross-weight of one fitted car, for one target's ballast.

    Parameters
    ----------
    estimate : Estimate
    aim : Aim
        Whose ballast is in the car, now and afterwards.
    found : Weighed
    then, now : Equilibrium
        As it stood on the scales, and stands now; the same one where nothing has changed since.

    Notes
    -----
    The scales' own spread and a pad that lies off level stay the same whatever is turned; what is known of roll
    stiffness and geometry comes with the change, and so does friction, once for the weighing and once for the next
    settle. The fit has the rear loads too, but the change hardly depends on them, so that both are taken apart.
    """

    def __init__(
        self, estimate: Estimate, aim: Aim, found: Weighed, then: Equilibrium, now: Equilibrium
    ) -> None:
        self.estimate = estimate
        self.found = found
        self.asked = aim.wish.cross is not None
        self.then = then
        self._now = now
        self.carried = then is not now
        more = [a - b for a, b in zip(aim.ballast, found.ballast)]
        self.sign = estimate.case.car.onto
        # Ballast stands over these wheels: what of it the others carry diagonally follows from theirs.
        front, rear = found.loads
        if estimate.case.car.sprung == FRONT:
            front = (front[0] + more[0], front[1] + more[1])
        else:
            rear = (rear[0] + more[0], rear[1] + more[1])
        onto = self.sign * (_across(now) - _across(then) - more[0] + more[1])
        self.loads = warped((front, rear), onto)
        # As if under a tyre of this axle, which warps a car as one under the other's does.
        self._pad = _row(estimate, then)[UNEVEN] * PAD_MM * MM

    def _spread(self, rest: Equilibrium, moved: tuple) -> float:
        """Variance of the change since the car was weighed, [N2]."""
        estimate = self.estimate
        evidence = estimate.evidence
        if rest is self.then and not moved[0] and not moved[1]:
            return 0.0
        row = _row(estimate, rest)
        fresh = evidence.clamp_spread(estimate.theta, estimate.case.car.rest_sd)
        kept = tuple([end for end in (0, 1) if not moved[end]])
        news = [row[end] * fresh if moved[end] else 0.0 for end in (0, 1)]
        _, row, spreads = estimate.clamped(row, kept)
        before = _row(estimate, self.then)
        clamp = evidence.clamps.get(self.found.teardown)
        for end in (0, 1):
            if clamp is not None:
                before[clamp + end] = before[end]
        row = [a - b for a, b in zip(row, before)]
        variance = estimate.joint(row, row)
        for spread in news + list(spreads):
            variance += spread * spread
        variance += (_row(estimate, rest)[UNEVEN] * estimate.shift_sd) ** 2
        roll = math.exp(estimate.theta[ROLL])
        # Two sides, each settled once when it was weighed and once more.
        variance += 4.0 * (roll * estimate.friction) ** 2
        return variance + (0.5 * TRACK_SD * (_across(rest) - _across(self.then))) ** 2

    def share(self, rest: Equilibrium, moved: tuple) -> tuple:
        """Cross-weight as a share of all four loads once the car stands so: (mean, variance).

        ``moved`` (2,) bool, which sides are taken apart.
        """
        return self._share(self._after(rest), self._spread(rest, moved))

    def mean(self, rest: Equilibrium) -> float:
        """That share alone."""
        loads = self._after(rest)
        return cross_weight(loads) / total(loads)

    def across(self, share: float, rest: Equilibrium) -> float:
        """Change of load across this axle, left less right, that brings an equilibrium to that share, [N]."""
        return self.sign * (share - self.mean(rest)) * total(self.loads)

    def slopes(self, rest: Equilibrium) -> list:
        """Derivatives of that share by the unknowns : (size,)."""
        return [self.sign * d / total(self.loads) for d in _row(self.estimate, rest)]

    def rub(self) -> float:
        """Variance of that share for each [m2] by which friction holds a side: two sides, weighed and settled."""
        return 4.0 * (math.exp(self.estimate.theta[ROLL]) / total(self.loads)) ** 2

    def _share(self, loads: tuple, change: float) -> tuple:
        (lf, rf), (lr, rr) = self.found.variance
        whole = total(loads)
        part = cross_weight(loads) / whole
        more = change + self._pad * self._pad
        return part, ((1.0 - part) ** 2 * (rf + lr) + part * part * (lf + rr) + more) / (whole * whole)

    def _said(self, loads: tuple, change: float) -> dict:
        """Loads as the answer has them; ``change`` is the variance of what was not read, [N2]."""
        (lf, rf), (lr, rr) = self.found.variance
        part, spread = self._share(loads, change)
        more = change + self._pad * self._pad
        apart = lf + rf + lr + rr + 4.0 * more
        return {
            "percent": {"value": 100.0 * part, "sd": 100.0 * math.sqrt(spread)},
            "diagonals_kg": {"value": diagonals(loads) / GRAVITY, "sd": math.sqrt(apart) / GRAVITY},
            "loads_kg": {
                axle: {SIDES[s]: pair[s] / GRAVITY for s in (0, 1)}
                for axle, pair in zip((FRONT, REAR), loads)
            },
        }

    def _after(self, rest: Equilibrium) -> tuple:
        return warped(self.loads, self.sign * (_across(rest) - _across(self._now)))

    def after(self, rest: Equilibrium, moved: tuple) -> dict:
        """The same once the car stands so; ``moved`` (2,) bool, which sides are taken apart."""
        return self._said(self._after(rest), self._spread(rest, moved))

    def answer(self, first: dict, rest: Equilibrium, measured: bool) -> dict:
        """What the answer says of it: now, where it comes from, and what these bars cannot have together.

        Parameters
        ----------
        first : the first option as described
        rest : its equilibrium
        measured : whether its lean is that of heights read on both sides
        """
        loads = self._after(rest)
        roll = math.exp(self.estimate.theta[ROLL])
        missing = -0.5 * diagonals(loads)
        said = first["cross_weight"]["percent"]
        lean = None
        if measured:
            by = self.sign * missing / roll
            spread = said["sd"] / 100.0 * total(loads) / roll
            stiffness = by * self.estimate.constant(ROLL)[1]
            spread = math.sqrt(spread**2 + stiffness**2 + (first["lean_mm"]["sd"] * MM) ** 2)
            lean = {"value": first["lean_mm"]["value"] + by / MM, "sd": spread / MM}
        after = self.found.after
        return {
            "now": self.after(self._now, (False, False)),
            "teardown": self.found.teardown,
            "after_km": after if after else None,
            "carried": self.carried,
            "even_lean_mm": lean,
            "words": self._asked(said, first["lean_mm"]["value"])
            if self.asked and measured
            else self._words(said, lean),
        }

    def _asked(self, said: dict, lean: float) -> str:
        """The sentence for a target of cross-weight, with the lean that comes of it, [mm]."""
        high = 0 if lean > 0.0 else 1
        by = length(abs(lean) * MM, self.estimate.case.units)
        gaps = {"percent": "%.1f" % said["value"], "axle": self.estimate.case.car.sprung, "by": by}
        gaps["side"], gaps["other"] = SIDES[high], SIDES[1 - high]
        return CROSS["asked"] % gaps

    def _words(self, said: dict, lean: dict | None) -> str:
        gaps = {"percent": "%.1f" % said["value"], "axle": self.estimate.case.car.sprung}
        if abs(said["value"] - EVEN) <= CERTAIN * said["sd"]:
            return CROSS["even"] % gaps
        if lean is None:
            return CROSS["apart"] % gaps
        high = 0 if lean["value"] > 0.0 else 1
        gaps["side"], gaps["other"] = SIDES[high], SIDES[1 - high]
        gaps["by"] = length(abs(lean["value"]) * MM, self.estimate.case.units)
        return CROSS["apart-lean"] % gaps


def crossed(estimate: Estimate, aim: Aim) -> Cross | None:
    """Cross-weight of a fitted car; None where no stage has four loads, or the car would not stand.

    ``aim`` says what ballast is in the car, and how it stands now.
    """
    found = weighed(estimate.case, aim.ballast)
    if found is None or aim.stood is None:
        return None
    then: Equilibrium | None = aim.stood
    if found.teardown != estimate.case.teardowns or found.ballast != aim.ballast:
        then = estimate.stood(found.teardown, aim.lift, found.ballast)
    return None if then is None else Cross(estimate, aim, found, then, aim.stood)


def spread_of_change(estimate: Estimate, rest: Equilibrium, stood: Equilibrium, moved: tuple) -> float:
    """Standard deviation of a change of cross-weight against as the car stands, [N].

    ``moved`` (2,) bool, which sides of this axle are taken apart. Friction enters once for each settling.
    """
    after, before = _row(estimate, rest), _row(estimate, stood)
    row = [a - b for a, b in zip(after, before)]
    if rest is stood:
        return 0.0
    fresh = estimate.evidence.clamp_spread(estimate.theta, estimate.case.car.rest_sd)
    variance = (after[UNEVEN] * estimate.shift_sd) ** 2
    for end in (0, 1):
        index, _, sd = estimate.clamp(end)
        felt = -before[end] if moved[end] else row[end]
        if index is None:
            variance += (felt * sd) ** 2
        else:
            row[index] = felt
        if moved[end]:
            variance += (after[end] * fresh) ** 2
    variance += 4.0 * (math.exp(estimate.theta[ROLL]) * estimate.friction) ** 2
    return math.sqrt(max(0.0, estimate.joint(row, row)) + variance)


def _across(rest: Equilibrium) -> float:
    """Load on the axle's left wheel less the right, [N]: it changes as cross-weight does, or against it."""
    return rest.force[0] - rest.force[1]


def _row(estimate: Estimate, rest: Equilibrium) -> list:
    """Derivatives of the load across by the unknowns : (n,)."""
    wide = estimate.evidence.wide
    return [a - b for a, b in zip(wide(rest, FORCE, 0), wide(rest, FORCE, 1))]
