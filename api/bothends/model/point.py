"""One point of the whole-tooth lattice: net fine steps on each side, and what comes of them."""

from .statics import Equilibrium

__all__ = ["Point"]


class Point:
    """One point of the lattice, fully worked out.

    ``steps`` (2,) net fine steps, ``teeth`` ((inner, outer) left, right), ``turn`` (2,) since the first hanging
    angle, [rad], ``rest`` its equilibrium (None where there is none), ``mean`` (2,) heights [m], ``variance``
    (3,), ``rows`` their derivatives, ``odds``, ``score`` odds less the cost of the work.
    """

    def __init__(self, steps: tuple, teeth: tuple, turn: tuple) -> None:
        self.steps = steps
        self.teeth = teeth
        self.turn = turn
        self.rest: Equilibrium | None = None
        self.mean: tuple = ()
        self.variance: tuple = ()
        self.rows: tuple = ()
        self.odds = 0.0
        self.score = -1.0

    def ends(self) -> int:
        """How many bar ends are disturbed, 0 to 4."""
        count = 0
        for side in self.teeth:
            for end in side:
                if end:
                    count += 1
        return count
