"""Four wheel loads: cross-weight, and what alone can change while the car's weight stays where it is.

Total, front and left share are fixed by the centre of gravity. One number is free, the warp: load goes onto one
diagonal and off the other, and no axle's and no side's total changes. Loads are ((left, right) front, (left, right)
rear), each > 0, in any one unit.

Source: moments about both axles and both sides; worked by hand.
"""

__all__ = ["cross_weight", "diagonals", "total", "warped"]


def total(loads: tuple) -> float:
    """All four together.

    >>> total(((500.0, 500.0), (1000.0, 1000.0)))
    3000.0
    """
    return loads[0][0] + loads[0][1] + loads[1][0] + loads[1][1]


def cross_weight(loads: tuple) -> float:
    """Load on the right front and left rear wheels.

    >>> cross_weight(((0.0, 1000.0), (1500.0, 500.0)))
    2500.0
    """
    return loads[0][1] + loads[1][0]


def diagonals(loads: tuple) -> float:
    """The right front and left rear less the left front and right rear.

    >>> diagonals(((694.0, 606.0), (670.0, 585.0)))
    -3.0
    """
    return 2.0 * cross_weight(loads) - total(loads)


def warped(loads: tuple, more: float) -> tuple:
    """The loads with ``more`` cross-weight, axles' and sides' totals as they were.

    Equal tracks: each wheel takes half of it.

    >>> warped(((500.0, 500.0), (1000.0, 1000.0)), 1000.0)
    ((0.0, 1000.0), (1500.0, 500.0))
    """
    (lf, rf), (lr, rr) = loads
    half = 0.5 * more
    return ((lf - half, rf + half), (lr + half, rr - half))
