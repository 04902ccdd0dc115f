"""A pair of ways, one for each axle, that bring both axles on target together.

A stiff body has one lean, so that four heights are three things (two mean heights and a lean), and four turns set
one more: what the diagonals carry. Two axles that each plan for themselves would either both make up for the lean
or work against one another. So the lean both are to have is agreed first, between what the two targets want, and
the load across the car is kept as it is, or brought to where the cross-weight wanted has it. That says what each
axle will feel of the other (`guess`), ways are sought beside that, and the best pair of them is taken by the chance
that everything lands, less the work. Owns the pair; `both_axles` owns what is said of it. SI.

Source: moments about the car's axis at both axles; worked against a full solution of four corners
(tests/model/test_both_axles.py).
"""

import math

from .aim import Aim
from .beside import Beside, brought
from .choose import WORTH_A_TEARDOWN
from .cross import Cross, crossed
from .estimate import Estimate
from .lattice import HOPELESS, Lattice
from .odds import COARSE, interval, landing
from .point import Point
from .problem import ModelProblem
from .statics import ROLL, UNEVEN
from .wish import Wish
from .withhold import search_of

__all__ = ["Axle", "Pair", "Pairs", "Way"]

IMPOSSIBLE = 1e12
"""Further off than any pair of ways that stands."""


class Axle:
    """One of two axles that are planned together.

    Parameters
    ----------
    estimate : Estimate
    wish : Wish
    track : (this axle's track against the other's, its spread)

    Attributes
    ----------
    lean : change of left less right height that its target wants, [m]
    roll : what the rest of the car adds against lean here, [N/m]
    """

    def __init__(self, estimate: Estimate, wish: Wish, track: tuple) -> None:
        self.estimate = estimate
        self.wish = wish
        self.track = track
        self.aim = Aim(estimate, wish)
        left, right = self.aim.plain(self.aim.now or estimate.now, estimate.turns[-1])
        self.lean = right - left
        self.roll = math.exp(estimate.theta[ROLL])

    def brings(self, point: Point) -> tuple | None:
        """What a way adds to the unevenness felt at the other axle: (mean, standard deviation), [m], or None."""
        return brought(self.estimate, point, self.wish.ballast, self.track)

    def ways(self, guess: float, cross: bool) -> tuple:
        """(the way that turns nothing, ways that turn something), sought beside what is felt of the other axle."""
        beside = Beside(self.estimate, guess, 0.0)
        search = search_of(beside, self.wish)
        points = [p for p in search.ways() if p is not None]
        if [p for p in points if search.turned_first(p)]:
            points = [p for p in points if not p.ends()]
        if isinstance(search, Lattice):
            # Round the centre: the other axle's whole teeth will not bring quite what was guessed.
            near = [search.around(search.centre[s], search.unit[s], 1) for s in (0, 1)]
            points += [search.point(left, right, search.rest.phi) for left in near[0] for right in near[1]]
        weighed = crossed(beside, search.aim) if cross else None
        found: list = []
        for point in points:
            known = [way for way in found if way.point is point]
            if point.rest is not None and not point.still() and not known:
                found.append(Way(self, point, guess, weighed))
        return Way(self, search.now, guess, weighed), found


class Way:
    """One way of one axle, and what comes of it as the other axle brings more or less than was guessed."""

    def __init__(self, axle: Axle, point: Point, guess: float, cross: Cross | None) -> None:
        self.axle = axle
        self.point = point
        self.guess = guess
        self.brings = None if point.rest is None else axle.brings(point)
        self.work = point.odds - point.score if not point.still() else 0.0
        self.share = None
        if cross is not None and point.rest is not None:
            self.share = cross.share(point.rest, point.moved)
            self.slope = cross.slopes(point.rest)[UNEVEN]

    def comes(self, felt: tuple) -> tuple:
        """(deviation (2,), its variance (3,)) once the other axle has brought ``felt`` (mean, spread)."""
        point = self.point
        more = felt[0] - self.guess
        by = [row[UNEVEN] for row in point.rows]
        off = tuple([x + b * more for x, b in zip(point.off, by)])
        variance = [v + a * b * felt[1] ** 2 for v, a, b in zip(point.variance, by + by[:1], by + by[1:])]
        return off, tuple(variance)

    def within(self, off: tuple) -> bool:
        aim = self.axle.aim
        x, y = off
        return abs(x) <= aim.tolerance and abs(y) <= aim.tolerance and abs(x - y) <= aim.lean

    def odds(self, off: tuple, variance: tuple) -> float:
        aim = self.axle.aim
        return landing(mean=off, variance=variance, tolerance=aim.tolerance, lean=aim.lean, rule=COARSE)


class Pair:
    """Two ways together: ``odds`` that all lands, ``score`` less the work.

    ``miss`` tells apart those that have no chance: the squares of how far heights and leans are off, each in what
    its target allows, so that what cannot be had is shared between the axles.
    """

    def __init__(self, own: Way, other: Way, share: tuple | None) -> None:
        self.own = own
        self.other = other
        self.odds = 0.0
        self.miss = IMPOSSIBLE
        self.settled = False
        if own.brings is None or other.brings is None:
            self.score = -IMPOSSIBLE
            return
        self.odds = 1.0
        self.miss = 0.0
        # Whether whatever is left alone is within its target.
        self.settled = True
        for way, felt in ((own, other.brings), (other, own.brings)):
            off, variance = way.comes(felt)
            self.odds *= way.odds(off, variance)
            aim = way.axle.aim
            self.miss += (off[0] ** 2 + off[1] ** 2) / aim.tolerance**2 + ((off[0] - off[1]) / aim.lean) ** 2
            self.settled = self.settled and (not way.point.still() or way.within(off))
        if share is not None and own.share is not None:
            mean, variance = own.share
            mean += own.slope * (other.brings[0] - own.guess)
            spread = math.sqrt(variance + (own.slope * other.brings[1]) ** 2)
            self.odds *= interval(mean=mean - share[0], sd=spread, half_width=share[1])
        self.score = self.odds - own.work - other.work

    def rank(self) -> tuple:
        return (-1.0, -self.miss) if self.odds < HOPELESS else (self.score, self.odds)


class Pairs:
    """The pairs of ways of two axles.

    Parameters
    ----------
    own, other : Axle

    Attributes
    ----------
    apart : by how much the leans that both targets want differ, as a height difference at the first axle, [m]
    cross : Cross of the first axle as the car stands, where a cross-weight is wanted

    Raises
    ------
    ModelProblem
        "missing-reading" where a cross-weight is wanted and no stage has the loads of all four wheels.
    """

    def __init__(self, own: Axle, other: Axle) -> None:
        self.own = own
        self.other = other
        self.share = other.wish.share
        self.cross: Cross | None = None
        ratio = other.track[0]
        self.apart = own.lean - other.lean / ratio
        # What a target allows more of weighs less.
        here, there = 1.0 / own.aim.lean**2, (ratio / other.aim.lean) ** 2
        lean = own.lean - there / (here + there) * self.apart
        across = self._across()
        self.guess = (lean - across / own.roll, lean * ratio + across / (ratio * other.roll))

    def _across(self) -> float:
        """How much more load the first axle's left wheel is to carry against its right one, [N]."""
        if self.share is None:
            return 0.0
        self.cross = crossed(self.own.estimate, self.own.aim)
        if self.cross is None or self.own.aim.now is None:
            raise ModelProblem(
                "missing-reading",
                "$.log",
                "A cross-weight beside the heights of both axles needs the loads of all four wheels in one stage:"
                " weigh them. Or leave target.other.cross_percent out",
            )
        return self.cross.across(self.share[0], self.own.aim.now)

    def best(self) -> Pair:
        """The best pair; an axle is turned only where that gains more than `choose.WORTH_A_TEARDOWN`, or where it
        would stand outside its target.
        """
        asked = self.share is not None
        still, own = self.own.ways(self.guess[0], asked)
        rest, other = self.other.ways(self.guess[1], asked)
        # One axle alone brings the whole lean: nothing is felt of the other.
        alone = [axle.ways(0.0, asked)[1] for axle in (self.own, self.other)]
        both = self._best(own, other)
        left = [self._best([still], [rest]), self._best([still], alone[1]), self._best(alone[0], [rest])]
        found = [pair for pair in left + [both] if pair is not None]
        most = max([pair.odds for pair in found])
        for pair in left:
            if pair is not None and pair.settled and pair.odds >= most - WORTH_A_TEARDOWN:
                return pair
        return both or max(found, key=Pair.rank)

    def _best(self, own: list, other: list) -> Pair | None:
        best: Pair | None = None
        for one in own:
            for two in other:
                pair = Pair(one, two, self.share)
                if best is None or pair.rank() > best.rank():
                    best = pair
        return best
