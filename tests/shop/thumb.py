"""What the product is compared with: two rules of thumb, and someone who knows the car's true constants.

Each takes a car, its state and what was read, and says how far to turn each side, [deg], tail down positive.
Without a wish of its own the car's target height is meant.
"""

import math

from shop.car import Car, State, settling_mm, turned
from shop.judge import Wish, as_usual

__all__ = ["both_ends", "knows_all", "landed", "outer_only"]

QUARTER_INCH_MM = 6.35
"""Wheel travel per degree, the rule of thumb. Common practice, no source; see trade.md."""


def _by_rule(wish: Wish, heights_mm, step_deg: float) -> tuple[float, float]:
    left, right = ((wish.target_mm[s] - heights_mm[s]) / QUARTER_INCH_MM for s in (0, 1))
    return step_deg * round(left / step_deg), step_deg * round(right / step_deg)


def outer_only(car: Car, heights_mm, wish: Wish | None = None) -> tuple[float, float]:
    """Whole outer teeth nearest to a quarter inch a degree, each side by itself, from the heights read."""
    return _by_rule(wish or as_usual(car), heights_mm, 360.0 / car.teeth[1])


def both_ends(car: Car, heights_mm, wish: Wish | None = None) -> tuple[float, float]:
    """Fine steps nearest to a quarter inch a degree, each side by itself, from the heights read."""
    return _by_rule(wish or as_usual(car), heights_mm, car.step_deg)


def knows_all(car: Car, state: State, wish: Wish | None = None) -> tuple[float, float]:
    """The best whole-tooth turn for someone who knows every constant: the ceiling.

    Knows where each bush tends to be clamped, not where this clamping will leave it; nor how the car will
    settle. Knows the floor it is judged on and who will sit in it. Of all turns near the ideal, takes the
    one whose worst of three misses, each against its tolerance, is least.
    """
    wish = wish or as_usual(car)
    clamped = (car.sides[0].clamp, car.sides[1].clamp)
    ideal = wish.needed_hanging_deg(car, clamped)
    near = [[], []]
    reach = max(1, math.ceil(1.0 / car.step_deg))
    for s in (0, 1):
        middle = round((ideal[s] - math.degrees(state.hanging[s])) / car.step_deg)
        near[s] = [(middle + n) * car.step_deg for n in range(-reach, reach + 1)]
    best = (math.inf, 0.0, 0.0)
    for left in near[0]:
        for right in near[1]:
            turn = (math.radians(left), math.radians(right))
            then = State((state.hanging[0] + turn[0], state.hanging[1] + turn[1]), clamped)
            height = wish.stood(car, then).height
            off = [height[s] * 1e3 - wish.target_mm[s] for s in (0, 1)]
            worst = max(abs(off[0]), abs(off[1])) / wish.tolerance_mm
            if wish.lean_mm is not None:
                worst = max(worst, abs(off[1] - off[0]) / wish.lean_mm)
            best = min(best, (worst, left, right))
    return best[1], best[2]


def landed(car: Car, state: State, turn_deg, wish: Wish | None = None) -> bool:
    """Whether the car lands after being turned so, with that teardown's clamping and settling."""
    wish = wish or as_usual(car)
    then = turned(car, state, turn_deg)
    settled = wish.stood(car, then, settling_mm(car, then.teardown))
    return wish.lands([h * 1e3 for h in settled.height])
