"""What is said of a doubt: one whole sentence for every guess, with named gaps, and the figures in them.

Owns the words only; which guess it is, is `doubt`'s business.
"""

from .fields import KINDS, SIDES
from .figures import POUND_KG, length
from .units import MM

__all__ = ["READINGS", "SENTENCES", "figure", "sentence"]

POUNDS = 1.0 / POUND_KG
"""Pounds to the kilogram."""

READINGS = {(k.name, side): f"{k.words} on the {side}" for k in KINDS for side in SIDES}
"""What a reading is called inside a sentence, by kind and side."""

SENTENCES = {
    "sign flipped": "Check the %(reading)s: with the other sign, %(value)s, it fits the other readings.",
    "datum missing": "Check the %(reading)s: less a body reading of %(datum)s it is %(value)s, which fits"
    " the other readings.",
    "datum sign flipped": "Check the body reading of the %(reading)s: with the other sign, %(value)s, it"
    " fits the other readings.",
    "gauge turned round": "Check the %(reading)s: with the gauge turned round it reads %(value)s,"
    " which fits the other readings.",
    "datum of another pose": "Check the body reading of the %(reading)s: %(value)s, read in another"
    " position, fits the other readings.",
    "inches for millimetres": "Check the %(reading)s: taken as inches it is %(value)s, which fits"
    " the other readings.",
    "centimetres for millimetres": "Check the %(reading)s: taken as centimetres it is %(value)s,"
    " which fits the other readings.",
    "millimetres for inches": "Check the %(reading)s: typed as millimetres but taken as inches, it"
    " should be %(value)s, which fits the other readings.",
    "pounds for kilograms": "Check the %(reading)s: taken as pounds it is %(value)s, which fits the"
    " other readings.",
    "sides swapped": "Check the %(reading)s and on the other side: swapped, left %(left)s and right"
    " %(right)s, they fit the other readings.",
    "decimal point lost": "Check the decimal point of the %(reading)s: %(value)s fits the other readings.",
    "digits swapped": "Check the digits of the %(reading)s: %(value)s fits the other readings.",
    "value typed twice": "Check the %(reading)s: it has the same figure as the other side, but the"
    " other readings say about %(value)s.",
    "board under the other tyre": "Check the board: under the %(side)s tyre, its %(count)s readings"
    " fit the others.",
    "board in inches": "Check the board's thickness: taken as inches it is %(value)s, and its"
    " %(count)s readings fit the others.",
    "other axle on a block": "Check whether the other axle stood on a block amidships: with one, these %(count)s"
    " readings fit the others.",
    "other axle not on a block": "Check whether the other axle stood on a block amidships: without one, these"
    " %(count)s readings fit the others.",
    "one tooth more at the inner end": "Check teardown %(teardown)s, %(side)s side: one tooth more"
    " at the inner end, inner %(inner)s and outer %(outer)s, fits the readings after it.",
    "one tooth fewer at the inner end": "Check teardown %(teardown)s, %(side)s side: one tooth fewer"
    " at the inner end, inner %(inner)s and outer %(outer)s, fits the readings after it.",
    "one tooth more at the outer end": "Check teardown %(teardown)s, %(side)s side: one tooth more"
    " at the outer end, inner %(inner)s and outer %(outer)s, fits the readings after it.",
    "one tooth fewer at the outer end": "Check teardown %(teardown)s, %(side)s side: one tooth fewer"
    " at the outer end, inner %(inner)s and outer %(outer)s, fits the readings after it.",
    "two teeth more at the inner end": "Check teardown %(teardown)s, %(side)s side: two teeth more"
    " at the inner end, inner %(inner)s and outer %(outer)s, fit the readings after it.",
    "two teeth fewer at the inner end": "Check teardown %(teardown)s, %(side)s side: two teeth fewer"
    " at the inner end, inner %(inner)s and outer %(outer)s, fit the readings after it.",
    "two teeth more at the outer end": "Check teardown %(teardown)s, %(side)s side: two teeth more"
    " at the outer end, inner %(inner)s and outer %(outer)s, fit the readings after it.",
    "two teeth fewer at the outer end": "Check teardown %(teardown)s, %(side)s side: two teeth fewer"
    " at the outer end, inner %(inner)s and outer %(outer)s, fit the readings after it.",
    "turned the wrong way": "Check teardown %(teardown)s, %(side)s side: turned the other way, inner"
    " %(inner)s and outer %(outer)s, it fits the readings after it.",
    "both the wrong way": "Check teardown %(teardown)s: with both sides turned the other way it fits the readings"
    " after it.",
    "other side turned": "Check teardown %(teardown)s: with the two sides' teeth exchanged it fits"
    " the readings after it.",
    "one turn more": "Check adjustment %(teardown)s, %(side)s side: one turn more, %(turns)s, fits the readings"
    " after it.",
    "one turn fewer": "Check adjustment %(teardown)s, %(side)s side: one turn fewer, %(turns)s, fits the readings"
    " after it.",
    "adjuster turned the wrong way": "Check adjustment %(teardown)s, %(side)s side: turned the other way,"
    " %(turns)s, it fits the readings after it.",
    "adjusters swapped": "Check adjustment %(teardown)s: with left and right taken for each other, left %(left)s"
    " and right %(right)s, it fits the readings after it.",
    "inches on both sides": "Check the ride heights on both sides: taken as inches, the first is"
    " %(value)s, which is usual.",
    "centimetres on both sides": "Check the ride heights on both sides: taken as centimetres, the"
    " first is %(value)s, which is usual.",
    "pounds on both sides": "Check the wheel loads on both sides: taken as pounds, the left one is %(value)s,"
    " and they fit the other readings.",
    "unlike the other side": "Check the %(reading)s: on the other side it is %(other)s.",
    "sides unlike": "Check the %(reading)s: the arms say that the car leans %(lean)s more than"
    " the ride heights do.",
    "unexplained": "Check the %(reading)s: it is %(misfit)s standard deviations from what the"
    " other readings say.",
}
"""The sentence of each guess, and of what is told in other words than its guess."""


def figure(number: float, unit: str, units: str) -> str:
    """A figure with its unit.

    Parameters
    ----------
    number : in deg, mm or kg, as ``unit`` says; "" for a plain number, "teeth" for a whole one with its sign
    unit : "deg", "mm", "kg", "teeth", "turns" or ""
    units : "metric" or "inch"
    """
    if unit == "deg":
        return "%.1f°" % number
    if unit == "mm":
        return length(number * MM, units, fine=True)
    if unit == "kg":
        return "%.0f lb" % (number * POUNDS) if units == "inch" else "%.1f kg" % number
    if unit == "turns":
        return "%+.2f turns" % number if number else "no turn"
    if unit == "teeth":
        return "%+d" % number if number else "0"
    return "%.1f" % number


def sentence(guess: str, gaps: dict, units: str) -> str:
    """The sentence of a guess.

    ``gaps`` by name: a word, a whole number, or (number, unit) as for ``figure``. A reading is (kind, side).
    """
    said = {}
    for name in gaps:
        gap = gaps[name]
        if name == "reading":
            said[name] = READINGS[(gap[0], SIDES[gap[1]])]
        elif isinstance(gap, tuple):
            said[name] = figure(gap[0], gap[1], units)
        else:
            said[name] = "%s" % gap
    return SENTENCES[guess] % said
