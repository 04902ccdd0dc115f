"""What the readings taught of this car, in the outside's units, and what to remember for its next visit."""

import math

from .estimate import Estimate
from .prior import FITTED, KEPT, NAMES, SETTLING
from .statics import ARM, BUSH, RATE, ROLL, TYRE, Equilibrium
from .units import DEG

__all__ = ["learned", "posterior", "slope"]


def slope(rest: Equilibrium) -> float:
    """Mean body height per degree with both sides turned alike, [mm/deg]."""
    both = 0.0
    for side in (0, 1):
        both += rest.d_height[side][0] + rest.d_height[side][1]
    return 0.5 * both * DEG * 1e3


def _slope_spread(estimate: Estimate) -> float:
    """Relative spread of the slope, from arm and bush, the two constants it rests on to first order."""
    row = [0.0] * estimate.evidence.size
    row[ARM] = 1.0 / estimate.theta[ARM]
    row[BUSH] = -1.0 / (1.0 + estimate.theta[BUSH])
    return estimate.spread_of(row)


def learned(estimate: Estimate, rest: Equilibrium) -> dict:
    """Constants of the car with their spreads; ``rest`` is its present equilibrium."""
    rate, rate_sd = estimate.constant(RATE)
    roll, roll_sd = estimate.constant(ROLL)
    tyre, tyre_sd = estimate.constant(TYRE)
    arm, arm_sd = estimate.constant(ARM)
    bush, bush_sd = estimate.constant(BUSH)
    nm = math.exp(rate) * DEG
    support = math.exp(roll) * 1e-3
    squash = math.exp(tyre) * 1e-3
    per_deg = slope(rest)
    return {
        "bar_nm_per_deg": {"value": nm, "sd": nm * rate_sd},
        "arm_mm": {"value": arm * 1e3, "sd": arm_sd * 1e3},
        "roll_support_n_per_mm": {"value": support, "sd": support * roll_sd},
        "mm_per_deg": {"value": per_deg, "sd": abs(per_deg) * _slope_spread(estimate)},
        "bush_ratio": {"value": bush, "sd": bush_sd},
        "tyre_n_per_mm": {"value": squash, "sd": squash * tyre_sd},
    }


def posterior(estimate: Estimate) -> dict:
    """The car's lasting constants with their covariance, to be given back as ``car.known`` next time."""
    scale = estimate.scale
    covariance = estimate.covariance
    names = list(NAMES)
    kept = list(KEPT)
    if estimate.evidence.settling is not None:
        names.append(SETTLING)
        kept.append(estimate.evidence.settling)
    for name, place in zip(FITTED, (estimate.evidence.fit.gain, estimate.evidence.fit.anti)):
        if place is not None:
            names.append(name)
            kept.append(place)
    mean = [estimate.theta[i] for i in kept]
    spread = [[covariance[i][j] * scale[i] * scale[j] for j in kept] for i in kept]
    known = estimate.case.car.known or {}
    for name in (SETTLING,) + FITTED:
        if name not in (known.get("names") or []) or name in names:
            continue
        # Learned at an earlier visit and not tried at this one: it stays as it was.
        place = known["names"].index(name)
        names.append(name)
        mean.append(known["mean"][place])
        spread = [row + [0.0] for row in spread] + [[0.0] * len(spread) + [known["covariance"][place][place]]]
    return {"names": names, "mean": mean, "covariance": spread}
