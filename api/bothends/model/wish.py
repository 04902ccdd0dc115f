"""What is wanted, in the forms the trade has for it, and the heights that it comes to on this car.

A target is of heights, of a rise, of a level, of hanging angles as a workshop manual gives them, or of a cross-
weight beside the mean of both heights. Owns the checks of the form and what "as found" means: the mean of the
plain readings (on its wheels, no board, before any teardown and before any follow-up), taken as fixed numbers,
so that plan, verdict and sheet speak of one height.
"""

from . import fields
from .field import choice, needed, part, take, text
from .fields import AIM, LEVELS, LONGEST_SPOT, MEASURED, SIDES, TOLERANCES, kind, names, told, word
from .problem import ModelProblem
from .units import DEG, GRAVITY, MM

__all__ = ["FORMS", "Wish", "amended", "as_found"]

FORMS = {f.name: ("as",) + f.needs + f.may for f in fields.FORMS}
"""Fields of each form; a field of another form is refused."""
BESIDE = {f.name: ("as",) + f.needs + f.may for f in fields.OTHER_FORMS}
"""The same of the other axle's target."""


class Wish:
    """A target, checked; lengths in m, angles in rad, ballast in N.

    Attributes
    ----------
    form : one of fields.AIMS
    measured : "body-height" or "hub-to-body", which mark is meant
    tolerance, lean : half widths; of a hanging-angle target both in rad, the lean then wide enough not to matter
    ballast : (2,) what is in the car when it is judged, [N]
    spot : where it is judged
    heights, rise, angles : (2,) or None, as the form has it; ``level`` (at, rise) or None
    cross : (share of all four loads, rise of the mean [m], half width of the share) or None
    share : (share of all four loads, half width of it) asked for beside both axles' heights, or None
    other : Wish of the other axle, which has ``share``, or None
    """

    def __init__(self, source: dict, base: str = "target") -> None:
        self.base = base
        at = "$." + base
        said = word(base + ".as")
        self.form = choice(source, "as", at, said.choices, str(said.default))
        allowed = (BESIDE if base == AIM else FORMS)[self.form]
        for name in names(base) + told(base):
            if source.get(name) is not None and name not in allowed:
                raise ModelProblem(
                    "out-of-range",
                    at + "." + name,
                    "%s is not a field of a target as %s, which has %s"
                    % (name, self.form, ", ".join([n for n in allowed if n != "as"])),
                )
        self.ballast = tuple([self._needed(source, "ballast_%s_kg" % s) * GRAVITY for s in SIDES])
        self.spot = text(source, "spot", at, LONGEST_SPOT) if base != AIM else ""
        self.share: tuple | None = None
        self.other: Wish | None = None
        self.measured = "body-height"
        self.heights: tuple | None = None
        self.rise: tuple | None = None
        self.level: tuple | None = None
        self.angles: tuple | None = None
        self.cross: tuple | None = None
        if self.form == "hanging-angle":
            self.angles = tuple([needed(source, "target.%s_deg" % s) * DEG for s in SIDES])
            self.tolerance = needed(source, "target.tolerance_deg") * DEG
            self.lean = 2.0 * self.tolerance
            self._beside(source)
            return
        self.measured = choice(source, "measured", at, MEASURED, "body-height")
        self.tolerance = self._needed(source, "tolerance_mm") * MM
        # Of a cross-weight as wide as two misses can differ: of the lean nothing is asked.
        self.lean = (
            2.0 * self.tolerance if self.form == "cross-weight" else self._needed(source, "lean_mm") * MM
        )
        if self.form == "cross-weight":
            percent = [needed(source, "target." + name) for name in ("cross_percent", "tolerance_percent")]
            self.cross = (0.01 * percent[0], needed(source, "target.rise_mm") * MM, 0.01 * percent[1])
        elif self.form == "heights":
            self.heights = tuple([self._height(source, side) for side in SIDES])
        elif self.form == "rise":
            self.rise = tuple([self._needed(source, "%s_rise_mm" % s) * MM for s in SIDES])
        else:
            self.level = (choice(source, "at", at, LEVELS, "higher"), self._needed(source, "rise_mm") * MM)
        self._beside(source)

    def _needed(self, source: dict, name: str) -> float:
        """A number of this target that nothing can stand in for."""
        return needed(source, self.base + "." + name)

    def _beside(self, source: dict) -> None:
        """What is asked for beside these heights: the other axle's, or a cross-weight of both."""
        if self.base == AIM:
            share = take(source, AIM + ".cross_percent")
            if share is not None:
                self.share = (0.01 * share, 0.01 * self._needed(source, "tolerance_percent"))
            return
        if source.get("other") is None:
            return
        if self.form not in BESIDE:
            raise ModelProblem(
                "out-of-range",
                "$.target.other",
                "both axles are planned for heights, a rise or a level of each, and this target is as %s; for a"
                " cross-weight beside the heights of both say other.cross_percent" % self.form,
            )
        self.other = Wish(part(source, "other", "$.target"), AIM)
        self.other.spot = self.spot

    def _height(self, source: dict, side: str) -> float:
        value = take(source, "%s.%s_mm" % (self.base, side)) if self.measured == "body-height" else None
        if self.measured != "body-height":
            # A hub may stand above its mark: the bounds are that kind's.
            value = source.get(side + "_mm")
            limits = kind(self.measured).value.limits
            number = isinstance(value, (int, float)) and not isinstance(value, bool)
            if value is not None and not (number and limits[0] <= value <= limits[1]):
                raise ModelProblem(
                    "out-of-range",
                    "$.%s.%s_mm" % (self.base, side),
                    "%s_mm must be between %g and %g, got %s" % ((side,) + limits + (value,)),
                )
        if value is None:
            raise ModelProblem("out-of-range", "$.%s.%s_mm" % (self.base, side), side + "_mm is required")
        return float(value) * MM

    def wanted(self, found: tuple) -> tuple:
        """Heights wanted : (2,) [m], each None where a side was not read and the form needs it.

        Parameters
        ----------
        found : (2,) heights as found, [m], None where that side was not read.

        >>> Wish({"as": "level", "rise_mm": 100.0}).wanted((0.152, 0.171))
        (0.271, 0.271)
        """
        if self.heights is not None:
            return self.heights
        if self.rise is not None:
            return tuple([None if h is None else h + up for h, up in zip(found, self.rise)])
        if self.level is not None:
            at, rise = self.level
            if found[0] is None or found[1] is None:
                return (None, None)
            start = {"higher": max(found), "lower": min(found), "mean": 0.5 * (found[0] + found[1])}[at]
            return (start + rise, start + rise)
        return (None, None)

    def said(self, wanted: tuple) -> dict:
        """The answer's form of it: as asked for, with its defaults, and the heights it comes to, [mm]."""
        out: dict = {"as": self.form}
        for side, height in zip(SIDES, wanted):
            out[side + "_mm"] = None if height is None else height / MM
        for side, newton in zip(SIDES, self.ballast):
            out["ballast_%s_kg" % side] = newton / GRAVITY
        out["spot"] = self.spot or None
        if self.angles is not None:
            for side, angle in zip(SIDES, self.angles):
                out[side + "_deg"] = angle / DEG
            out["tolerance_deg"] = self.tolerance / DEG
            return out
        out["measured"] = self.measured
        out["tolerance_mm"] = self.tolerance / MM
        if self.cross is not None:
            out["cross_percent"], out["tolerance_percent"] = 100.0 * self.cross[0], 100.0 * self.cross[2]
            out["rise_mm"] = self.cross[1] / MM
            return out
        out["lean_mm"] = self.lean / MM
        if self.rise is not None:
            for side, rise in zip(SIDES, self.rise):
                out[side + "_rise_mm"] = rise / MM
        if self.level is not None:
            out["at"] = self.level[0]
            out["rise_mm"] = self.level[1] / MM
        return out


def as_found(readings: list, measured: str) -> tuple:
    """Readings that say how the car stood as found: ([Reading] left, right), plain ones of that kind only."""
    out: tuple = ([], [])
    for r in readings:
        if r.kind == measured and r.teardown == 0 and r.after == 0.0 and r.level:
            out[r.side].append(r)
    return out


HEIGHTS = ("left_mm", "right_mm")


def amended(old: dict, new: dict) -> dict:
    """A target with what a later word on it says.

    One that says its form, or says heights without it (an older phone), begins anew, keeping only the tolerances
    that it does not name and that its form has: mark, spot and ballast go, since figures meant for another mark or
    another load are not these. Heights after heights of the ride-height mark keep the side that is not named. Any
    other patches.

    >>> amended({"as": "level", "rise_mm": 100.0, "lean_mm": 3.0}, {"left_mm": 250.0, "right_mm": 250.0})["lean_mm"]
    3.0
    """
    named = new.get("as") is not None
    before = old.get("as") or fields.AIMS[0]
    form = new.get("as") or fields.AIMS[0]
    stay = [name for name in TOLERANCES if name in FORMS.get(form, TOLERANCES)]
    if not named and new.get("left_mm") is None and new.get("right_mm") is None:
        stay = list(old)
    elif not named and before == fields.AIMS[0] and old.get("measured") in (None, MEASURED[0]):
        stay = stay + list(HEIGHTS)
    out = {}
    for name in stay:
        if name in old:
            out[name] = old[name]
    for name in new:
        if new[name] is None:
            out.pop(name, None)
        else:
            out[name] = new[name]
    return out
