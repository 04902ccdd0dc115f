"""The lever that carries the wheel is seldom just the arm that was taped: how much longer, as the readings say.

A taped arm has a spread of its own, and on some cars the wheel sits further out than the point that was measured
to. So what is believed of the lever has two parts: the arm as taped, and a longer one. Where readings speak of the
lever (a hang test, boards), the parts are weighed by how well each explains them, and the normal belief that leaves
the same mean and spread takes the place of the first. Where none does, the arm as taped stands.

Source of the method: one step of expectation propagation at a single site (Minka, 2001, from memory).
"""

import math

from .estimate import Estimate
from .statics import ARM

__all__ = ["LONGER", "LONGER_SD", "SHARE", "lever"]

SHARE = 0.4
"""Cars whose lever is longer than the arm that was taped, as a share of all. Common practice, no source."""
LONGER = 0.075
LONGER_SD = 0.043
"""How much longer it then is, and the spread of that, as shares of the arm: evenly from nothing to 15 in 100."""
MOST = 0.15
WIDEST = 0.1
"""Spread of the lever's belief, as a share of the arm, that nothing widens further."""
TELLING = 3.0
"""What readings say of the lever counts where it is no wider than so many times the spread of the tape."""


def lever(estimate: Estimate) -> tuple | None:
    """(mean, sd) [m] to believe of the lever instead, or None where the arm as taped stands."""
    car = estimate.case.car
    if not car.arm_taped or "arm" in ((car.known or {}).get("names") or []):
        return None
    tape = car.arm_sd**2
    mean, sd = estimate.constant(ARM)
    told = 1.0 / (sd * sd) - 1.0 / tape
    if told * tape * TELLING * TELLING <= 1.0:
        return None
    # What the readings alone say, then what each belief makes of it.
    variance = 1.0 / told
    middle = variance * (mean / (sd * sd) - car.arm / tape)
    parts = []
    total = 0.0
    for share, centre, spread in (
        (1.0 - SHARE, car.arm, tape),
        (SHARE, car.arm * (1.0 + LONGER), tape + (LONGER_SD * car.arm) ** 2),
    ):
        wide = spread + variance
        weight = share * math.exp(-0.5 * (middle - centre) ** 2 / wide) / math.sqrt(wide)
        parts.append((weight, (spread * middle + variance * centre) / wide, spread * variance / wide))
        total += weight
    if total <= 0.0:
        return None
    centre = 0.0
    for weight, at, _ in parts:
        centre += weight / total * at
    spread = 0.0
    for weight, at, v in parts:
        spread += weight / total * (v + (at - centre) ** 2)
    # Two parts far apart leave more spread than the readings alone have: then belief adds next to nothing.
    rest = max(1.0 / spread - told, 1.0 / (WIDEST * car.arm) ** 2)
    believed = (centre / spread - middle * told) / rest
    return max(car.arm, min(car.arm * (1.0 + MOST), believed)), math.sqrt(1.0 / rest)
