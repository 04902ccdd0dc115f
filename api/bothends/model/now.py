"""The car as it stands now, side by side, in the answer's form: angles, loads and heights with their spreads."""

from .estimate import Estimate
from .fields import SIDES
from .fittings import FORCE, PHI
from .lattice import Search
from .predict import heights, mark_of
from .units import DEG, GRAVITY, MM

__all__ = ["now"]


def now(estimate: Estimate, search: Search) -> dict:
    """Both sides as they stand now, with the target's ballast in the car."""
    rest = search.aim.stood or estimate.now
    kinds = ("body-height", "hub-to-body")
    expected = [
        heights(estimate, rest, (False, False), kind)
        if [side for side in (0, 1) if mark_of(estimate, kind, side) is not None]
        else None
        for kind in kinds
    ]
    state = {}
    for side in (0, 1):
        hanging, hanging_sd = estimate.constant(side)
        shift, row, spreads = estimate.clamped(estimate.evidence.wide(rest, PHI, side))
        spread = spreads[0] ** 2 + spreads[1] ** 2
        load_sd = estimate.spread_of(estimate.evidence.wide(rest, FORCE, side))
        found: dict = {
            "hanging_deg": {"value": (hanging + estimate.turns[-1][side]) / DEG, "sd": hanging_sd / DEG},
            "riding_deg": {
                "value": (rest.phi[side] + shift) / DEG,
                "sd": (estimate.joint(row, row) + spread) ** 0.5 / DEG,
            },
            "load_kg": {"value": rest.force[side] / GRAVITY, "sd": load_sd / GRAVITY},
        }
        for kind, name, known in zip(kinds, ("body_height_mm", "hub_to_body_mm"), expected):
            if known is None or mark_of(estimate, kind, side) is None:
                found[name] = None
            else:
                found[name] = {"value": known[0][side] / MM, "sd": max(0.0, known[1][side]) ** 0.5 / MM}
        state[SIDES[side]] = found
    return state
