"""A solve request, checked and turned into SI: the only door between the outside's names and the model.

Checks what every caller must obey (bounds, teardown numbers, the few readings a target cannot do without) and fills
in the documented defaults: `car`, `wish`, `reading` and `logged` do so for their part. Unknown fields are not this
module's business: the server's schema refuses them.
"""

from .car import Car
from .case import Case
from .field import choice, part
from .fields import SIDES, UNITS, kind
from .logged import logged
from .problem import ModelProblem
from .wish import Wish

__all__ = ["beyond", "read", "required"]

NOTHING = ((0, 0, 0.0), (0, 0, 0.0))
"""A move of neither side."""
AS_IT_IS = {"as": "rise", "left_rise_mm": 0.0, "right_rise_mm": 0.0}
"""The target of an axle of which nothing is asked."""


def required(case: Case, of: str = "") -> None:
    """What a target cannot do without: heights and a level need that height read once on each side.

    ``of`` names the axle in the error where both are planned, " at the front".

    Raises
    ------
    ModelProblem
        "missing-reading", naming kind and side.
    """
    if case.wish.heights is None and case.wish.level is None:
        return
    for side in (0, 1):
        if not case.read(case.wish.measured, side):
            raise ModelProblem(
                "missing-reading",
                "$.log",
                "No %s on the %s%s: measure it. Or ask for a rise, which needs none"
                % (kind(case.wish.measured).words, SIDES[side], of),
            )


def read(source: dict) -> Case:
    """Check a request and return it as a Case.

    Raises
    ------
    ModelProblem
        "out-of-range" or "bad-log" with the field's path; "missing-reading" where the target needs a height that
        was not read, or teeth were turned at an end whose teeth nobody has counted; "too-many-readings".
    """
    if not isinstance(source, dict):
        raise ModelProblem("out-of-range", "$", "a request must be an object")
    car = Car(source)
    if source.get("target") is None:
        raise ModelProblem("out-of-range", "$.target", "target is required")
    wish = Wish(part(source, "target", "$"))
    readings, moves, elsewhere = logged(source, car)
    units = choice(source, "units", "$", UNITS, "metric")
    case = _of_axle(car, wish, readings, moves, units, elsewhere)
    if car.other is not None:
        there = {t: True for t in moves if t not in elsewhere}
        case.pair = _of_axle(car.other, Wish(AS_IT_IS), readings, moves, units, there)
    required(case)
    beyond(case, wish)
    return case


def beyond(case: Case, wish: Wish) -> None:
    """What a target of both axles cannot do without: that axle's facts, and its heights where they are wanted.

    Raises
    ------
    ModelProblem
        "out-of-range" where nothing is said of the other axle; "missing-reading", naming axle, kind and side.
    """
    if wish.other is None:
        return
    if case.pair is None:
        raise ModelProblem(
            "out-of-range",
            "$.target.other",
            "a target for the other axle, while nothing is said of that axle; enter its facts (car.other), {} will"
            " do",
        )
    pair = case.pair
    required(Case(pair.car, wish.other, pair.readings, pair.moves), " at the " + pair.car.sprung)


def _of_axle(car: Car, wish: Wish, readings: list, moves: dict, units: str, elsewhere: dict) -> Case:
    """The case of one axle: its readings and moves, and loads of the other one's wheels.

    A move at the other axle stands among its own as one in which nothing was turned, so that teardowns are numbered
    alike at both.
    """
    own = [r for r in readings if r.axle == car.sprung]
    loads = [r for r in readings if r.axle != car.sprung and r.kind == "wheel-load"]
    done = {}
    for teardown in moves:
        done[teardown] = (moves[teardown][0], NOTHING) if teardown in elsewhere else moves[teardown]
    case = Case(car, wish, own, done, units, loads)
    case.elsewhere = elsewhere
    return case
