"""Slips tried on a log: ranked by the linear model, the best few fitted in earnest, and the likeliest chosen.

Owns when a slip is worth its name. What the slips are is the business of `misread`, `mixup`, `mispose` and
`miscount`; what is told of them is `doubt`'s.
"""

import math

from .case import Case
from .estimate import Estimate
from .miscount import miscounts
from .misfit import Misfits
from .mispose import misposes
from .misread import misreadings
from .miswound import miswounds
from .mixup import mixups
from .problem import ModelProblem
from .slip import Slip

__all__ = ["LOUD", "Repair", "likeliest", "together"]

LOUD = 4.0
"""Standardised residual above which a reading is doubted."""
TRIED = 4
WORTH = 12.0
"""Drop of the sum of squares that a slip must bring before it is named: about odds of 400 to 1 for one unknown."""
JOINT = 16.0
"""The same for a slip that shows in many readings and in none of them above LOUD."""
UNNAMED = 5.0
"""What leaving out a reading that is just LOUD counts for, without a name for its slip: a name whose value then
still misses by more sums of squares than that, less its rarity, is none."""
MOST_UNNAMED = 12.0
CLOSE = 6.0
"""Sums of squares within which a second slip is told beside the first: odds of 20 to 1."""
FAR = 0.25
"""Share of the best drop by which another slip's may fall short, by the linear model, and still be fitted."""


class Repair:
    """A slip fitted in earnest: the case put right, its misfits, and the sum of squares with its rarity."""

    def __init__(self, slip: Slip, case: Case, after: Misfits) -> None:
        self.slip = slip
        self.case = case
        self.after = after
        self.square = after.square + slip.rarity


def _unnamed(misfit: float) -> float:
    """What a reading so far out counts for without a name, in sums of squares.

    -2 ln of the density of Student's t with three degrees of freedom, but for a constant: far out it falls with the
    fourth power, so that the louder a reading, the less it can be mere bad luck.
    """
    return min(MOST_UNNAMED, UNNAMED + 8.0 * math.log(max(misfit, LOUD) / LOUD))


def _ranked(figures: Misfits, found: list) -> list:
    """(linear change with rarity, slip) of the TRIED likeliest of these slips, best first."""
    ranked = []
    for number in range(len(found)):
        slip = found[number]
        drop = figures.change(slip.shifts()) if slip.drop is None else slip.drop
        # The number settles ties, for slips themselves have no order.
        ranked.append((drop + slip.within + slip.rarity, number, slip))
    ranked.sort()
    return [(rank, slip) for rank, _, slip in ranked[:TRIED]]


def together(figures: Misfits) -> bool:
    """Whether a slip that shows in many readings, in none of them loudly, is to be looked for."""
    # Such a slip comes on top of what honest readings make of it, about one for each; most logs stay below.
    if figures.square <= len(figures.residual) + 0.25 * JOINT:
        return False
    ranked = _ranked(
        figures, mixups(figures) + misposes(figures, False) + miscounts(figures) + miswounds(figures)
    )
    return bool(ranked) and ranked[0][0] <= -JOINT


def _fitted(slip: Slip, case: Case, figures: Misfits) -> Repair | None:
    """The slip put right and the log fitted anew, or None where it does not mend what is loudest."""
    repaired = slip.repaired(case)
    try:
        after = Misfits(
            Estimate(
                repaired,
                near=figures.estimate,
                start=figures.moved(slip.shifts()),
                alike=figures.estimate.alike,
            )
        )
    except ModelProblem:
        return None
    if after.estimate.alike and after.estimate.marks_apart()[1] > LOUD:
        return None
    # Lessening the misfit is not enough: what was put right must fit as well as its rarity asks, and what was
    # loudest must fit too.
    loudest = figures.worst()[0]
    if abs(after.residual.get(loudest, 0.0)) > LOUD:
        return None
    for index in slip.replace:
        most = LOUD * LOUD
        if len(slip.replace) == 1:
            most = _unnamed(abs(figures.residual.get(index, LOUD))) - slip.rarity
        if after.residual.get(index, 0.0) ** 2 > most:
            return None
    return Repair(slip, repaired, after)


def likeliest(case: Case, whole: Misfits | None, linear: Misfits) -> tuple:
    """The slip that best repairs the log and a nearly equal second : (Repair or None, Repair or None).

    Ranked twice, about the fit and about the prior: a loud slip can drag the fit so far that its own
    derivatives mislead.
    """
    before = whole if whole is not None else linear
    loud = before.estimate.alike or abs(before.worst()[1]) > LOUD
    limit = before.square - (WORTH if loud else JOINT)
    tried: list[tuple] = []
    found: list[tuple] = []
    lists = []
    for figures in (whole, linear):
        if figures is not None:
            tries = misreadings(figures) + mixups(figures) + misposes(figures) + miscounts(figures)
            tries += miswounds(figures)
            lists.append((figures, _ranked(figures, tries)))
    for place in range(TRIED):
        for figures, ranked in lists:
            if place >= len(ranked) or ranked[place][1].key() in tried:
                continue
            rank, slip = ranked[place]
            if found:
                best = min(found)[0]
                # Hopeless by the linear model already: not worth a fit.
                if figures.square + rank > best + CLOSE + FAR * max(0.0, figures.square - best):
                    continue
            tried.append(slip.key())
            repair = _fitted(slip, case, figures)
            if repair is not None and repair.square < limit:
                found.append((repair.square, len(tried), repair))
    if not found:
        return None, None
    found.sort()
    second = None
    for square, _, repair in found[1:]:
        if square < found[0][0] + CLOSE and second is None:
            second = repair
    return found[0][2], second
