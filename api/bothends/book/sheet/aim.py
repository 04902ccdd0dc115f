"""What a target comes to, and whether the car as read meets it: the sheet's half of the four forms.

A target is of heights, of a rise, of a level, or of hanging angles. Owns which readings count as the car
standing as it is judged (on its wheels, no board, with the target's ballast), what was found before any
teardown, and the verdict. Pure functions of rows. Where the model has worked out the heights (a kept plan's
target has them), those are taken: it also carries readings over to another ballast, which cannot be done here.
Runs on the phone as well.
"""

from bothends.model.fields import MEASURED, field

from .kinds import ANGLES, SIDES

__all__ = [
    "after_km",
    "aimed",
    "as_found",
    "ballast",
    "form",
    "judged_by",
    "means",
    "measured",
    "number",
    "resolved",
    "verdict",
    "within",
]

TOLERANCES = ("lean_mm", "tolerance_deg", "tolerance_mm")
HEIGHTS = ("left_mm", "right_mm")
SLACK = 1e-6
"""Sums of decimal readings: a millionth of their unit of rounding must not turn a hit into a miss."""


def number(value: object) -> float | None:
    """A number, or None for anything else."""
    return value if isinstance(value, (int, float)) and not isinstance(value, bool) else None


def after_km(row: dict) -> float | None:
    """How far the car was driven since hand-over when a reading was made, [km]; None on hand-over day."""
    km = number(row.get("after_km"))
    return None if km is None or km <= 0.0 else float(km)


def form(target: dict) -> str:
    """Which of the four forms a target has: heights where it does not say."""
    said = target.get("as")
    return said if isinstance(said, str) else "heights"


def measured(target: dict) -> str:
    """Which kind of height a target is of."""
    said = target.get("measured")
    return said if said in MEASURED else MEASURED[0]


def judged_by(target: dict) -> str:
    """The kind of reading that says whether the target was met."""
    return "hanging-angle" if form(target) == "hanging-angle" else measured(target)


def aimed(card: dict, said: dict) -> dict:
    """What is left of a target when another entry about it comes, before that entry is merged into it.

    An entry that names a form, or heights without one (an older phone), begins the target anew: only tolerances
    stay. Mark, spot and ballast go, since figures meant for another mark or another load are not these. Heights
    after heights of the ride-height mark are no new beginning for the side that is not named: entries of one side
    each have always added up. Any other entry patches: everything stays.
    """
    named = said.get("as") is not None
    if not named and said.get("left_mm") is None and said.get("right_mm") is None:
        return card
    stay: tuple = TOLERANCES
    if not named and form(card) == "heights" and measured(card) == MEASURED[0]:
        stay = TOLERANCES + HEIGHTS
    out = {}
    for name in stay:
        if card.get(name) is not None:
            out[name] = card[name]
    return out


def ballast(target: dict) -> tuple:
    """(left, right) in the car when it is judged, [kg]."""
    return tuple([number(target.get("ballast_%s_kg" % side)) or 0.0 for side in SIDES])


def _counts(reading: dict, load: tuple) -> bool:
    """Whether a reading is of the car as it stands with that load: on its wheels, no board.

    A hanging angle is of the relaxed arm, whatever stands under the tyre.
    """
    if reading["what"] in ANGLES and reading.get("reference") == "gravity" and reading.get("datum") is None:
        # Against gravity alone it says nothing of the body.
        return False
    if reading["what"] == "hanging-angle":
        return True
    pose = reading.get("pose") or {}
    if pose.get("hanging"):
        return False
    for i in range(2):
        if number(pose.get("board_%s_mm" % SIDES[i])):
            return False
        if (number(pose.get("ballast_%s_kg" % SIDES[i])) or 0.0) != load[i]:
            return False
    return True


def means(readings: list, what: str, load: tuple) -> dict:
    """Means of the repeats of a kind, however often the car was settled anew: left, right, None where not read.

    Parameters
    ----------
    readings : rows of one stage
    load : (left, right) ballast of the readings that count, [kg]
    """
    out = {}
    for side in SIDES:
        total = 0.0
        count = 0
        for r in readings:
            if r["what"] == what and r["side"] == side and _counts(r, load):
                total += r["value"]
                if what in ANGLES and r.get("datum") is not None:
                    total -= r["datum"]
                count += 1
        out[side] = total / count if count else None
    return out


def as_found(readings: list, target: dict) -> dict:
    """How the car stood before any teardown, by the kind that the target is of: left, right, [mm], or None.

    Only readings with the target's ballast: the model carries others over, nobody else can.
    """
    first = [r for r in readings if not r.get("teardown") and after_km(r) is None]
    return means(first, measured(target), ballast(target))


def _said(target: dict, name: str) -> float:
    """A number of the target, or its default."""
    said = number(target.get(name))
    return (field("target." + name).default or 0.0) if said is None else said


def resolved(target: dict, found: dict) -> dict:
    """The target with the heights it comes to, left_mm and right_mm, each None where they cannot be known.

    >>> target = resolved({"as": "level", "rise_mm": 100.0}, {"left": 152.0, "right": 171.0})
    >>> (target["left_mm"], target["right_mm"])
    (271.0, 271.0)
    """
    aim = form(target)
    if not target or aim == "heights":
        return target
    out = {}
    for name in target:
        out[name] = target[name]
    known = [number(target.get(name)) for name in HEIGHTS]
    if known[0] is not None or known[1] is not None:
        # Worked out by the model when the plan was made.
        return out
    heights: list = [None, None]
    if aim == "rise":
        for i in range(2):
            rise = number(target.get("%s_rise_mm" % SIDES[i]))
            if rise is not None and found[SIDES[i]] is not None:
                heights[i] = found[SIDES[i]] + rise
    elif aim == "level" and found["left"] is not None and found["right"] is not None:
        both = (found["left"], found["right"])
        start = max(both)
        if target.get("at") == "lower":
            start = min(both)
        elif target.get("at") == "mean":
            start = 0.5 * (both[0] + both[1])
        heights = [start + _said(target, "rise_mm")] * 2
    for i in range(2):
        out[HEIGHTS[i]] = heights[i]
    return out


def within(heights: dict, target: dict) -> bool | None:
    """Whether both heights and the lean are within the target, or None where something is missing.

    Parameters
    ----------
    heights : dict
        left, right, [mm], or None.
    target : dict
        left_mm, right_mm, tolerance_mm, lean_mm (defaults as in the table of facts). The lean counts from the
        target's own: the difference of the two misses.
    """
    miss = []
    for side in SIDES:
        wanted = number(target.get(side + "_mm"))
        if wanted is None or heights[side] is None:
            return None
        miss.append(heights[side] - wanted)
    tolerance = _said(target, "tolerance_mm") + SLACK
    lean = _said(target, "lean_mm") + SLACK
    return abs(miss[0]) <= tolerance and abs(miss[1]) <= tolerance and abs(miss[0] - miss[1]) <= lean


def verdict(readings: list, target: dict) -> bool | None:
    """Whether the readings of one stage meet the target, as from ``resolved``; None where they cannot tell.

    Heights by readings of the target's own mark and ballast. Hanging angles by hanging angles, each for itself.
    """
    if form(target) != "hanging-angle":
        return within(means(readings, measured(target), ballast(target)), target)
    angles = means(readings, "hanging-angle", ballast(target))
    met = True
    for side in SIDES:
        wanted = number(target.get(side + "_deg"))
        if wanted is None or angles[side] is None:
            return None
        met = met and abs(angles[side] - wanted) <= _said(target, "tolerance_deg") + SLACK
    return met
