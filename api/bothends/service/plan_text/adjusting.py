"""Adjusters in a printed plan: turns in the trade's words, what a screw takes, what is left, the order of the work.

The order is common practice of the trade, no source; the car's own manual goes before it.
"""

from typing import Any

from bothends.model.fields import ECCENTRIC, NO_ADJUSTER, NOTCH, SCREW
from bothends.model.figures import turns_text
from bothends.model.sentences import MOVES
from bothends.model.turning import NOUNS

from ..wire.option import Option, Screw, SidePlan
from .measure import Measures
from .turns import NO_CHANGE, both, turns

__all__ = ["adjusted", "adjusts", "kind_of", "left_over", "order", "work"]

READY = (
    "Get the car ready: tyres at pressure, fuel and usual load, level floor.",
    "Anti-roll bar on this axle: take one link off; it stays off until both heights are right.",
    "Body on axle stands, wheels hanging: weight off the adjusters. On its wheels only where the car's manual says"
    " so.",
)
AT = {
    SCREW: (
        "Clean and oil the thread, lock nut loose, no impact wrench. Turn {what}. The first time make about two"
        " thirds of it. End on a raising movement, which takes up the play. Hold the screw while you tighten the"
        " lock nut."
    ),
    ECCENTRIC: (
        "Scribe a line across eccentric and plate, clamp bolts loose. Turn {what}; end on a raising movement."
        " Tighten the clamp bolts to the car's manual: a slack clamp creeps."
    ),
    NOTCH: (
        "One beam at a time, the other clamped. Turn {what}, the same at every pack that is moved; tighten the"
        " clamp to the car's manual before the next beam is loosened."
    ),
}
TEETH_FIRST = {
    SCREW: "Turn the teeth first, as above, then the screws.",
    ECCENTRIC: "Centre the eccentric, then turn the teeth, cover on, before the eccentric is set.",
    NOTCH: "Turn the teeth first, as above, then the notches.",
}
LAST = (
    "When both heights are right: anti-roll link on without strain, pivot rubbers tightened at that height;"
    " alignment, headlamps, brake regulator, bump rubbers and drive joints looked at."
)
RUB = " Leaves rub: read once after it came down and once after it was pushed down and let up."


def kind_of(request: dict[str, Any]) -> str:
    """Which adjuster the car of a request has."""
    adjuster = (request.get("car") or {}).get("adjuster") or {}
    return str(adjuster.get("kind") or NO_ADJUSTER)


def adjusts(option: Option) -> bool:
    """Whether an option turns an adjuster."""
    return any(side.turns for _, side in both(option))


def work(side: SidePlan, kind: str) -> str:
    """All that is done on one side: "outer end 1 tooth arm down (raises); raise 2 1/4 turns at the screw".

    Parameters
    ----------
    kind : of the car's adjuster, as ``kind_of``
    """
    ends = turns(side.inner, side.outer, side.turn_deg)
    if not side.turns:
        return ends
    wound = adjusted(side, kind)
    return wound if ends == NO_CHANGE or side.inner is None else f"{ends}; {wound}"


def adjusted(side: SidePlan, kind: str) -> str:
    """What is done at a side's adjuster: "raise 2 1/4 turns at the screw"."""
    way = MOVES["raise" if (side.turns or 0.0) > 0.0 else "lower"]
    return f"{way % {'turns': turns_text(abs(side.turns or 0.0), kind)}} at the {NOUNS[kind][0]}"


def left_over(side: SidePlan, kind: str, m: Measures) -> list[str]:
    """What is left of an adjuster afterwards, and what turning a screw takes; a line each."""
    lines = []
    ways = [
        f"{turns_text(max(0.0, left), kind)} to {way}"
        for way, left in (("raise", side.raise_turns_left), ("lower", side.lower_turns_left))
        if left is not None
    ]
    if ways:
        lines.append(f"left of the {NOUNS[kind][0]} then: {', '.join(ways)}")
    if side.turns and side.screw is not None:
        lines += _takes(side.screw, m)
    return lines


def _takes(screw: Screw, m: Measures) -> list[str]:
    if screw.torque_nm <= 0.0:
        return ["wheels hanging, the bar is slack at the screw"]
    low, high = (m.torque(nm) for nm in screw.raise_nm)
    down, most = (m.torque(nm) for nm in screw.lower_nm)
    lines = [
        f"wheels hanging: {m.force(screw.force_n)} on the screw; at the nut {low} to {high} to raise,"
        f" {down} to {most} to lower"
    ]
    if screw.unload_nm > 0.0:
        lines.append(
            f"still wound in at full droop: up to {m.torque(screw.unload_nm)}, {m.energy(screw.unload_j)}."
            " Never undo the screw to free the lever; use an unloading tool"
        )
    return lines


def order(option: Option, request: dict[str, Any]) -> list[str]:
    """The steps of setting the adjusters, in the order of the work, without reading and entering."""
    kind = kind_of(request)
    what = "; ".join(f"{name}: {adjusted(side, kind)}" for name, side in both(option) if side.turns)
    if ((request.get("car") or {}).get("adjuster") or {}).get("across"):
        what += " (the left wheel's sits on the right, the right wheel's on the left)"
    steps = [*READY]
    if option.ends_disturbed:
        steps.append(TEETH_FIRST[kind])
    return [*steps, AT[kind].format(what=what)]
