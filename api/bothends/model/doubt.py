"""Readings that disagree with the rest, and the likely slip behind each.

Every reading is held against what all the others say it should be (leave-one-out, exactly, from one fit). Above
LOUD standard deviations the usual slips are tried: for each the drop of the whole misfit is taken from the
linear model, the best few are fitted in earnest, and the one that repairs the log is named with its value.
"""

import math

from .estimate import Estimate
from .evidence import Observation
from .miscount import miscounts
from .problem import ModelProblem
from .request import Case
from .slip import Slip, slips

__all__ = ["Misfits", "doubts"]

LOUD = 4.0
"""Standardised residual above which a reading is doubted."""
TRIED = 4
WORTH = 12.0
"""Drop of the sum of squares that a slip must bring before it is named: about odds of 400 to 1 for one unknown."""
CLOSE = 6.0
"""Sums of squares within which a second slip is named beside the first: odds of 20 to 1."""
MOST = 3


class Misfits:
    """Leave-one-out figures of one estimate.

    ``pull`` (m,) C_y^-1 (y - prior prediction) by observation, ``weight`` (m,) diagonal of C_y^-1,
    ``members`` list of (log index, standardised residual), ``square`` the whole sum of squares.
    """

    def __init__(self, estimate: Estimate) -> None:
        self.estimate = estimate
        result = estimate.result
        noise = estimate.noise
        observations = estimate.evidence.observations
        back = noise.back(result["residuals"])
        self.pull = [-b for b in back]
        self.weight = []
        self.members: list[tuple] = []
        self.square = 2.0 * result["cost"]
        for i in range(len(observations)):
            unit = [0.0] * len(observations)
            unit[i] = 1.0
            self.weight.append(max(1e-12 * noise.scale[i] ** 2, self.across(unit)))
            self._members(observations[i], self.pull[i], self.weight[i])

    def across(self, change: list) -> float:
        """Quadratic form of C_y^-1 on a change of the observations : (m,)."""
        w = self.estimate.noise.vector(change)
        jacobian = self.estimate.result["jacobian"]
        n = self.estimate.evidence.size
        total = 0.0
        a = [0.0] * n
        for i in range(len(w)):
            wi = w[i]
            if wi:
                total += wi * wi
                a = [p + wi * q for p, q in zip(a, jacobian[i])]
        covariance = self.estimate.covariance
        for i in range(n):
            ai = a[i]
            if ai:
                row = covariance[i]
                s = 0.0
                for k in range(n):
                    s += row[k] * a[k]
                total -= ai * s
        return total

    def _members(self, o: Observation, pull: float, weight: float) -> None:
        """Standardised residual of every repeat behind one observation."""
        expected = o.value - pull / weight
        if len(o.members) == 1:
            self.members.append((o.members[0].index, pull / math.sqrt(weight)))
            return
        before = max(0.0, 1.0 / weight - o.spread * o.spread)
        whole = 1.0 / (o.spread * o.spread)
        for reading in o.members:
            own = 1.0 / (reading.sd * reading.sd)
            others = whole - own
            mean = (o.value * whole - reading.value * own) / others
            gain = before / (before + 1.0 / others)
            centre = expected + gain * (mean - expected)
            spread = math.sqrt(before * (1.0 - gain) + reading.sd * reading.sd)
            self.members.append((reading.index, (reading.value - centre) / spread))
            self.square += own * (reading.value - o.value) ** 2

    def change(self, shifts: list) -> float:
        """Linear change of the whole sum of squares when observations shift by ``shifts`` : (m,)."""
        total = self.across(shifts)
        for i in range(len(shifts)):
            total += 2.0 * shifts[i] * self.pull[i]
        return total

    def worst(self) -> tuple:
        """(log index, residual) of the loudest reading."""
        worst = (0, 0.0)
        for index, z in self.members:
            if abs(z) > abs(worst[1]):
                worst = (index, z)
        return worst


def _likeliest(case: Case, whole: Misfits | None, linear: Misfits) -> tuple | None:
    """The slip that best repairs the log: (slip, its repaired case, refitted misfits), or None.

    Ranked twice, about the fit and about the prior: a loud slip can drag the fit so far that its own
    derivatives mislead.
    """
    tried: list[Slip] = []
    for figures in (whole, linear):
        if figures is None:
            continue
        ranked = []
        for number, slip in enumerate(slips(figures.estimate) + miscounts(figures.estimate)):
            # The number settles ties, for slips themselves have no order.
            ranked.append((figures.change(slip.shifts) + slip.within + slip.rarity, number, slip))
        ranked.sort()
        named = [slip.text for slip in tried]
        tried += [slip for _, _, slip in ranked[:TRIED] if slip.text not in named]
    before = whole if whole is not None else linear
    limit = before.square
    loudest = before.worst()[0]
    best = None
    second = None
    for slip in tried:
        repaired = slip.repaired(case)
        try:
            after = Misfits(Estimate(repaired))
        except ModelProblem:
            continue
        square = after.square + slip.rarity
        if square >= limit - WORTH:
            continue
        # Lessening the misfit is not enough: what was loudest, and what was put right, must fit afterwards.
        if [z for i, z in after.members if (i == loudest or i in slip.replace) and abs(z) > LOUD]:
            continue
        if best is None or square < best[0]:
            best, second = (square, slip, repaired, after), best
        elif second is None or square < second[0]:
            second = (square, slip, repaired, after)
    if best is None:
        return None
    if second is not None and second[0] < best[0] + CLOSE:
        best[1].text += ". Nearly as likely: " + second[1].text
    return best[1:]


def doubts(case: Case, estimate: Estimate | None) -> tuple:
    """Readings and moves to doubt, loudest first; empty where all readings agree.

    Parameters
    ----------
    case : request.Case
    estimate : Estimate or None
        None where the case could not be fitted: then a repair is looked for all the same.

    Returns
    -------
    (list of dict, Case)
        Each doubt: log_index, misfit (standard deviations), guess (the slip in words, or "unexplained"),
        repaired_value (in the field's own unit, or None), field, side, end, text. And the case with every
        named slip repaired.
    """
    whole = None if estimate is None else Misfits(estimate)
    linear = None
    out: list[dict] = []
    taken: list[int] = []
    while len(out) < MOST:
        if whole is not None and abs(whole.worst()[1]) <= LOUD:
            break
        if linear is None:
            linear = Misfits(Estimate(case, linear=True))
        index, z = (whole or linear).worst()
        found = _likeliest(case, whole, linear)
        if found is None or found[0].index in taken:
            if not out:
                out.append(_unexplained(index, z))
            break
        slip, case, after = found
        taken.append(slip.index)
        loudness = abs(z)
        for i, zi in (whole or linear).members:
            if i == slip.index:
                loudness = abs(zi)
        out.append(slip.doubt(loudness))
        whole = after
        linear = None
    return out, case


def _unexplained(index: int, z: float) -> dict:
    return {
        "log_index": index,
        "misfit": abs(z),
        "guess": "unexplained",
        "repaired_value": None,
        "field": "value",
        "side": None,
        "end": None,
        "text": "This reading is %.1f standard deviations from what all the others say. Read it again."
        % abs(z),
    }
