"""Slips of an adjustment: a turn miscounted, turned the wrong way, or the other wheel's adjuster turned.

Told from what was read after it, a bolt's length above all: half a millimetre tells one turn of most threads. Where
a wheel's adjuster sits at the other side of the car, the two are easily taken for each other. Common practice, no
source.
"""

from .adjuster import Adjuster
from .fields import SIDES
from .fittings import Fittings
from .miscount import WRONG_WAY, Felt, Reach, reaches
from .misfit import Misfits
from .observation import Observation
from .slip import Slip

__all__ = ["GUESSES", "miswounds"]

MORE, FEWER, WAY, OTHER = GUESSES = (
    "one turn more",
    "one turn fewer",
    "adjuster turned the wrong way",
    "adjusters swapped",
)

SWAPPED = 1.0
"""What adjusters taken for each other must explain more than a wrong way, in sums of squares."""
ACROSS = 0.3
"""The same where they sit across the car."""


class _Wound(Felt):
    """How much an angle missing from an adjuster's log moves a reading."""

    def __init__(self, fit: Fittings, theta: list, wheel_turns: list) -> None:
        self.fit = fit
        self.theta = theta
        self.wheel_turns = wheel_turns

    def per_turn(self, turned: float, side: int) -> float:
        """What one turn more adds to the hanging angle, [rad]."""
        return self.fit.factor(self.theta) * self.fit.adjuster.slope(turned, side)

    def by(self, o: Observation, row: list, side: int) -> float:
        """As ``Felt``; a bolt's length shows its own turns, whatever they do to the car."""
        if o.kind != "bolt-length":
            return row[side]
        step = self.per_turn(self.wheel_turns[o.teardown][side], side)
        return self.fit.longer_by(self.theta) / step if o.side == side and step else 0.0


def miswounds(figures: Misfits) -> list:
    """Every slip of an adjustment worth trying on an estimate's log, as Slip; ``figures`` are its Misfits."""
    estimate = figures.estimate
    case = estimate.case
    adjuster = case.car.adjuster
    if not [t for t in case.moves if [side for side in case.moves[t][1] if side[2]]]:
        return []
    wheel_turns = estimate.evidence.wheel_turns
    felt = _Wound(estimate.evidence.fit, estimate.theta, wheel_turns)
    found = reaches(figures, felt)
    out: list = []
    for teardown in sorted(case.moves):
        index, moved = case.moves[teardown]
        turns = [side[2] for side in moved]
        if not turns[0] and not turns[1]:
            continue
        step = [felt.per_turn(wheel_turns[teardown][side], side) for side in (0, 1)]
        for guess, meant, side, rarity in _meant(turns, adjuster):
            missing = [(meant[s] - turns[s]) * step[s] for s in (0, 1)]
            out.append(_slip(guess, teardown, index, moved, meant, missing, found[teardown], side, rarity))
    return out


def _meant(turns: list, adjuster: Adjuster) -> list:
    """(guess, turns meant : (2,), side or None, rarity) of what may have been done instead."""
    out: list = []
    for side in (0,) if adjuster.shared else (0, 1):
        if not turns[side]:
            continue
        for meant, guess, rarity in (
            (turns[side] + 1.0, MORE if turns[side] > 0.0 else FEWER, 0.0),
            (turns[side] - 1.0, FEWER if turns[side] > 0.0 else MORE, 0.0),
            (-turns[side], WAY, WRONG_WAY),
        ):
            both = [meant, meant] if adjuster.shared else turns[:]
            both[side] = meant
            out.append((guess, both, side, rarity))
    if turns[0] != turns[1]:
        out.append((OTHER, turns[::-1], None, WRONG_WAY + (ACROSS if adjuster.across else SWAPPED)))
    return out


def _slip(
    guess: str,
    teardown: int,
    index: int,
    moved: tuple,
    meant: list,
    missing: list,
    reach: Reach,
    side: int | None,
    rarity: float,
) -> Slip:
    """One slip: the turns ``meant`` : (2,) instead of those entered."""
    put = tuple([pair[:2] + (turns,) for pair, turns in zip(moved, meant)])
    name = "both" if side is None else SIDES[side]
    parts = [(reach.pairs[s], missing[s]) for s in (0, 1) if missing[s]]
    return Slip(
        guess,
        index,
        None if side is None else meant[side],
        parts,
        rarity=rarity,
        drop=reach.drop(missing),
        moves={teardown: (index, put)},
        side=name,
        field="left" if side is None else name + ".turns",
        gaps={
            "teardown": teardown,
            "side": name,
            "left": (meant[0], "turns"),
            "right": (meant[1], "turns"),
            "turns": (meant[side or 0], "turns"),
        },
    )
