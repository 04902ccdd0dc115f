"""What an option says of the adjusters: turns, what is left of them, what a screw takes, and what to mind."""

from .beliefs import TURNS_LEFT
from .car import Car
from .estimate import Estimate
from .fields import ECCENTRIC, NOTCH, SCREW
from .figures import turns_text
from .lattice import Search
from .learned import slope
from .obstacle import SIDE_NAMES
from .point import Point
from .reclock import LEAST_LEFT, Reclock
from .screw import FRICTION, bearing_radius, pitch_diameter, torques
from .sentences import CAUTIONS
from .statics import BUSH, Equilibrium
from .teeth import step_sizes
from .units import DEG

__all__ = ["NOUNS", "adjusted", "mm_per_turn", "steps_of", "turn_cautions", "turned_label"]

NOUNS = {SCREW: ("screw", "screws"), ECCENTRIC: ("eccentric", "eccentrics"), NOTCH: ("notch", "notches")}
UNSURE = 0.15
"""Spread of what a turn gives, as a share of it, from which on only part of the turns should be made at first."""
MANY = 2.0
"""Turns of a screw below which that is not worth a second round."""


def turned_label(car: Car, point: Point) -> str:
    """Words for what is turned where adjusters are.

    Of teeth beside them the kind of end is said, whichever sides it is on.
    """
    one, many = NOUNS[car.adjuster.kind]
    turns = point.turns or (0.0, 0.0)
    teeth = point.teeth or ((0, 0), (0, 0))
    sides = [bool(turns[s] or teeth[s][0] or teeth[s][1]) for s in (0, 1)]
    inner = bool(teeth[0][0] or teeth[1][0])
    outer = bool(teeth[0][1] or teeth[1][1])
    ends = "both ends" if inner and outer else "inner end" if inner else "outer end"
    if not sides[0] or not sides[1]:
        name = "left " if sides[0] else "right "
        name += one
        return name + (" and " + ends if inner or outer else " only")
    if inner or outer:
        return many + " and " + (ends if ends == "both ends" else ends + "s")
    return many + " alone"


def _screw(estimate: Estimate, now: dict, after: dict) -> dict:
    """What turning takes with the wheels hanging: the most while it is turned, by the bar's torque at its stop."""
    adjuster = estimate.case.car.adjuster
    worst = now if now["torque_nm"] > after["torque_nm"] else after
    high = now["high"] if now["high"]["torque_nm"] > after["high"]["torque_nm"] else after["high"]
    force = worst["torque_nm"] / adjuster.lever
    mean, radius = pitch_diameter(adjuster.pitch), bearing_radius(adjuster.pitch)
    pairs = [
        torques(force=force, pitch=adjuster.pitch, mean=mean, radius=radius, friction=mu) for mu in FRICTION
    ]
    return {
        "torque_nm": worst["torque_nm"],
        "force_n": force,
        "raise_nm": [pair[0] for pair in pairs],
        "lower_nm": [pair[1] for pair in pairs],
        "unload_nm": high["torque_nm"],
        "unload_j": high["energy_j"],
    }


def adjusted(search: Search, point: Point, side: int, now: dict, after: dict) -> dict:
    """One side's fields of an option.

    Parameters
    ----------
    now, after : what it takes to lift the arm onto its stop, as the car stands and with the option
    """
    adjuster = search.case.car.adjuster
    if not adjuster.there:
        return {"turns": None, "raise_turns_left": None, "lower_turns_left": None, "screw": None}
    turns = (point.turns or (0.0, 0.0))[side]
    total = search.estimate.evidence.wheel_turns[-1][side] + turns
    up, down = adjuster.left(total, side)
    return {
        "turns": turns,
        "raise_turns_left": up,
        "lower_turns_left": down,
        "screw": _screw(search.estimate, now, after) if adjuster.kind == SCREW else None,
    }


def mm_per_turn(estimate: Estimate, rest: Equilibrium) -> float | None:
    """Mean height for one turn of both adjusters as they stand, [mm]; None without any."""
    adjuster = estimate.case.car.adjuster
    if not adjuster.there:
        return None
    turned = estimate.evidence.wheel_turns[-1]
    by = 0.5 * (adjuster.slope(turned[0], 0) + adjuster.slope(turned[1], 1))
    fit = estimate.evidence.fit
    if fit.carried:
        by *= 1.0 + estimate.theta[BUSH]
    return slope(rest) / DEG * by * fit.factor(estimate.theta)


def steps_of(estimate: Estimate) -> dict:
    """What one fine step, one tooth at either end and one turn of the adjuster turn an arm by, [deg]; None where it
    is not counted, or there is no adjuster.
    """
    car = estimate.case.car
    out = step_sizes(inner_teeth=car.inner_teeth, outer_teeth=car.outer_teeth)
    if car.adjuster.there:
        turned = estimate.evidence.wheel_turns[-1]
        by = 0.5 * (car.adjuster.slope(turned[0], 0) + car.adjuster.slope(turned[1], 1))
        out["turn"] = by * estimate.evidence.fit.factor(estimate.theta) / DEG
    return out


def turn_cautions(search: Search, point: Point) -> list:
    """What to mind of one option's turns."""
    car = search.case.car
    adjuster = car.adjuster
    turns = point.turns
    if not adjuster.there or point.still() or not isinstance(search, Reclock):
        return []
    if turns is None:
        return [CAUTIONS["count-ends"]]
    out = []
    if adjuster.shared:
        out.append(CAUTIONS["shared"])
    unsure = False
    for side in (0, 1):
        if not turns[side]:
            continue
        total = search.turned[side] + turns[side]
        way = 0 if turns[side] > 0.0 else 1
        left = adjuster.left(total, side)[way]
        gaps = {"side": SIDE_NAMES[side], "turns": turns_text(abs(turns[side]), adjuster.kind)}
        if left is None:
            gaps["left"] = turns_text(TURNS_LEFT, adjuster.kind)
            name = "left-unknown" if adjuster.reach(total, side)[way] >= 0.0 else "left-beyond"
            out.append(CAUTIONS[name] % gaps)
        elif adjuster.kind != ECCENTRIC and left < LEAST_LEFT:
            gaps["left"] = turns_text(max(0.0, left), adjuster.kind)
            out.append(CAUTIONS["left-little"] % gaps)
        unsure = unsure or (adjuster.kind == SCREW and abs(turns[side]) >= MANY)
    spread = search.estimate.constant(search.estimate.evidence.fit.gain or 0)[1]
    if unsure and spread > UNSURE:
        out.append(CAUTIONS["two-thirds"])
    if search.short(point):
        out.append(CAUTIONS["runs-out"])
    if point.ends() and adjuster.kind == SCREW:
        out.append(CAUTIONS["re-clock"])
    if [t for t in turns if t < 0.0] and adjuster.kind == SCREW:
        out.append(CAUTIONS["last-raising"])
    return out
