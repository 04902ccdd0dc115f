"""A planner that knows the true car, for checks of the season that depend on no product.

Owns such answers, in the words of the API's answer: in degrees until the request has both ends' teeth.
"""

import dataclasses
import math
from collections.abc import Callable

from shop import scenario, thumb
from shop.awkward import Case, made
from shop.car import as_found, turned
from shop.teeth import fewest, nearest_step, turn_deg

__all__ = ["case_of", "seer"]

SIDES = ("left", "right")


def case_of(name: str, seed: int) -> Case:
    """The case of a scenario's name and a seed."""
    return made(seed, scenario.of(name, seed))


def seer(seed: int, name: str, asked: list[dict] | None = None) -> Callable[[dict], dict]:
    """Solve for that one car; every request is added to ``asked``. Degrees are a fifth of a step off."""
    case = case_of(name, seed)
    car = case.car

    def solve(request):
        if asked is not None:
            asked.append(request)
        log, state = request["log"], as_found(car)
        wish = case.wish([e for e in log if e.get("teardown") == 0])[1]
        for entry in log:
            if entry["kind"] == "move":
                done = [(entry[s]["inner"], entry[s]["outer"]) for s in SIDES]
                state = turned(car, state, [turn_deg(pair, car.teeth) for pair in done])
        turn = thumb.knows_all(car, state, wish)
        clamped = tuple(side.clamp for side in car.sides)
        hanging = tuple(state.hanging[s] + math.radians(turn[s]) for s in (0, 1))
        heights = wish.stood(car, dataclasses.replace(state, hanging=hanging, clamped=clamped)).height
        option = {"odds": 0.9, "recommended": True, "lean_mm": {"value": 0.0, "sd": 1.5}}
        counted = "inner_teeth" in request["car"].get("bar", {})
        for s, side in enumerate(SIDES):
            pair = fewest(nearest_step(turn[s], car.teeth), car.teeth) if counted else (None, None)
            option[side] = {"inner": pair[0], "outer": pair[1], "turn_deg": turn[s] + 0.2 * car.step_deg}
            option[side]["body_height_mm"] = {"value": heights[s] * 1e3, "sd": 1.5}
        return {"options": [option], "doubts": []}

    return solve
