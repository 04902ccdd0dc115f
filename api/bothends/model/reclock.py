"""The plan of a car with an adjuster: its turns alone, and teeth only where the turns do not reach.

An adjuster is turned in minutes and an end is drawn in hours. So the first way is the adjusters alone; whole teeth
come in where what is left of them does not reach, or would leave little: at the end where they act, or else at the
other, chosen so that the adjuster ends near the middle of its range; both ends only where one does not do. Teeth
beside a screw buy range and nothing else: at one height the bar is twisted as much either way. What a screw misses
because nobody knows quite what a turn gives, it makes up for once the car was read again: so its odds are not held
against those of a bar that is drawn.
"""

import math

from .beliefs import TURNS_LEFT
from .cost import work
from .degrees import Degrees
from .fields import ECCENTRIC, SCREW
from .point import Point
from .teeth import cheapest, fine_step_deg
from .units import DEG
from .winding import NONE, Winding

__all__ = ["LEAST_LEFT", "Reclock"]

LEAST_LEFT = 2.0
"""Turns or notches that should be left at least, either way. Common practice, no source."""


class Reclock(Winding):
    """The ways of a car with an adjuster.

    ``by_turns`` is that of both adjusters and nothing else, once ``ways`` were sought.
    """

    by_turns: Point | None = None

    def short(self, point: Point, doubt: float = 0.0) -> bool:
        """Whether what is left of an adjuster ends before the target, or is believed to.

        ``doubt`` : by how much more a turn may give than it is believed to, as a logarithm.
        """
        if point.rest is None:
            return True
        for side in (0, 1):
            angle = self.gained((point.turns or (0.0, 0.0))[side], side) - self._single(
                self.aim.slope(point.rest), point.off, side
            )
            wanted = self.needed(angle, side) * math.exp(-doubt)
            if abs(self.clipped(wanted, side) - wanted) * self.adjuster.parts > 1.0:
                return True
            if self.adjuster.kind == ECCENTRIC and self._thrown(angle, side):
                return True
        return False

    def turned_first(self, point: Point) -> bool:
        """Screws alone, while they may reach the target: turned in minutes with the wheel hanging, read, and turned
        again with what that taught. Common practice, no source.
        """
        alone = self.by_turns
        if alone is None or self.adjuster.kind != SCREW or point.turns is None or point.ends():
            return False
        gain = self.estimate.evidence.fit.gain
        doubt = 0.0 if gain is None else self.estimate.constant(gain)[1]
        # One of them alone where that does as well as both.
        return not self.short(alone, doubt) and self.rank(point) >= self.rank(alone)

    def _thrown(self, angle: float, side: int) -> bool:
        """Whether an angle lies beyond an eccentric's throw."""
        return self.adjuster.turns(self.nominal[side] + angle / self.factor, side) is None

    def cramped(self, turns: float, side: int) -> bool:
        """Whether turns leave little, or go further than is believed to be left."""
        if not turns or self.adjuster.kind == ECCENTRIC:
            return False
        way = 0 if turns > 0.0 else 1
        left = self.adjuster.left(self.turned[side] + turns, side)[way]
        if left is not None:
            return left < LEAST_LEFT
        return self.adjuster.reach(self.turned[side] + turns, side)[way] < 0.0

    def middle(self, side: int) -> tuple:
        """(middle, half width) of an adjuster's range in turns from where it stands; as believed where not said."""
        up, down = self.adjuster.reach(self.turned[side], side)
        return 0.5 * (up - down), max(0.5, 0.5 * (up + down))

    def ways(self) -> list:
        """The adjusters alone; with teeth where they do not reach or would be left with little; one side alone."""
        alone = self.by_turns = self.settle()
        found = [alone]
        tight = alone is None or self.short(alone)
        if alone is not None:
            for side in (0, 1):
                tight = tight or self.cramped((alone.turns or (0.0, 0.0))[side], side)
        if tight:
            coarse = self.one_end()
            found.append(coarse)
            if coarse is None or self.short(coarse):
                found.append(self.all_ends())
            # One adjuster for both wheels is of packs, which have no splines that a side could be turned at.
            if not self.case.car.counted and coarse is None and not self.adjuster.shared:
                found.append(Degrees(self.estimate, self.aim.wish).both_ends())
        if not self.adjuster.shared:
            sides = [self.settle(free=(side == 0, side == 1)) for side in (0, 1)]
            good = [point for point in sides if point is not None]
            if good:
                found.append(max(good, key=self.rank))
        return found

    def again(self, point: Point) -> Point | None:
        """The same turns and teeth, in this search."""
        if point.teeth is None or point.turns is None:
            return None
        return self.at(point.turns, point.teeth, self.rest.phi)

    def _anchor(self, side: int) -> int | None:
        """The end whose teeth go with the adjuster, 0 inner, 1 outer; None where none is counted and free."""
        car = self.case.car
        counts = (car.inner_teeth, car.outer_teeth)
        for end in (0, 1) if self.adjuster.inner else (1, 0):
            if counts[end] is not None and not car.held[side][end]:
                return end
        return None

    def one_end(self) -> Point | None:
        """Whole teeth at one end of each side that needs them, the adjuster then near the middle of its range."""
        near = [self._near(side) for side in (0, 1)]
        return self._best([(left, right) for left in near[0] for right in near[1]])

    def _near(self, side: int) -> list:
        """Pairs (inner, outer) of one end for a side: the best, and where its adjuster ends before the target the
        next one too, for that may end on the side where the other wheel makes up for it.
        """
        end = self._anchor(side)
        if end is None or self._comfortable(self.centre[side], side):
            return [(0, 0)]
        teeth, beyond = self._teeth(side, end)
        pairs = []
        for more in (0, beyond) if beyond else (0,):
            pair = [0, 0]
            pair[end] = teeth + more
            pairs.append(tuple(pair))
        return pairs

    def _best(self, choices: list) -> Point | None:
        """The best of some teeth of both sides, each with the turns that go with it."""
        best: Point | None = None
        for teeth in choices:
            point = None if teeth == NONE else self.settle(teeth)
            if point is not None and (best is None or self.rank(point) > self.rank(best)):
                best = point
        return best

    def _comfortable(self, angle: float, side: int) -> bool:
        """Whether an angle is reached with something left."""
        wanted = self.needed(angle, side)
        if abs(self.clipped(wanted, side) - wanted) > 0.5 / self.adjuster.parts or self._beyond(angle, side):
            return False
        return not self.cramped(wanted, side)

    def _beyond(self, angle: float, side: int) -> bool:
        return self.adjuster.kind == ECCENTRIC and self._thrown(angle, side)

    def _off_middle(self, angle: float, side: int) -> float:
        """How far from its middle an adjuster would end, in half ranges; 1 and more lies outside."""
        middle, half = self.middle(side)
        if self._beyond(angle, side):
            return 1.0 + abs(angle)
        return abs(self.needed(angle, side) - middle) / half

    def _teeth(self, side: int, end: int) -> tuple:
        """Teeth of one end after which the adjuster ends nearest to its middle, and which way (1, -1) the next
        ones lie where its range ends before the target even so; 0 where it does not.
        """
        pair = [0, 0]
        pair[end] = 1
        one = self.tooth(side, tuple(pair))
        middle = round(self.centre[side] / one)
        ranked = []
        reach = abs(self.gained(TURNS_LEFT, side))
        window = 2 + int(reach / one)
        for teeth in range(middle - window, middle + window + 1):
            off = self._off_middle(self.centre[side] - teeth * one, side)
            ranked.append((off, abs(teeth), teeth))
        ranked.sort()
        off, _, teeth = ranked[0]
        if off <= 1.0:
            return teeth, 0
        return teeth, 1 if self.centre[side] > teeth * one else -1

    def all_ends(self) -> Point | None:
        """Teeth at both ends beside the adjuster, the fewest that bring its range to the target, of one side or of
        both: whichever is best by its odds and the work.
        """
        car = self.case.car
        if car.inner_teeth is None or car.outer_teeth is None or car.held != ((False, False), (False, False)):
            return None
        near = [self._near(side)[0] for side in (0, 1)]
        far = [self._pair(side) for side in (0, 1)]
        return self._best([(far[0], far[1]), (far[0], near[1]), (near[0], far[1])])

    def _pair(self, side: int) -> tuple:
        """Fewest (inner, outer) that bring the adjuster's range to the target on one side."""
        car = self.case.car
        inner, outer = car.inner_teeth, car.outer_teeth
        if self._comfortable(self.centre[side], side) or inner is None or outer is None:
            return (0, 0)
        fine = fine_step_deg(inner_teeth=inner, outer_teeth=outer) * DEG
        middle = round(self.centre[side] / fine)
        far = 1 if self.adjuster.inner else 0
        best: tuple = (None, (0, 0))
        window = 1 + int(abs(self.gained(TURNS_LEFT, side)) / fine)
        for steps in range(middle - window, middle + window + 1):
            pair = cheapest(steps=steps, inner_teeth=inner, outer_teeth=outer)
            off = self._off_middle(self.centre[side] - steps * fine, side)
            rank = (off > 1.0, work((pair,), (), far), off)
            if best[0] is None or rank < best[0]:
                best = (rank, pair)
        return best[1]
