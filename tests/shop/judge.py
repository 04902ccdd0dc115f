"""What a settled car is held against: the wish as resolved, and how the car stands when it is judged.

Owns the wish in each of the request's forms and whether a car lands. As found is the mean of the plain
heights as read, so planner and judge speak of one number.
"""

import math
from dataclasses import dataclass

from shop.car import Car, Pose, State, needed_hanging_deg
from shop.stand import LEVEL, Stand

__all__ = ["Wish", "as_usual", "heights_read", "wished"]


@dataclass(frozen=True)
class Wish:
    """Heights wished on the two sides, [mm], how near, and standing how.

    ``lean_mm`` None: the lean is not judged, as in a rise against heights that nobody read; the ``base``
    from which a rise counts is then where the car truly stood.
    """

    target_mm: tuple[float, float]
    tolerance_mm: float
    lean_mm: float | None
    stand: Stand = LEVEL
    base_mm: tuple[float, float] = (math.nan, math.nan)

    def stood(self, car: Car, state: State, settle_mm=(0.0, 0.0)) -> Pose:
        """Where the car rests when it is judged."""
        return self.stand.rest(car, state, settle_mm=settle_mm)

    def lands(self, heights_mm) -> bool:
        """Whether settled heights are within tolerance on both sides and in lean."""
        off = [heights_mm[s] - self.target_mm[s] for s in (0, 1)]
        near = max(abs(off[0]), abs(off[1])) <= self.tolerance_mm
        return near and (self.lean_mm is None or abs(off[1] - off[0]) <= self.lean_mm)

    def needed_hanging_deg(self, car: Car, clamped) -> tuple[float, float]:
        """Hanging angles that bring both marks there, [deg]."""
        return needed_hanging_deg(
            car,
            clamped,
            self.target_mm,
            board_mm=self.stand.raised_mm(),
            ballast_kg=self.stand.ballast_kg,
        )


def as_usual(car: Car, stand: Stand = LEVEL) -> Wish:
    """The car's own target height, both sides."""
    return Wish((car.target_mm, car.target_mm), car.tolerance_mm, car.lean_mm, stand)


def heights_read(log: list[dict], teardown: int = 0) -> tuple[float, float] | None:
    """Mean body heights as read on the wheels without boards, [mm]; None where none was read."""
    read: dict[str, list[float]] = {"left": [], "right": []}
    for entry in log:
        plain = entry["kind"] == "reading" and entry["what"] == "body-height" and "after_km" not in entry
        board = any(name.startswith("board") for name in entry.get("pose", {}))
        if plain and not board and entry["teardown"] == teardown:
            read[entry["side"]].append(entry["value"])
    if not read["left"]:
        return None
    return math.fsum(read["left"]) / len(read["left"]), math.fsum(read["right"]) / len(read["right"])


def wished(car: Car, form: str, log: list[dict], true_mm, stand: Stand) -> tuple[dict, Wish]:
    """The request's target in a form, and the wish it comes to.

    Whoever asks has the car's target in mind and says it in whole millimetres: as heights; as a rise of
    each side; or as both level with the higher side and a rise. ``true_mm``: heights as found in truth, for
    a rise that is asked of a car whose heights nobody read.
    """
    read = heights_read(log)
    base = read or tuple(true_mm)
    near = {"tolerance_mm": car.tolerance_mm, "lean_mm": car.lean_mm, **stand.said()}
    if stand.spot:
        near["spot"] = stand.spot
    lean = car.lean_mm if read else None
    if form == "heights":
        target = {"left_mm": car.target_mm, "right_mm": car.target_mm, **near}
        return target, Wish((car.target_mm, car.target_mm), car.tolerance_mm, lean, stand, base)
    if form == "rise":
        rise = [float(round(car.target_mm - h)) for h in base]
        target = {"as": "rise", "left_rise_mm": rise[0], "right_rise_mm": rise[1], **near}
        return target, Wish((base[0] + rise[0], base[1] + rise[1]), car.tolerance_mm, lean, stand, base)
    if form == "level":
        up = float(round(car.target_mm - max(base)))
        height = max(base) + up
        target = {"as": "level", "at": "higher", "rise_mm": up, **near}
        return target, Wish((height, height), car.tolerance_mm, lean, stand, base)
    raise ValueError(f"no form of a wish is called {form!r}")
