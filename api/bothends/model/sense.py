"""What common sense doubts before any fit: heights and wheel loads that no car has, by unit or decimal point.

A first visit's log may be too short for its readings to contradict one another: a height of 9 beside one of 240
fits a model whose marks may sit anywhere. Here they are held against what is usual, and against the other side.
Pure checks on the readings; common practice, no source.
"""

import math

from .case import Case
from .fields import SIDES
from .figures import POUND_KG
from .misread import UNIT, USUAL_HEIGHT, unusual
from .slip import Slip, with_value
from .units import INCH, MM

__all__ = ["unlikely"]

LEAST_HEIGHT = 40.0 * MM
"""Height under which both sides' marks are taken to be in another unit, [m]."""
FACTOR = 2.2
"""Ratio of one side's height to the other's beyond which one of them is not what was read."""
NEAR = 1.5
"""Ratio to the other side's height within which a height in another unit is believed."""
HEIGHTS = (
    ("inches for millimetres", INCH),
    ("centimetres for millimetres", 10.0),
    ("decimal point lost", 0.1),
    ("millimetres for inches", 1.0 / INCH),
)
BOTH = {
    "inches for millimetres": "inches on both sides",
    "centimetres for millimetres": "centimetres on both sides",
}
"""Units that both sides' heights may be in, and the sentence that says so."""
USUAL = math.sqrt(USUAL_HEIGHT[0] * USUAL_HEIGHT[1])
USUAL_SPREAD = 0.25 * math.log(USUAL_HEIGHT[1] / USUAL_HEIGHT[0])
"""Middle of the usual heights, [m], and their spread, as that of a logarithm."""
SIDE_SPREAD = 0.1
"""Spread of one side's height, or load, against the other's, as that of a logarithm."""
POUNDS = (2.0, 2.4)
"""Ratio of one side's wheel load to the other's at which the larger is taken to be in pounds."""


def _grouped(case: Case, kind: str) -> dict:
    """Readings of a kind by pose, then by side : {(teardown, pose): ([left], [right])}."""
    out: dict = {}
    for reading in case.readings:
        if reading.kind == kind:
            out.setdefault((reading.teardown, reading.pose), ([], []))[reading.side].append(reading)
    return out


def _mean(readings: list) -> float:
    total = 0.0
    for reading in readings:
        total += reading.value
    return total / len(readings)


def _in_other_unit(readings: list, guess: str, factor: float, side: str) -> Slip:
    """The slip that takes some readings times a factor."""
    replace = {}
    for reading in readings:
        replace[reading.index] = with_value(reading, reading.value * factor, reading.raw * factor, None)
    first = readings[0]
    unit = UNIT[first.kind][0]
    return Slip(
        guess,
        min(replace),
        first.raw * factor,
        [],
        replace=replace,
        side=side,
        gaps={"reading": (first.kind, first.side), "value": (first.raw * factor, unit)},
    )


def _likely_height(value: float, other: float) -> tuple | None:
    """(guess, factor) that makes a height like the other side's; None where none does."""
    best = None
    for guess, factor in HEIGHTS:
        meant = value * factor
        off = abs(math.log(meant / other))
        if off < math.log(NEAR) and (best is None or off < best[0]):
            best = (off, guess, factor)
    return None if best is None else best[1:]


def _one_side(case: Case) -> list:
    """One side's height far from the other's in the same pose."""
    out = []
    poses = _grouped(case, "body-height")
    for pose in sorted(poses):
        sides = poses[pose]
        if not sides[0] or not sides[1]:
            continue
        for odd in (0, 1):
            other = sides[1 - odd]
            # Of two that differ, the odd one is the less usual; of repeats, each is looked at by itself.
            strange = []
            for reading in sides[odd]:
                ratios = [reading.value / r.value for r in other]
                far = [q for q in ratios if not 1.0 / FACTOR < q < FACTOR]
                if len(far) == len(ratios) and unusual(reading.value) > unusual(_mean(other)):
                    strange.append(reading)
            if not strange:
                continue
            named = _likely_height(strange[0].value, _mean(other))
            if named is not None:
                slip = _in_other_unit(strange, named[0], named[1], SIDES[odd])
            else:
                gaps = {"reading": ("body-height", odd), "other": (_mean(other) / MM, "mm")}
                replace: dict = {}
                for reading in strange:
                    replace[reading.index] = None
                slip = Slip(
                    "unexplained", min(replace), None, [], replace=replace, side=SIDES[odd],
                    words="unlike the other side", gaps=gaps,
                )  # fmt: skip
            out.append((slip, abs(math.log(strange[0].value / _mean(other))) / SIDE_SPREAD))
    return out


def _both_sides(case: Case) -> list:
    """All heights too low to be in millimetres: one slip that names both sides."""
    readings = [r for r in case.readings if r.kind == "body-height"]
    if not readings or [r for r in readings if r.value >= LEAST_HEIGHT]:
        return []
    # In inches where that is a usual height; what would be too high for it is in centimetres.
    guess, factor = HEIGHTS[0] if _mean(readings) * INCH <= USUAL_HEIGHT[1] else HEIGHTS[1]
    slip = _in_other_unit(readings, guess, factor, "both")
    slip.words = BOTH[guess]
    return [(slip, abs(math.log(_mean(readings) / USUAL)) / USUAL_SPREAD)]


def _loads(case: Case) -> list:
    """One side's wheel load so much larger than the other's that it looks like pounds."""
    out = []
    poses = _grouped(case, "wheel-load")
    for pose in sorted(poses):
        sides = poses[pose]
        if not sides[0] or not sides[1] or pose[1][1] != pose[1][2]:
            continue
        for odd in (0, 1):
            ratio = _mean(sides[odd]) / _mean(sides[1 - odd])
            if POUNDS[0] <= ratio <= POUNDS[1]:
                slip = _in_other_unit(sides[odd], "pounds for kilograms", POUND_KG, SIDES[odd])
                out.append((slip, math.log(ratio) / SIDE_SPREAD))
    return out


def unlikely(case: Case) -> list:
    """Readings that common sense doubts : list of (Slip, misfit in standard deviations of what is usual).

    A slip that puts nothing right leaves its readings out.
    """
    return _both_sides(case) or _one_side(case) + _loads(case)
