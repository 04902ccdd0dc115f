"""Whether what came is what was predicted, chance for chance: exact counts and a test of single chances.

A shop's verdict on its own predictions is a claim, so it is made as one: how often would so many jobs on target, or
chances so far from what became of them, come about were every predicted chance right? Pure functions of lists.
"""

import math

__all__ = ["EXACT", "of_count", "of_single"]

EXACT = 500
"""Most chances whose count is reckoned exactly; beyond that the normal curve is as good and takes no time."""


def of_count(odds: list[float], landed: int) -> float | None:
    """Twice the chance of a count as far out as this one or further, were every chance right; None for none.

    Exact: the count is a sum of independent yes and no with a chance each (Poisson's binomial distribution).

    >>> round(of_count([0.5] * 4, 0), 3), round(of_count([0.9, 0.8, 0.7], 2), 3)
    (0.125, 0.992)
    """
    if not odds:
        return None
    if len(odds) > EXACT:
        sd = math.sqrt(sum(p * (1 - p) for p in odds))
        off = abs(landed - sum(odds)) - 0.5
        return 1.0 if off <= 0 or sd == 0 else math.erfc(off / sd / math.sqrt(2))
    counts = [1.0]
    for p in odds:
        counts = [
            (counts[k] * (1 - p) if k < len(counts) else 0.0) + (counts[k - 1] * p if k else 0.0)
            for k in range(len(counts) + 1)
        ]
    return min(1.0, 2 * min(sum(counts[: landed + 1]), sum(counts[landed:])))


def of_single(odds: list[float], hits: list[bool]) -> float | None:
    """Chance of outcomes as far from their own chances or further, were these right; None where that says nothing.

    What a right count can hide: high chances that are too high beside low ones that are too low.

    Source: D. J. Spiegelhalter, Stat. Med. 5 (1986) 421 (from memory); tested against simulated outcomes.
    """
    spread = sum((1 - 2 * p) ** 2 * p * (1 - p) for p in odds)
    if spread <= 0:
        return None
    off = sum((hit - p) * (1 - 2 * p) for p, hit in zip(odds, hits, strict=True))
    return math.erfc(abs(off) / math.sqrt(2 * spread))
