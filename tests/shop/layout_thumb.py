"""What the plans for other layouts are compared with: a rule of thumb, and someone who knows the true car.

Both answer a request in the API's words, as far as ``adjusting`` reads them, so that they take the solver's
place.
"""

import itertools
import math
from collections.abc import Callable

from shop.adjusters import Eccentric, Notches
from shop.axle import needed, stands
from shop.layouts import Case, Found, made
from shop.teeth import turn_deg

__all__ = ["by_rule", "knows_all", "outer_lands", "outer_reaches"]

SIDES = ("left", "right")


def _answer(sides: list[dict]) -> dict:
    option = {"label": "", "odds": 0.9, "recommended": True}
    for name, said in zip(SIDES, sides, strict=True):
        option[name] = {"inner": 0, "outer": 0, "turns": 0.0, "turn_deg": 0.0, "body_height_mm": None} | said
    return {"options": [option], "doubts": []}


def by_rule(request: dict) -> dict:
    """Each wheel by itself: turns of the screw by thread pitch times arm over lever, from the height read last."""
    facts = request["car"]
    gain = facts["adjuster"]["pitch_mm"] * facts["arm_mm"] / facts["adjuster"]["lever_mm"]
    last = max(entry["teardown"] for entry in request["log"])
    sides = []
    for name in SIDES:
        read = [
            entry["value"]
            for entry in request["log"]
            if entry.get("what") == "body-height" and entry["side"] == name and entry["teardown"] == last
        ]
        off = request["target"][f"{name}_mm"] - math.fsum(read) / len(read)
        sides.append({"turns": round(12.0 * off / gain) / 12.0})
    return _answer(sides)


def _moved(case: Case, s: int, at: float, teeth: tuple[int, int], to: float) -> float:
    """What teeth and a new position of the adjuster add to a hanging angle, [rad]."""
    angle = case.adjusters[s].angle(to) - case.adjusters[s].angle(at)
    return angle + (math.radians(turn_deg(teeth, case.teeth)) if case.teeth else 0.0)


def _ways(case: Case, s: int, at: float, wanted: float) -> tuple[float, tuple[int, int], float]:
    """(miss, teeth, position) that come nearest to a wanted turn of one side, [rad]; no teeth where it can."""
    screw = case.adjusters[s]
    pairs = [(0, 0)]
    if case.teeth is not None:
        pairs += sorted(
            itertools.product(range(-4, 5), range(-4, 5)), key=lambda p: (bool(p[0]), abs(p[0]) + abs(p[1]))
        )
    best = (math.inf, (0, 0), at)
    for teeth in pairs:
        for to in _positions(screw, at, wanted - _moved(case, s, at, teeth, at)):
            miss = abs(_moved(case, s, at, teeth, to) - wanted)
            best = min(best, (miss, teeth, to), key=lambda way: way[0])
        if best[0] < math.radians(0.1):
            break
    return best


def _positions(screw, at: float, wanted: float) -> list[float]:
    if isinstance(screw, Notches):
        return [screw.kept(at + n) for n in range(-12, 13)]
    if isinstance(screw, Eccentric):
        return [at + n / 72.0 for n in range(-36, 37)]
    low, high = screw.kept(-1e3), screw.kept(1e3)
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if screw.angle(middle) - screw.angle(at) < wanted else (low, middle)
    return [low]


def outer_reaches(case: Case, s: int, spare_deg: float) -> bool:
    """Whether outer teeth and the eccentric reach what a side truly needs, with so many degrees to spare."""
    wanted = needed(case.axle, case.found.clamped, (case.target_mm, case.target_mm))
    return _outer(case, s, wanted[s] - case.found.hanging[s], spare_deg)


def _outer(case: Case, s: int, wanted: float, spare_deg: float) -> bool:
    """Whether outer teeth and the eccentric of a side come to a turn, [rad], with so many degrees to spare."""
    eccentric = case.adjusters[s]
    assert isinstance(eccentric, Eccentric)
    assert case.teeth is not None
    middle = -eccentric.at / (2.0 * math.pi)
    low, high = [math.degrees(eccentric.angle(middle + quarter)) for quarter in (-0.25, 0.25)]
    tooth = 360.0 / case.teeth[1]
    return any(
        low + spare_deg <= math.degrees(wanted) - n * tooth <= high - spare_deg for n in range(-10, 11)
    )


def outer_lands(case: Case, share: float = 1.0) -> bool:
    """Whether outer teeth and eccentrics bring the true car anywhere within the target, nothing left unknown.

    ``share`` of the tolerances that may be used: what is left of it goes to settling, setting and not knowing.
    Heights on a grid, each carried back to hanging angles.
    """
    for x, y in itertools.product([n / 8.0 for n in range(-8, 9)], repeat=2):
        apart = (x - y) * case.tolerance_mm
        if abs(apart) > case.lean_mm:
            continue
        heights = [case.target_mm + share * case.tolerance_mm * off for off in (x, y)]
        wanted = needed(case.axle, case.found.clamped, heights)
        if all(_outer(case, s, wanted[s] - case.found.hanging[s], 0.0) for s in (0, 1)):
            return True
    return False


def knows_all(name: str, seed: int) -> Callable[[dict], dict]:
    """A planner who knows every constant of that car, not how it settles nor how it is clamped."""
    case = made(name, seed)

    def solve(request: dict) -> dict:
        found: Found = case.found
        at = list(found.turns)
        hanging = list(found.hanging)
        for move in (entry for entry in request["log"] if entry["kind"] == "move"):
            for s, side in enumerate(SIDES):
                to = at[s] + move[side].get("turns", 0.0)
                hanging[s] += _moved(case, s, at[s], (move[side]["inner"], move[side]["outer"]), to)
                at[s] = to
        wanted = needed(case.axle, found.clamped, (case.target_mm, case.target_mm))
        if case.shared:
            best = min(
                _positions(case.adjusters[0], at[0], 0.0),
                key=lambda to: max(
                    abs(h * 1e3 - case.target_mm)
                    for h in stands(
                        case.axle,
                        [hanging[s] + _moved(case, s, at[s], (0, 0), to) for s in (0, 1)],
                        found.clamped,
                    ).height
                ),
            )
            return _answer([{"turns": best - at[s]} for s in (0, 1)])
        sides = []
        for s in (0, 1):
            _, teeth, to = _ways(case, s, at[s], wanted[s] - hanging[s])
            sides.append({"inner": teeth[0], "outer": teeth[1], "turns": to - at[s]})
        return _answer(sides)

    return solve
