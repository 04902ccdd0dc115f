"""The log's moves as turns of the arms: what re-indexing has added to each hanging angle, exactly."""

import math

from .case import Case

__all__ = ["turns_of", "wheel_turns_of"]


def turns_of(case: Case) -> list:
    """Turn of each arm since the first hanging angle, by teardown : list of (2,), [rad]."""
    turns = [(0.0, 0.0)]
    # An end that nobody has counted was not turned (see `request`): any count does for it.
    inner_teeth = case.car.inner_teeth or 1
    outer_teeth = case.car.outer_teeth or 1
    total = [0, 0]
    for teardown in range(1, case.teardowns + 1):
        ends = case.moves[teardown][1]
        for side in (0, 1):
            inner, outer = ends[side][:2]
            # Whole numbers are summed, not angles, so that moves that cancel leave exactly nothing.
            total[side] += inner * outer_teeth + outer * inner_teeth
        unit = 2.0 * math.pi / (inner_teeth * outer_teeth)
        turns.append((total[0] * unit, total[1] * unit))
    return turns


def wheel_turns_of(case: Case) -> list:
    """Turns of each wheel's adjuster since the car was found, by teardown : list of (2,), or notches."""
    turns = [(0.0, 0.0)]
    for teardown in range(1, case.teardowns + 1):
        more = [side[2] for side in case.moves[teardown][1]]
        turns.append((turns[-1][0] + more[0], turns[-1][1] + more[1]))
    return turns
