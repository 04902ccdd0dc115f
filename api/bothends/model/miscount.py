"""Slips of a move: teeth miscounted at one end, one side turned the wrong way, or the other side turned.

Told from what was read after it: a gauge that reads to 0.2 degrees can tell 9 from 8.18. Common practice, no
source.
"""

import math

from .fields import ENDS, SIDES
from .linalg import quadratic
from .misfit import Misfits
from .observation import Observation
from .slip import Slip

__all__ = ["WRONG_WAY", "Felt", "Reach", "miscounts", "reaches"]

UNTOUCHED = 4.0
"""What a tooth at an end that was not to be touched must explain more, in sums of squares."""
SECOND = 3.0
"""What a miscount of two teeth must explain more than one of one tooth."""
WRONG_WAY = 0.3
OTHER_SIDE = 2.0


class Reach:
    """How turns of one teardown reach the readings after it.

    ``pairs`` by side: list of (observation, change per radian missing from the log); ``square`` (2, 2) and ``pull``
    (2,): missing turns t change the sum of squares by t square t + 2 t pull.
    """

    def __init__(self, pairs: list, square: list, pull: list) -> None:
        self.pairs = pairs
        self.square = square
        self.pull = pull

    def drop(self, turn: list) -> float:
        """Linear change of the sum of squares for missing turns : (2,), [rad]."""
        return quadratic(self.square, turn, turn) + 2.0 * (turn[0] * self.pull[0] + turn[1] * self.pull[1])


class Felt:
    """How much of an angle missing from the log of teeth a reading shows."""

    def by(self, o: Observation, row: list, side: int) -> float:
        """Change of a reading per radian; ``row`` : (n,) its derivatives by the unknowns."""
        return row[side]


def reaches(figures: Misfits, felt: Felt) -> dict:
    """A Reach for every teardown, from the last to the first, for a turn reaches all that comes after.

    ``felt`` says how much a reading changes by a turn of either side.
    """
    estimate = figures.estimate
    observations = estimate.evidence.observations
    by_teardown: dict = {}
    for i in range(len(observations)):
        by_teardown.setdefault(observations[i].teardown, []).append(i)
    size = estimate.evidence.size
    jacobian = estimate.result["jacobian"]
    pairs: list = [[], []]
    pull = [0.0, 0.0]
    whitened = [[0.0, 0.0], [0.0, 0.0]]
    carried = [[0.0] * size, [0.0] * size]
    out = {}
    for teardown in sorted(estimate.case.moves)[::-1]:
        fresh: list = [[], []]
        for i in by_teardown.get(teardown, []):
            row = estimate.evidence.expected(observations[i], estimate.theta, estimate.rests)[1]
            for side in (0, 1):
                by = felt.by(observations[i], row, side)
                if by:
                    fresh[side].append((i, -by))
                    pull[side] -= by * figures.pull[i]
        columns = [dict(estimate.noise.sparse(fresh[side])) for side in (0, 1)]
        for i in by_teardown.get(teardown, []):
            w = [columns[0].get(i, 0.0), columns[1].get(i, 0.0)]
            for side in (0, 1):
                if w[side]:
                    carried[side] = [a + w[side] * b for a, b in zip(carried[side], jacobian[i])]
                    for other in (0, 1):
                        whitened[side][other] += w[side] * w[other]
        pairs = [fresh[side] + pairs[side] for side in (0, 1)]
        square = []
        for side in (0, 1):
            line = []
            for other in (0, 1):
                line.append(
                    whitened[side][other] - quadratic(estimate.covariance, carried[side], carried[other])
                )
            square.append(line)
        out[teardown] = Reach(pairs, square, pull[:])
    return out


def _one_side(inner: int, outer: int, teeth: tuple) -> list:
    """(guess, end, teeth meant, count meant, missing turn, rarity) for one side's move."""
    out: list[tuple] = []
    for which in (0, 1):
        count = (inner, outer)[which]
        for more in (1, -1, 2, -2):
            pair = [inner, outer]
            pair[which] = count + more
            # More or fewer as someone counts: in the direction it was turned.
            many = "more" if abs(count + more) > abs(count) else "fewer"
            guess = "%s %s at the %s end" % (
                "one tooth" if abs(more) == 1 else "two teeth",
                many,
                ENDS[which],
            )
            # An end that was not to be touched is seldom moved by accident.
            rarity = (0.0 if count else UNTOUCHED) + (0.0 if abs(more) == 1 else SECOND)
            out.append((guess, ENDS[which], pair, count + more, more * 2.0 * math.pi / teeth[which], rarity))
    if inner or outer:
        back = -2.0 * (inner * 2.0 * math.pi / teeth[0] + outer * 2.0 * math.pi / teeth[1])
        out.append(("turned the wrong way", "both", [-inner, -outer], None, back, WRONG_WAY))
    return out


def miscounts(figures: Misfits) -> list:
    """Every slip of a move worth trying on an estimate's log, as Slip; ``figures`` are its Misfits."""
    case = figures.estimate.case
    # An end that nobody has counted was not turned.
    teeth = (case.car.inner_teeth or 1, case.car.outer_teeth or 1)
    found = reaches(figures, Felt())
    out = []
    for teardown in sorted(case.moves):
        if teardown in case.elsewhere:
            continue
        index, turned = case.moves[teardown]
        reach = found[teardown]
        for side in (0, 1):
            for guess, end, pair, value, turn, rarity in _one_side(turned[side][0], turned[side][1], teeth):
                move = list(turned)
                move[side] = tuple(pair) + turned[side][2:]
                missing = [turn, 0.0] if side == 0 else [0.0, turn]
                out.append(
                    Slip(
                        guess, index, value, [(reach.pairs[side], turn)], rarity=rarity, drop=reach.drop(missing),
                        moves={teardown: (index, tuple(move))}, side=SIDES[side], end=end,
                        field=SIDES[side] if value is None else SIDES[side] + "." + end,
                        gaps={"teardown": teardown, "side": SIDES[side], "inner": (pair[0], "teeth"),
                              "outer": (pair[1], "teeth")},
                    )
                )  # fmt: skip
        net = [i * 2.0 * math.pi / teeth[0] + o * 2.0 * math.pi / teeth[1] for i, o, _ in turned]
        if net[0] and net[1]:
            # Who takes up for down on one side does so on the other.
            missing = [-2.0 * net[0], -2.0 * net[1]]
            back = tuple([(-i, -o, t) for i, o, t in turned])
            slip = Slip(
                "turned the wrong way", index, None,
                [(reach.pairs[0], missing[0]), (reach.pairs[1], missing[1])], rarity=WRONG_WAY,
                drop=reach.drop(missing), moves={teardown: (index, back)}, side="both", end="both", field="left",
                gaps={"teardown": teardown},
            )  # fmt: skip
            slip.words = "both the wrong way"
            out.append(slip)
        if turned[0][:2] != turned[1][:2]:
            missing = [net[1] - net[0], net[0] - net[1]]
            swapped = (turned[1][:2] + turned[0][2:], turned[0][:2] + turned[1][2:])
            out.append(
                Slip(
                    "other side turned", index, None,
                    [(reach.pairs[0], missing[0]), (reach.pairs[1], missing[1])], rarity=OTHER_SIDE,
                    drop=reach.drop(missing), moves={teardown: (index, swapped)}, side="both",
                    end="both", field="left", gaps={"teardown": teardown},
                )
            )  # fmt: skip
    return out
