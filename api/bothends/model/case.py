"""A whole request in SI, as the model works on it: one axle's car, target, readings and moves."""

from .car import Car
from .felt import Felt
from .wish import Wish

__all__ = ["Case"]


class Case:
    """A whole request: ``car``, ``wish``, ``readings``, ``moves``, ``units`` for figures in sentences.

    ``readings`` are those of the axle that the bars spring; ``other`` are loads of the other axle's wheels, which
    these springs know nothing of: they stand apart, so that nothing takes them for evidence of them. ``moves`` maps
    teardown number to (log index, ((inner, outer, turns) left, right)), teeth and turns of the adjuster;
    ``teardowns`` is how many have been done. Where the car says of the other axle too, ``pair`` is that axle's
    own Case, ``elsewhere`` are numbers of moves made there, at which this axle turns nothing, and ``felt`` is what
    this axle feels of that one (`felt`), once that is worked out.
    """

    def __init__(
        self,
        car: Car,
        wish: Wish,
        readings: list,
        moves: dict,
        units: str = "metric",
        other: list | None = None,
    ) -> None:
        self.car = car
        self.wish = wish
        self.readings = readings
        self.moves = moves
        self.teardowns = len(moves)
        self.units = units
        self.other = other or []
        self.pair: Case | None = None
        self.elsewhere: dict = {}
        self.felt: Felt | None = None
        self._read: dict | None = None

    def opened(self, teardown: int) -> int:
        """Number of the last move up to that one that was made at this axle, 0 for none."""
        while teardown in self.elsewhere:
            teardown -= 1
        return teardown

    def beside(self, base: "Case") -> "Case":
        """This case, with what another one of the same axle has of the other axle."""
        self.pair = base.pair
        self.elsewhere = base.elsewhere
        self.felt = base.felt
        return self

    def read(self, kind_name: str, side: int) -> bool:
        """Whether the log has a reading of that kind on that side."""
        if self._read is None:
            self._read = {(r.kind, r.side): True for r in self.readings}
        return (kind_name, side) in self._read
