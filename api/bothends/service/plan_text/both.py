"""Both axles in a printed plan: the other axle's way, how the car stands in between, and which is turned first."""

import json
from typing import Any, Literal

from bothends.model.fields import ENDS

from ..wire.answer import Advice, SolveAnswer
from ..wire.both import BothAxles
from ..wire.option import Option
from .adding import first_test
from .adjusting import adjusts, kind_of, work
from .measure import IN_90, Measures, chance
from .turns import both, in_degrees
from .way import minded, way
from .wrap import wrapped

__all__ = [
    "barred",
    "chance_lines",
    "goes_first",
    "in_brief",
    "own_axle",
    "steps",
    "together",
    "turn_nothing",
    "turns_anything",
]

Axle = Literal["rear", "front"]


def _request_of(plan: BothAxles, request: dict[str, Any], axle: str) -> dict[str, Any]:
    """The part of a request that says of one axle, as a request of that axle alone."""
    car = request.get("car") or {}
    return {"car": car.get("other") or {}} if axle == plan.axle else {"car": car}


def own_axle(plan: BothAxles) -> Axle:
    """The axle of the job."""
    return "front" if plan.axle == "rear" else "rear"


def turns_anything(option: Option) -> bool:
    """Whether a way turns an end or an adjuster."""
    return bool(option.ends_disturbed) or adjusts(option)


def chance_lines(plan: BothAxles | None) -> list[str]:
    """The other axle's headline, and the chance of both."""
    if plan is None:
        return []
    lines = wrapped(f"At the {plan.axle}: {plan.headline.words}", "", "")
    text = f"Chance {chance(plan.odds)} that both axles end on target"
    if plan.cross_wanted is not None:
        text += f" and cross-weight at {plan.cross_wanted.percent:g} %"
    return lines + wrapped(text + ".", "", "")


def in_brief(plan: BothAxles, request: dict[str, Any]) -> list[str]:
    """The other axle for a terminal: its headline, its teeth where they are counted, the chance of both."""
    option = plan.options[0]
    lines = chance_lines(plan)
    if turns_anything(option) and not (in_degrees(option) or plan.withheld or option.stopped_by):
        kind = kind_of(_request_of(plan, request, plan.axle))
        for name, side in both(option):
            lines += wrapped(work(side, kind), f"  {name + ':':8}", "")
    return lines


def together(plan: BothAxles | None, request: dict[str, Any], m: Measures) -> list[str]:
    """The other axle's way, cross-weight, and what is to be known of both together."""
    if plan is None:
        return []
    option = plan.options[0]
    kind = kind_of(_request_of(plan, request, plan.axle))
    lines = way(option, m, kind, withheld=plan.withheld, of=f"Plan of the {plan.axle} axle")
    change = plan.cross_weight_kg
    text = f"Both axles: cross-weight (RF + LR) changes by {m.mass(change)}"
    if plan.cross_percent is not None:
        text += f", to {plan.cross_percent.value:.1f} % (± {IN_90 * plan.cross_percent.sd:.1f})"
    lines += wrapped(text)
    for words in plan.words:
        lines += wrapped(words)
    return lines + minded(option)


def goes_first(answer: SolveAnswer) -> tuple[Axle | None, Option, list[Advice]]:
    """The axle that is turned first where both are planned, its way, and the tests advised before it.

    Where one is planned, or neither is turned, there is no such axle; way and tests are then of the job's own.
    """
    plan = answer.both
    own = (answer.options[0], answer.measure_next)
    if plan is None:
        return None, *own
    ways: dict[Axle, tuple[Option, list[Advice]]] = {
        plan.axle: (plan.options[0], plan.measure_next),
        own_axle(plan): own,
    }
    for axle in sorted(ways, key=lambda one: one != plan.first):
        if turns_anything(ways[axle][0]):
            return axle, *ways[axle]
    return None, *own


def barred(answer: SolveAnswer) -> Literal["doubt", "limit"] | None:
    """What stands against turning anything by this plan, at either axle: a doubt, or a limit that was given."""
    plan = answer.both
    ways = [answer.options[0]] if plan is None else [answer.options[0], plan.options[0]]
    if answer.withheld or (plan is not None and plan.withheld):
        return "doubt"
    if any(option.stopped_by or any(o.given for o in option.obstacles) for option in ways):
        return "limit"
    return None


def turn_nothing(answer: SolveAnswer) -> list[str]:
    """That nothing is to be turned by this plan, as a step; none where nothing stands against it."""
    why = barred(answer)
    if why == "doubt":
        return ["Turn nothing yet. Read again what is in doubt, correct it in the file, run this again."]
    which = "the" if answer.both is None else "a"
    limit = (
        f"Turn nothing by this plan: a limit that you gave forbids it. Change {which} target or the limit."
    )
    return [] if why is None else [limit]


def steps(answer: SolveAnswer, plan: BothAxles, request: dict[str, Any]) -> list[str]:
    """What a person does next: one axle, then all four heights, then this again."""
    if stopped := turn_nothing(answer):
        return stopped
    axle, option, tests = goes_first(answer)
    if axle is None:
        return ["Turn nothing: leave the car as it is."]
    there = axle == plan.axle
    first = first_test(tests, option.odds, request["log"], at=f" at the {axle}", axle=axle if there else None)
    if in_degrees(option):
        where = "car.other.bar" if there else "car.bar"
        return [
            *first,
            f"Read Safety below. Then open the bar at the {axle} and count the teeth at both ends, before anything"
            " is turned.",
            f"Add them to the file as {where}.inner_teeth and {where}.outer_teeth. Run this again: the degrees"
            " become whole teeth.",
        ]
    number = 1 + sum(entry["kind"] == "move" for entry in request["log"])
    move: dict[str, Any] = {"kind": "move", "teardown": number, "axle": axle}
    for name, side in both(option):
        if option.ends_disturbed:
            move[name] = {end: getattr(side, end) for end in ENDS}
        if side.turns:
            move[name] = {**move.get(name, {}), "turns": round(side.turns, 4)}
    return [
        *first,
        f"Read Safety below. Then turn what the plan says at the {axle} only, one side at a time.",
        f"Add what you turned to the file. By the plan: {json.dumps(move)}",
        "Lower the car, roll it two car lengths, bounce it. Read the heights of both axles and add each with its"
        f' "axle" and "teardown": {number}. Run this again: it says what is left to do at both.',
    ]
