"""A supposed slip: what it would change in the log, the readings or moves it puts right, and how it is told."""

from .case import Case
from .observation import Observation
from .reading import Reading

__all__ = ["GUESSES", "Slip", "scatter_change", "with_value"]

GUESSES = (
    "sign flipped",
    "datum missing",
    "datum sign flipped",
    "gauge turned round",
    "datum of another pose",
    "inches for millimetres",
    "centimetres for millimetres",
    "millimetres for inches",
    "pounds for kilograms",
    "sides swapped",
    "decimal point lost",
    "digits swapped",
    "value typed twice",
    "board under the other tyre",
    "board in inches",
    "other axle on a block",
    "other axle not on a block",
    "one tooth more at the inner end",
    "one tooth fewer at the inner end",
    "one tooth more at the outer end",
    "one tooth fewer at the outer end",
    "two teeth more at the inner end",
    "two teeth fewer at the inner end",
    "two teeth more at the outer end",
    "two teeth fewer at the outer end",
    "turned the wrong way",
    "other side turned",
    "one turn more",
    "one turn fewer",
    "adjuster turned the wrong way",
    "adjusters swapped",
    "unexplained",
)
"""Every word that the guess of a doubt may be."""


UNREAD = 1e4
"""How much wider the spread of a reading is made that counts for nothing."""


class Slip:
    """One supposed slip.

    Parameters
    ----------
    guess : one of GUESSES
    index : of the log's entry that is doubted
    value : what it should be, in the field's own unit, or None
    parts : how putting it right moves the observations, list of (list of (observation, change), factor)
    within : change of the repeats' own scatter, in sums of squares
    rarity : what an unusual slip must bring more than a usual one, in sums of squares
    replace : readings put right by log index, None to leave one out
    moves : moves put right by teardown, as in Case
    drop : linear change of the whole sum of squares by ``parts`` where that is known already
    field, side, end : the field of the entry, and the side and the end of the bar it is about, or None
    gaps : what the sentence about it needs
    words : which sentence tells it, where that is not the guess's own
    """

    def __init__(
        self,
        guess: str,
        index: int,
        value: float | None,
        parts: list,
        *,
        within: float = 0.0,
        rarity: float = 0.0,
        replace: dict | None = None,
        moves: dict | None = None,
        drop: float | None = None,
        field: str = "value",
        side: str | None = None,
        end: str | None = None,
        gaps: dict | None = None,
        words: str | None = None,
    ) -> None:
        self.guess = guess
        self.index = index
        self.value = value
        self.parts = parts
        self.within = within
        self.rarity = rarity
        self.replace = replace or {}
        self.moves = moves or {}
        self.drop = drop
        self.field = field
        self.side = side
        self.end = end
        self.gaps = gaps or {}
        self.words = words or guess

    def key(self) -> tuple:
        """What tells one slip from another."""
        return (self.guess, self.index, self.field, self.side, self.value)

    def shifts(self) -> list:
        """How putting it right moves the observations, as one list of (observation, change)."""
        if len(self.parts) == 1:
            pairs, factor = self.parts[0]
            return [(i, factor * change) for i, change in pairs]
        found: dict = {}
        for pairs, factor in self.parts:
            for i, change in pairs:
                found[i] = found.get(i, 0.0) + factor * change
        return [(i, found[i]) for i in sorted(found)]

    def repaired(self, case: Case) -> Case:
        """A copy of the case with the slip put right."""
        readings = []
        for reading in case.readings:
            put = self.replace.get(reading.index, reading)
            readings.append(_unread(reading) if put is None else put)
        moves = dict(case.moves)
        moves.update(self.moves)
        return Case(case.car, case.wish, readings, moves, case.units, case.other).beside(case)


def _unread(reading: Reading) -> Reading:
    """A reading that counts for nothing, but still stands for its kind where it is the only one."""
    return reading.but(
        value=reading.value,
        sd=reading.sd * UNREAD,
        pose=reading.pose,
        raw=reading.raw,
        datum=reading.datum,
    )


def with_value(reading: Reading, value: float, raw: float, datum: float | None) -> Reading:
    """A copy of a reading with another value, SI, and what would have been typed for it."""
    return reading.but(value=value, sd=reading.sd, pose=reading.pose, raw=raw, datum=datum)


def scatter_change(o: Observation, shift: float, replace: dict) -> float:
    """Change of the repeats' own scatter, in sums of squares, when some are replaced and their mean shifts."""
    total = 0.0
    if len(o.members) > 1:
        for member in o.members:
            now = replace.get(member.index, member).value - o.value - shift
            total += (now * now - (member.value - o.value) ** 2) / (member.sd * member.sd)
    return total
