"""What comes of a car as it is, or as it is tried: one column of the bench, the same fields for both.

Owns the answer's form. Figures of one side are `option`'s, the odds of bars that are not in `phase`'s.
"""

import math

from .estimate import Estimate
from .lattice import Lattice
from .learned import posterior, slope
from .option import corner, label, ride_hz, wheel_rate
from .phase import over_phases
from .point import Point
from .refit import Rebarred
from .request import SIDES
from .statics import RATE, Equilibrium
from .teeth import fine_step_deg
from .units import DEG, GRAVITY, MM

__all__ = ["other_bars", "standing_bars"]

USUAL_HZ = (0.8, 2.2)


def _head(estimate: Estimate, rest: Equilibrium | None) -> dict:
    """What a column says of its bars and its wish."""
    case = estimate.case
    car = case.car
    rate, rate_sd = estimate.constant(RATE)
    nm = math.exp(rate) * DEG
    fine = fine_step_deg(inner_teeth=car.inner_teeth, outer_teeth=car.outer_teeth)
    per_deg = None if rest is None else slope(rest)
    return {
        "bar": {
            "diameter_mm": car.diameter / MM,
            "bore_mm": car.bore / MM,
            "length_mm": car.length / MM,
            "inner_teeth": car.inner_teeth,
            "outer_teeth": car.outer_teeth,
        },
        "target": {
            "left_mm": case.target[0] / MM,
            "right_mm": case.target[1] / MM,
            "tolerance_mm": case.tolerance / MM,
            "lean_mm": case.lean / MM,
        },
        "bar_nm_per_deg": {"value": nm, "sd": nm * rate_sd},
        "step_deg": {"fine": fine, "inner": 360.0 / car.inner_teeth, "outer": 360.0 / car.outer_teeth},
        "mm_per_deg": per_deg,
        "mm_per_fine_step": None if per_deg is None else per_deg * fine,
        "permissible_stress_mpa": car.stress / 1e6,
        "permissible_given": car.stress_given,
    }


def _side(
    estimate: Estimate, rest: Equilibrium, side: int, hanging: float, moved: bool, out: dict, height: dict
) -> dict:
    """Figures of one side; what stops it and what to mind go into the column ``out``."""
    found = corner(estimate, rest, side, hanging, moved, out["stopped_by"], out["cautions"])
    found["body_height_mm"] = height
    found["load_kg"] = rest.force[side] / GRAVITY
    found["wheel_rate_n_per_mm"] = wheel_rate(estimate, rest, side) * MM
    return found


def _ride(out: dict, hz: float) -> None:
    out["ride_hz"] = hz
    if not USUAL_HZ[0] <= hz <= USUAL_HZ[1]:
        out["cautions"].append(
            "A ride frequency of %.1f Hz is outside the usual %g to %g Hz" % ((hz,) + USUAL_HZ)
        )


def _height(mean: float, variance: float) -> dict:
    return {"value": mean / MM, "sd": math.sqrt(max(0.0, variance)) / MM}


def standing_bars(lattice: Lattice, name: str, point: Point | None = None) -> dict:
    """A column of the bars that are in: the car untouched, or at a point of its lattice."""
    estimate = lattice.estimate
    now = lattice.now
    point = point or now
    rest = point.rest or estimate.now
    out = _head(estimate, rest)
    out["posterior"] = None
    out["label"] = name or label(point.teeth)
    out["other_bars"] = False
    out["odds"] = {"typical": point.odds, "best": point.odds, "worst": point.odds}
    out["ends_disturbed"] = point.ends()
    out["stopped_by"] = []
    out["cautions"] = []
    for side in (0, 1):
        inner, outer = point.teeth[side]
        hanging = estimate.theta[side] + point.turn[side]
        moved = inner != 0 or outer != 0
        height = _height(point.mean[side], point.variance[side])
        found = _side(estimate, rest, side, hanging, moved, out, height)
        found["inner"] = inner
        found["outer"] = outer
        found["untouched_mm"] = _height(now.mean[side], now.variance[side])
        out[SIDES[side]] = found
    vl, vr, vlr = point.variance
    out["lean_mm"] = _height(point.mean[0] - point.mean[1], vl + vr - 2.0 * vlr)
    _ride(out, ride_hz(estimate, rest))
    if not name and not lattice.reached:
        out["stopped_by"].append(
            "the arms cannot give these heights: they come no nearer than %.0f mm left and %.0f mm right"
            % (lattice.mean[0] / MM, lattice.mean[1] / MM)
        )
    return out


def other_bars(estimate: Rebarred) -> dict:
    """A column of bars that are not in yet."""
    rest = estimate.rest
    case = estimate.case
    out = _head(estimate, rest)
    out["posterior"] = None if rest is None else posterior(estimate)
    out["label"] = "other bars"
    out["other_bars"] = True
    out["ends_disturbed"] = 4
    out["stopped_by"] = []
    out["cautions"] = []
    out["lean_mm"] = None
    out["ride_hz"] = None
    out["odds"] = {"typical": 0.0, "best": 0.0, "worst": 0.0}
    if rest is None:
        out["left"] = None
        out["right"] = None
        out["stopped_by"].append("no hanging angle of these bars gives these heights")
        return out
    mean, variance, _ = estimate.heights(rest, (True, True))
    off = (mean[0] - case.target[0], mean[1] - case.target[1])
    # Half a fine step either way of each side, as a change of both heights.
    half = 0.5 * out["step_deg"]["fine"] * DEG
    (a, b), (c, d) = [[half * rest.d_height[s][k] for k in (0, 1)] for s in (0, 1)]
    swing = ((a, c), (b, d))
    out["odds"] = over_phases(off, variance, swing, case)
    # A phase is uniform: a third of the square of its half width.
    vl = variance[0] + (a * a + b * b) / 3.0
    vr = variance[1] + (c * c + d * d) / 3.0
    vlr = variance[2] + (a * c + b * d) / 3.0
    for side in (0, 1):
        height = _height(mean[side], (vl, vr)[side])
        found = _side(estimate, rest, side, estimate.theta[side], True, out, height)
        found["inner"] = None
        found["outer"] = None
        found["untouched_mm"] = None
        out[SIDES[side]] = found
    out["lean_mm"] = _height(mean[0] - mean[1], vl + vr - 2.0 * vlr)
    _ride(out, ride_hz(estimate, rest))
    return out
