"""One way to turn an axle in a printed plan: what is turned on either side, what comes of it, what to mind."""

from bothends.model.fields import NOTCH

from ..wire.option import Lift, Option, SidePlan
from .adjusting import adjusts, left_over, work
from .measure import Measures, chance
from .turns import both, is_turned, named
from .wrap import wrapped

__all__ = ["comes_of", "minded", "way"]


def _lift(lift: Lift, m: Measures) -> str:
    if lift.assumed:
        if lift.high.force_n <= 0.0:
            return "slack at its stop: no force to lift the arm"
        return f"to lift the arm onto its stop: {m.lift_range(lift.low, lift.high)}; not measured"
    if lift.force_n <= 0.0:
        return "slack at its stop: no force to lift the arm"
    return (
        f"to lift the arm onto its stop: {m.force(lift.force_n)} at the wheel end,"
        f" {m.torque(lift.torque_nm)}, {m.energy(lift.energy_j)} stored"
    )


def comes_of(side: SidePlan, m: Measures) -> str:
    """Rise, ride height and the arm's angle of one side."""
    parts = [m.rise(side.rise_mm)]
    if side.body_height_mm is not None:
        parts.append(f"ride height {m.length(side.body_height_mm)}")
    elif side.hub_to_body_mm is not None:
        parts.append(f"hub to body {m.length(side.hub_to_body_mm)}")
    else:
        parts.append("its ride height was not read")
    return ", ".join(parts)


def way(option: Option, m: Measures, kind: str, *, withheld: bool, of: str = "Plan") -> list[str]:
    """The first way of an axle: both sides, what is lifted, the lean.

    Parameters
    ----------
    option : the way
    kind : which adjuster that axle has
    withheld : whether doubts come first
    of : what it is called, "Plan"
    """
    head = f"{of}: {named(option)}, chance {chance(option.odds)} that it ends on target"
    if withheld:
        head += "; resolve the doubts first"
    elif not option.recommended:
        head += "; not recommended"
    lines = wrapped(head, "")
    for name, side in both(option):
        lines += wrapped(work(side, kind), f"  {name + ':':8}", "")
        lines += wrapped(f"{comes_of(side, m)}; hanging angle, arm to body {side.hanging_deg:.1f}°", " " * 10)
        if is_turned(side):
            lines += wrapped(_lift(side.lift, m), " " * 10)
        for words in left_over(side, kind, m):
            lines += wrapped(words, " " * 10)
    if option.mm_per_turn is not None and adjusts(option):
        figure = m.plain_length(round(option.mm_per_turn, 1))
        lines += wrapped(f"both adjusters one {'notch' if kind == NOTCH else 'turn'}: {figure} of height")
    if all(side.body_height_mm is not None for _, side in both(option)):
        lines += wrapped(f"{m.length(option.lean_mm)} (left minus right)", "  lean:   ")
    return lines


def minded(option: Option) -> list[str]:
    """What forbids a way, and what to mind with it."""
    lines = []
    given = [o.words for o in option.obstacles if o.given]
    assumed = [o.words for o in option.obstacles if not o.given]
    stops = [*given, *(words for words in option.stopped_by if words not in given)]
    for words in stops:
        lines += wrapped(f"NOT POSSIBLE: {words}")
    for words in [*assumed, *(w for w in option.cautions if w not in assumed and w not in stops)]:
        lines += wrapped(f"Caution: {words}")
    return lines
