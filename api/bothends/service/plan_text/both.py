"""Both axles in a printed plan: the other axle's way, how the car stands in between, and which is turned first."""

import json
from typing import Any, Literal

from bothends.model.fields import ENDS

from ..wire.answer import SolveAnswer
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
    "in_brief",
    "own_axle",
    "steps",
    "together",
    "turned_first",
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


def _ways(answer: SolveAnswer, plan: BothAxles) -> dict[Axle, Option]:
    """The way of each axle, the one that is set first before the other."""
    ways = {plan.axle: plan.options[0], own_axle(plan): answer.options[0]}
    return dict(sorted(ways.items(), key=lambda one: one[0] != plan.first))


def turned_first(answer: SolveAnswer, plan: BothAxles) -> Axle | None:
    """The axle to turn first; None where neither is turned."""
    options = _ways(answer, plan)
    return next((axle for axle in options if turns_anything(options[axle])), None)


def barred(answer: SolveAnswer, plan: BothAxles | None) -> str | None:
    """Why nothing is to be turned by this plan, as a step; None where nothing stands against it."""
    ways = [answer.options[0]] if plan is None else [answer.options[0], plan.options[0]]
    if answer.withheld or (plan is not None and plan.withheld):
        return "Turn nothing yet. Read again what is in doubt, correct it in the file, run this again."
    if any(option.stopped_by or any(o.given for o in option.obstacles) for option in ways):
        return "Turn nothing by this plan: a limit that you gave forbids it. Change the target or the limit."
    return None


def steps(answer: SolveAnswer, plan: BothAxles, request: dict[str, Any]) -> list[str]:
    """What a person does next: one axle, then all four heights, then this again."""
    options = _ways(answer, plan)
    why = barred(answer, plan)
    if why is not None:
        return [why]
    axle = turned_first(answer, plan)
    if axle is None:
        return ["Turn nothing: leave the car as it is."]
    option = options[axle]
    there = axle == plan.axle
    tests = plan.measure_next if there else answer.measure_next
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
