"""Slips of a move: one tooth miscounted at one end, or one side turned the wrong way.

Told from what was read after it: a gauge that reads to 0.2 degrees can tell 9 from 8.18. Common practice, no
source.
"""

import math

from .estimate import Estimate
from .fields import SIDES
from .slip import Slip

__all__ = ["miscounts"]

UNTOUCHED = 4.0
"""What a tooth at an end that was not to be touched must explain more, in sums of squares."""


def miscounts(estimate: Estimate) -> list:
    """Every slip of a move worth trying on an estimate's log, as Slip."""
    case = estimate.case
    # An end that nobody has counted was not turned.
    inner_teeth = case.car.inner_teeth or 1
    outer_teeth = case.car.outer_teeth or 1
    observations = estimate.evidence.observations
    expected = []
    for o in observations:
        expected.append(estimate.evidence.expected(o, estimate.theta, estimate.rests)[1])
    out = []
    for teardown in sorted(case.moves):
        index, turned = case.moves[teardown]
        for side in (0, 1):
            inner, outer = turned[side]
            tries: list[tuple] = []
            for which, count, teeth in ((0, inner, inner_teeth), (1, outer, outer_teeth)):
                for more in (1, -1):
                    pair = [inner, outer]
                    pair[which] = count + more
                    name = ("inner", "outer")[which]
                    # More or fewer as someone counts: in the direction it was turned.
                    many = "more" if abs(count + more) > abs(count) else "fewer"
                    guess = "one tooth %s at the %s end" % (many, name)
                    # An end that was not to be touched is seldom moved by accident.
                    rarity = 0.0 if count else UNTOUCHED
                    tries.append((guess, name, pair, count + more, more * 2.0 * math.pi / teeth, rarity))
            if inner or outer:
                back = -2.0 * (inner * 2.0 * math.pi / inner_teeth + outer * 2.0 * math.pi / outer_teeth)
                tries.append(("turned the wrong way", "both", [-inner, -outer], None, back, 2.0))
            for guess, end, pair, value, turn, rarity in tries:
                shifts = []
                for k in range(len(observations)):
                    reached = observations[k].teardown >= teardown
                    shifts.append(-turn * expected[k][side] if reached else 0.0)
                move = list(turned)
                move[side] = tuple(pair)
                text = "teardown %d, %s side: %s than entered? inner %d, outer %d would fit" % (
                    teardown, SIDES[side], guess, pair[0], pair[1],
                )  # fmt: skip
                if value is None:
                    text = text.replace(" than entered", "")
                slip = Slip(
                    guess, index, value, text, shifts, 0.0, rarity, {}, (teardown, (index, tuple(move)))
                )
                slip.field = SIDES[side] if value is None else SIDES[side] + "." + end
                slip.side = SIDES[side]
                slip.end = end
                out.append(slip)
    return out
