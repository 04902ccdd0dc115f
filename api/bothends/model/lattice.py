"""The whole-tooth lattice of both sides: which net turns to try, and the odds of each.

A point is a pair of net fine steps (left, right). Owns the search; `option` turns a chosen point into teeth,
cautions and figures.
"""

import math

from .estimate import Estimate
from .odds import interval, landing
from .point import Point
from .statics import ALPHA_LEFT, ALPHA_RIGHT, CONSTANTS, Equilibrium
from .teeth import cheapest, greatest_common_divisor

__all__ = ["HOPELESS", "Lattice"]

# What a teardown end and a tooth are worth in odds: "prefer the simpler when it costs less than a few points".
END_COST = 0.01
TOOTH_COST = 0.0005
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
"""Fine step above which the linear map says little, and every point is worked out, [rad]."""


class Lattice:
    """Odds over net turns from the present state of one estimate."""

    def __init__(self, estimate: Estimate) -> None:
        self.estimate = estimate
        case = estimate.case
        self.case = case
        car = case.car
        common = greatest_common_divisor(first=car.inner_teeth, second=car.outer_teeth)
        self.fine = 2.0 * math.pi * common / (car.inner_teeth * car.outer_teeth)
        self.per_outer = car.inner_teeth // common
        self.start = estimate.turns[-1]
        self.points: dict = {}
        self._cheap: dict = {}
        self.now = self.point(0, 0)
        self._centre()

    def teeth(self, steps: int) -> tuple:
        """Cheapest (inner, outer) for a net number of fine steps on one side."""
        if steps not in self._cheap:
            car = self.case.car
            self._cheap[steps] = cheapest(
                steps=steps, inner_teeth=car.inner_teeth, outer_teeth=car.outer_teeth
            )
        return self._cheap[steps]

    def point(self, left: int, right: int, near: tuple | None = None) -> Point:
        """The worked-out point, from memory where it has been asked before."""
        key = (left, right)
        if key in self.points:
            return self.points[key]
        teeth = (self.teeth(left), self.teeth(right))
        turn = (self.start[0] + left * self.fine, self.start[1] + right * self.fine)
        point = Point(key, teeth, turn)
        self.points[key] = point
        estimate = self.estimate
        if left == 0 and right == 0:
            # However steep it hangs, as it stands is always a choice.
            point.rest = estimate.now
        elif max(abs(estimate.theta[s] + turn[s]) for s in (0, 1)) <= FURTHEST:
            point.rest = estimate.rest_at(turn, near)
        if point.rest is not None:
            point.mean, point.variance, point.rows = estimate.heights(
                point.rest, (left != 0, right != 0)
            )  # fmt: skip
            self.judge(point)
        return point

    def judge(self, point: Point) -> None:
        """Set a point's odds and score for the present target."""
        case = self.case
        point.odds = landing(
            mean=self.deviation(point.mean),
            variance=point.variance,
            tolerance=case.tolerance,
            lean=case.lean,
        )
        point.score = point.odds - self.work(*point.steps)

    def deviation(self, mean: tuple) -> tuple:
        """Heights less target, (2,) [m]."""
        return mean[0] - self.case.target[0], mean[1] - self.case.target[1]

    def _centre(self) -> None:
        """The turn that would hit both heights exactly if teeth had no size, by Newton's method.

        Sets ``centre`` (2,) turns from the present, [rad], ``rest`` its equilibrium with heights ``mean`` and
        ``variance``, the linear ``map`` of heights about it, and whether the target was ``reached``.
        """
        estimate = self.estimate
        rest = estimate.now
        turn = [0.0, 0.0]
        for _ in range(12):
            step = self.solve(self._slope(rest), self.deviation(self._level(rest)))
            largest = max(abs(step[0]), abs(step[1]))
            if largest < 1e-5:
                break
            shrink = min(1.0, 0.35 / largest)
            trial = []
            for s in (0, 1):
                hanging = estimate.theta[s] + self.start[s] + turn[s] - shrink * step[s]
                hanging = max(-FURTHEST, min(FURTHEST, hanging))
                trial.append(hanging - estimate.theta[s] - self.start[s])
            found = estimate.rest_at((self.start[0] + trial[0], self.start[1] + trial[1]), rest.phi)
            if found is None:
                break
            moved = max(abs(trial[0] - turn[0]), abs(trial[1] - turn[1]))
            turn = trial
            rest = found
            if moved < 1e-5:
                break
        self.mean, self.variance, _ = estimate.heights(rest, (True, True))
        self.map = self._slope(rest)
        self.centre = turn
        self.rest = rest
        x, y = self.deviation(self.mean)
        self.reached = max(abs(x), abs(y)) < NEAR

    def _level(self, rest: Equilibrium) -> tuple:
        """Body heights of an equilibrium with both bushes clamped as they usually are, (2,) [m]."""
        theta = self.estimate.theta
        return theta[CONSTANTS] + rest.height[0], theta[CONSTANTS + 1] + rest.height[1]

    @staticmethod
    def _slope(rest: Equilibrium) -> tuple:
        """Change of both heights with both hanging angles, (2, 2) [m/rad]."""
        return (
            (rest.d_height[0][ALPHA_LEFT], rest.d_height[0][ALPHA_RIGHT]),
            (rest.d_height[1][ALPHA_LEFT], rest.d_height[1][ALPHA_RIGHT]),
        )

    @staticmethod
    def solve(slope: tuple, wanted: tuple) -> tuple:
        """The turns that move both heights as wanted; none where turning hardly moves them at all."""
        (a, b), (c, d) = slope
        det = a * d - b * c
        if abs(det) < SLACK:
            return 0.0, 0.0
        return (d * wanted[0] - b * wanted[1]) / det, (a * wanted[1] - c * wanted[0]) / det

    def work(self, left: int, right: int) -> float:
        """What the teardown of a point costs, in odds: its ends and its teeth."""
        cost = 0.0
        for steps in (left, right):
            for teeth in self.teeth(steps):
                if teeth:
                    cost += END_COST + TOOTH_COST * abs(teeth)
        return cost

    def screen(self, left: int, right: int) -> float:
        """Quick rank of a point from the linear map about the centre; higher is better."""
        dl = left * self.fine - self.centre[0]
        dr = right * self.fine - self.centre[1]
        (a, b), (c, d) = self.map
        x, y = self.deviation(self.mean)
        x += a * dl + b * dr
        y += c * dl + d * dr
        vx, vy, vxy = self.variance
        case = self.case
        value = interval(mean=x, sd=math.sqrt(vx), half_width=case.tolerance)
        value *= interval(mean=y, sd=math.sqrt(vy), half_width=case.tolerance)
        value *= interval(mean=x - y, sd=math.sqrt(max(vx + vy - 2.0 * vxy, 1e-12)), half_width=case.lean)
        # The distance ranks points that all have no odds to speak of.
        return value - 1e-3 * (abs(x) + abs(y) + abs(x - y))

    def miss(self, point: Point) -> float:
        """How far a point's expected heights and lean are from wanted, [m]: ranks points without odds."""
        x, y = self.deviation(point.mean)
        return abs(x) + abs(y) + abs(x - y)

    def rank(self, point: Point) -> tuple:
        """Order of points: by score, or by nearness where the odds are too small to tell them apart."""
        if point.odds < HOPELESS:
            return (-1.0, -self.miss(point))
        return (point.score, point.odds)

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
        keep = len(ranked) if self.fine > COARSE_STEP else FINALISTS
        best: Point | None = None
        for _, left, right in ranked[:keep]:
            point = self.point(left, right, self.rest.phi)
            if point.rest is None:
                continue
            if best is None or self.rank(point) > self.rank(best):
                best = point
        return best

    def around(self, turn: float, unit: int, window: int) -> list:
        """Net fine steps nearest to a turn [rad], in multiples of ``unit`` fine steps."""
        middle = round(turn / (self.fine * unit))
        return [unit * k for k in range(middle - window, middle + window + 1)]

    def both_ends(self) -> Point | None:
        """Best point of the whole lattice."""
        lefts, rights = [self.around(self.centre[s], 1, self._window()) for s in (0, 1)]
        return self.best(lefts, rights)

    def _window(self) -> int:
        return WINDOW if self.fine > 0.005 else 2 * WINDOW

    def outer_ends(self) -> Point | None:
        """Best point that leaves every inner end alone."""
        lefts, rights = [self.around(self.centre[s], self.per_outer, 1) for s in (0, 1)]
        return self.best(lefts, rights, True)

    def one_side(self, side: int) -> Point | None:
        """Best point that leaves the other side alone."""
        # With the other side held, aim for the middle of what is wanted of this side's height and the lean.
        (a, b), (c, d) = self.map
        x, y = self.deviation(self.mean)
        if side == 0:
            own, other = a, c
            x, y = x - b * self.centre[1], y - d * self.centre[1]
        else:
            own, other = d, b
            x, y = y - c * self.centre[0], x - a * self.centre[0]
        apart = own - other
        gain = max(SLACK, own * own + other * other + apart * apart)
        aim = self.centre[side] - (own * x + other * y + apart * (x - y)) / gain
        steps = self.around(aim, 1, self._window())
        return self.best(steps, [0], True) if side == 0 else self.best([0], steps, True)
