"""The whole-tooth lattice of both sides: which net turns to try, and the odds of each.

A point is a pair of net fine steps (left, right). Ends that are held are kept to. Owns the search; `option` turns a
chosen point into teeth, cautions and figures; `degrees` plans where the teeth are not counted yet.
"""

import math

from .cost import work
from .cross import Cross
from .cross_aim import CrossAim, aim_of
from .estimate import Estimate
from .odds import COARSE, interval, landing
from .point import Point
from .teeth import cheapest, greatest_common_divisor
from .wish import Wish

__all__ = ["FURTHEST", "HOPELESS", "NEAR", "SLACK", "Lattice", "Search"]

HOPELESS = 0.005
"""Odds below which points are told apart by how far they miss."""
SLACK = 1e-12
"""Smallest determinant of the heights' slopes that can be solved, [m2/rad2]; an arm straight up has none."""
NEAR = 0.001
"""How near the turn without whole teeth must come for the target to count as reachable, [m]."""
FURTHEST = 1.45
"""Steepest hanging angle that is planned for, [rad]."""
WINDOW = 3
"""Fine steps tried on either side of the centre; twice as many where a step is under 0.3 degrees."""
FINALISTS = 5
"""Points worked out exactly after the quick rank."""
COARSE_STEP = 0.05
"""Step of a side above which the linear map says little, and every point is worked out, [rad]."""


class Search:
    """What a search over teeth and one over degrees share: the aim, the turn that would hit it, and the odds.

    ``now`` is the point that turns nothing, ``fine`` the finest step, [rad], ``unit`` (2,) fine steps that a side
    moves by, 0 where it cannot be turned, ``cross`` what four scales say, where that is asked for; the ways to turn
    are the searches' own.
    """

    now: Point
    cross: Cross | None = None
    fine = 0.0
    unit: tuple = (1, 1)

    def __init__(self, estimate: Estimate, wish: Wish | None = None) -> None:
        self.estimate = estimate
        self.case = estimate.case
        self.aim = aim_of(estimate, wish or estimate.case.wish)
        if isinstance(self.aim, CrossAim):
            self.cross = self.aim.cross
        self.start = estimate.turns[-1]
        self._centre()

    def both_ends(self) -> Point | None:
        """Best way that turns whatever may be turned."""
        return None

    def outer_ends(self) -> Point | None:
        """Best way that leaves every inner end alone."""
        return None

    def one_side(self, side: int) -> Point | None:
        """Best way that leaves the other side alone."""
        return None

    def ways(self) -> list:
        """The ways worth showing, each None where there is none: all ends, outer ends, one side alone."""
        found = [self.both_ends(), self.outer_ends()]
        sides = [p for p in (self.one_side(0), self.one_side(1)) if p is not None]
        if sides:
            found.append(max(sides, key=self.rank))
        return found

    def turned_first(self, point: Point) -> bool:
        """Whether a way is to be tried before any that draws a bar's end, whatever its odds."""
        return False

    def judge(self, point: Point) -> None:
        """Set a point's odds for the aim, well enough to choose by; ``weigh`` sets them for good."""
        point.odds = landing(
            mean=point.off,
            variance=point.variance,
            tolerance=self.aim.tolerance,
            lean=self.aim.lean,
            rule=COARSE,
        )

    def weigh(self, point: Point) -> None:
        """Set a point's odds and score as a mean over what is known of friction, which a search need not know."""
        if point.rest is not None and point.teeth is not None:
            before = point.odds
            point.odds = self.aim.odds(point.off, point.variance)
            point.score += point.odds - before

    def work_out(self, point: Point, near: tuple | None = None) -> None:
        """Set a point's equilibrium and what is to be expected of it."""
        estimate = self.estimate
        if point.still():
            # However steep it hangs, as it stands is always a choice.
            point.rest = self.aim.now
        elif max(abs(estimate.theta[s] + point.turn[s]) for s in (0, 1)) <= FURTHEST:
            point.rest = self.aim.rest_at(point.turn, near, point.wound)
        if point.rest is not None:
            point.off, point.variance, point.rows = self.aim.expect(point.rest, point.turn, point.moved)

    def _centre(self) -> None:
        """The turn that would hit the target exactly if teeth had no size, by Newton's method.

        Sets ``centre`` (2,) turns from the present, [rad], ``rest`` its equilibrium with deviation ``off`` and
        ``variance``, the linear ``map`` of the deviation about it, and whether the target was ``reached``.
        """
        estimate = self.estimate
        aim = self.aim
        rest = aim.now or estimate.now
        turn = [0.0, 0.0]
        for _ in range(12):
            at = (self.start[0] + turn[0], self.start[1] + turn[1])
            step = self.solve(aim.slope(rest), aim.plain(rest, at))
            largest = max(abs(step[0]), abs(step[1]))
            if largest < 1e-8:
                break
            shrink = min(1.0, 0.35 / largest)
            trial = []
            for s in (0, 1):
                hanging = estimate.theta[s] + self.start[s] + turn[s] - shrink * step[s]
                hanging = max(-FURTHEST, min(FURTHEST, hanging))
                trial.append(hanging - estimate.theta[s] - self.start[s])
            found = aim.rest_at((self.start[0] + trial[0], self.start[1] + trial[1]), rest.phi)
            if found is None:
                break
            moved = max(abs(trial[0] - turn[0]), abs(trial[1] - turn[1]))
            turn = trial
            rest = found
            if moved < 1e-5:
                break
        at = (self.start[0] + turn[0], self.start[1] + turn[1])
        self.off, self.variance, _ = aim.expect(rest, at, (True, True))
        self.map = aim.slope(rest)
        self.centre = turn
        self.rest = rest
        self.reached = max(abs(self.off[0]), abs(self.off[1])) < NEAR

    @staticmethod
    def solve(slope: tuple, wanted: tuple) -> tuple:
        """The turns that move both sides as wanted; none where turning hardly moves them at all."""
        (a, b), (c, d) = slope
        det = a * d - b * c
        if abs(det) < SLACK:
            return 0.0, 0.0
        return (d * wanted[0] - b * wanted[1]) / det, (a * wanted[1] - c * wanted[0]) / det

    def linear(self, left: float, right: float) -> tuple:
        """Deviation (2,) after turns (left, right) from the present, [rad], by the linear map about the centre."""
        dl = left - self.centre[0]
        dr = right - self.centre[1]
        (a, b), (c, d) = self.map
        return self.off[0] + a * dl + b * dr, self.off[1] + c * dl + d * dr

    def alone(self, side: int, off: tuple | None = None) -> float:
        """Turn of one side, [rad], that comes nearest to the target with the other side left alone.

        ``off`` (2,) the deviation at the centre, if not as expected.
        """
        (a, b), (c, d) = self.map
        x, y = off or self.off
        if side == 0:
            own, other = a, c
            x, y = x - b * self.centre[1], y - d * self.centre[1]
        else:
            own, other = d, b
            x, y = y - c * self.centre[0], x - a * self.centre[0]
        apart = own - other
        gain = max(SLACK, own * own + other * other + apart * apart)
        return self.centre[side] - (own * x + other * y + apart * (x - y)) / gain

    def miss(self, point: Point) -> float:
        """How far a point is expected from the target and its lean, [m]: ranks points without odds."""
        x, y = point.off
        return abs(x) + abs(y) + abs(x - y)

    def rank(self, point: Point) -> tuple:
        """Order of points: by score, or by nearness where the odds are too small to tell them apart."""
        if point.odds < HOPELESS:
            return (-1.0, -self.miss(point))
        return (point.score, point.odds)


class Lattice(Search):
    """Odds over net turns from the present state of one estimate; both ends' teeth are counted.

    A side's ``unit`` is 1, a whole tooth where an end is held, 0 where both are.
    """

    def __init__(self, estimate: Estimate, wish: Wish | None = None) -> None:
        car = estimate.case.car
        self.inner_teeth = car.inner_teeth or 1
        self.outer_teeth = car.outer_teeth or 1
        common = greatest_common_divisor(first=self.inner_teeth, second=self.outer_teeth)
        self.fine = 2.0 * math.pi * common / (self.inner_teeth * self.outer_teeth)
        self.per_outer = self.inner_teeth // common
        self.per_inner = self.outer_teeth // common
        self.unit = tuple([self._unit(held) for held in car.held])
        self.points: dict = {}
        self._cheap: dict = {}
        Search.__init__(self, estimate, wish)
        self.now = self.point(0, 0)

    def _unit(self, held: tuple) -> int:
        inner, outer = held
        if inner and outer:
            return 0
        return self.per_outer if inner else self.per_inner if outer else 1

    def teeth(self, steps: int, side: int) -> tuple:
        """Cheapest (inner, outer) for a net number of fine steps on one side."""
        inner, outer = self.case.car.held[side]
        if inner:
            return 0, steps // self.per_outer
        if outer:
            return steps // self.per_inner, 0
        if steps not in self._cheap:
            self._cheap[steps] = cheapest(
                steps=steps, inner_teeth=self.inner_teeth, outer_teeth=self.outer_teeth
            )
        return self._cheap[steps]

    def point(self, left: int, right: int, near: tuple | None = None) -> Point:
        """The worked-out point, from memory where it has been asked before."""
        key = (left, right)
        if key in self.points:
            return self.points[key]
        turn = (self.start[0] + left * self.fine, self.start[1] + right * self.fine)
        point = Point(key, (self.teeth(left, 0), self.teeth(right, 1)), turn, (left != 0, right != 0))
        self.points[key] = point
        self.work_out(point, near)
        if point.rest is not None:
            self.judge(point)
            point.score = point.odds - self.work(left, right)
        return point

    def work(self, left: int, right: int) -> float:
        """What the teardown of a point costs, in odds: its ends and its teeth."""
        return work((self.teeth(left, 0), self.teeth(right, 1)))

    def screen(self, left: int, right: int) -> float:
        """Quick rank of a point from the linear map about the centre; higher is better."""
        x, y = self.linear(left * self.fine, right * self.fine)
        vx, vy, vxy = self.variance
        aim = self.aim
        value = interval(mean=x, sd=math.sqrt(vx), half_width=aim.tolerance)
        value *= interval(mean=y, sd=math.sqrt(vy), half_width=aim.tolerance)
        value *= interval(mean=x - y, sd=math.sqrt(max(vx + vy - 2.0 * vxy, 1e-12)), half_width=aim.lean)
        # The distance ranks points that all have no odds to speak of.
        return value - 1e-3 * (abs(x) + abs(y) + abs(x - y))

    def best(self, lefts: list, rights: list, moving: bool = False) -> Point | None:
        """The point of a small grid with the best score, its finalists worked out exactly.

        ``moving`` leaves out the point that turns nothing, for alternatives to compare with.
        """
        ranked = []
        for left in lefts:
            for right in rights:
                if moving and left == 0 and right == 0:
                    continue
                ranked.append((self.work(left, right) - self.screen(left, right), left, right))
        ranked.sort()
        keep = len(ranked) if self.fine * max(self.unit) > COARSE_STEP else FINALISTS
        best: Point | None = None
        for _, left, right in ranked[:keep]:
            point = self.point(left, right, self.rest.phi)
            if point.rest is None:
                continue
            if best is None or self.rank(point) > self.rank(best):
                best = point
        return best

    def around(self, turn: float, unit: int, window: int) -> list:
        """Net fine steps nearest to a turn [rad], in multiples of ``unit`` fine steps; only 0 where that is 0."""
        if unit == 0:
            return [0]
        middle = round(turn / (self.fine * unit))
        return [unit * k for k in range(middle - window, middle + window + 1)]

    def both_ends(self) -> Point | None:
        """Best point of the whole lattice."""
        lefts, rights = [self.around(self.centre[s], self.unit[s], self._window(s)) for s in (0, 1)]
        return self.best(lefts, rights, True)

    def _window(self, side: int) -> int:
        return WINDOW if self.fine * self.unit[side] > 0.005 else 2 * WINDOW

    def outer_ends(self) -> Point | None:
        """Best point that leaves every inner end alone."""
        units = [0 if self.case.car.held[s][1] else self.per_outer for s in (0, 1)]
        lefts, rights = [self.around(self.centre[s], units[s], 1) for s in (0, 1)]
        return self.best(lefts, rights, True)

    def one_side(self, side: int) -> Point | None:
        """Best point that leaves the other side alone."""
        steps = self.around(self.alone(side), self.unit[side], self._window(side))
        return self.best(steps, [0], True) if side == 0 else self.best([0], steps, True)
