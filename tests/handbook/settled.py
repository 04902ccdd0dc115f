"""One arm, or two alike, settled by the project's own statics with everything but the bar switched off.

Roll support and bush are as good as nothing and the tyre as good as rigid, so that handbook figures for a bar
with a lever apply: the load is what the wheel carries and the height is the arm's own.
"""

import math

from bothends.model.bar import rate_nm_per_rad
from bothends.model.statics import equilibrium

__all__ = ["DEG", "SAMPLE_RATE", "constants", "settle"]

DEG = math.pi / 180.0
SAMPLE_RATE = rate_nm_per_rad(diameter_m=0.022, bore_m=0.0, length_m=0.552, shear_modulus_pa=78.5e9)
"""The sample bar of the reference table, [N m/rad]."""


def constants(*, hanging_deg: float, load_n: float, rate: float = SAMPLE_RATE, arm_m: float = 0.4) -> list:
    """Constants of a car whose two sides are alike: bare bars, no bush, no roll support, rigid tyres."""
    hanging = hanging_deg * DEG
    roll, tyre = 1e-9, 1e15
    return [hanging, hanging, math.log(rate), arm_m, 0.0, load_n, load_n, math.log(roll), 0.0, math.log(tyre)]


def settle(**given):
    """Where that car rests; takes what ``constants`` takes."""
    return equilibrium(constants=constants(**given), rest=0.0)
