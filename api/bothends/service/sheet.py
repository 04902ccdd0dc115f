"""A plan as text that can be read beside the car: what to turn, what comes of it, what to mind."""

import textwrap
from typing import Any

from bothends.model.fields import field

from .answer import Advice, Doubt, Option, SidePlan, SolveAnswer
from .measure import Measures, odds_words

__all__ = ["sheet", "turns"]

_WIDTH = 96


def _end(teeth: int) -> str:
    if teeth == 0:
        return "leave it"
    plural = "tooth" if abs(teeth) == 1 else "teeth"
    return f"{abs(teeth)} {plural} tail {'down' if teeth > 0 else 'up'}"


def turns(inner: int, outer: int) -> str:
    """What to do at the two ends of one side.

    >>> turns(-3, 1)
    'inner end: 3 teeth tail up; outer end: 1 tooth tail down'
    """
    if not inner and not outer:
        return "leave it"
    return f"inner end: {_end(inner)}; outer end: {_end(outer)}"


def _wrapped(text: str, first: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=" " * (len(first) + 2))


def _now(answer: SolveAnswer, m: Measures) -> list[str]:
    lines = ["As it stands now"]
    for name, side in (("left", answer.now.left), ("right", answer.now.right)):
        lines.append(
            f"  {name + ':':7}body {m.length(side.body_height_mm)}, hanging {m.angle(side.hanging_deg)},"
            f" riding {m.angle(side.riding_deg)}, carries {m.mass(side.load_kg)}"
        )
    return lines


def _side(name: str, side: SidePlan, m: Measures) -> list[str]:
    lines = [
        f"  {name + ':':7}{turns(side.inner, side.outer)}",
        f"         body {m.length(side.body_height_mm)}; arm hangs at {side.hanging_deg:.1f}° when done",
    ]
    if side.inner or side.outer:
        lift = side.lift
        lines.append(
            f"         lifting the arm onto its stop: {m.torque(lift.torque_nm)},"
            f" {m.force(lift.force_n)} at the wheel end, {m.energy(lift.energy_j)} stored"
        )
    return lines


def _best(option: Option, m: Measures) -> list[str]:
    head = f"Plan: {option.label} ({odds_words(option.odds)})"
    lines = [head if option.recommended else head + ", not recommended as it stands"]
    lines += _side("left", option.left, m) + _side("right", option.right, m)
    lines.append(
        f"  lean:  {m.length(option.lean_mm)} (left minus right); {option.ends_disturbed} ends taken apart;"
        f" rides at {option.ride_hz:.1f} Hz"
    )
    for words in option.stopped_by:
        lines += _wrapped(f"STOPPED: {words}", "  ")
    for words in option.cautions:
        lines += _wrapped(f"mind: {words}", "  ")
    return lines


def _others(options: list[Option], m: Measures) -> list[str]:
    lines = ["Other ways"] if options else []
    for option in options:
        lines.append(f"  {option.label} ({odds_words(option.odds)})")
        for name, side in (("left", option.left), ("right", option.right)):
            lines.append(
                f"    {name + ':':7}{turns(side.inner, side.outer)}; body {m.length(side.body_height_mm)}"
            )
        for words in option.stopped_by:
            lines += _wrapped(f"STOPPED: {words}", "    ")
    return lines


def _advice(advice: list[Advice], odds: float) -> list[str]:
    lines = ["Measure this first"] if advice else []
    for item in advice:
        gain = f"{round(100 * odds)} → {round(100 * item.odds_after)} in 100"
        lines += _wrapped(f"{gain}, {item.minutes:g} min: {item.text}", "  ")
    return lines


def _doubts(doubts: list[Doubt], log: list[dict[str, Any]]) -> list[str]:
    lines = ["Doubts: settle these before turning anything"] if doubts else []
    for doubt in doubts:
        entry = log[doubt.log_index]
        what = entry.get("what", f"move of teardown {entry.get('teardown', 0):g}")
        where = " ".join(str(w) for w in (what, entry.get("side", "")) if w)
        repair = "" if doubt.repaired_value is None else f" It would then be {doubt.repaired_value:g}."
        lines += _wrapped(f"entry {doubt.log_index} ({where}): {doubt.guess}. {doubt.text}{repair}", "  ")
    return lines


def sheet(answer: SolveAnswer, request: dict[str, Any], *, inches: bool = False) -> str:
    """The whole plan as lines of text.

    Parameters
    ----------
    answer : the plan
    request : the request it answers, for the names of its log's entries
    inches : add inches and pounds
    """
    m = Measures(inches=inches)
    wish = request["target"]
    best, rest = answer.options[0], answer.options[1:]
    aim = [
        f"Wanted: left {m.plain_length(wish['left_mm'])}, right {m.plain_length(wish['right_mm'])},"
        f" each within {m.plain_length(wish.get('tolerance_mm', field('target.tolerance_mm').default))},"
        f" lean within {m.plain_length(wish.get('lean_mm', field('target.lean_mm').default))}"
    ]
    blocks = [
        aim,
        _now(answer, m),
        _doubts(answer.doubts, request["log"]),
        _best(best, m),
        _advice(answer.measure_next, best.odds),
        _others(rest, m),
        ["Cautions", *(line for words in answer.cautions for line in _wrapped(words, "  "))],
        ["± is one standard deviation: two times in three the true figure lies within it."],
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"
