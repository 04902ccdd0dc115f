"""Turns of both adjusters that bring a target, with any whole teeth beside them, within what is left to turn.

Between two positions of an adjuster lies a twelfth of a turn, of an eccentric five degrees, of a notched plate a
notch. Owns the point of given turns and teeth, and the turns that fit given teeth; `reclock` owns which teeth.
"""

import math

from .cost import work
from .estimate import Estimate
from .fields import ECCENTRIC
from .lattice import SLACK, Search
from .point import Point
from .teeth import fine_step_deg
from .units import DEG
from .wish import Wish

__all__ = ["NONE", "Winding"]

PASSES = 5
LEAST_STEP = 1e-5
"""Finest step that advice counts in, [rad]."""
NONE = ((0, 0), (0, 0))


class Winding(Search):
    """The search over turns of both adjusters, with whole teeth beside them."""

    def __init__(self, estimate: Estimate, wish: Wish | None = None) -> None:
        self.adjuster = estimate.case.car.adjuster
        evidence = estimate.evidence
        self.turned = evidence.wheel_turns[-1]
        self.nominal = evidence.wound[-1]
        self.factor = evidence.fit.factor(estimate.theta)
        self.fine = LEAST_STEP
        for side in (0, 1):
            step = self.factor * abs(self.adjuster.slope(self.turned[side], side)) / self.adjuster.parts
            self.fine = max(self.fine, step)
        Search.__init__(self, estimate, wish)
        self.now = self.at((0.0, 0.0), NONE)

    def tooth(self, side: int, pair: tuple) -> float:
        """What teeth (inner, outer) of one side turn, [rad]."""
        car = self.case.car
        out = 0.0
        for teeth, count in zip(pair, (car.inner_teeth, car.outer_teeth)):
            if teeth and count:
                out += 2.0 * math.pi * teeth / count
        return out

    def gained(self, turns: float, side: int) -> float:
        """What so many turns more add to a hanging angle, [rad]."""
        return self.factor * (self.adjuster.angle(self.turned[side] + turns, side) - self.nominal[side])

    def needed(self, angle: float, side: int) -> float:
        """Turns more that add an angle, [rad], whatever is left; the furthest an eccentric goes where it cannot."""
        turns = self.adjuster.turns(self.nominal[side] + angle / self.factor, side)
        if turns is not None:
            return turns - self.turned[side]
        up, down = self.adjuster.reach(self.turned[side], side)
        if self.adjuster.kind == ECCENTRIC:
            return up if angle > 0.0 else -down
        return 0.0

    def clipped(self, turns: float, side: int) -> float:
        """Turns within what somebody said is left."""
        up, down = self.adjuster.left(self.turned[side], side)
        if up is not None:
            turns = min(turns, max(0.0, up))
        if down is not None:
            turns = max(turns, -max(0.0, down))
        return turns

    def rounded(self, turns: float, side: int, up: bool | None = None) -> float:
        """Turns as they can be made by hand, within what is left; ``up`` the next above or below."""
        parts = self.adjuster.parts
        scaled = turns * parts
        whole = round(scaled) if up is None else math.ceil(scaled - 1e-9) if up else math.floor(scaled + 1e-9)
        within = self.clipped(whole / parts, side)
        if abs(within * parts - whole) > 1e-9:
            whole = math.floor(within * parts + 1e-9) if within > 0.0 else math.ceil(within * parts - 1e-9)
        return whole / parts

    def at(self, turns: tuple, teeth: tuple, near: tuple | None = None) -> Point:
        """The worked-out point of turns and whole teeth on both sides."""
        turn = []
        wound = []
        for side in (0, 1):
            more = self.gained(turns[side], side) if turns[side] else 0.0
            wound.append(self.estimate.wounds[-1][side] + more)
            turn.append(self.start[side] + self.tooth(side, teeth[side]) + more)
        moved = tuple([bool(pair[0] or pair[1]) for pair in teeth])
        point = Point(self._steps(teeth), teeth, tuple(turn), moved)
        point.turns = turns
        point.wound = tuple(wound)
        self.work_out(point, near)
        if point.rest is not None:
            self.judge(point)
            point.score = point.odds - work(teeth, turns, 1 if self.adjuster.inner else 0)
        return point

    def _steps(self, teeth: tuple) -> tuple:
        inner, outer = self.case.car.inner_teeth, self.case.car.outer_teeth
        if inner is None or outer is None:
            return tuple([None if pair[0] or pair[1] else 0 for pair in teeth])
        fine = fine_step_deg(inner_teeth=inner, outer_teeth=outer) * DEG
        return tuple([round(self.tooth(side, teeth[side]) / fine) for side in (0, 1)])

    def settle(self, teeth: tuple = NONE, free: tuple = (True, True)) -> Point | None:
        """The best turns beside given teeth, within what is left; a side that is not ``free`` keeps its adjuster.

        By Newton's method on the expected deviation, so that it is exact however far the turns go.
        """
        turns = []
        for side in (0, 1):
            angle = self.centre[side] - self.tooth(side, teeth[side])
            turns.append(self.clipped(self.needed(angle, side), side) if free[side] else 0.0)
        if self.adjuster.shared:
            turns = [0.5 * (turns[0] + turns[1])] * 2
        near = self.rest.phi
        for _ in range(PASSES):
            point = self.at(tuple(turns), teeth, near)
            if point.rest is None:
                return None
            near = point.rest.phi
            turns, still = self._nearer(point, turns, free)
            if still:
                break
        return self._by_hand(turns, teeth, near)

    def _nearer(self, point: Point, turns: list, free: tuple) -> tuple:
        """Turns that come nearer from a point, and whether there is nothing to gain."""
        if point.rest is None:
            return turns, True
        slope = self.aim.slope(point.rest)
        off = point.off
        if self.adjuster.shared:
            steps = [self._common(slope, off)] * 2
        else:
            steps = [0.0, 0.0]
            open_sides = [s for s in (0, 1) if free[s]]
            if len(open_sides) == 2:
                steps = list(self.solve(slope, off))
                ends = self._moved(turns, steps, free)
                for side in (0, 1):
                    # One whose range ends leaves the rest to the other.
                    short = self.gained(ends[side], side) - self.gained(turns[side], side) + steps[side]
                    if abs(short) > LEAST_STEP:
                        done = steps[side] - short
                        left = tuple([off[s] - slope[s][side] * done for s in (0, 1)])
                        steps[1 - side] = self._single(slope, left, 1 - side)
                        steps[side] = done
                        break
            elif open_sides:
                steps[open_sides[0]] = self._single(slope, off, open_sides[0])
        out = self._moved(turns, steps, free)
        change = max(abs(a - b) for a, b in zip(out, turns))
        return out, change * self.adjuster.parts < 0.05

    def _moved(self, turns: list, steps: list, free: tuple) -> list:
        out = []
        for side in (0, 1):
            if not free[side]:
                out.append(0.0)
                continue
            angle = self.gained(turns[side], side) - steps[side]
            out.append(self.clipped(self.needed(angle, side), side))
        if self.adjuster.shared:
            out = (
                [max(out, key=abs) if steps[0] < 0.0 else min(out, key=abs)] * 2 if out[0] != out[1] else out
            )
        return out

    @staticmethod
    def _single(slope: tuple, off: tuple, side: int) -> float:
        """What to take off one side's angle so that heights and lean come nearest, [rad]."""
        own, other = slope[side][side], slope[1 - side][side]
        x, y = off[side], off[1 - side]
        apart = own - other
        gain = max(SLACK, own * own + other * other + apart * apart)
        return (own * x + other * y + apart * (x - y)) / gain

    @staticmethod
    def _common(slope: tuple, off: tuple) -> float:
        """The same of both sides' angles together."""
        left, right = slope[0][0] + slope[0][1], slope[1][0] + slope[1][1]
        gain = max(SLACK, left * left + right * right)
        return (left * off[0] + right * off[1]) / gain

    def _by_hand(self, turns: list, teeth: tuple, near: tuple) -> Point | None:
        """The best of the positions either side of what would be exact."""
        choices: list = []
        for side in (0, 1):
            if self.adjuster.fine:
                choices.append((self.rounded(turns[side], side),))
            else:
                low, high = [self.rounded(turns[side], side, up) for up in (False, True)]
                choices.append((low,) if low == high else (low, high))
        best: Point | None = None
        for left in choices[0]:
            for right in choices[1]:
                if self.adjuster.shared and left != right:
                    continue
                point = self.at((left, right), teeth, near)
                if point.rest is not None and (best is None or self.rank(point) > self.rank(best)):
                    best = point
        return best
