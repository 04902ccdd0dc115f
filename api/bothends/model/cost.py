"""What work costs, in odds: an end that is drawn, a tooth, an adjuster that is turned; the one home of it.

A way to do the job is ranked by its odds less this, so that the simpler comes first where it costs no more than a
few points of odds. Owns the figures and the sum; `lattice`, `winding` and `degrees` rank by it. Common practice, no
source.
"""

__all__ = ["END_COST", "FAR_COST", "TOOTH_COST", "TURN_COST", "work"]

END_COST = 0.01
TOOTH_COST = 0.0005
"""What a teardown end and a tooth are worth in odds: "prefer the simpler when it costs less than a few points"."""
TURN_COST = 0.002
"""What turning one adjuster is worth: minutes, where an end takes hours."""
FAR_COST = 0.05
"""What the end at which the adjuster does not act costs beyond any other end. Where there is an adjuster, the end
beside it is opened anyway and gives the coarse step; the far one is hours more, and a bar to be drawn out."""


def work(teeth: tuple, turns: tuple = (), far: int | None = None) -> float:
    """What a way's work costs, in odds.

    Parameters
    ----------
    teeth : ((inner, outer) left, right) whole teeth
    turns : (2,) of the adjusters, () where there are none
    far : the end away from the adjuster, 0 inner, 1 outer; None where there is none

    >>> round(work(((0, 2), (0, -1))), 4)
    0.0215
    >>> round(work(((1, 2), (0, -1)), (0.1, 0.0), 0), 4)
    0.084
    """
    cost = 0.0
    for by in turns:
        cost += TURN_COST if by else 0.0
    for pair in teeth:
        for end in (0, 1):
            if pair[end]:
                cost += END_COST + TOOTH_COST * abs(pair[end])
                cost += FAR_COST if end == far else 0.0
    return cost
