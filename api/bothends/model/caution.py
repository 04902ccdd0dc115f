"""The cautions every plan carries, in our own words, and those a particular case earns.

They do not replace the car's own manual, local rules or a licensed mechanic.
"""

from .lattice import HOPELESS
from .request import Case

__all__ = ["standing"]

ALWAYS = (
    "A wound bar can break bones. Keep clear of the arm's arc; lower and lift it only with a tool that cannot"
    " slip, never by hand, never with the car's weight on the jack alone.",
    "Body on rated stands on level, hard ground, wheels chocked. Never go under a car held by a jack.",
    "Wear eye protection. Do not file, weld, clamp or chip the paint of a bar; a nicked or pitted bar breaks.",
    "Bars are made for one direction of twist, left and right differ, and some fit in one position only: check"
    " marks and blind splines before turning anything.",
    "Torques, locking and new fasteners as the car's own manual says. Alignment, headlamps and brakes are"
    " checked by someone qualified before road use; local rules on ride height apply.",
    "These figures are an aid. Where car and screen disagree, believe the car and measure again.",
)


def standing(case: Case, options: list, doubts: list, repaired: bool) -> list:
    """Cautions for a whole answer: what this case earns first, then the ones always shown."""
    out = []
    if doubts:
        out.append("Readings disagree. Settle the doubts before turning a tooth.")
    if repaired:
        out.append(
            "The log makes no sense as entered. The figures are worked out as if the doubts were put right."
        )
    turning = [option for option in options if option["ends_disturbed"]]
    if options[0]["odds"] < HOPELESS or options[0]["stopped_by"]:
        if [option for option in turning if not option["stopped_by"]]:
            out.append(
                "No choice of whole teeth has odds worth the name: widen the tolerance or change the target."
            )
        else:
            out.append("The target cannot be had within this car's limits: see what stops each option.")
    car = case.car
    if car.inner_teeth == car.outer_teeth:
        out.append(
            "Both ends have %d teeth, so there is no fine step: every tooth turns the arm %.1f°."
            % (car.inner_teeth, 360.0 / car.inner_teeth)
        )
    elif car.inner_teeth % car.outer_teeth == 0 or car.outer_teeth % car.inner_teeth == 0:
        out.append(
            "One tooth count divides the other, so both ends together give no finer step than one end."
        )
    if not car.travel_given:
        out.append("Bump or droop travel was not given: 60 mm up and 90 mm down are assumed. Measure them.")
    return out + list(ALWAYS)
