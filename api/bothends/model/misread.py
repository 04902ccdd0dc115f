"""The usual slips of one reading, each with the change it would explain and the value it repairs.

Common practice, no source: a sign turned, a gauge turned round, the datum left out, inches typed for millimetres, a
decimal point lost, two digits swapped. Slips of two sides are `mixup`'s, of a move `miscount`'s.
"""

import math

from .fields import KINDS, SIDES
from .figures import POUND_KG
from .misfit import Misfits
from .observation import Observation
from .reading import Reading
from .slip import Slip, scatter_change, with_value
from .statics import ARM
from .units import INCH, MM, SIZE

__all__ = ["LOUD_ENOUGH", "UNIT", "USUAL_HEIGHT", "misreadings", "neighbours", "unusual"]

MOST_DATUMS = 12
"""Datums of one kind of pose and teardown that are tried for one another."""
LOUD_ENOUGH = 6.0
"""Drop of the sum of squares that must be in a reading at all before its slips are tried."""
AS_TYPED = {"°": "deg", "mm": "mm", "kg": "kg"}
"""A kind's unit in the words of a doubt."""
UNIT = {k.name: (AS_TYPED[k.unit], SIZE[k.unit], k.value.limits) for k in KINDS}
"""Unit of each kind as typed, its size in SI, and its bounds."""
USUAL_HEIGHT = (150.0 * MM, 450.0 * MM)
"""Heights of a body's mark over the ground that need no explaining, [m]."""
STRANGE = 12.0
"""What a slip costs whose height would be no car's, in sums of squares for each factor of e beyond the usual."""


def unusual(value: float) -> float:
    """How far a height is from the usual ones, as the logarithm of a ratio; 0 within them.

    >>> [round(unusual(h), 2) for h in (0.009, 0.24, 0.9)]
    [2.81, 0.0, 0.69]
    """
    return max(0.0, math.log(USUAL_HEIGHT[0] / value), math.log(value / USUAL_HEIGHT[1]))


def neighbours(figure: float, decimal: bool = False) -> list:
    """Figures that become this one when two neighbouring digits are swapped, up to one decimal.

    ``decimal``: whether the decimal is written even where it is a nought, as that of an angle.

    Examples
    --------
    >>> neighbours(231.0)
    [2031.0, 321.0, 213.0]
    >>> neighbours(-9.6)
    [-90.6, -6.9]
    >>> neighbours(7.0, True)
    [70.0, 0.7]
    """
    # A nought in front is swapped as well: 10.7 typed as 01.7 is kept as 1.7.
    text = "0%.1f" % abs(figure)
    if text.endswith(".0") and not decimal:
        text = text[:-2]
    places = [i for i in range(len(text)) if text[i] != "."]
    out: list[float] = []
    for k in range(len(places) - 1):
        i, j = places[k], places[k + 1]
        if text[i] == text[j] or (i == 1 and text[j] == "0" and not decimal):
            continue
        other = float(text[:i] + text[j] + text[i + 1 : j] + text[i] + text[j + 1 :])
        out.append(-other if figure < 0.0 else other)
    return out


def _mistyped(figure: float, decimal: bool) -> list:
    """(guess, figure meant, rarity) for any typed figure."""
    out: list[tuple] = [
        ("decimal point lost", figure / 10.0, 3.5),
        ("decimal point lost", figure * 10.0, 3.0),
    ]
    for other in neighbours(figure, decimal):
        out.append(("digits swapped", other, 3.0))
    return out


def _angle_slips(reading: Reading, datums: list) -> list:
    """(guess, raw, datum, shown value, field, rarity) for an angle."""
    raw = reading.raw
    datum = reading.datum
    out: list[tuple] = []
    if datum is None:
        out.append(("sign flipped", -raw, None, -raw, "value", 0.0))
        if not reading.gravity:
            for other in datums:
                out.append(("datum missing", raw, other, raw - other, "value", 0.0))
    else:
        out.append(("sign flipped", -raw, datum, -raw, "value", 0.0))
        out.append(("datum sign flipped", raw, -datum, -datum, "datum", 1.0))
        out.append(("gauge turned round", -raw, -datum, -raw, "value", 1.0))
        for other in datums:
            if abs(other - datum) > 0.5:
                out.append(("datum of another pose", raw, other, other, "datum", 5.0))
        for guess, other, rarity in _mistyped(datum, True):
            out.append((guess, raw, other, other, "datum", rarity + 2.0))
    for guess, other, rarity in _mistyped(raw, True):
        out.append((guess, other, datum, other, "value", rarity))
    return out


def _other_slips(reading: Reading) -> list:
    """The same for a length or a load."""
    raw = reading.raw
    factors: tuple = (("pounds for kilograms", POUND_KG, 0.0),)
    if reading.kind != "wheel-load":
        factors = (
            ("inches for millimetres", INCH, 0.0),
            ("centimetres for millimetres", 10.0, 1.0),
            ("millimetres for inches", 1.0 / INCH, 2.0),
        )
    out: list[tuple] = [(guess, raw * f, None, raw * f, "value", rarity) for guess, f, rarity in factors]
    for guess, other, rarity in _mistyped(raw, False):
        # A point lost and centimetres typed are one and the same where the figure is ten times too small.
        if reading.kind == "wheel-load" or guess != "decimal point lost" or abs(other) < abs(raw):
            out.append((guess, other, None, other, "value", rarity))
    return out


def _datums(readings: list) -> dict:
    """Datums read in each kind of pose after each teardown : {(teardown, hanging): [(datum in deg, log index)]}.

    Near repeats are left out, but for one, so that no reading is offered nothing but its own.
    """
    out: dict = {}
    for reading in readings:
        if reading.datum is None:
            continue
        there = out.setdefault((reading.teardown, reading.hanging), [])
        if len(there) < MOST_DATUMS and len([d for d, _ in there if abs(d - reading.datum) < 0.5]) < 2:
            there.append((reading.datum, reading.index))
    return out


def _others(datums: dict, reading: Reading) -> list:
    """Datums that may have been meant instead of this reading's own, [deg]."""
    out: list[float] = []
    for datum, index in datums.get((reading.teardown, reading.hanging), []):
        if index != reading.index and not [d for d in out if abs(d - datum) < 0.5]:
            out.append(datum)
    return out


def _of_reading(i: int, o: Observation, reading: Reading, datums: dict) -> list:
    """Slips of one reading behind observation ``i``."""
    unit, size, (low, high) = UNIT[o.kind]
    found = _angle_slips(reading, _others(datums, reading)) if unit == "deg" else _other_slips(reading)
    out = []
    share = (o.spread / reading.sd) ** 2
    for guess, raw, datum, shown, field, rarity in found:
        value = (raw - (datum or 0.0)) * size
        change = value - reading.value
        if o.kind == "body-height" and value > 0.0:
            # Of two repeats that differ by a unit either may be wrong: the one that would be a car's height is not.
            rarity += STRANGE * max(0.0, unusual(value) - unusual(max(reading.value, MM)))
        if abs(change) < reading.sd or not low <= raw <= high or not (datum is None or low <= datum <= high):
            continue
        replace = {reading.index: with_value(reading, value, raw, datum)}
        gaps = {"reading": (o.kind, o.side), "value": (shown, unit), "datum": (datum or 0.0, unit)}
        out.append(
            Slip(
                guess, reading.index, shown, [([(i, change * share)], 1.0)],
                within=scatter_change(o, change * share, replace), rarity=rarity, replace=replace, field=field,
                side=SIDES[o.side], gaps=gaps,
            )
        )  # fmt: skip
    return out


def _of_hung(i: int, hung: Observation, arm: float, datums: dict) -> list:
    """Slips of the arm's angle read in a hang test, felt only through the hub's height there."""
    out = []
    for reading in hung.members:
        for slip in _of_reading(i, hung, reading, datums):
            # The same change of angle, as the change of the hub's reading that would say the same.
            turned = slip.parts[0][0][0][1]
            change = arm * (math.sin(hung.value) - math.sin(hung.value + turned))
            slip.parts = [([(i, change)], 1.0)]
            out.append(slip)
    return out


def misreadings(figures: Misfits) -> list:
    """Every slip of one reading worth trying, as Slip; ``figures`` are an estimate's Misfits."""
    estimate = figures.estimate
    observations = estimate.evidence.observations
    datums = _datums(estimate.case.readings)
    out = []
    for i in range(len(observations)):
        if figures.heard[i] < LOUD_ENOUGH:
            continue
        o = observations[i]
        for reading in o.members:
            out += _of_reading(i, o, reading, datums)
        if o.hung is not None:
            out += _of_hung(i, o.hung, estimate.theta[ARM], datums)
    return out
