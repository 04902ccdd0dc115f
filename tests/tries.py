"""How many cases a property is tried on: all of them with ``--long``, a share of them else."""

import hypothesis

__all__ = ["FEWEST", "SHARES", "tries"]

SHARES = {"long": 100, "whole": 40, "quick": 25}
"""Cases out of a hundred in each kind of run, and how many a property has that does not say how many it wants."""
FEWEST = 15
"""What no share goes below."""


def tries(most: int) -> int:
    """So many cases in a long run, and this run's share of them in any other."""
    return min(most, max(FEWEST, most * hypothesis.settings.default.max_examples // 100))
