"""What if: other bars, another load, another wish, tried on the fitted car without touching its log.

With the bars that are in, a trial is the ordinary plan from the teeth as they are. With other bars everything is
taken apart anyway and the hanging angle is free up to the new bars' fine step, of which nobody knows the phase
before they are in: so the answer is the angle to set, and the odds over every phase. Owns the change's checks
and the answer; `refit` carries the car over.
"""

import math

from . import bounds
from .caution import standing
from .choose import choose
from .estimate import Estimate
from .field import integer, number, part, table
from .lattice import Lattice
from .learned import posterior, slope
from .odds import COARSE, RULE, landing
from .option import corner, label, ride_hz, wheel_rate
from .point import Point
from .problem import ModelProblem
from .refit import Laden, Rebarred
from .request import SIDES, Car, Case, read_target
from .solve import Plan
from .statics import LOAD_LEFT, RATE, Equilibrium
from .teeth import fine_step_deg
from .units import DEG, GRAVITY, MM

__all__ = ["Bench", "what_if"]

FIVE = (
    (-0.906179845938664, 0.236926885056189),
    (-0.5384693101056831, 0.478628670499366),
    (0.0, 0.568888888888889),
    (0.5384693101056831, 0.478628670499366),
    (0.906179845938664, 0.236926885056189),
)
"""Gauss-Legendre nodes and weights on [-1, 1] (from memory; a test holds them to numpy's)."""
USUAL_HZ = (0.8, 2.2)
MOST_PANELS = 8
FAR = 6.0
"""Standard deviations beyond which a phase has no odds to speak of."""
BAR = (
    ("diameter_mm", bounds.DIAMETER_MM),
    ("bore_mm", bounds.BORE_MM),
    ("length_mm", bounds.LENGTH_MM),
    ("shear_modulus_gpa", bounds.SHEAR_MODULUS_GPA),
    ("rate_sd_percent", bounds.RATE_SD_PERCENT),
)
WISH = (
    ("left_mm", bounds.HEIGHT_MM),
    ("right_mm", bounds.HEIGHT_MM),
    ("tolerance_mm", bounds.TOLERANCE_MM),
    ("lean_mm", bounds.LEAN_MM),
)
MADE_OF = ("diameter", "bore", "length", "modulus", "inner_teeth", "outer_teeth")
"""What makes a bar another bar."""
NEW_BARS = (
    "Whether other bars may be fitted to this car, with which anchors, covers and dampers, is said by the car's own"
    " manual and the maker of the bars. They must be made for this direction of twist.",
    "Bars that are not in yet are known by their dimensions only. Read everything again once they are in; new bars"
    " settle, so read the heights once more after some driving.",
)
OLD_LIMIT = "The stress permitted was given for the bars that are in; ask what the other bars may carry."


class Bench:
    """A fitted car on which changes are tried; the slow part is done once.

    Parameters
    ----------
    request : dict
        A solve request.
    """

    def __init__(self, request: dict) -> None:
        self.plan = Plan(request)
        self.request = request
        estimate = self.plan.estimate
        lattice = Lattice(estimate)
        self.found = _standing(lattice, "as it is")

    def try_out(self, change: dict) -> dict:
        """One trial beside the car as it is, as ``what_if`` describes."""
        base = self.plan.estimate
        case, load = self._changed(change)
        other = [name for name in MADE_OF if getattr(case.car, name) != getattr(base.case.car, name)]
        if other:
            trial = _rebarred(Rebarred(base, case, load))
            if base.case.car.stress_given and (change.get("bar") or {}).get("permissible_stress_mpa") is None:
                trial["cautions"].append(OLD_LIMIT)
        else:
            laden = Laden(base, case, load)
            if laden.now is None:
                raise ModelProblem(
                    "no-equilibrium",
                    "$.change.load_kg",
                    "with this load the car would not stand on both its wheels; try another",
                )
            lattice = Lattice(laden)
            trial = _standing(lattice, "", choose(lattice, bool(self.plan.doubts))[1])
        weighed = {
            "odds": trial["odds"]["typical"],
            "stopped_by": trial["stopped_by"],
            "ends_disturbed": trial["ends_disturbed"],
        }
        words = standing(case, [weighed], self.plan.doubts, self.plan.repaired)
        return {
            "as_it_is": self.found,
            "trial": trial,
            "cautions": (list(NEW_BARS) if other else []) + words,
        }

    def _changed(self, change: dict) -> tuple:
        """The case that a change makes, and the load it adds (2,) [N]; every number checked at its own path."""
        if not isinstance(change, dict):
            raise ModelProblem("out-of-range", "$.change", "change must be an object")
        base = self.plan.case
        bar = part(change, "bar", "$.change") or {}
        at = "$.change.bar"
        new: dict = {}
        for name, limits in BAR:
            if bar.get(name) is not None:
                new[name] = number(bar, name, at, limits)
        for name in ("inner_teeth", "outer_teeth"):
            if bar.get(name) is not None:
                new[name] = integer(bar, name, at, bounds.TEETH)
        source = dict(table(self.request, "car", "$"))
        source["bar"] = _over(source["bar"], new)
        if source["bar"].get("bore_mm") and source["bar"]["bore_mm"] >= source["bar"]["diameter_mm"]:
            raise ModelProblem(
                "out-of-range",
                at + (".bore_mm" if "bore_mm" in new else ".diameter_mm"),
                "bore must be less than the bar's diameter, got a bore of %g mm in %g mm; a solid bar has bore 0"
                % (source["bar"]["bore_mm"], source["bar"]["diameter_mm"]),
            )
        if bar.get("permissible_stress_mpa") is not None:
            stress = number(bar, "permissible_stress_mpa", at, bounds.PERMISSIBLE_STRESS_MPA)
            source["limits"] = _over(source.get("limits") or {}, {"permissible_stress_mpa": stress})
        more = part(change, "load_kg", "$.change") or {}
        load = []
        for side in (0, 1):
            name = SIDES[side]
            kg = number(more, name, "$.change.load_kg", bounds.LOAD_CHANGE_KG, 0.0)
            carried = self.plan.estimate.theta[LOAD_LEFT + side] / GRAVITY + kg
            if carried < bounds.LOAD_KG[0]:
                raise ModelProblem(
                    "out-of-range",
                    "$.change.load_kg." + name,
                    "%+g kg would leave %.0f kg on the %s spring; take off less" % (kg, carried, name),
                )
            load.append(kg * GRAVITY)
        wanted = part(change, "target", "$.change") or {}
        wish = {}
        for name, limits in WISH:
            if wanted.get(name) is not None:
                wish[name] = number(wanted, name, "$.change.target", limits)
        target, tolerance, lean = read_target(_over(table(self.request, "target", "$"), wish))
        car = Car({"car": source})
        return Case(car, target, tolerance, lean, base.readings, base.moves), tuple(load)


def _over(old: dict, new: dict) -> dict:
    out = dict(old)
    for name in new:
        out[name] = new[name]
    return out


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


def _standing(lattice: Lattice, name: str, point: Point | None = None) -> dict:
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


def _rebarred(estimate: Rebarred) -> dict:
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
    out["odds"] = _over_phases(off, variance, swing, case)
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


def _over_phases(off: tuple, variance: tuple, swing: tuple, case: Case) -> dict:
    """The odds over every phase of the new bars' steps, each side set to its nearest.

    Parameters
    ----------
    off : (2,) expected heights less target with the angle set exactly, [m]
    variance : (3,) of the heights, [m2]
    swing : ((left, right) by half a step of the left side, the same of the right side), [m]
    case : tolerance and lean, [m]

    Returns
    -------
    dict
        typical: mean over phases, uniform and unlike on both sides; best: a step lies right there; worst: both
        sides miss by half a step, the way that hurts most.
    """
    far = [case.tolerance + FAR * math.sqrt(v) for v in variance[:2]]

    def at(left: float, right: float, rule: list) -> float:
        x = off[0] + left * swing[0][0] + right * swing[1][0]
        y = off[1] + left * swing[0][1] + right * swing[1][1]
        if abs(x) > far[0] or abs(y) > far[1]:
            return 0.0
        return landing(mean=(x, y), variance=variance, tolerance=case.tolerance, lean=case.lean, rule=rule)

    nodes = []
    for side in (0, 1):
        reach = abs(swing[side][side]) / math.sqrt(variance[side])
        panels = min(MOST_PANELS, 1 + int(reach / 1.5))
        line = []
        for k in range(panels):
            for node, weight in FIVE:
                line.append(((2 * k + 1 + node) / panels - 1.0, 0.5 * weight / panels))
        nodes.append(line)
    typical = 0.0
    for left, weight in nodes[0]:
        for right, other in nodes[1]:
            typical += weight * other * at(left, right, COARSE)
    worst = 1.0
    for left, right in ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)):
        worst = min(worst, at(left, right, RULE))
    return {"typical": typical, "best": at(0.0, 0.0, RULE), "worst": worst}


def what_if(request: dict, change: dict) -> dict:
    """Try a change on the car of a solve request.

    Parameters
    ----------
    request : dict
        As for ``solve``.
    change : dict
        bar : any of diameter_mm, bore_mm, length_mm, inner_teeth, outer_teeth, shear_modulus_gpa,
        rate_sd_percent and permissible_stress_mpa, of bars to try instead; what is left out stays as it is.
        load_kg : {left, right}, what each spring carries more than now, [kg], less is negative.
        target : any of left_mm, right_mm, tolerance_mm, lean_mm.

    Returns
    -------
    dict
        as_it_is and trial, two columns of the same fields, and cautions. With the bars that are in, the trial is
        the first option of the ordinary plan. With other bars, hanging_deg is the angle to set each arm to;
        body_height_mm.sd counts the gauge it is set by and the nearest fine step; posterior is what is known of the
        car with them, for car.known once they are in. left, right and posterior are None where no angle gives these
        heights.

    Raises
    ------
    ModelProblem
        As ``solve``, and "out-of-range" or "no-equilibrium" at a path below ``$.change``.
    """
    return Bench(request).try_out(change)
