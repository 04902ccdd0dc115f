"""What if: other bars, another load, another wish, tried on the fitted car without touching its log.

With the bars that are in, a trial is the ordinary plan from the teeth as they are. With other bars everything is
taken apart anyway and the hanging angle is free up to the new bars' fine step, of which nobody knows the phase
before they are in: so the answer is the angle to set, and the odds over every phase. Owns the change's checks;
`refit` carries the car over, `column` says what comes of it.
"""

from .car import Car
from .case import Case
from .caution import standing
from .choose import choose
from .column import other_bars, standing_bars
from .field import part, take, take_whole
from .fields import SIDES, field, names
from .problem import ModelProblem
from .refit import Laden, Rebarred
from .request import required
from .sentences import BENCH
from .solve import Plan
from .statics import LOAD_LEFT
from .units import GRAVITY
from .wish import Wish, amended
from .withhold import search_of

__all__ = ["Bench", "what_if"]

MADE_OF = ("diameter", "bore", "length", "modulus", "inner_teeth", "outer_teeth")
"""What makes a bar another bar."""


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
        self.found = standing_bars(search_of(self.plan.estimate), "as it is")

    def try_out(self, change: dict) -> dict:
        """One trial beside the car as it is, as ``what_if`` describes."""
        base = self.plan.estimate
        case, load = self._changed(change)
        new, old = case.car, base.case.car
        other = False
        for name in MADE_OF:
            if getattr(new, name) != getattr(old, name):
                # Teeth that are counted now are a fact of the bars that are in; their size makes them others.
                other = other or getattr(old, name) is not None or name in ("diameter", "length")
        if other:
            self._sized(new)
            trial = other_bars(Rebarred(base, case, load))
            if old.stress is not None and (change.get("bar") or {}).get("permissible_stress_mpa") is None:
                trial["cautions"].append(BENCH["old-limit"])
        else:
            laden = Laden(base, case, load)
            if laden.now is None:
                raise ModelProblem(
                    "no-equilibrium",
                    "$.change.load_kg",
                    "with this load the car would not stand on both its wheels; try another",
                )
            search = search_of(laden, case.wish)
            trial = standing_bars(search, "", choose(search).first)
        words = standing(case, self.plan.doubts, self.plan.repaired)
        return {
            "as_it_is": self.found,
            "trial": trial,
            "cautions": ([BENCH["fit"], BENCH["new"]] if other else []) + words,
        }

    @staticmethod
    def _sized(car: Car) -> None:
        """Other bars are known by their size alone, so it must be whole."""
        for name in ("diameter", "length"):
            if getattr(car, name) is None:
                raise ModelProblem(
                    "out-of-range",
                    "$.change.bar.%s_mm" % name,
                    "to try other bars on this car say their diameter_mm and length_mm: those that are in were"
                    " never measured",
                )

    def _changed(self, change: dict) -> tuple:
        """The case that a change makes, and the load it adds (2,) [N]; every number checked at its own path."""
        if not isinstance(change, dict):
            raise ModelProblem("out-of-range", "$.change", "change must be an object")
        base = self.plan.case
        bar = part(change, "bar", "$.change")
        at = "$.change.bar"
        new: dict = {}
        for name in names("car.bar"):
            if bar.get(name) is not None:
                path = "car.bar." + name
                new[name] = take_whole(bar, path, at) if field(path).whole else take(bar, path, at)
        source = dict(part(self.request, "car", "$"))
        source["bar"] = _over(source.get("bar") or {}, new)
        size = source["bar"]
        if size.get("bore_mm") and size.get("diameter_mm") and size["bore_mm"] >= size["diameter_mm"]:
            raise ModelProblem(
                "out-of-range",
                at + (".bore_mm" if "bore_mm" in new else ".diameter_mm"),
                "bore must be less than the bar's diameter, got a bore of %g mm in %g mm; a solid bar has bore 0"
                % (size["bore_mm"], size["diameter_mm"]),
            )
        if bar.get("permissible_stress_mpa") is not None:
            stress = take(bar, "car.limits.permissible_stress_mpa", at)
            source["limits"] = _over(source.get("limits") or {}, {"permissible_stress_mpa": stress})
        wanted = part(change, "target", "$.change")
        try:
            wish = Wish(amended(part(self.request, "target", "$"), wanted))
            case = Case(Car({"car": source}), wish, base.readings, base.moves, base.units, base.other).beside(
                base
            )
            required(case)
        except ModelProblem as problem:
            if problem.path.startswith("$.target"):
                problem.path = "$.change" + problem.path[1:]
            raise problem
        return case, self._load(change)

    def _load(self, change: dict) -> tuple:
        """What a change adds to the springs, (2,) [N]."""
        more = part(change, "load_kg", "$.change")
        load = []
        for side in (0, 1):
            name = SIDES[side]
            kg = take(more, "change.load_kg." + name) or 0.0
            carried = self.plan.estimate.theta[LOAD_LEFT + side] / GRAVITY + kg
            if carried < field("car.load_kg." + name).low:
                raise ModelProblem(
                    "out-of-range",
                    "$.change.load_kg." + name,
                    "%+g kg would leave %.0f kg on the %s spring; take off less" % (kg, carried, name),
                )
            load.append(kg * GRAVITY)
        return tuple(load)


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
        target : a target, or what is to change of it (see `wish.amended`).

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
