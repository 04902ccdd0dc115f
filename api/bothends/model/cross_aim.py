"""A target of cross-weight on this very car: how far an equilibrium is from it, beside the mean of both heights.

Two turns set two things: the mean height, and what the car's diagonals carry. The lean then comes as it must,
since the sprung axle's load across follows its lean. Owns that pair of deviations, the second one scaled so
that both have one tolerance; `cross` owns the cross-weight, `aim` all other targets.
"""

from .aim import Aim
from .cross import crossed
from .estimate import Estimate
from .figures import length
from .predict import heights, mark_of, reach, slope
from .problem import ModelProblem
from .statics import Equilibrium
from .wish import Wish

__all__ = ["CrossAim", "aim_of"]


class CrossAim(Aim):
    """One target of cross-weight resolved on one estimate.

    Deviations are (mean height less the one wanted [m], share of cross-weight less the one wanted times ``scale``).

    Raises
    ------
    ModelProblem
        "missing-reading" where no stage has the loads of all four wheels.
    """

    unreached = "reach-cross"

    def __init__(self, estimate: Estimate, wish: Wish) -> None:
        Aim.__init__(self, estimate, wish)
        assert wish.cross is not None
        self.share, self.rise, within = wish.cross
        self.scale = wish.tolerance / within
        cross = crossed(estimate, self)
        if cross is None:
            raise ModelProblem(
                "missing-reading",
                "$.log",
                "A target of cross-weight needs the loads of all four wheels in one stage: weigh them."
                " Or ask for heights, a level or a rise, which need none",
            )
        self.cross = cross
        rub = cross.rub() * self.scale**2
        # The mean of two sides has a quarter of each one's friction; a change that of the settling before too.
        self.rubs = (0.5 if self.found[0] is not None and self.found[1] is not None else 1.0, rub)

    def _rise(self, mean: tuple) -> float:
        """Mean height less the one wanted, [m], of heights, or of changes where a side was not read as found."""
        left, right = self.found
        stood = 0.0 if left is None or right is None else 0.5 * (left + right)
        return 0.5 * (mean[0] + mean[1]) - stood - self.rise

    def _since(self) -> tuple:
        changes = self.found[0] is None or self.found[1] is None
        return (self.start, self.start) if changes else (None, None)

    def expect(self, rest: Equilibrium, turn: tuple, moved: tuple) -> tuple:
        """Both deviations in one equilibrium, as `Aim.expect` gives them."""
        mean, (vl, vr, vlr), rows = heights(
            self.estimate, rest, moved, self.wish.measured, self._since(), self.wish.spot
        )
        share, spread = self.cross.share(rest, moved)
        height = [0.5 * (a + b) for a, b in zip(rows[0], rows[1])]
        across = [self.scale * d for d in self.cross.slopes(rest)]
        off = (self._rise(mean), self.scale * (share - self.share))
        variance = (0.25 * (vl + vr + 2.0 * vlr), self.scale**2 * spread, self.estimate.joint(height, across))
        return off, variance, (height, across)

    def plain(self, rest: Equilibrium, turn: tuple) -> tuple:
        """Both deviations with bushes clamped as they usually are: what the search is steered by."""
        found = [self._height(rest, side) for side in (0, 1)]
        return self._rise(tuple(found)), self.scale * (self.cross.mean(rest) - self.share)

    def _height(self, rest: Equilibrium, side: int) -> float:
        """A height, or its change since the car was found where that is what counts, [m]."""
        estimate, kind = self.estimate, self.wish.measured
        value = reach(estimate, rest, side, kind)[0]
        stood = self._since()[side]
        if stood is not None:
            return value - reach(estimate, stood, side, kind)[0]
        mark = mark_of(estimate, kind, side)
        return value + (0.0 if mark is None else estimate.theta[mark])

    def slope(self, rest: Equilibrium) -> tuple:
        """Change of both deviations with both hanging angles, (2, 2) [m/rad]."""
        (a, b), (c, d) = slope(self.estimate, rest, self.wish.measured)
        across = self.cross.slopes(rest)
        return (0.5 * (a + c), 0.5 * (b + d)), (self.scale * across[0], self.scale * across[1])

    def nearest(self, off: tuple) -> dict:
        """The gaps of the sentence on what cannot be reached."""
        share = 100.0 * abs(off[1]) / self.scale
        return {"height": length(abs(off[0]), self.estimate.case.units), "share": "%.1f" % share}


def aim_of(estimate: Estimate, wish: Wish) -> Aim:
    """The aim that fits a wish."""
    return Aim(estimate, wish) if wish.cross is None else CrossAim(estimate, wish)
