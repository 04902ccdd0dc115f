"""What heights to expect of an equilibrium: means, their covariance, and how they depend on the unknowns.

Predictions carry the covariance of the constants and what will be new next time: friction at the next settle, and
where the bush of a side that is taken apart is clamped next. A side that is left alone keeps its clamping.
"""

import math

from .beliefs import FLOOR_MM
from .estimate import Estimate
from .fittings import HEIGHT, PHI
from .statics import ARM, CONSTANTS, UNEVEN, Equilibrium
from .units import MM

__all__ = ["heights", "mark_of", "reach", "slope"]


def mark_of(estimate: Estimate, kind: str, side: int) -> int | None:
    """Index of the unknown that says where a side's mark sits; None where that mark was never read."""
    if not estimate.case.read(kind, side):
        return None
    first = CONSTANTS if kind == "body-height" else estimate.evidence.hub
    return None if first is None else first + side


def reach(estimate: Estimate, rest: Equilibrium, side: int, kind: str) -> tuple:
    """Height over the side's own mark, [m], and its derivatives by the unknowns : (n,)."""
    if kind == "body-height":
        return rest.height[side], estimate.evidence.wide(rest, HEIGHT, side)
    phi = rest.phi[side]
    arm = estimate.theta[ARM]
    lever = arm * math.cos(phi)
    row = [lever * d for d in estimate.evidence.wide(rest, PHI, side)]
    row[ARM] += math.sin(phi)
    return arm * math.sin(phi), row


def slope(estimate: Estimate, rest: Equilibrium, kind: str) -> tuple:
    """Change of both heights with both hanging angles, (2, 2) [m/rad]."""
    return tuple([tuple(reach(estimate, rest, side, kind)[1][:2]) for side in (0, 1)])


def heights(
    estimate: Estimate,
    rest: Equilibrium,
    moved: tuple,
    kind: str = "body-height",
    since: tuple = (None, None),
    spot: str = "",
) -> tuple:
    """Heights to expect once settled, of marks on both sides.

    Parameters
    ----------
    estimate : Estimate
    rest : Equilibrium
    moved : (2,) bool
        Whether that side's cover comes off, so that its bush is clamped anew.
    kind : "body-height" or "hub-to-body"
    since : (2,) Equilibrium or None
        Where given, that side's change since then instead of its height; its mark drops out.
    spot : where the car will stand; a spot where nothing was read yet has a floor of its own

    Returns
    -------
    (mean : (2,) [m], variance left, right and covariance : (3,) [m2], rows : (2, n) derivatives by the unknowns)
    """
    mean = []
    rows = []
    spreads = []
    floor: list = []
    uneven: list = []
    felt: list = []
    fresh = estimate.evidence.clamp_spread(estimate.theta, estimate.case.car.rest_sd)
    kept = tuple([end for end in (0, 1) if not moved[end]])
    first = CONSTANTS if kind == "body-height" else estimate.evidence.hub
    for side in (0, 1):
        value, after = reach(estimate, rest, side, kind)
        row = after
        before = since[side]
        if before is not None:
            stood, back = reach(estimate, before, side, kind)
            value -= stood
            row = [a - b for a, b in zip(after, back)]
        elif first is not None:
            row = after[:]
            row[first + side] = 1.0
            value += estimate.theta[first + side]
        shift, row, spread = estimate.clamped(row, kept)
        twist = estimate.evidence.spots.get(spot)
        if twist is not None:
            row[twist] = -row[UNEVEN]
        floor.append(0.0 if spot in estimate.evidence.spots or not estimate.evidence.spots else row[UNEVEN])
        uneven.append(after[UNEVEN] * estimate.case.car.uneven_pose)
        felt.append(after[UNEVEN])
        settling = estimate.evidence.settling
        if settling is not None and before is None and not moved[side]:
            shift += estimate.settled * estimate.theta[settling]
            row[settling] = estimate.settled
        for end in (0, 1):
            if moved[end]:
                spread[end] = after[end] * fresh
        mean.append(value + shift)
        rows.append(row)
        spreads.append(spread)
    variance = []
    for total, (one, other) in zip(estimate.covariances(rows), ((0, 0), (1, 1), (0, 1))):
        for end in (0, 1):
            total += spreads[one][end] * spreads[other][end]
        total += floor[one] * floor[other] * (FLOOR_MM * MM) ** 2
        # The other axle's unevenness each time that the car settles; a change has that of both times.
        total += uneven[one] * uneven[other] * (1.0 if since[one] is None or since[other] is None else 2.0)
        if estimate.shift_sd:
            # What the other axle's plan brings; the car has not felt that yet.
            total += felt[one] * felt[other] * estimate.shift_sd**2
        if one == other:
            total += estimate.friction**2 * (1.0 if since[one] is None else 2.0)
        variance.append(total)
    return tuple(mean), tuple(variance), tuple(rows)
