"""One way to turn both sides, in teeth or in degrees, and what comes of it."""

from .statics import Equilibrium

__all__ = ["Point"]


class Point:
    """One way to turn both sides.

    ``steps`` (2,) net fine steps and ``teeth`` ((inner, outer) left, right), both None where the teeth are not
    counted; ``turn`` (2,) since the first hanging angle, [rad]; ``moved`` (2,) whether a side is taken apart;
    ``rest`` its equilibrium (None where there is none); ``off`` (2,) expected deviation from the target,
    ``variance`` (3,) and ``rows`` its derivatives, in the target's own unit; ``odds``, ``score`` odds less the cost
    of the work. ``swing`` (2,) the most by which a side's turn may come out different, [rad]: half a step.
    ``turns`` (2,) of the adjusters, raising positive, None where there are none; ``wound`` (2,) what of ``turn``
    the adjusters then have added, [rad], None where they stay as they are.
    """

    def __init__(self, steps: tuple | None, teeth: tuple | None, turn: tuple, moved: tuple) -> None:
        self.steps = steps
        self.teeth = teeth
        self.turn = turn
        self.moved = moved
        self.rest: Equilibrium | None = None
        self.off: tuple = ()
        self.variance: tuple = ()
        self.rows: tuple = ()
        self.odds = 0.0
        self.score = -1.0
        self.swing: tuple = (0.0, 0.0)
        self.turns: tuple | None = None
        self.wound: tuple | None = None

    def still(self) -> bool:
        """Whether nothing is turned."""
        return self.ends() == 0 and (self.turns is None or not (self.turns[0] or self.turns[1]))

    def ends(self) -> int:
        """How many bar ends are disturbed, 0 to 4; both of a moved side's where teeth are not counted."""
        if self.teeth is None:
            return 2 * (int(self.moved[0]) + int(self.moved[1]))
        count = 0
        for side in self.teeth:
            for end in side:
                if end:
                    count += 1
        return count
