"""A plan as text that can be read beside the car: the headline, what to turn, what comes of it, what to do next.

Sentences about the car are the model's; owned here are the order, the labels and what is done with the file. What
an answer cannot know is left out or said to be unknown, never written as a nought.
"""

from typing import Any

from bothends.model.fields import kind as kind_named
from bothends.model.sentences import TESTS

from ..wire.answer import Doubt, SolveAnswer
from ..wire.axle import Advice, Assumed
from ..wire.both import BothAxles
from ..wire.option import Option
from .adjusting import adjusts, kind_of, work
from .both import chance_lines, in_brief, own_axle, together
from .frame import before_all, next_lines, target_lines, to_do
from .measure import IN_90, Measures, chance
from .turns import both, in_degrees, named
from .way import comes_of, minded, way
from .wrap import wrapped

__all__ = ["brief", "full"]

NAMES = {
    "board-test": "a board test",
    "centre-jack": "a centre-jack test",
    "hang-test": "a droop test",
    "scales": "weighing both wheels",
    "ballast-test": "a ballast test",
    "body-height": "reading both heights again",
    "riding-angle": "reading the riding angles",
    "hanging-angle": "reading the hanging angles",
    "settling": "settling the car once more",
    "arm-length": "taping the arms",
}
"""What a test is called inside a sentence."""


def _cross_weight(answer: SolveAnswer, option: Option) -> list[str]:
    """Cross-weight now and after, where four wheels were weighed, and what cannot be had with it."""
    if answer.cross_weight is None or option.cross_weight is None:
        return []
    now, after = answer.cross_weight.now.percent, option.cross_weight.percent
    text = (
        f"Cross-weight (RF + LR) {now.value:.1f} % now, {after.value:.1f} % after (± {IN_90 * after.sd:.1f})"
    )
    return wrapped(text) + ([] if answer.both else wrapped(answer.cross_weight.words))


def _plan(answer: SolveAnswer, m: Measures, kind: str) -> list[str]:
    option = answer.options[0]
    of = "Plan" if answer.both is None else f"Plan of the {own_axle(answer.both)} axle"
    lines = way(option, m, kind, withheld=answer.withheld, of=of)
    lines += _cross_weight(answer, option)
    if answer.other is not None and answer.both is None:
        for words in answer.other.words:
            lines += wrapped(words)
    return lines + minded(option)


def _others(options: list[Option], m: Measures, kind: str) -> list[str]:
    lines = ["Other ways"] if options else []
    for option in options:
        lines += wrapped(f"{named(option)}, chance {chance(option.odds)}")
        for name, side in both(option):
            text = f"{work(side, kind)}; {comes_of(side, m)}"
            lines += wrapped(text, f"    {name + ':':8}", "")
        for words in option.stopped_by or [o.words for o in option.obstacles if o.given]:
            lines += wrapped(f"NOT POSSIBLE: {words}", "    ")
    return lines


def _advice(advice: list[Advice], odds: float, where: str = "") -> list[str]:
    lines = (
        [f"Measure next{where}, for a better chance than {chance(odds)}: best gain for the minutes first"]
        if advice
        else []
    )
    for item in advice:
        lines += wrapped(f"{chance(item.odds_after)} after {item.minutes:g} min: {item.text}")
    return lines


def _assumed(facts: list[Assumed], where: str = "") -> list[str]:
    lines = [f"Assumed{where}, because it was not given"] if facts else []
    for fact in facts:
        text = fact.words
        if fact.measure is not None:
            name = NAMES.get(fact.measure)
            text += f" {TESTS.get(fact.measure, '')}" if name is None else f" To know it: {name}"
            more = [] if fact.minutes is None else [f"{fact.minutes:g} min"]
            more += [] if fact.odds_after is None else [f"chance then {chance(fact.odds_after)}"]
            text += f" ({', '.join(more)})" if more else ""
        lines += wrapped(text)
    return lines


def _there(plan: BothAxles | None) -> list[list[str]]:
    """The same of the other axle, where both are planned."""
    if plan is None:
        return []
    where = f" at the {plan.axle}"
    return [_advice(plan.measure_next, plan.options[0].odds, where), _assumed(plan.assumed, where)]


def _named(entry: dict[str, Any]) -> str:
    if entry["kind"] == "move":
        return f"move of teardown {entry.get('teardown', 0):g}"
    where = f"{entry['axle']} {entry['side']}" if entry.get("axle") else entry["side"]
    return f"{kind_named(entry['what']).words}, {where}, {entry['value']:g}"


def _doubts(doubts: list[Doubt], log: list[dict[str, Any]]) -> list[str]:
    lines = []
    for changes, heading in (
        (True, "Doubts: resolve these before you turn anything"),
        (False, "Doubts that change nothing in the plan"),
    ):
        found = [doubt for doubt in doubts if (doubt.changes_plan is not False) is changes]
        lines += [heading] if found else []
        for doubt in found:
            also = "" if doubt.also is None else f" Or: {doubt.also.text}"
            where = f"record {doubt.log_index + 1} of the log ({_named(log[doubt.log_index])})"
            lines += wrapped(f"{where}: {doubt.text}{also}")
    return lines


def _now(answer: SolveAnswer, m: Measures) -> list[str]:
    lines = ["As it stands now"]
    for name, side in (("left", answer.now.left), ("right", answer.now.right)):
        if side.body_height_mm is not None:
            height = f"ride height {m.length(side.body_height_mm)}"
        elif side.hub_to_body_mm is not None:
            height = f"hub to body {m.length(side.hub_to_body_mm)}"
        else:
            height = "ride height not read"
        text = (
            f"{height}; arm to body: hanging angle {m.angle(side.hanging_deg)}, riding angle"
            f" {m.angle(side.riding_deg)};"
            f" spring carries {m.mass(side.load_kg)}"
        )
        lines += wrapped(text, f"  {name + ':':8}", "")
    return lines


def brief(answer: SolveAnswer, request: dict[str, Any]) -> str:
    """The headline, the teeth where they are counted, the turns and the chance; for a terminal.

    Parameters
    ----------
    answer : the plan
    request : the request it answers, for its adjuster
    """
    best = answer.options[0]
    lines = wrapped(answer.headline.words, "", "")
    turned = adjusts(best) or (best.ends_disturbed and not in_degrees(best))
    if turned and not (answer.withheld or best.stopped_by):
        for name, side in both(best):
            lines += wrapped(work(side, kind_of(request)), f"  {name + ':':8}", "")
    if not (answer.withheld or best.stopped_by):
        text = f"Chance {chance(best.odds)} that it ends on target"
        for test in answer.measure_next[:1]:
            known = NAMES.get(test.what)
            text += "" if known is None else f"; {chance(test.odds_after)} after {known}"
        lines += wrapped(text + ".", "", "")
    if answer.both is not None:
        lines += in_brief(answer.both, request)
    return "\n".join(lines) + "\n"


def full(answer: SolveAnswer, request: dict[str, Any], *, inches: bool = False) -> str:
    """The whole plan as lines of text, at most a hundred columns wide.

    Parameters
    ----------
    answer : the plan
    request : the request it answers, for the entries of its log
    inches : add inches and pounds
    """
    m = Measures(inches=inches)
    best, rest = answer.options[0], answer.options[1:]
    kind = kind_of(request)
    blocks = [
        # What is to be measured first must not be read after what to turn.
        before_all(answer) + wrapped(answer.headline.words, "", "") + chance_lines(answer.both),
        to_do(answer, request),
        target_lines(answer, m),
        _doubts(answer.doubts, request["log"]),
        _plan(answer, m, kind),
        together(answer.both, request, m),
        _advice(answer.measure_next, best.odds),
        _assumed(answer.assumed),
        *_there(answer.both),
        _others(rest, m, kind),
        _now(answer, m),
        ["Safety", *(line for words in answer.cautions for line in wrapped(words))],
        wrapped(
            f"± is the range that holds 90 in 100 ({IN_90:g} standard deviations). The chance is that of ending on"
            " target, within what the target allows.",
            "",
            "",
        ),
        next_lines(answer, request),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"
