"""Whether doubted readings decide what is turned: only then is a plan withheld.

The log is planned a second time with its doubts put right (see `doubt`), and the first way of the log as it stands
is held against that. Doubts that would turn the same teeth, or teeth as good, are said and hold up nothing.
"""

from .choose import Choice, choose
from .degrees import Degrees
from .estimate import Estimate
from .lattice import Lattice, Search
from .point import Point
from .reclock import Reclock
from .wish import Wish

__all__ = ["decides", "same", "search_of"]

MATTERS = 0.1
"""Odds lost by following the log as it stands, were the doubts right, from which on the plan is withheld."""


def search_of(estimate: Estimate, wish: Wish | None = None) -> Search:
    """The search that fits what is known: over turns where there is an adjuster, over whole teeth where both ends
    are counted, else over degrees.
    """
    if estimate.case.car.adjuster.there:
        return Reclock(estimate, wish)
    return Lattice(estimate, wish) if estimate.case.car.counted else Degrees(estimate, wish)


def decides(search: Search, choice: Choice, right: Search) -> bool:
    """Whether the first way of ``choice`` would be a poor one were the doubts put right.

    Parameters
    ----------
    search : of the log as it stands, which ``choice`` is of
    right : of the log with its doubts put right, for the same target
    """
    best = choose(right)
    first = choice.first
    there = right.now if first is search.now else same(first, search.start, right)
    if there is None or there.rest is None:
        return True
    right.weigh(there)
    return best.first.odds - there.odds > MATTERS


def same(point: Point, start: tuple, right: Search) -> Point | None:
    """The same turn of both sides in another search of that car; None where it has none.

    ``start`` (2,) what had been turned before, as the point's own search has it, [rad].
    """
    if point.still():
        return right.now
    if isinstance(right, Reclock):
        return right.again(point)
    if isinstance(right, Lattice) and point.steps is not None:
        return right.point(point.steps[0], point.steps[1], right.rest.phi)
    if isinstance(right, Degrees):
        return right.turned((point.turn[0] - start[0], point.turn[1] - start[1]))
    return None
