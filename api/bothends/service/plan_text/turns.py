"""What to turn on one side, in words: whole teeth at either end, or degrees while they are not counted."""

from bothends.model.option import LEAVE
from bothends.model.sentences import MOVES

from ..wire.option import Option, SidePlan

__all__ = ["NO_CHANGE", "both", "in_degrees", "is_turned", "named", "turns"]

NO_CHANGE = MOVES["none"]

_SMALLEST_TURN = 0.05
"""Turns below this are no turn at one decimal, [°]."""


def _way(up: bool) -> str:
    return "arm down (raises)" if up else "arm up (lowers)"


def _end(teeth: int) -> str:
    if teeth == 0:
        return "stays"
    plural = "tooth" if abs(teeth) == 1 else "teeth"
    return f"{abs(teeth)} {plural} {_way(teeth > 0)}"


def turns(inner: int | None, outer: int | None, turn_deg: float = 0.0) -> str:
    """What to do on one side: teeth at either end, or degrees while they are not counted.

    >>> turns(-3, 1)
    'inner end 3 teeth arm up (lowers), outer end 1 tooth arm down (raises)'
    >>> turns(None, None, 14.52)
    '14.5° arm down (raises)'
    """
    if inner is None or outer is None:
        if abs(turn_deg) < _SMALLEST_TURN:
            return NO_CHANGE
        return f"{abs(turn_deg):.1f}° {_way(turn_deg > 0.0)}"
    if not inner and not outer:
        return NO_CHANGE
    return f"inner end {_end(inner)}, outer end {_end(outer)}"


def is_turned(side: SidePlan) -> bool:
    """Whether anything is turned on a side."""
    return turns(side.inner, side.outer, side.turn_deg) != NO_CHANGE


def named(option: Option) -> str:
    """What an option is called where people read it."""
    return NO_CHANGE if option.label == LEAVE else option.label


def in_degrees(option: Option) -> bool:
    """Whether a side turns by degrees, since its teeth are not counted."""
    return any(is_turned(side) and side.inner is None for side in (option.left, option.right))


def both(option: Option) -> tuple[tuple[str, SidePlan], ...]:
    """Both sides of an option by name."""
    return ("left", option.left), ("right", option.right)
