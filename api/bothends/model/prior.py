"""What is believed of a car before its readings: the book's defaults, or what its last visit taught.

Owns the means, scales and precision of the fit's unknowns. The unknowns are scaled by their spreads, so that a
prior without correlations has the identity for its precision.
"""

import math

from .beliefs import FLOOR_MM, HANGING_DEG, HANGING_SD_DEG
from .car import Car
from .case import Case
from .evidence import Evidence
from .linalg import cholesky, identity, inverse
from .problem import ModelProblem
from .statics import ARM, BUSH, CONSTANTS, RATE, ROLL, TYRE, UNEVEN
from .units import DEG, MM

__all__ = ["FITTED", "KEPT", "NAMES", "SETTLING", "Prior"]

NAMES = ("ln_rate", "arm", "bush", "ln_roll", "uneven", "ln_tyre")
"""Constants that stay with a car from visit to visit, as they are called in ``car.known``."""
SETTLING = "settling"
"""One more, where the car was read again after some driving: how far it settles, [m]."""
FITTED = ("ln_gain", "ln_anti_roll")
"""And two that only some axles have: what a turn of its adjuster gives against what lever and pitch say, and its
own anti-roll bar, [N/m]; both as logarithms."""
KEPT = (RATE, ARM, BUSH, ROLL, UNEVEN, TYRE)
FREE_ANGLE = 0.6
"""Spread of a hanging angle before it is read, [rad]: as good as unknown."""
FREE_MARK = 0.5
"""Spread of a mark's height, [m]: as good as unknown."""
MOST_TWIST = 0.5
"""Twist of the bar on its wheels that a guess may come to, [rad]; stiffer or lighter is then believed."""


class Prior:
    """Means and scales : (n,) of the unknowns, SI, and the precision : (n, n) of the scaled ones."""

    def __init__(self, case: Case, evidence: Evidence, turns: list, arm: tuple | None = None) -> None:
        """``arm`` : (mean, sd) [m] believed of the lever instead of what the car says, see `lever`."""
        car = case.car
        hanging, spread = self._hanging(evidence, turns)
        rate, load = _standing(car)
        mean = hanging + [math.log(rate), car.arm, car.bush] + load
        mean += [math.log(car.roll), car.uneven, math.log(car.tyre)]
        scale = spread + [car.rate_sd, car.arm_sd, car.bush_sd, car.load_sd, car.load_sd]
        scale += [min(1.0, car.roll_sd / car.roll), car.uneven_sd, min(1.0, car.tyre_sd / car.tyre)]
        extra = evidence.size - CONSTANTS
        mean += [0.0] * extra
        scale += [FREE_MARK] * extra
        if evidence.unsprung is not None:
            mean[evidence.unsprung] = car.unsprung
            scale[evidence.unsprung] = car.unsprung_sd
        if evidence.settling is not None:
            mean[evidence.settling], scale[evidence.settling] = car.settling
        for spot in evidence.spots:
            if evidence.spots[spot] is not None:
                scale[evidence.spots[spot]] = FLOOR_MM * MM
        for index, middle, width in evidence.fit.believed:
            mean[index], scale[index] = middle, width
        if arm is not None:
            mean[ARM], scale[ARM] = arm
        self.mean = mean
        self.scale = scale
        self.precision = identity(evidence.size)
        self.kept: dict = {}
        for name, place in zip(NAMES, KEPT):
            self.kept[name] = place
        self.kept[SETTLING] = evidence.settling
        for name, there in zip(FITTED, (evidence.fit.gain, evidence.fit.anti)):
            self.kept[name] = there
        felt = case.felt
        self._elsewhere = 0.0
        if felt is not None:
            self.mean[ROLL], self.scale[ROLL] = felt.roll_of(car)
            self._elsewhere = felt.spread**2
            self.scale[UNEVEN] = math.sqrt(self.scale[UNEVEN] ** 2 + self._elsewhere)
        if car.known is not None:
            self._take(car.known)
        if felt is not None:
            # Unevenness is what the other axle amounts to now: as it was found, and what was turned there since.
            self.mean[UNEVEN] += felt.shift

    @staticmethod
    def _hanging(evidence: Evidence, turns: list) -> tuple:
        """Means and spreads of the hanging angles, (2,) each, [rad]: where the first reading of a side puts it, as
        good as unknown before; what is believed where it was never read.
        """
        means = []
        spreads = []
        for side in (0, 1):
            values = [
                o.value - turns[o.teardown][side]
                for o in evidence.observations
                if o.kind == "hanging-angle" and o.side == side
            ]
            means.append(max(-1.4, min(1.4, values[0])) if values else HANGING_DEG * DEG)
            spreads.append(FREE_ANGLE if values else HANGING_SD_DEG * DEG)
        return means, spreads

    def _take(self, known: dict) -> None:
        """Replace the book's prior by what an earlier visit learned."""
        bad = ModelProblem(
            "out-of-range",
            "$.car.known",
            "known must be the posterior of an earlier answer, with names, mean and covariance; leave it out to"
            " start from the defaults",
        )
        names, values, matrix = [known.get(part) or [] for part in ("names", "mean", "covariance")]
        for part in (names, values, matrix):
            if not isinstance(part, (list, tuple)) or len(part) != len(names):
                raise bad
        index: list = []
        for i in range(len(names)):
            if not isinstance(matrix[i], (list, tuple)) or len(matrix[i]) != len(names):
                raise bad
            if names[i] not in self.kept or names[i] in names[:i]:
                raise bad
            index.append(self.kept[names[i]])
            for value in [values[i]] + list(matrix[i]):
                # Written so that a NaN fails.
                if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) < 1e6:
                    raise bad
            if not matrix[i][i] > 0.0:
                raise bad
        # A constant that this log has no use for, such as settling before anyone drove, is passed over.
        used = [i for i in range(len(index)) if index[i] is not None]
        block = []
        for i in used:
            block.append([float(matrix[i][j]) for j in used])
        for k in range(len(used)):
            place = index[used[k]]
            if place == UNEVEN:
                # The floor it stood on was not this one.
                block[k][k] += (FLOOR_MM * MM) ** 2 + self._elsewhere
            self.mean[place] = float(values[used[k]])
            self.scale[place] = math.sqrt(block[k][k])
        self._block([index[i] for i in used], block, bad)

    def _block(self, index: list, matrix: list, bad: ModelProblem) -> None:
        """The precision of the constants at ``index`` from their covariance."""
        correlation = []
        for i in range(len(index)):
            line = []
            for j in range(len(index)):
                line.append(matrix[i][j] / (self.scale[index[i]] * self.scale[index[j]]))
            correlation.append(line)
        lower = cholesky(correlation)
        sane = self.mean[ARM] > 0.01 and self.mean[BUSH] > -0.5
        for k in (RATE, ROLL, TYRE):
            sane = sane and abs(self.mean[k]) < 50.0
        if lower is None or not sane:
            raise bad
        block = inverse(lower)
        for i in range(len(index)):
            for j in range(len(index)):
                self.precision[index[i]][index[j]] = block[i][j]


def _standing(car: Car) -> tuple:
    """Rate [N m/rad] and loads (2,) [N] to start from: what was given stands, a guess gives way.

    What is believed of the one must let the car stand on the other: a guess must never refuse a plan.
    """
    rate = car.rate
    load = car.load
    if not car.bar_given:
        rate = max(rate, max(load) * car.arm / MOST_TWIST)
    elif not car.load_given:
        most = rate * MOST_TWIST / car.arm
        load = [min(newton, most) for newton in load]
    return rate, load
