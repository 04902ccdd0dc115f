"""Slips between the two sides: their readings exchanged, one figure typed on both, or both in another unit.

Common practice, no source.
"""

from .fields import SIDES
from .figures import POUND_KG
from .misfit import Misfits
from .misread import LOUD_ENOUGH, UNIT
from .observation import Observation
from .slip import Slip, scatter_change, with_value

__all__ = ["mixups"]


def _pairs(observations: list) -> list:
    """(i, j) of left and right observations of one kind in one pose."""
    lefts = {}
    out = []
    for right in (False, True):
        for i in range(len(observations)):
            o = observations[i]
            key = (o.kind, o.teardown, o.place, o.hanging, o.gravity, o.spot, o.after, o.resettled)
            if o.side == 0 and not right:
                lefts[key] = i
            elif o.side == 1 and right and key in lefts:
                out.append((lefts[key], i))
    return out


def _exchanged(i: int, a: Observation, j: int, b: Observation, pairs: list) -> Slip | None:
    """The slip that exchanges some pairs of readings between observations ``a`` (left) and ``b`` (right)."""
    shift_a = 0.0
    shift_b = 0.0
    replace = {}
    for left, right in pairs:
        if abs(left.value - right.value) < left.sd + right.sd:
            return None
        shift_a += (right.value - left.value) * (a.spread / left.sd) ** 2
        shift_b += (left.value - right.value) * (b.spread / right.sd) ** 2
        replace[left.index] = with_value(left, right.value, right.raw, right.datum)
        replace[right.index] = with_value(right, left.value, left.raw, left.datum)
    left, right = pairs[0]
    unit = UNIT[a.kind][0]
    return Slip(
        "sides swapped",
        left.index,
        right.raw,
        [([(i, shift_a), (j, shift_b)], 1.0)],
        within=scatter_change(a, shift_a, replace) + scatter_change(b, shift_b, replace),
        rarity=2.0,
        replace=replace,
        side="both",
        gaps={"reading": (a.kind, 0), "left": (right.raw, unit), "right": (left.raw, unit)},
    )


def _typed_twice(figures: Misfits, i: int, o: Observation, other: Observation) -> list:
    """Readings of ``o`` that have the very figure of the other side; putting it right leaves them out."""
    out = []
    unit, size, _ = UNIT[o.kind]
    for reading in o.members:
        z = figures.residual[reading.index]
        if z * z < LOUD_ENOUGH:
            continue
        # The datum is read on each side for itself: it is the gauge's or tape's own figure that is typed twice.
        if not [r for r in other.members if r.raw == reading.raw]:
            continue
        value = figures.centre[reading.index]
        shown = value / size + (reading.datum or 0.0)
        out.append(
            Slip(
                "value typed twice", reading.index, shown,
                [([(i, (value - reading.value) * (o.spread / reading.sd) ** 2)], 1.0)], drop=-z * z, rarity=2.0,
                replace={reading.index: None}, side=SIDES[o.side],
                gaps={"reading": (o.kind, o.side), "value": (shown, unit)},
            )
        )  # fmt: skip
    return out


def _in_pounds(i: int, a: Observation, j: int, b: Observation) -> Slip:
    """The slip that takes a weighing of both wheels as pounds."""
    shifts = []
    replace = {}
    within = 0.0
    for k, o in ((i, a), (j, b)):
        own = {}
        shift = 0.0
        for reading in o.members:
            own[reading.index] = with_value(reading, reading.value * POUND_KG, reading.raw * POUND_KG, None)
            shift += (POUND_KG - 1.0) * reading.value * (o.spread / reading.sd) ** 2
        within += scatter_change(o, shift, own)
        shifts.append((k, shift))
        replace.update(own)
    first = a.members[0]
    value = first.raw * POUND_KG
    return Slip(
        "pounds for kilograms", first.index, value, [(shifts, 1.0)], within=within, replace=replace, side="both",
        gaps={"value": (value, UNIT[a.kind][0])}, words="pounds on both sides",
    )  # fmt: skip


def mixups(figures: Misfits) -> list:
    """Every slip between two sides worth trying, as Slip."""
    observations = figures.estimate.evidence.observations
    out = []
    for i, j in _pairs(observations):
        a = observations[i]
        b = observations[j]
        if max(figures.heard[i], figures.heard[j]) < LOUD_ENOUGH:
            continue
        pairs = list(zip(a.members, b.members))
        rounds = [[pair] for pair in pairs]
        if len(pairs) > 1:
            rounds.append(pairs)
        for chosen in rounds:
            slip = _exchanged(i, a, j, b, chosen)
            if slip is not None:
                out.append(slip)
        if a.kind == "wheel-load":
            out.append(_in_pounds(i, a, j, b))
        out += _typed_twice(figures, i, a, b) + _typed_twice(figures, j, b, a)
    return out
