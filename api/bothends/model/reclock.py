"""The plan of a car with an adjuster: its turns alone, and teeth only where the turns do not reach.

An adjuster is turned in minutes and an end is drawn in hours. So the first way is the adjusters alone; whole teeth
come in where what is left of them does not reach, or would leave little: at the end where they act, or else at the
other, chosen so that the adjuster ends near the middle of its range; both ends only where one does not do. Teeth
beside a screw buy range and nothing else: at one height the bar is twisted as much either way.
"""

from .beliefs import TURNS_LEFT
from .degrees import Degrees
from .fields import ECCENTRIC
from .point import Point
from .teeth import cheapest, fine_step_deg
from .units import DEG
from .winding import NONE, Winding

__all__ = ["LEAST_LEFT", "Reclock"]

LEAST_LEFT = 2.0
"""Turns or notches that should be left at least, either way. Common practice, no source."""


class Reclock(Winding):
    """The ways of a car with an adjuster."""

    def short(self, point: Point) -> bool:
        """Whether what is left of an adjuster ends before the target, or is believed to."""
        if point.rest is None:
            return True
        for side in (0, 1):
            angle = self.gained((point.turns or (0.0, 0.0))[side], side) - self._single(
                self.aim.slope(point.rest), point.off, side
            )
            wanted = self.needed(angle, side)
            if abs(self.clipped(wanted, side) - wanted) * self.adjuster.parts > 1.0:
                return True
            if self.adjuster.kind == ECCENTRIC and self._thrown(angle, side):
                return True
        return False

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
        alone = self.settle()
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
        teeth = []
        for side in (0, 1):
            pair = [0, 0]
            end = self._anchor(side)
            if end is not None and not self._comfortable(self.centre[side], side):
                pair[end] = self._teeth(side, end)
            teeth.append(tuple(pair))
        return None if tuple(teeth) == NONE else self.settle(tuple(teeth))

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

    def _teeth(self, side: int, end: int) -> int:
        pair = [0, 0]
        pair[end] = 1
        one = self.tooth(side, tuple(pair))
        middle = round(self.centre[side] / one)
        best = None
        reach = abs(self.gained(TURNS_LEFT, side))
        window = 2 + int(reach / one)
        for teeth in range(middle - window, middle + window + 1):
            off = self._off_middle(self.centre[side] - teeth * one, side)
            rank = (off, abs(teeth))
            if best is None or rank < best[0]:
                best = (rank, teeth)
        return best[1] if best is not None else 0

    def all_ends(self) -> Point | None:
        """Teeth at both ends beside the adjuster, the fewest that bring its range to the target."""
        car = self.case.car
        inner, outer = car.inner_teeth, car.outer_teeth
        if inner is None or outer is None or car.held != ((False, False), (False, False)):
            return None
        fine = fine_step_deg(inner_teeth=inner, outer_teeth=outer) * DEG
        teeth = []
        for side in (0, 1):
            if self._comfortable(self.centre[side], side):
                teeth.append((0, 0))
                continue
            middle = round(self.centre[side] / fine)
            best = None
            window = 1 + int(abs(self.gained(TURNS_LEFT, side)) / fine)
            for steps in range(middle - window, middle + window + 1):
                pair = cheapest(steps=steps, inner_teeth=inner, outer_teeth=outer)
                off = self._off_middle(self.centre[side] - steps * fine, side)
                ends = (1 if pair[0] else 0) + (1 if pair[1] else 0)
                rank = (off > 1.0, ends, abs(pair[0]) + abs(pair[1]), off)
                if best is None or rank < best[0]:
                    best = (rank, pair)
            teeth.append(best[1] if best is not None else (0, 0))
        return None if tuple(teeth) == NONE else self.settle(tuple(teeth))
