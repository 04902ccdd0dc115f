"""What a target comes to, and whether the car as read meets it: the sheet's half of its forms.

A target is of heights, of a rise, of a level, of hanging angles, or of a cross-weight. Owns which readings
count as the car standing as it is judged (on its wheels, no board, with the target's ballast), what was found
before any teardown, and the verdict. Pure functions of rows. Where the model has worked out the heights (a kept
plan's target has them), those are taken: it also carries readings over to another ballast, which cannot be done
here. Runs on the phone as well.
"""

from bothends.model.fields import MEASURED, OF_CAR, REAR, TOLERANCES, field, kind

from .kinds import ANGLES, SIDES, own_axle, stands

__all__ = [
    "NO_LOAD",
    "Means",
    "after_km",
    "aimed",
    "as_found",
    "ballast",
    "cross",
    "cross_percent",
    "form",
    "found_first",
    "judged_by",
    "measured",
    "number",
    "resolved",
    "verdict",
    "within",
]

HEIGHTS = ("left_mm", "right_mm")
ANY = ("any", "any")
"""A load that does not matter."""
NO_LOAD = (0.0, 0.0)
NOT_READ: dict = {"left": None, "right": None}
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
    """Which form a target has: heights where it does not say."""
    said = target.get("as")
    return said if isinstance(said, str) else "heights"


def measured(target: dict) -> str:
    """Which kind of height a target is of."""
    said = target.get("measured")
    return said if said in MEASURED else MEASURED[0]


def judged_by(target: dict) -> str:
    """The kind of reading that says whether the target was met."""
    return {"hanging-angle": "hanging-angle", "cross-weight": "wheel-load"}.get(
        form(target), measured(target)
    )


def aimed(card: dict, said: dict) -> dict:
    """What is left of a target when another entry about it comes, before that entry is merged into it.

    An entry that names a form, or heights without one (an older phone), begins the target anew: only
    tolerances stay. Mark, spot and ballast go, since figures meant for another mark or another load are not
    these. Heights after heights of the ride-height mark are no new beginning for the side that is not named:
    entries of one side each have always added up. Any other entry patches: everything stays.

    What is wanted of the other axle (``other``) stays whatever is said of the job's own, and the same holds of it
    by itself.

    >>> card = {"left_mm": 250, "right_mm": 250, "other": {"as": "rise", "left_rise_mm": 20, "tolerance_mm": 4}}
    >>> aimed(card, {"as": "level"})["other"] == card["other"]
    True
    >>> aimed(card, {"other": {"as": "level"}})
    {'left_mm': 250, 'right_mm': 250, 'other': {'tolerance_mm': 4}}
    """
    out = _begun(card, said)
    there = card.get("other")
    if not isinstance(there, dict):
        return out
    patch = said.get("other")
    begun = _begun(there, patch) if isinstance(patch, dict) else there
    if out is card and begun is there:
        return card
    both = {}
    for name in out:
        both[name] = out[name]
    both["other"] = begun
    return both


def _begun(card: dict, said: dict) -> dict:
    """What stays of the target of one axle when another entry about it comes; the card itself where all does."""
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


def ballast(said: dict) -> tuple:
    """(left, right) in the car, [kg], as a target or a pose says it."""
    return tuple([number(said.get("ballast_%s_kg" % side)) or 0.0 for side in SIDES])


def _load_of(reading: dict) -> tuple | None:
    """The ballast a reading was made with, (left, right), [kg]; None where it is not of the car as it stands.

    As it stands is on all its wheels, no board. A hanging angle is of the relaxed arm, whatever stands under the
    tyre or lies in the car: its load is ANY.

    >>> _load_of({"what": "riding-angle", "pose": {"ballast_left_kg": 60}})
    (60, 0.0)
    >>> _load_of({"what": "hanging-angle"})
    ('any', 'any')
    >>> _load_of({"what": "riding-angle", "pose": {"board_left_mm": 50}}) is None
    True
    """
    if reading["what"] in ANGLES and reading.get("reference") == "gravity" and reading.get("datum") is None:
        # Against gravity alone it says nothing of the body.
        return None
    if reading["what"] == "hanging-angle":
        return ANY
    return ballast(reading.get("pose") or {}) if stands(reading) else None


class Means:
    """Means of the repeats of each kind, however often the car was settled anew.

    Parameters
    ----------
    readings : rows of one stage
    own : the axle that the job is of; loads of the other one's wheels count for cross-weight alone
    """

    def __init__(self, readings: list, own: str = REAR) -> None:
        self._own = own
        self._totals: dict = {}
        self._counts: dict = {}
        self._squares: dict = {}
        for r in readings:
            load = _load_of(r)
            if load is None:
                continue
            # A wheel of the other axle must not be taken for the one of its side.
            what = r["what"] if own_axle(r, own) else (r["what"], r["axle"])
            key = (what, r["side"], load)
            if key not in self._totals:
                self._totals[key] = 0.0
                self._counts[key] = 0
                self._squares[key] = 0.0
            self._totals[key] += r["value"]
            if r["what"] in ANGLES and r.get("datum") is not None:
                self._totals[key] -= r["datum"]
            self._counts[key] += 1
            sd = number(r.get("sd"))
            self._squares[key] += (kind(r["what"]).sd if sd is None else sd) ** 2

    def of(self, what: str, load: tuple) -> dict:
        """Of a kind: left, right, None where it was not read.

        Parameters
        ----------
        load : (left, right) ballast of the readings that count, [kg]

        >>> rows = [{"what": "body-height", "side": "left", "value": value} for value in (214.0, 216.0)]
        >>> Means(rows).of("body-height", (0.0, 0.0))
        {'left': 215.0, 'right': None}
        """
        out: dict = {}
        for side in SIDES:
            key = (what, side, ANY if what == "hanging-angle" else load)
            out[side] = self._totals[key] / self._counts[key] if key in self._counts else None
        return out

    def wheels(self, load: tuple) -> tuple | None:
        """Loads of all four wheels, ((left, right) front, (left, right) rear), [kg]; None where one is lacking.

        >>> rows = [{"what": "wheel-load", "side": side, "value": value, "axle": axle}
        ...         for axle, side, value in (("front", "left", 300), ("front", "right", 310),
        ...                                   (None, "left", 240), (None, "right", 250))]
        >>> Means(rows).wheels((0.0, 0.0))
        ((300.0, 310.0), (240.0, 250.0))
        """
        return self._four(load, self._totals, 1)

    def wheels_variance(self, load: tuple) -> tuple | None:
        """The variance of each by its scale alone, likewise, [kg2]."""
        return self._four(load, self._squares, 2)

    def _four(self, load: tuple, sums: dict, power: int) -> tuple | None:
        """Of all four wheels a sum over its count to some power."""
        found = []
        for axle in reversed(OF_CAR):
            kind = "wheel-load" if axle == self._own else ("wheel-load", axle)
            both = [(kind, side, load) for side in SIDES]
            if [key for key in both if key not in self._counts]:
                return None
            found.append(tuple([sums[key] / self._counts[key] ** power for key in both]))
        return tuple(found)

    def standing(self, what: str, load: tuple) -> dict:
        """The same; where nothing was read with that load, of the car as it is."""
        found = self.of(what, load)
        if found["left"] is None and found["right"] is None and (load[0] or load[1]):
            return self.of(what, NO_LOAD)
        return found


def found_first(readings: list, own: str = REAR) -> Means:
    """How the car stood before any teardown."""
    return Means([r for r in readings if not r.get("teardown") and after_km(r) is None], own)


def as_found(first: Means, target: dict) -> dict:
    """How the car stood before any teardown, by the kind that the target is of: left, right, [mm], or None.

    Only readings with the target's ballast: the model carries others over, nobody else can.

    Parameters
    ----------
    first : as from ``found_first``
    """
    return first.of(measured(target), ballast(target))


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


def cross_percent(loads: tuple) -> float:
    """Cross-weight, RF + LR as a share of all four loads, [%].

    >>> cross_percent(((300.0, 310.0), (240.0, 250.0)))
    50.0
    """
    (lf, rf), (lr, rr) = loads
    return 100.0 * (rf + lr) / (lf + rf + lr + rr)


def cross(loads: tuple, variance: tuple) -> dict:
    """Cross-weight of four loads, and how far the scales alone leave it open.

    Parameters
    ----------
    loads, variance : ((left, right) front, (left, right) rear), [kg], [kg2]

    Returns
    -------
    dict
        cross_percent (RF + LR as a share of all four, [%]), cross_kg (RF + LR less LF + RR, [kg]), and the standard
        deviation of each, cross_sd_percent and cross_sd_kg. A pad that lies off level is not in them: what that
        makes hangs on the springs.

    >>> cross(((300.0, 310.0), (240.0, 250.0)), ((9.0, 9.0), (9.0, 9.0)))["cross_sd_kg"]
    6.0
    """
    (lf, rf), (lr, rr) = loads
    (v_lf, v_rf), (v_lr, v_rr) = variance
    total = lf + rf + lr + rr
    share = (rf + lr) / total
    spread = (1.0 - share) ** 2 * (v_rf + v_lr) + share**2 * (v_lf + v_rr)
    return {
        "cross_percent": cross_percent(loads),
        "cross_sd_percent": 100.0 * spread**0.5 / total,
        "cross_kg": rf + lr - lf - rr,
        "cross_sd_kg": (v_lf + v_rf + v_lr + v_rr) ** 0.5,
    }


def _balanced(means: Means, target: dict, found: dict) -> bool | None:
    """Whether cross-weight and the mean of both heights are within a target of cross-weight."""
    loads = means.wheels(ballast(target))
    heights = means.of(measured(target), ballast(target))
    wanted = number(target.get("cross_percent"))
    if loads is None or wanted is None or [h for h in (heights, found) if None in (h["left"], h["right"])]:
        return None
    off = cross_percent(loads) - wanted
    rose = 0.5 * (heights["left"] + heights["right"] - found["left"] - found["right"])
    return (
        abs(off) <= _said(target, "tolerance_percent") + SLACK
        and abs(rose - _said(target, "rise_mm")) <= _said(target, "tolerance_mm") + SLACK
    )


def verdict(means: Means, target: dict, found: dict = NOT_READ) -> bool | None:
    """Whether the readings of one stage meet the target, as from ``resolved``; None where they cannot tell.

    Heights by readings of the target's own mark and ballast. Hanging angles by hanging angles, each for itself.
    Cross-weight by the loads of all four wheels in that stage, beside the mean height.

    Parameters
    ----------
    found : how the car stood before any teardown, as from ``as_found``
    """
    if form(target) == "cross-weight":
        return _balanced(means, target, found)
    if form(target) != "hanging-angle":
        return within(means.of(measured(target), ballast(target)), target)
    angles = means.of("hanging-angle", ballast(target))
    met = True
    for side in SIDES:
        wanted = number(target.get(side + "_deg"))
        if wanted is None or angles[side] is None:
            return None
        met = met and abs(angles[side] - wanted) <= _said(target, "tolerance_deg") + SLACK
    return met
