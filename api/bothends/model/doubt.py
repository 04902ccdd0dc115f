"""Readings that disagree with the rest, and the likely slip behind each.

Every reading is held against what all the others say it should be (see `misfit`). Above LOUD standard deviations
the usual slips are tried: for each the drop of the whole misfit is taken from the linear model, the best few are
fitted in earnest, and the one that repairs the log is named with its value. Where none does, the reading is
unexplained.
"""

from .doubt_words import sentence
from .estimate import Estimate
from .miscount import miscounts
from .misfit import Misfits
from .mispose import misposes
from .misread import misreadings
from .mixup import mixups
from .problem import ModelProblem
from .request import Case
from .slip import Slip

__all__ = ["LOUD", "doubts"]

LOUD = 4.0
"""Standardised residual above which a reading is doubted."""
TRIED = 4
WORTH = 12.0
"""Drop of the sum of squares that a slip must bring before it is named: about odds of 400 to 1 for one unknown."""
JOINT = 16.0
"""The same for a slip that shows in many readings and in none of them above LOUD."""
UNNAMED = 9.0
"""What leaving a reading out without a name counts for: a name whose value then still misses by more than three
standard deviations is none."""
CLOSE = 6.0
"""Sums of squares within which a second slip is told beside the first: odds of 20 to 1."""
FAR = 0.25
"""Share of the best drop by which another slip's may fall short, by the linear model, and still be fitted."""
MOST = 3


class _Repair:
    """A slip fitted in earnest: the case put right, its misfits, and the sum of squares with its rarity."""

    def __init__(self, slip: Slip, case: Case, after: Misfits) -> None:
        self.slip = slip
        self.case = case
        self.after = after
        self.square = after.square + slip.rarity


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


def _together(figures: Misfits) -> bool:
    """Whether a slip that shows in many readings, in none of them loudly, is to be looked for."""
    if figures.square <= len(figures.residual):
        return False
    ranked = _ranked(figures, mixups(figures) + misposes(figures, False) + miscounts(figures))
    return bool(ranked) and ranked[0][0] <= -JOINT


def _fitted(slip: Slip, case: Case, figures: Misfits) -> _Repair | None:
    """The slip put right and the log fitted anew, or None where it does not mend what is loudest."""
    repaired = slip.repaired(case)
    try:
        after = Misfits(Estimate(repaired, near=figures.estimate, start=figures.moved(slip.shifts())))
    except ModelProblem:
        return None
    # Lessening the misfit is not enough: what was put right must fit as well as its rarity asks, and what was
    # loudest must fit too.
    loudest = figures.worst()[0]
    if abs(after.residual.get(loudest, 0.0)) > LOUD:
        return None
    most = UNNAMED - slip.rarity if len(slip.replace) == 1 else LOUD * LOUD
    for index in slip.replace:
        if after.residual.get(index, 0.0) ** 2 > most:
            return None
    return _Repair(slip, repaired, after)


def _likeliest(case: Case, whole: Misfits | None, linear: Misfits) -> tuple:
    """The slip that best repairs the log and a nearly equal second : (_Repair or None, _Repair or None).

    Ranked twice, about the fit and about the prior: a loud slip can drag the fit so far that its own
    derivatives mislead.
    """
    before = whole if whole is not None else linear
    limit = before.square - (WORTH if abs(before.worst()[1]) > LOUD else JOINT)
    tried: list[tuple] = []
    found: list[tuple] = []
    lists = []
    for figures in (whole, linear):
        if figures is not None:
            tries = misreadings(figures) + mixups(figures) + misposes(figures) + miscounts(figures)
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


def _told(slip: Slip, misfit: float, second: Slip | None, units: str) -> dict:
    """The answer's form of a doubt."""
    also = None
    if second is not None:
        also = {
            "guess": second.guess,
            "text": sentence(second.guess, second.gaps, units),
            "repaired_value": second.value,
        }
    return {
        "log_index": slip.index,
        "misfit": misfit,
        "guess": slip.guess,
        "repaired_value": slip.value,
        "field": slip.field,
        "side": slip.side,
        "end": slip.end,
        "text": sentence(slip.guess, slip.gaps, units),
        "also": also,
        "entries": sorted(slip.replace) if slip.replace else [slip.index],
    }


def doubts(case: Case, estimate: Estimate | None, units: str = "metric") -> tuple:
    """Readings and moves to doubt, loudest first; empty where all readings agree.

    Parameters
    ----------
    case : request.Case
    estimate : Estimate or None
        None where the case could not be fitted: then a repair is looked for all the same.
    units : str
        "metric" or "inch", for the figures in the sentences.

    Returns
    -------
    (list of dict, Case)
        Each doubt: log_index, misfit (standard deviations), guess (one of slip.GUESSES), repaired_value (in the
        field's own unit, or None), field, side, end, text, also (guess, text and repaired_value of a second slip
        nearly as likely, or None), entries (log indexes of all that is put right together). And the case with
        every named slip repaired.
    """
    whole = None if estimate is None else Misfits(estimate)
    linear = None
    out: list[dict] = []
    taken: list[int] = []
    while len(out) < MOST:
        quiet = whole is not None and abs(whole.worst()[1]) <= LOUD
        if quiet and not _together(whole):  # type: ignore[arg-type]
            break
        if linear is None:
            linear = Misfits(Estimate(case, linear=True, near=estimate))
        index, z = (whole or linear).worst()
        best, second = _likeliest(case, whole, linear)
        if best is None or best.slip.index in taken:
            if not out and not quiet:
                out.append(_unexplained(case, index, z, units))
            break
        slip = best.slip
        taken.append(slip.index)
        misfit = abs((whole or linear).residual.get(slip.index, z))
        out.append(_told(slip, misfit, second.slip if second is not None else None, units))
        case = best.case
        whole = best.after
        linear = None
    return out, case


def _unexplained(case: Case, index: int, z: float, units: str) -> dict:
    gaps: dict = {"misfit": (abs(z), "")}
    for reading in case.readings:
        if reading.index == index:
            gaps["reading"] = (reading.kind, reading.side)
    return _told(Slip("unexplained", index, None, [], gaps=gaps), abs(z), None, units)
