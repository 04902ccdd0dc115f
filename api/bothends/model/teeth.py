"""The vernier of a bar's two splined ends: what a whole tooth turns, and the cheapest way to a net turn.

Signs: teeth and turns are positive tail down (wheel end down against the body, which raises the car), at
either end. Turning i inner and o outer teeth turns the relaxed arm by 360 i/N_inner + 360 o/N_outer degrees,
exactly; every net turn is therefore a whole number of fine steps of 360/lcm degrees.
"""

__all__ = [
    "POSITIONS",
    "TWELFTHS",
    "cheapest",
    "fine_step_deg",
    "greatest_common_divisor",
    "null_move",
    "outer_alone",
    "step_sizes",
    "turn_deg",
]


TWELFTHS = 12
"""Parts of a screw's turn that are planned, said and made: a flat of its nut is two of them."""
POSITIONS = 72
"""Positions to a turn of the finest adjuster, an eccentric's five degrees; what differs by less is the same."""


def greatest_common_divisor(*, first: int, second: int) -> int:
    """Greatest common divisor of two positive whole numbers (MicroPython's ``math`` has none).

    >>> greatest_common_divisor(first=40, second=44)
    4
    """
    while second:
        first, second = second, first % second
    return first


def fine_step_deg(*, inner_teeth: int, outer_teeth: int) -> float:
    """Smallest turn of the arm that re-indexing both ends can give, [deg]: 360 / lcm(inner, outer).

    Parameters
    ----------
    inner_teeth, outer_teeth : int
        Teeth per revolution at each end, each >= 1.

    Examples
    --------
    >>> fine_step_deg(inner_teeth=24, outer_teeth=25)
    0.6

    Source: arithmetic; the vernier itself: Nunney, Light and Heavy Vehicle Technology, ch. 22, Fig. 22.22.
    """
    common = greatest_common_divisor(first=inner_teeth, second=outer_teeth)
    return 360.0 * common / (inner_teeth * outer_teeth)


def step_sizes(*, inner_teeth: int | None, outer_teeth: int | None) -> dict:
    """What one fine step and one tooth at either end turn the arm by, [deg]; None where not counted."""
    fine = None
    if inner_teeth is not None and outer_teeth is not None:
        fine = fine_step_deg(inner_teeth=inner_teeth, outer_teeth=outer_teeth)
    return {
        "fine": fine,
        "inner": None if inner_teeth is None else 360.0 / inner_teeth,
        "outer": None if outer_teeth is None else 360.0 / outer_teeth,
        "turn": None,
    }


def turn_deg(*, inner: int, outer: int, inner_teeth: int, outer_teeth: int) -> float:
    """Turn of the relaxed arm from whole teeth at each end, [deg], tail down positive.

    One division of whole numbers, so that moves that cancel give exactly 0.

    >>> turn_deg(inner=-3, outer=4, inner_teeth=40, outer_teeth=44)
    5.7272727272727275
    >>> turn_deg(inner=10, outer=-11, inner_teeth=40, outer_teeth=44)
    0.0
    """
    return 360.0 * (inner * outer_teeth + outer * inner_teeth) / (inner_teeth * outer_teeth)


def null_move(*, inner_teeth: int, outer_teeth: int) -> tuple:
    """Teeth (inner, outer) turned against each other that leave the arm where it was.

    >>> null_move(inner_teeth=40, outer_teeth=44)
    (10, -11)
    """
    common = greatest_common_divisor(first=inner_teeth, second=outer_teeth)
    return inner_teeth // common, -(outer_teeth // common)


def cheapest(*, steps: int, inner_teeth: int, outer_teeth: int) -> tuple:
    """Teeth (inner, outer) that turn the arm by a number of fine steps with the least work.

    Fewest ends disturbed first, and of one end the outer (the inner end's bar must be drawn); then fewest teeth
    in all, then fewest at the inner end.

    Parameters
    ----------
    steps : int
        Net fine steps, tail down positive.
    inner_teeth, outer_teeth : int
        Teeth per revolution, each >= 1.

    Returns
    -------
    (inner, outer) : tuple of int

    Examples
    --------
    >>> cheapest(steps=1, inner_teeth=40, outer_teeth=44)
    (1, -1)
    >>> cheapest(steps=20, inner_teeth=40, outer_teeth=44)
    (0, 2)

    Notes
    -----
    One inner tooth is q = N_outer/gcd fine steps and one outer tooth p = N_inner/gcd; the pairs that solve
    q i + p o = steps lie p inner and q outer teeth apart, and the sum of teeth along them is convex with its
    corners where i or o crosses zero: the search is exact.
    """
    common = greatest_common_divisor(first=inner_teeth, second=outer_teeth)
    p = inner_teeth // common
    q = outer_teeth // common
    if steps % p == 0:
        return 0, steps // p
    if steps % q == 0:
        return steps // q, 0
    inner = 0
    while (steps - q * inner) % p:
        inner += 1
    outer = (steps - q * inner) // p
    pairs = []
    for corner in (-(inner // p), outer // q):
        for k in (corner - 1, corner, corner + 1):
            pairs.append((inner + k * p, outer - k * q))
    return min(pairs, key=lambda pair: (abs(pair[0]) + abs(pair[1]), abs(pair[0]), pair[0] < 0))


def outer_alone(*, steps: float, inner_teeth: int, outer_teeth: int) -> int:
    """Whole outer teeth nearest to a number of fine steps, for a job that leaves the inner ends alone."""
    common = greatest_common_divisor(first=inner_teeth, second=outer_teeth)
    return round(steps / (inner_teeth // common))
