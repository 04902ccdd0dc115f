"""What comes of a car as it is, or as it is tried: one column of the bench, the same fields for both.

Owns the answer's form. Figures of one side are `option`'s, the odds of bars that are not in `phase`'s.
"""

import math

from .beliefs import FINE_STEP_DEG
from .estimate import Estimate
from .fields import SIDES
from .lattice import Search
from .learned import posterior, slope
from .obstacle import Corner, obstacle
from .option import USUAL_HZ, describe, lifted, ride_hz, wheel_rate
from .phase import over_phases
from .point import Point
from .predict import heights, mark_of
from .refit import Rebarred
from .sentences import CAUTIONS, OBSTACLES
from .statics import RATE, Equilibrium
from .travel import travels
from .turning import steps_of
from .units import DEG, GRAVITY, MM

__all__ = ["other_bars", "standing_bars"]


def _head(estimate: Estimate, rest: Equilibrium | None, target: dict) -> dict:
    """What a column says of its bars and its wish."""
    car = estimate.case.car
    rate, rate_sd = estimate.constant(RATE)
    nm = math.exp(rate) * DEG
    inner, outer = car.inner_teeth, car.outer_teeth
    steps = steps_of(estimate)
    fine = steps["fine"]
    per_deg = None if rest is None else slope(rest)
    return {
        "bar": {
            "diameter_mm": None if car.diameter is None else car.diameter / MM,
            "bore_mm": car.bore / MM,
            "length_mm": None if car.length is None else car.length / MM,
            "inner_teeth": inner,
            "outer_teeth": outer,
        },
        "target": target,
        "bar_nm_per_deg": {"value": nm, "sd": nm * rate_sd},
        "step_deg": steps,
        "mm_per_deg": per_deg,
        "mm_per_fine_step": None if per_deg is None or fine is None else per_deg * fine,
        "permissible_stress_mpa": None if car.stress is None else car.stress / 1e6,
        "permissible_given": car.stress is not None,
    }


def _height(mean: float, variance: float) -> dict:
    return {"value": mean / MM, "sd": math.sqrt(max(0.0, variance)) / MM}


def standing_bars(search: Search, name: str, point: Point | None = None) -> dict:
    """A column of the bars that are in: the car untouched, or at a point of its search."""
    estimate = search.estimate
    now = search.now
    point = point or now
    rest = point.rest or estimate.now
    told = describe(search, point)
    out = _head(estimate, rest, search.aim.wish.said(search.aim.wanted))
    out["posterior"] = None
    out["label"] = name or told["label"]
    out["other_bars"] = False
    out["odds"] = {"typical": point.odds, "best": point.odds, "worst": point.odds}
    for field in ("ends_disturbed", "obstacles", "stopped_by", "cautions", "lean_mm", "ride_hz"):
        out[field] = told[field]
    stands = describe(search, now)
    for side in SIDES:
        found = told[side]
        out[side] = {
            field: found[field]
            for field in (
                "hanging_deg", "riding_deg", "lift", "stress_at_bump_mpa", "bump_left_mm", "droop_left_mm",
                "body_height_mm", "rise_mm", "inner", "outer", "turn_deg", "turns",
            )
        }  # fmt: skip
        place = SIDES.index(side)
        out[side]["load_kg"] = rest.force[place] / GRAVITY
        out[side]["wheel_rate_n_per_mm"] = wheel_rate(estimate, rest, place) * MM
        out[side]["untouched_mm"] = stands[side]["body_height_mm"]
    return out


def other_bars(estimate: Rebarred) -> dict:
    """A column of bars that are not in yet."""
    rest = estimate.rest
    search = estimate.search
    wish = estimate.case.wish
    wanted = (None, None) if search is None else search.aim.wanted
    out = _head(estimate, rest, wish.said(wanted))
    out["posterior"] = None if rest is None else posterior(estimate)
    out["label"] = "other bars"
    out["other_bars"] = True
    out["ends_disturbed"] = 4
    out["obstacles"] = []
    out["cautions"] = []
    out["lean_mm"] = None
    out["ride_hz"] = None
    out["odds"] = {"typical": 0.0, "best": 0.0, "worst": 0.0}
    if rest is None or search is None:
        out["left"] = None
        out["right"] = None
        out["obstacles"].append(obstacle("reach", None, True, OBSTACLES["reach-bars"]))
        out["stopped_by"] = [OBSTACLES["reach-bars"]]
        return out
    step = out["step_deg"]["fine"]
    # Half a fine step either way of each side, as a change of both sides.
    half = 0.5 * (FINE_STEP_DEG if step is None else step) * DEG
    slopes = search.aim.slope(rest)
    swing = tuple([tuple([half * slopes[s][k] for s in (0, 1)]) for k in (0, 1)])
    off, variance, _ = search.aim.expect(rest, (0.0, 0.0), (True, True))
    out["odds"] = over_phases(off, variance, swing, search.aim)
    limits = travels(estimate)
    expected = heights(estimate, rest, (True, True))
    phased = []
    for s, t in ((0, 0), (1, 1), (0, 1)):
        more = 0.0
        for k in (0, 1):
            more += half * rest.d_height[s][k] * half * rest.d_height[t][k] / 3.0
        # A phase is uniform: a third of the square of its half width.
        phased.append(expected[1][s if s == t else 2] + more)
    for side in (0, 1):
        hanging = estimate.theta[side]
        corner = Corner(estimate, limits[side], rest, side=side, hanging=hanging, moved=True, other_bars=True)
        out["obstacles"] += corner.obstacles
        out["cautions"] += corner.cautions
        read = mark_of(estimate, "body-height", side) is not None
        out[SIDES[side]] = {
            "hanging_deg": hanging / DEG,
            "riding_deg": corner.riding / DEG,
            "lift": lifted(estimate, limits[side], side, hanging),
            "stress_at_bump_mpa": None if corner.stress is None else corner.stress / 1e6,
            "bump_left_mm": corner.bump_left / MM,
            "droop_left_mm": corner.droop_left / MM,
            "body_height_mm": _height(expected[0][side], phased[side]) if read else None,
            "rise_mm": None,
            "inner": None,
            "outer": None,
            "turn_deg": None,
            "turns": None,
            "load_kg": rest.force[side] / GRAVITY,
            "wheel_rate_n_per_mm": wheel_rate(estimate, rest, side) * MM,
            "untouched_mm": None,
        }
    out["stopped_by"] = [o["words"] for o in out["obstacles"] if o["given"]]
    out["cautions"] += [o["words"] for o in out["obstacles"] if not o["given"]]
    mean = expected[0]
    out["lean_mm"] = _height(mean[0] - mean[1], phased[0] + phased[1] - 2.0 * phased[2])
    out["ride_hz"] = ride_hz(estimate, rest)
    if not USUAL_HZ[0] <= out["ride_hz"] <= USUAL_HZ[1]:
        out["cautions"].append(
            CAUTIONS["ride"] % {"hz": out["ride_hz"], "low": USUAL_HZ[0], "high": USUAL_HZ[1]}
        )
    return out
