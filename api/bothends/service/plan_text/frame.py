"""The two ends of a printed plan: what is wanted, and what a person does next with the file it was made from."""

import json
from typing import Any

import msgspec

from bothends.model.fields import ENDS, NOTCH, SIDES, kind

from ..wire.answer import SolveAnswer
from .adding import first_test, measure_first
from .adjusting import LAST, RUB, adjusts, kind_of, order
from .both import barred, goes_first, turn_nothing, turns_anything
from .both import steps as of_both
from .measure import Measures
from .turns import both, in_degrees
from .wrap import wrapped

__all__ = ["before_all", "next_lines", "target_lines", "to_do"]


APP = "Without a file: “bothends” starts the app, which asks for all this one thing at a time."
"""For whoever would rather not write a file."""


def target_lines(answer: SolveAnswer, m: Measures) -> list[str]:
    """The target as lines: the form asked for, and the heights that it comes to; of both axles where both are."""
    lines = wrapped(_aimed(msgspec.to_builtins(answer.target), m), "Target: ", "")
    plan = answer.both
    if plan is not None:
        text = _aimed(msgspec.to_builtins(plan.target), m)
        if plan.cross_wanted is not None:
            wanted = plan.cross_wanted
            text += f"; cross-weight {wanted.percent:g} % (RF + LR), within {wanted.tolerance_percent:g} %"
        lines += wrapped(text, f"Target at the {plan.axle}: ", "")
    return lines


def _aimed(given: dict[str, Any], m: Measures) -> str:
    """One axle's target in words."""
    form = given["as"]
    heights = [given.get(f"{side}_mm") for side in SIDES]
    come_to = [
        f"{side} {m.plain_length(height)}"
        for side, height in zip(SIDES, heights, strict=True)
        if height is not None
    ]
    mark = " from hub to body" if given.get("measured") == "hub-to-body" else ""
    if form == "hanging-angle":
        text = f"hanging angle left {given['left_deg']:g}°, right {given['right_deg']:g}°"
        text += f", each within {given['tolerance_deg']:g}°"
        text += f"; that comes to {', '.join(come_to)}" if come_to else ""
    elif form == "cross-weight":
        up = given["rise_mm"]
        text = f"cross-weight {given['cross_percent']:g} % (RF + LR), within {given['tolerance_percent']:g} %; mean"
        text += (
            " height as found"
            if not up
            else f" height {m.plain_length(abs(up))} {'up' if up > 0.0 else 'down'}"
        )
        text += f"{mark}, within {m.plain_length(given['tolerance_mm'])}"
    else:
        if form == "rise":
            parts = [
                f"{side} {'up' if given[f'{side}_rise_mm'] >= 0.0 else 'down'}"
                f" {m.plain_length(abs(given[f'{side}_rise_mm']))}"
                for side in SIDES
            ]
            text = f"{', '.join(parts)} against as found"
        elif form == "level":
            start = "mean of both sides" if given["at"] == "mean" else f"{given['at']} side"
            up = given["rise_mm"]
            text = f"both sides level, at the {start} as found"
            text += f" {'plus' if up > 0.0 else 'less'} {m.plain_length(abs(up))}" if up else ""
        else:
            text = ", ".join(come_to)
        text += f"; that comes to {', '.join(come_to)}" if come_to and form != "heights" else ""
        text += f"{mark}; each within {m.plain_length(given['tolerance_mm'])}"
        text += f", lean within {m.plain_length(given['lean_mm'])}"
    loads = [(side, given[f"ballast_{side}_kg"]) for side in SIDES]
    if any(kg for _, kg in loads):
        text += "; with " + " and ".join(f"{m.plain_mass(kg)} over the {side} wheel" for side, kg in loads)
    if given["spot"]:
        text += f"; at the place {given['spot']}"
    return text


def before_all(answer: SolveAnswer) -> list[str]:
    """The line that stands before the way: where a test goes first, that it does, and what it brings."""
    axle, option, tests = goes_first(answer)
    if barred(answer) or (answer.both is not None and axle is None):
        return []
    at = f" at the {axle}" if axle else ""
    return [line for words in measure_first(tests, option.odds, at=at) for line in wrapped(words, "", "")]


def to_do(answer: SolveAnswer, request: dict[str, Any]) -> list[str]:
    """What a person does next, with the file that the plan was made from."""
    lines = ["What to do now"]
    for place, step in enumerate(_steps(answer, request), 1):
        lines += wrapped(step, f"  {place}. ", "")
    return lines + wrapped(APP, "  ", "")


def _steps(answer: SolveAnswer, request: dict[str, Any]) -> list[str]:
    if answer.both is not None:
        return of_both(answer, answer.both, request)
    option = answer.options[0]
    number = 1 + sum(entry["kind"] == "move" for entry in request["log"])
    if stopped := turn_nothing(answer):
        return stopped
    steps = first_test(answer.measure_next, option.odds, request["log"])
    if not option.ends_disturbed and not adjusts(option):
        return [*steps, "Turn nothing: leave the car as it is."]
    if in_degrees(option):
        return [
            *steps,
            "Read Safety below. Then open the bar and count the teeth at both ends, before anything is turned.",
            "Add them to the file as car.bar.inner_teeth and car.bar.outer_teeth, and any hanging angle you read."
            " Run this again: the degrees become whole teeth.",
        ]
    if option.ends_disturbed:
        steps.append("Read Safety below. Then turn what the plan says, one side at a time.")
    else:
        steps.append("Read Safety below. Only the adjusters are turned: no bar is taken out.")
    if adjusts(option):
        steps += order(option, request)
    move: dict[str, Any] = {"kind": "move", "teardown": number}
    for name, side in both(option):
        if option.ends_disturbed:
            move[name] = {end: getattr(side, end) for end in ENDS}
        if side.turns:
            move[name] = {**move.get(name, {}), "turns": round(side.turns, 4)}
    what = (
        "teeth and turns"
        if adjusts(option) and option.ends_disturbed
        else "turns"
        if adjusts(option)
        else "teeth"
    )
    steps.append(f"Add the {what} you turned to the file. By the plan: {json.dumps(move)}")
    given = msgspec.to_builtins(answer.target)
    again = f' with "teardown": {number}. Run this again: it says what is left to do.'
    if given["as"] == "hanging-angle":
        steps.append(f"Read both hanging angles before the bars are loaded, and add them{again}")
    else:
        words = kind(given["measured"]).words
        rub = RUB if kind_of(request) == NOTCH and adjusts(option) else ""
        steps.append(
            f"Lower the car, roll it two car lengths, bounce it. Read each side's {words}, both wheels of the axle"
            f" together, and add it{again}{rub}"
            if adjusts(option)
            else f"Lower the car, roll it two car lengths, bounce it. Read each side's {words} and add it{again}"
        )
    return [*steps, LAST] if adjusts(option) else steps


HOW = {
    "in place": "In place: bounce it where it stands, without rolling off the board.",
    "height": "Ride height: a tape from the floor under that tyre up to the mark over the wheel.",
    "angle": "Arm angle: the gauge on the arm, and the same gauge on the body, which goes beside it as datum.",
}
"""What people who never did it ask of a test, by a word of its sentence."""


def next_lines(answer: SolveAnswer, request: dict[str, Any]) -> list[str]:
    """The one next step, and how; the last thing that is read."""
    plan, again = answer.both, "Then run this again."
    options = [answer.options[0]] if plan is None else [answer.options[0], plan.options[0]]
    why = barred(answer)
    _, _, tests = goes_first(answer)
    if why == "doubt":
        where = ", ".join(
            str(doubt.log_index + 1) for doubt in answer.doubts if doubt.changes_plan is not False
        )
        text = f"Read again what stands in the log as record {where}, correct it in the file. {again}"
    elif why == "limit":
        text = f"Change the target or the limit in the file. {again}"
    elif tests:
        test = tests[0]
        asked = test.text.lower()
        how = [words for word, words in HOW.items() if word in asked]
        text = " ".join(
            [test.text, *how, f"It takes {test.minutes:g} min. Add what you read to the file. {again}"]
        )
    elif any(turns_anything(o) for o in options):
        text = "Read Safety, then go by What to do now."
    else:
        text = "Nothing is to be turned: the car can go."
    return wrapped(text, "Next: ", "")
