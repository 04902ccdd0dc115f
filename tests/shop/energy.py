"""Potential energy of the true car: what its rest is checked against."""

import math

from shop.car import GRAVITY, Car, State

__all__ = ["potential_energy"]


def potential_energy(car: Car, state: State, where, *, board_mm=(0.0, 0.0), ballast_kg=(0.0, 0.0)) -> float:
    """Potential energy of the whole car, [J]; ``where`` = (left arm, right arm, left tyre, right tyre),
    [rad, m].

    Bars, bushes, tyres, the springs that resist lean, and the weights' height. Its minimum is the rest.
    """
    energy, heights = 0.0, []
    for s, side in enumerate(car.sides):
        phi, squash = where[s], where[2 + s]
        heights.append(board_mm[s] * 1e-3 + side.arm * math.sin(phi) - squash)
        twist = state.clamped[s] - phi
        energy += 0.5 * side.bar * (state.hanging[s] - phi) ** 2
        energy += side.bush * (0.5 * twist**2 + 0.25 * side.stiffens * twist**4)
        energy += 0.5 * side.tyre * squash**2 + (side.load + ballast_kg[s] * GRAVITY) * heights[s]
    return energy + 0.25 * car.roll * (heights[0] - heights[1] - car.uneven) ** 2
