"""What a plan takes for granted, fact by fact, with what would measure it and what knowing it would bring.

First the limits that the first option would pass at their assumed value, then by odds gained. A limit changes no
odds: it cautions. Owns the list; `beliefs` owns the figures, `advice` what they are worth.
"""

import math

from .beliefs import FINE_STEP_DEG, TURNS_LEFT, TURNS_LEFT_SD
from .estimate import Estimate
from .fields import ECCENTRIC, FRONT, NOTCH, SIDES
from .figures import angle, length, load, torque, turns_text
from .obstacle import SIDE_NAMES
from .sentences import ASSUMED
from .statics import ALPHA_LEFT, ARM, LOAD_LEFT, RATE
from .travel import CERTAIN, Limit, travels
from .trial import MINUTES
from .units import DEG, GRAVITY, MM

__all__ = ["assumed"]

LIMITS = (
    ("droop", "car.limits.droop_mm", "hang-test"),
    ("bump", "car.limits.bump_mm", "bump-gap"),
    ("stop", "car.limits.stop_deg", "hang-test"),
)
TEN_DEGREES = 10.0 / 360.0
"""Of an eccentric what so many turns give is said, as the page does."""


def _fact(
    *,
    field: str,
    side: int | None,
    value: float,
    sd: float | None,
    unit: str,
    measure: str,
    odds: float | None,
    words: str,
) -> dict:
    return {
        "field": field,
        "side": None if side is None else SIDES[side],
        "value": value,
        "sd": sd,
        "unit": unit,
        "measure": measure,
        "minutes": MINUTES[measure],
        "odds_after": odds,
        "words": words,
    }


def _limits(estimate: Estimate, option: dict) -> list:
    """Assumed limits of both sides: (passed by the option first, its place, fact)."""
    out: list = []
    units = estimate.case.units
    sides = travels(estimate)
    passed = [(o["what"], o["side"]) for o in option["obstacles"] if not o["given"]]
    for place in range(len(LIMITS)):
        what, path, measure = LIMITS[place]
        for side in (0, 1):
            limit: Limit = getattr(sides[side], what)
            if not limit.assumed:
                continue
            unit = DEG if what == "stop" else MM
            gaps = {"side": SIDE_NAMES[side]}
            gaps["value"] = angle(limit.value) if what == "stop" else length(limit.value, units)
            gaps["range"] = angle(CERTAIN * limit.sd) if what == "stop" else length(CERTAIN * limit.sd, units)
            fact = _fact(
                field=path,
                side=side,
                value=limit.value / unit,
                sd=limit.sd / unit,
                unit="°" if what == "stop" else "mm",
                measure=measure,
                odds=None,
                words=ASSUMED[what] % gaps,
            )
            out.append((0 if (what, SIDES[side]) in passed else 2, 0.0, place, side, fact))
    return out


def _left(estimate: Estimate, option: dict) -> list:
    """What is taken to be left of adjusters where nobody looked: (used by the option first, its place, fact)."""
    adjuster = estimate.case.car.adjuster
    out: list = []
    if not adjuster.there or adjuster.kind == ECCENTRIC:
        return out
    for side in (0, 1):
        turns = option[SIDES[side]]["turns"]
        for way in (0, 1):
            if (
                adjuster.left(0.0, side)[way] is not None
                or (way and turns >= 0.0)
                or (not way and turns < 0.0)
            ):
                continue
            fact = _fact(
                field="car.adjuster.%s.%s" % (("raise_turns", "lower_turns")[way], SIDES[side]),
                side=side,
                value=TURNS_LEFT,
                sd=TURNS_LEFT_SD,
                unit="",
                measure="turns-left",
                odds=None,
                words=ASSUMED["turns-left"]
                % {"side": SIDE_NAMES[side], "value": turns_text(TURNS_LEFT, adjuster.kind)},
            )
            out.append((0 if turns else 2, 0.0, len(LIMITS), side, fact))
    return out


def _facts(estimate: Estimate, option: dict, told: dict, odds: float) -> list:
    """Facts of the car that were believed, with the odds if each were known."""
    car = estimate.case.car
    units = estimate.case.units
    out: list = []

    def add(
        measure: str,
        *,
        field: str,
        value: float,
        sd: float | None,
        unit: str,
        words: str,
        side: int | None = None,
    ) -> None:
        after = told.get(measure, odds)
        fact = _fact(
            field=field, side=side, value=value, sd=sd, unit=unit, measure=measure, odds=after, words=words
        )
        out.append((1, -after, len(out), side or 0, fact))

    if not car.arm_given:
        arm, sd = estimate.constant(ARM)
        words = ASSUMED["car.arm_mm"] % {"value": length(arm, units), "range": length(CERTAIN * sd, units)}
        add("arm-length", field="car.arm_mm", value=arm / MM, sd=sd / MM, unit="mm", words=words)
    if not car.load_given and not estimate.case.read("wheel-load", 0):
        left, sd = estimate.constant(LOAD_LEFT)
        mean = 0.5 * (left + estimate.constant(LOAD_LEFT + 1)[0])
        name = "car.load_kg-front" if car.sprung == FRONT else "car.load_kg"
        words = ASSUMED[name] % {"value": load(mean, units), "range": load(CERTAIN * sd, units)}
        add("scales", field="car.load_kg", value=mean / GRAVITY, sd=sd / GRAVITY, unit="kg", words=words)
    ends = option["ends_disturbed"] > 0 or not car.adjuster.there
    for side in (0, 1):
        if ends and not estimate.case.read("hanging-angle", side):
            hanging, sd = estimate.constant(ALPHA_LEFT + side)
            gaps = {"side": SIDE_NAMES[side], "value": angle(hanging), "range": angle(CERTAIN * sd)}
            words = ASSUMED["hanging"] % gaps
            add(
                "hanging-angle",
                field="log",
                side=side,
                value=hanging / DEG,
                sd=sd / DEG,
                unit="°",
                words=words,
            )
    if not car.bar_given:
        rate, sd = estimate.constant(RATE)
        nm = math.exp(rate) * DEG
        words = ASSUMED["car.bar"] % {
            "value": torque(nm, units),
            "range": torque(nm * CERTAIN * sd, units),
        }
        add("bar-size", field="car.bar", value=nm, sd=nm * sd, unit="N·m/°", words=words)
    if car.adjuster.unsure:
        per = option["mm_per_turn"]
        spread = abs(per) * estimate.constant(estimate.evidence.fit.gain or 0)[1]
        notch = car.adjuster.kind == NOTCH
        part, by = 1.0, "a turn"
        if car.adjuster.kind == ECCENTRIC:
            # It never goes round.
            part = TEN_DEGREES
            by = turns_text(part, ECCENTRIC)
        words = ASSUMED["notch" if notch else "adjuster"] % {
            "by": by,
            "value": length(per * part * MM, units, True),
            "range": length(CERTAIN * spread * part * MM, units, True),
        }
        add(
            "notch-angle" if notch else "adjuster-lever",
            field="car.adjuster." + ("step_deg" if notch else "lever_mm"),
            value=per,
            sd=spread,
            unit="mm",
            words=words,
        )
    if not car.counted and ends:
        words = ASSUMED["teeth"] % {"value": angle(FINE_STEP_DEG * DEG)}
        add("tooth-count", field="car.bar.inner_teeth", value=FINE_STEP_DEG, sd=None, unit="°", words=words)
    return out


def assumed(estimate: Estimate, option: dict, told: dict) -> list:
    """Everything taken for granted, in the order of its worth.

    Parameters
    ----------
    estimate : Estimate
    option : dict, the first option of the answer
    told : dict, from `advice.advise`: odds by what would measure a fact

    Returns
    -------
    list of dict
        field (a path of the request), side, value, sd, unit, measure, minutes, odds_after (None for a limit),
        words.
    """
    rows = _limits(estimate, option) + _left(estimate, option)
    rows += _facts(estimate, option, told, option["odds"])
    rows.sort(key=lambda row: row[:4])
    return [row[4] for row in rows]
