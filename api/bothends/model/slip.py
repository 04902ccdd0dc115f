"""The usual slips of a reading, each with the change it would explain and the value it repairs.

Common practice, no source: a sign turned, a gauge turned round, the datum left out, inches typed for
millimetres, sides swapped. Slips of a move are `miscount`'s.
"""

import math

from .bounds import BODY_HEIGHT_KINDS
from .estimate import Estimate
from .evidence import Observation
from .fields import SIDES
from .request import Case, Reading
from .statics import ARM
from .units import DEG, INCH, MM

__all__ = ["Slip", "slips"]

POUND_KG = 0.45359237
"""One pound, [kg], exact by definition."""


def _with_value(reading: Reading, value: float, raw: float, datum: float | None) -> Reading:
    return Reading(
        reading.index, reading.kind, reading.side, value, reading.sd, reading.teardown, reading.pose,
        reading.hanging, reading.gravity, raw, datum,
    )  # fmt: skip


class Slip:
    """One supposed slip.

    ``shifts`` (m,) how repairing it moves the observations, ``within`` the change of the repeats' own scatter,
    ``rarity`` what an unusual slip must bring more than a usual one, in sums of squares.
    """

    def __init__(
        self,
        guess: str,
        index: int,
        value: float | None,
        text: str,
        shifts: list,
        within: float,
        rarity: float,
        replace: dict,
        move: tuple | None = None,
        field: str = "value",
    ) -> None:
        self.guess = guess
        self.index = index
        self.value = value
        self.text = text
        self.shifts = shifts
        self.within = within
        self.rarity = rarity
        self.replace = replace
        self.move = move
        self.field = field
        self.side: str | None = None
        self.end: str | None = None

    def repaired(self, case: Case) -> Case:
        """A copy of the case with the slip put right."""
        readings = [self.replace.get(r.index, r) for r in case.readings]
        moves = dict(case.moves)
        if self.move:
            moves[self.move[0]] = self.move[1]
        return Case(case.car, case.wish, readings, moves, case.units)

    def doubt(self, misfit: float) -> dict:
        """The answer's form of it."""
        return {
            "log_index": self.index,
            "misfit": misfit,
            "guess": self.guess,
            "repaired_value": self.value,
            "field": self.field,
            "side": self.side,
            "end": self.end,
            "text": self.text,
        }


def _angle_slips(reading: Reading, datums: list) -> list:
    """(guess, repaired value in rad, raw, datum, shown value, field, rarity) for an angle."""
    raw = reading.raw
    datum = reading.datum
    out: list[tuple] = []
    if datum is None:
        out.append(("sign flipped", -reading.value, -raw, None, -raw, "value", 0.0))
        if not reading.gravity:
            for other in datums:
                value = raw - other
                out.append(("datum missing", value * DEG, raw, other, value, "value", 0.0))
    else:
        out.append(("sign flipped", (-raw - datum) * DEG, -raw, datum, -raw, "value", 0.0))
        out.append(("datum sign flipped", (raw + datum) * DEG, raw, -datum, -datum, "datum", 1.0))
        out.append(("gauge turned round", (datum - raw) * DEG, -raw, -datum, -raw, "value", 1.0))
        for other in datums:
            if abs(other - datum) > 0.5:
                out.append(
                    ("datum of another pose", (raw - other) * DEG, raw, other, other, "datum", 3.0)
                )  # fmt: skip
    return out


def _length_slips(reading: Reading) -> list:
    raw = reading.raw
    out = []
    for guess, factor, rarity in (
        ("inches for millimetres", INCH, 0.0),
        ("centimetres for millimetres", 10.0, 1.0),
        ("millimetres for inches", 1.0 / INCH, 2.0),
    ):
        low, high = BODY_HEIGHT_KINDS[reading.kind]
        if low <= raw * factor <= high:
            out.append((guess, raw * factor * MM, raw * factor, None, raw * factor, "value", rarity))
    return out


def _load_slips(reading: Reading) -> list:
    raw = reading.raw * POUND_KG
    return [("pounds for kilograms", reading.value * POUND_KG, raw, None, raw, "value", 0.0)]


def _datums(readings: list, reading: Reading) -> list:
    """Other datums read in the same kind of pose after the same teardown, [deg], without near repeats."""
    out: list[float] = []
    for other in readings:
        if other.datum is None or other.teardown != reading.teardown or other.hanging != reading.hanging:
            continue
        near = [d for d in out if abs(d - other.datum) < 0.5]
        if not near and other.index != reading.index:
            out.append(other.datum)
    return out


def _of_reading(i: int, o: Observation, reading: Reading, count: int, readings: list) -> list:
    """Slips of one reading behind observation ``i``."""
    if o.kind in ("hanging-angle", "riding-angle"):
        found = _angle_slips(reading, _datums(readings, reading))
        unit = "°"
    elif o.kind == "wheel-load":
        found = _load_slips(reading)
        unit = " kg"
    else:
        found = _length_slips(reading)
        unit = " mm"
    out = []
    share = (o.spread / reading.sd) ** 2
    for guess, value, raw, datum, shown, field, rarity in found:
        change = value - reading.value
        if abs(change) < reading.sd:
            continue
        shifts = [0.0] * count
        shifts[i] = change * share
        text = "%s, %s side: %s? %.1f%s would fit" % (o.kind, SIDES[o.side], guess, shown, unit)
        replace = {reading.index: _with_value(reading, value, raw, datum)}
        within = _scatter_change(o, shifts[i], replace)
        slip = Slip(guess, reading.index, shown, text, shifts, within, rarity, replace, None, field)
        slip.side = SIDES[o.side]
        out.append(slip)
    return out


def _of_hung(i: int, hung: Observation, estimate: Estimate) -> list:
    """Slips of the arm's angle read in a hang test, felt only through the hub's height there."""
    out = []
    count = len(estimate.evidence.observations)
    arm = estimate.theta[ARM]
    for reading in hung.members:
        for slip in _of_reading(i, hung, reading, count, estimate.case.readings):
            # The same change of angle, as the change of the hub's reading that would say the same.
            turned = slip.shifts[i]
            slip.shifts[i] = arm * (math.sin(hung.value) - math.sin(hung.value + turned))
            out.append(slip)
    return out


def _swapped(observations: list) -> list:
    """Left and right of one kind in one pose exchanged: one round of readings, or all of them."""
    out = []
    for i in range(len(observations)):
        a = observations[i]
        for j in range(len(observations)):
            b = observations[j]
            same = (a.kind, a.teardown, a.place, a.hanging) == (b.kind, b.teardown, b.place, b.hanging)
            if not same or a.side != 0 or b.side != 1 or a.gravity != b.gravity:
                continue
            pairs = list(zip(a.members, b.members))
            rounds = [[pair] for pair in pairs]
            if len(pairs) > 1:
                rounds.append(pairs)
            for chosen in rounds:
                slip = _exchanged(observations, i, j, chosen)
                if slip is not None:
                    out.append(slip)
    return out


def _exchanged(observations: list, i: int, j: int, pairs: list) -> Slip | None:
    """The slip that exchanges some pairs of readings between observations ``i`` (left) and ``j`` (right)."""
    a = observations[i]
    b = observations[j]
    shifts = [0.0] * len(observations)
    replace = {}
    for left, right in pairs:
        if abs(left.value - right.value) < left.sd + right.sd:
            return None
        shifts[i] += (right.value - left.value) * (a.spread / left.sd) ** 2
        shifts[j] += (left.value - right.value) * (b.spread / right.sd) ** 2
        replace[left.index] = _with_value(left, right.value, right.raw, right.datum)
        replace[right.index] = _with_value(right, left.value, left.raw, left.datum)
    within = _scatter_change(a, shifts[i], replace) + _scatter_change(b, shifts[j], replace)
    left, right = pairs[0]
    text = "%s: left and right swapped? Left %.1f, right %.1f would fit" % (a.kind, right.raw, left.raw)
    slip = Slip("sides swapped", left.index, right.raw, text, shifts, within, 2.0, replace)
    slip.side = "both"
    return slip


def _scatter_change(o: Observation, shift: float, replace: dict) -> float:
    """Change of the repeats' own scatter, in sums of squares, when some are replaced and their mean shifts."""
    total = 0.0
    if len(o.members) > 1:
        for member in o.members:
            now = replace.get(member.index, member).value - o.value - shift
            total += (now * now - (member.value - o.value) ** 2) / (member.sd * member.sd)
    return total


def slips(estimate: Estimate) -> list:
    """Every slip of a reading worth trying on an estimate's log, as Slip."""
    observations = estimate.evidence.observations
    out = []
    for i in range(len(observations)):
        o = observations[i]
        for reading in o.members:
            out += _of_reading(i, o, reading, len(observations), estimate.case.readings)
        if o.hung is not None:
            out += _of_hung(i, o.hung, estimate)
    return out + _swapped(observations)
