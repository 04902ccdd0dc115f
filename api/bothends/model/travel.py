"""How far each wheel may go: bump, droop and stop, per side, and how each of them is known.

A limit is given (it stands in the car), measured (a hang test, a stop angle or hub-to-body readings say it) or
assumed. Given ones forbid what passes them; measured ones what passes them by more than their own 95 % range;
assumed ones only caution. Owns where a limit comes from; `option` holds a plan against it. SI, radians.
"""

import math

from .beliefs import BUMP_MM, BUMP_SD_MM, DROOP_MM, DROOP_SD_MM
from .estimate import Estimate
from .evidence import PITCH
from .fittings import PHI
from .reading import stands
from .statics import ARM
from .units import DEG, MM

__all__ = ["CERTAIN", "PLACED", "Limit", "Travel", "travels"]

CERTAIN = 1.645
"""One-sided 95 % of a normal quantity, in standard deviations; the range that holds 90 in 100 is as wide to each
side."""
PLACED = 2.0 * DEG
"""An arm whose angle is known no better than this is where a guess puts it, [rad]."""


class Limit:
    """One limit: ``value`` and ``sd`` in m or rad, ``source`` "given", "measured", "stop" (follows from a given
    stop) or "assumed". Where it follows from where the arm stands, ``row`` (n,) has its derivatives by the unknowns
    and ``own`` the standard deviation beside them.
    """

    def __init__(
        self, value: float, sd: float, source: str, row: list | None = None, own: float = 0.0
    ) -> None:
        self.value = value
        self.sd = sd
        self.source = source
        self.row = row
        self.own = own if row is not None else sd

    @property
    def assumed(self) -> bool:
        return self.source == "assumed"

    def forbids(self, over: float) -> bool:
        """Whether passing it by ``over`` rules a plan out."""
        if self.source == "given":
            return over > 0.0
        return self.source == "measured" and over > CERTAIN * self.sd


class Travel:
    """One side: ``bump`` and ``droop`` wheel travel from as found, [m], ``stop`` the arm's angle on it, [rad];
    ``riding`` and ``riding_sd`` the arm as found, [rad].
    """

    def __init__(self, bump: Limit, droop: Limit, stop: Limit, riding: float, riding_sd: float) -> None:
        self.bump = bump
        self.droop = droop
        self.stop = stop
        self.riding = riding
        self.riding_sd = riding_sd

    @property
    def placed(self) -> bool:
        """Whether readings say where the arm stands."""
        return self.riding_sd < PLACED


def _mean(readings: list) -> tuple | None:
    """(weighted mean, its standard deviation by gauge or tape) of repeats, or None."""
    weight = 0.0
    total = 0.0
    for r in readings:
        w = 1.0 / (r.sd * r.sd)
        weight += w
        total += w * r.value
    return None if not readings else (total / weight, 1.0 / math.sqrt(weight))


def _hung(estimate: Estimate, side: int) -> tuple | None:
    """The arm's angle with the wheels hanging and everything bolted up: (mean, sd) [rad], or None."""
    readings = [
        r for r in estimate.case.readings if r.kind == "riding-angle" and r.hanging and r.side == side
    ]
    found = _mean(readings)
    if found is None:
        return None
    tilt = PITCH if readings[0].gravity else 0.0
    return found[0], math.sqrt(found[1] ** 2 + tilt**2)


def _by_hub(estimate: Estimate, side: int) -> tuple | None:
    """Droop from as found by hub-to-body readings hanging and on the wheels: (travel, sd) [m], or None."""
    case = estimate.case
    for teardown in range(case.teardowns, -1, -1):
        both = []
        for hanging in (True, False):
            both.append(
                _mean(
                    [
                        r
                        for r in case.readings
                        if r.kind == "hub-to-body"
                        and (r.side, r.teardown, r.hanging) == (side, teardown, hanging)
                        and (hanging or stands(r.pose, False))
                    ]
                )
            )
        hung, stood = both
        if hung is None or stood is None:
            continue
        rest = estimate.found
        if teardown:
            found = estimate.stood(teardown)
            if found is None:
                continue
            rest = found
        arm = estimate.theta[ARM]
        moved = arm * (math.sin(rest.phi[side]) - math.sin(estimate.found.phi[side]))
        spread = math.sqrt(hung[1] ** 2 + stood[1] ** 2 + estimate.friction**2)
        return hung[0] - stood[0] + moved, spread
    return None


def _side(estimate: Estimate, side: int) -> Travel:
    car = estimate.case.car
    phi = estimate.found.phi[side]
    arm = estimate.theta[ARM]
    lever = arm * math.cos(phi)
    d_phi = estimate.evidence.wide(estimate.found, PHI, side)
    riding_sd = estimate.spread_of(d_phi)

    def fall(angle: float, sd: float, source: str) -> Limit:
        """Travel from as found down to where the arm stands at an angle."""
        row = [-lever * d for d in d_phi]
        row[ARM] += math.sin(angle) - math.sin(phi)
        spread = math.sqrt(estimate.joint(row, row) + (arm * math.cos(angle) * sd) ** 2)
        return Limit(arm * (math.sin(angle) - math.sin(phi)), spread, source)

    hung = _hung(estimate, side)
    by_hub = _by_hub(estimate, side)
    if car.droop is not None:
        droop = Limit(car.droop, 0.0, "given")
    elif by_hub is not None:
        droop = Limit(by_hub[0], by_hub[1], "measured")
    elif hung is not None:
        droop = fall(hung[0], hung[1], "measured")
    elif car.stop is not None:
        droop = fall(car.stop, 0.0, "stop")
    else:
        droop = Limit(DROOP_MM * MM, DROOP_SD_MM * MM, "assumed")
    if car.stop is not None:
        stop = Limit(car.stop, 0.0, "given")
    elif hung is not None:
        stop = Limit(hung[0], hung[1], "measured")
    else:
        sine = max(-1.0, min(1.0, math.sin(phi) + droop.value / arm))
        angle = math.asin(sine)
        give = max(0.2, math.cos(angle))
        row = [math.cos(phi) / give * d for d in d_phi]
        row[ARM] -= droop.value / (arm * arm * give)
        own = droop.sd / (arm * give)
        sd = math.sqrt(own**2 + estimate.joint(row, row))
        source = "measured" if by_hub is not None and riding_sd < PLACED else "assumed"
        stop = Limit(angle, sd, source, row, own)
    if car.bump is not None:
        bump = Limit(car.bump, 0.0, "given")
    else:
        bump = Limit(BUMP_MM * MM, BUMP_SD_MM * MM, "assumed")
    return Travel(bump, droop, stop, phi, riding_sd)


def travels(estimate: Estimate) -> tuple:
    """The limits of both sides : (Travel left, Travel right)."""
    return _side(estimate, 0), _side(estimate, 1)
