"""Which ways to do the job are offered, and in which order: the best odds, the simpler ways, and leaving it."""

from .lattice import HOPELESS, Lattice
from .option import describe
from .units import MM

__all__ = ["choose"]

WORTH_A_TEARDOWN = 0.05
"""Odds to be gained above which a car that seems to stand within tolerance is torn down all the same: the heights
are estimates, and one that leans on its limit is as likely out as in."""


def _within(lattice: Lattice) -> bool:
    """Whether both heights and the lean, as estimated now, are within tolerance already."""
    x, y = lattice.deviation(lattice.now.mean)
    case = lattice.case
    return abs(x) <= case.tolerance and abs(y) <= case.tolerance and abs(x - y) <= case.lean


def choose(lattice: Lattice, doubted: bool) -> tuple:
    """The options of one target, best first, and the lattice point of the first.

    Parameters
    ----------
    lattice : Lattice
    doubted : bool
        Whether readings of the log disagree, so that nothing is recommended.
    """
    points = [lattice.both_ends(), lattice.outer_ends()]
    sides = [p for p in (lattice.one_side(0), lattice.one_side(1)) if p is not None]
    if sides:
        points.append(max(sides, key=lattice.rank))
    points.append(lattice.now)
    seen = []
    chosen: list[tuple] = []
    for point in points:
        if point is not None and point.rest is not None and point.steps not in seen:
            seen.append(point.steps)
            chosen.append((point, describe(lattice.estimate, point), len(chosen)))
    best = max(point.odds for point, option, _ in chosen if point is lattice.now or not option["stopped_by"])
    close = _within(lattice) and lattice.now.odds >= best - WORTH_A_TEARDOWN

    def rank(pair: tuple) -> tuple:
        point, option, number = pair
        leave = close and point is lattice.now
        return (
            0 if leave else 1,
            1 if option["stopped_by"] else 0,
            -point.score,
            lattice.miss(point),
            number,
        )  # fmt: skip

    chosen.sort(key=rank)
    # The first by odds less the work it costs; what is left beside it for comparison by odds alone. The number
    # settles ties, for not every Python sorts equals in the order they came.
    rest = chosen[1:]
    rest.sort(key=lambda pair: (1 if pair[1]["stopped_by"] else 0, -pair[1]["odds"], pair[2]))
    chosen = chosen[:1] + rest
    first = chosen[0][0]
    options = [option for _, option, _ in chosen]
    if not lattice.reached:
        left, right = lattice.mean
        words = "the arms cannot give these heights: they come no nearer than %.0f mm left and" % (left / MM)
        words += " %.0f mm right" % (right / MM)
        for option in options:
            if option["ends_disturbed"]:
                option["stopped_by"].append(words)
    sound = not options[0]["stopped_by"] and not doubted
    options[0]["recommended"] = sound and options[0]["odds"] >= HOPELESS
    return options, first
