"""Teeth of the true bars: turns in degrees to whole teeth and back."""

import math

__all__ = ["fewest", "nearest_step", "turn_deg"]


def turn_deg(teeth, counts: tuple[int, int]) -> float:
    """Turn by whole teeth (inner, outer), [deg]."""
    return teeth[0] * (360.0 / counts[0]) + teeth[1] * (360.0 / counts[1])


def nearest_step(degrees: float, counts: tuple[int, int]) -> int:
    """The whole number of fine steps nearest to a turn."""
    return round(degrees * math.lcm(*counts) / 360.0)


def fewest(net: int, counts: tuple[int, int]) -> tuple[int, int]:
    """Fewest teeth, inner and outer, whose net turn is so many fine steps."""
    inner, outer = counts
    unit = math.lcm(inner, outer)
    best = None
    for i in range(-inner, inner + 1):
        rest = net - i * (unit // inner)
        if rest % (unit // outer) == 0:
            o = rest // (unit // outer)
            if best is None or abs(i) + abs(o) < abs(best[0]) + abs(best[1]):
                best = (i, o)
    assert best is not None
    return best
