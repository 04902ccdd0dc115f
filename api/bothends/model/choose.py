"""Which ways to do the job are offered, and in which order: the best odds, the simpler ways, and leaving it."""

from .lattice import HOPELESS, Search
from .option import describe
from .point import Point
from .travel import travels

__all__ = ["WORTH_A_TEARDOWN", "Choice", "choose"]

WORTH_A_TEARDOWN = 0.05
"""Odds to be gained above which a car that seems to stand within tolerance is torn down all the same: the heights
are estimates, and one that leans on its limit is as likely out as in."""
LEAST_AS_IT_IS = 0.05
"""Odds as it stands below which a car is not left alone, even where no teeth do better."""


class Choice:
    """The options of one target, best first.

    Attributes
    ----------
    options : list of dict, as in the answer
    points : the points they are of
    as_wished : whether the car is within the target already, so that it is left alone
    """

    def __init__(self, options: list, points: list, as_wished: bool) -> None:
        self.options = options
        self.points = points
        self.as_wished = as_wished

    @property
    def first(self) -> Point:
        return self.points[0]


def _within(search: Search) -> bool:
    """Whether both sides and the lean, as estimated now, are within tolerance already."""
    if search.now.rest is None:
        return False
    x, y = search.now.off
    aim = search.aim
    return abs(x) <= aim.tolerance and abs(y) <= aim.tolerance and abs(x - y) <= aim.lean


def _points(search: Search, lead: Point | None) -> list:
    """The ways worth showing, without repeats; the car as it is comes last."""
    out: list = []
    for point in [lead] + search.ways():
        if point is None or point.rest is None or point.still():
            continue
        if not [p for p in out if p.turn == point.turn and p.turns == point.turns]:
            out.append(point)
    return out + [search.now]


def choose(search: Search, lead: Point | None = None) -> Choice:
    """The options of one target.

    What a given limit forbids comes after what it does not, and what draws an end after screws that may do without.
    The car as it is leads only where it is within the target, or where nothing that can be turned brings it nearer;
    otherwise it stands last, for comparison.

    Parameters
    ----------
    search : Lattice or Degrees
    lead : Point, optional
        What is already chosen, because another axle goes with it: it comes first unless a given limit forbids it.
    """
    limits = travels(search.estimate)
    chosen: list = []
    for point in _points(search, lead):
        search.weigh(point)
        chosen.append((point, describe(search, point, limits), len(chosen)))
    turning = [(p, o) for p, o, _ in chosen if p is not search.now]
    best = 0.0
    permitted = 0.0
    for point, option in turning:
        best = max(best, point.odds)
        if not option["stopped_by"]:
            permitted = max(permitted, point.odds)
    close = _within(search) and search.now.odds >= permitted - WORTH_A_TEARDOWN
    if lead is not None:
        close = _within(search) and lead is search.now
    leave = (
        close
        or lead is search.now
        or (search.now.odds >= LEAST_AS_IT_IS and search.now.odds > best)
        or not turning
    )

    def rank(item: tuple) -> tuple:
        point, option, number = item
        if point is search.now:
            return (0 if leave else 3, False, 0.0, 0.0, number)
        if point is lead and not option["stopped_by"]:
            return (0, False, 0.0, 0.0, number)
        worth, then = search.rank(point)
        return (2 if option["stopped_by"] else 1, not search.turned_first(point), -worth, -then, number)

    chosen.sort(key=rank)
    # The first by odds less the work it costs; what is left beside it for comparison by odds alone. The number
    # settles ties, for not every Python sorts equals in the order they came.
    rest = chosen[1:]
    rest.sort(key=lambda item: (rank(item)[0], -item[1]["odds"], item[2]))
    chosen = chosen[:1] + rest
    options = [option for _, option, _ in chosen]
    options[0]["recommended"] = not options[0]["stopped_by"] and options[0]["odds"] >= HOPELESS
    return Choice(options, [point for point, _, _ in chosen], close)
