"""What if: other bars, another load, another wish, tried on the fitted car without touching its log.

With the bars that are in, a trial is the ordinary plan from the teeth as they are. With other bars everything is
taken apart anyway and the hanging angle is free up to the new bars' fine step, of which nobody knows the phase
before they are in: so the answer is the angle to set, and the odds over every phase. Owns the change's checks;
`refit` carries the car over, `column` says what comes of it.
"""

from . import bounds
from .caution import standing
from .choose import choose
from .column import other_bars, standing_bars
from .field import integer, number, part, table
from .lattice import Lattice
from .problem import ModelProblem
from .refit import Laden, Rebarred
from .request import SIDES, Car, Case, read_target
from .solve import Plan
from .statics import LOAD_LEFT
from .units import GRAVITY

__all__ = ["Bench", "what_if"]

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
        self.found = standing_bars(lattice, "as it is")

    def try_out(self, change: dict) -> dict:
        """One trial beside the car as it is, as ``what_if`` describes."""
        base = self.plan.estimate
        case, load = self._changed(change)
        other = [name for name in MADE_OF if getattr(case.car, name) != getattr(base.case.car, name)]
        if other:
            trial = other_bars(Rebarred(base, case, load))
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
            trial = standing_bars(lattice, "", choose(lattice, bool(self.plan.doubts))[1])
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
