"""Readings that disagree with the rest, and the likely slip behind each.

Every reading is held against what all the others say it should be (see `misfit`). Above LOUD standard deviations
the usual slips are tried (see `repair`) and the one that mends the log is named with its value. Where none does,
the reading is unexplained. What a short log cannot contradict is left to common sense (see `sense`).
"""

import math

from .case import Case
from .doubt_words import sentence
from .estimate import Estimate
from .misfit import Misfits
from .problem import ModelProblem
from .repair import LOUD, likeliest, together
from .sense import unlikely
from .slip import Slip

__all__ = ["LOUD", "doubts"]

MOST = 3
"""Doubts told of one log at most."""


def _told(slip: Slip, misfit: float, second: Slip | None, units: str) -> dict:
    """The answer's form of a doubt."""
    also = None
    if second is not None:
        also = {
            "guess": second.guess,
            "text": sentence(second.words, second.gaps, units),
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
        "text": sentence(slip.words, slip.gaps, units),
        "also": also,
        "entries": sorted(slip.replace) if slip.replace else [slip.index],
    }


class _Search:
    """What has been found of a log so far: the doubts told, and the case with all of them put right or left out."""

    def __init__(self, case: Case, estimate: Estimate | None, units: str) -> None:
        self.case = case
        self.units = units
        self.whole = None if estimate is None else Misfits(estimate)
        self.told: list[dict] = []
        self.taken: list[int] = []

    def tell(self, slip: Slip, misfit: float, second: Slip | None = None) -> None:
        """Add a doubt."""
        self.taken.append(slip.index)
        self.told.append(_told(slip, misfit, second, self.units))

    def fit(self, near: Misfits | None, alike: bool = False) -> Misfits | None:
        """The case as it is now, fitted anew; None where that fails."""
        estimate = None if near is None else near.estimate
        start = None if near is None else near.estimate.theta
        try:
            return Misfits(Estimate(self.case, near=estimate, start=start, alike=alike))
        except ModelProblem:
            return None

    def by_sense(self, nameless: bool) -> None:
        """What common sense doubts; ``nameless``: what it cannot explain too."""
        fresh = False
        for slip, misfit in unlikely(self.case):
            known = [index for index in slip.replace if index in self.taken]
            if slip.guess == "unexplained" and not nameless:
                continue
            if not known and len(self.told) < MOST:
                self.tell(slip, misfit)
                self.case = slip.repaired(self.case)
                fresh = True
        if fresh:
            self.whole = self.fit(None)

    def step(self) -> bool:
        """Look for one more doubt among readings that disagree; False where there is none to be found."""
        whole = self.whole
        quiet = whole is not None and abs(whole.worst()[1]) <= LOUD
        if quiet and not together(whole):  # type: ignore[arg-type]
            return False
        near = None if whole is None else whole.estimate
        linear = Misfits(Estimate(self.case, linear=True, near=near))
        index, z = (whole or linear).worst()
        best, second = likeliest(self.case, whole, linear)
        if best is not None and best.slip.index not in self.taken:
            residual = (whole or linear).residual
            misfit = max([abs(residual.get(i, z)) for i in best.slip.replace or [best.slip.index]])
            if misfit <= LOUD:
                # What it shows in all readings together.
                misfit = max(misfit, math.sqrt(max(0.0, (whole or linear).square - best.after.square)))
            self.tell(best.slip, misfit, None if second is None else second.slip)
            self.case = best.case
            self.whole = best.after
            return True
        if quiet or index in self.taken:
            return False
        slip = _unexplained(self.case, index, {"misfit": (abs(z), "")})
        self.tell(slip, abs(z))
        self.case = slip.repaired(self.case)
        self.whole = self.fit(whole)
        return self.whole is not None

    def by_marks(self) -> None:
        """Arms and heights that cannot both be right, were both sides' marks at the same height of the body."""
        whole = self.whole
        if whole is None or whole.estimate.marks_apart()[1] <= LOUD:
            return
        apart, misfit = whole.estimate.marks_apart()
        tied = self.fit(whole, True)
        best = second = None
        if tied is not None:
            linear = Misfits(Estimate(self.case, linear=True, near=whole.estimate, alike=True))
            best, second = likeliest(self.case, tied, linear)
        if best is not None and best.slip.index not in self.taken:
            self.tell(best.slip, misfit, None if second is None else second.slip)
            self.case = best.case
            return
        index = (tied or whole).worst()[0]
        if index not in self.taken:
            slip = _unexplained(self.case, index, {"lean": (abs(apart) * 1e3, "mm")})
            slip.words = "sides unlike"
            self.tell(slip, misfit)


def doubts(case: Case, estimate: Estimate | None, units: str = "metric") -> tuple:
    """Readings and moves to doubt, loudest first; empty where all readings agree.

    Parameters
    ----------
    case : case.Case
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
        every named slip put right and every unexplained reading left out, to be planned beside the log as it is:
        a doubt that changes no tooth need not hold up the work.
    """
    search = _Search(case, estimate, units)
    if search.whole is None:
        search.by_sense(False)
    while len(search.told) < MOST and search.step():
        pass
    search.by_sense(True)
    if len(search.told) < MOST:
        search.by_marks()
    # The order in which they were found settles ties.
    order = sorted([(-search.told[i]["misfit"], i) for i in range(len(search.told))])
    return [search.told[i] for _, i in order], search.case


def _unexplained(case: Case, index: int, gaps: dict) -> Slip:
    """A reading that no slip explains; putting it right leaves it out."""
    gaps = dict(gaps)
    for reading in case.readings:
        if reading.index == index:
            gaps["reading"] = (reading.kind, reading.side)
    return Slip("unexplained", index, None, [], replace={index: None}, gaps=gaps)
