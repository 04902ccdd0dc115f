"""How far each reading is from what all the others say, and what changing some of them would mend.

Leave-one-out, exactly, from one fit: with C_y the covariance of the readings before any was read, the pull
C_y^-1 (y - prediction) and the diagonal of C_y^-1 give every residual and its spread at once. To first order they
also give the drop of the whole misfit for any supposed change, which is what slips are ranked by.
"""

import math

from .estimate import Estimate
from .linalg import matvec, quadratic
from .observation import Observation

__all__ = ["Misfits"]


class Misfits:
    """Leave-one-out figures of one estimate.

    ``pull`` (m,) C_y^-1 (y - prior prediction) by observation, ``weight`` (m,) diagonal of C_y^-1, ``heard`` (m,)
    the drop of the sum of squares with readings of it left out, ``residual`` standardised, and ``centre`` what all
    others say a reading should be, both by log index, ``square`` the whole sum of squares.
    """

    def __init__(self, estimate: Estimate) -> None:
        self.estimate = estimate
        result = estimate.result
        noise = estimate.noise
        observations = estimate.evidence.observations
        self.pull = [-b for b in noise.back(result["residuals"])]
        self.weight = []
        self.heard = []
        self.residual: dict = {}
        self.centre: dict = {}
        self.square = 2.0 * result["cost"]
        for i in range(len(observations)):
            weight = max(1e-12 * noise.scale[i] ** 2, self.across([(i, 1.0)]))
            self.weight.append(weight)
            heard = self.pull[i] ** 2 / weight
            for z in self._members(observations[i], self.pull[i], weight):
                heard = max(heard, z * z)
            self.heard.append(heard)

    def _members(self, o: Observation, pull: float, weight: float) -> list:
        """Standardised residual of every repeat behind one observation."""
        expected = o.value - pull / weight
        if len(o.members) == 1:
            z = pull / math.sqrt(weight)
            self.residual[o.members[0].index] = z
            self.centre[o.members[0].index] = expected
            return [z]
        out = []
        before = max(0.0, 1.0 / weight - o.spread * o.spread)
        whole = 1.0 / (o.spread * o.spread)
        for reading in o.members:
            own = 1.0 / (reading.sd * reading.sd)
            others = whole - own
            mean = (o.value * whole - reading.value * own) / others
            gain = before / (before + 1.0 / others)
            centre = expected + gain * (mean - expected)
            spread = math.sqrt(before * (1.0 - gain) + reading.sd * reading.sd)
            z = (reading.value - centre) / spread
            self.residual[reading.index] = z
            self.centre[reading.index] = centre
            out.append(z)
            self.square += own * (reading.value - o.value) ** 2
        return out

    def felt(self, change: list) -> tuple:
        """(whitened square, its pull on the unknowns : (n,)) of a change : list of (observation, change)."""
        jacobian = self.estimate.result["jacobian"]
        square = 0.0
        a = [0.0] * self.estimate.evidence.size
        for i, w in self.estimate.noise.sparse(change):
            if w:
                square += w * w
                a = [p + w * q for p, q in zip(a, jacobian[i])]
        return square, a

    def across(self, change: list) -> float:
        """Quadratic form of C_y^-1 on a change : list of (observation, change)."""
        square, a = self.felt(change)
        return square - quadratic(self.estimate.covariance, a, a)

    def change(self, shifts: list) -> float:
        """Linear change of the whole sum of squares when observations shift : list of (observation, change)."""
        if len(shifts) == 1:
            i, shift = shifts[0]
            return shift * (shift * self.weight[i] + 2.0 * self.pull[i])
        total = self.across(shifts)
        for i, shift in shifts:
            total += 2.0 * shift * self.pull[i]
        return total

    def moved(self, shifts: list) -> list:
        """The unknowns' values once observations shift so, to first order : (n,)."""
        estimate = self.estimate
        step = matvec(estimate.covariance, self.felt(shifts)[1])
        return [t + s * d for t, s, d in zip(estimate.theta, estimate.scale, step)]

    def worst(self) -> tuple:
        """(log index, residual) of the loudest reading."""
        worst = (0, 0.0)
        for index in sorted(self.residual):
            if abs(self.residual[index]) > abs(worst[1]):
                worst = (index, self.residual[index])
        return worst
