"""How a car stands when it is read or judged: on which floor, with whom in it, how long since hand-over.

Owns these circumstances, true and as the log says them, and what they do to where the car rests. Does not
own how far friction holds it off (``car``).
"""

import math
from dataclasses import dataclass

from shop.car import Car, Pose, State, rest, stream

__all__ = ["LEVEL", "Stand", "sunk_mm"]

SINKS_MM, SINKS_SD_MM, SIDES_APART_SD_MM, RUN_IN_KM = 1.0, 1.5, 1.0, 100.0
"""What a car sinks by after hand-over. Common practice, no source."""


@dataclass(frozen=True)
class Stand:
    """Where and how a car stands.

    ``twist_mm``: the floor under the left rear tyre over what the other three wheels would have it. Heights
    are measured from the ground under that tyre, so it acts as a board of that height. ``spot``: the
    place's name, if the log names it. ``ballast_kg``: who or what is in the car, at the left and at the
    right wheel; ``entered``: whether the log says so.
    """

    twist_mm: float = 0.0
    spot: str = ""
    ballast_kg: tuple[float, float] = (0.0, 0.0)
    entered: bool = True

    def raised_mm(self, board_mm=(0.0, 0.0)) -> tuple[float, float]:
        """What is under the two rear tyres, floor and board together, [mm]."""
        return board_mm[0] + max(self.twist_mm, 0.0), board_mm[1] + max(-self.twist_mm, 0.0)

    def rest(self, car: Car, state: State, *, board_mm=(0.0, 0.0), settle_mm=(0.0, 0.0)) -> Pose:
        """Where the car comes to rest standing so."""
        return rest(
            car, state, board_mm=self.raised_mm(board_mm), ballast_kg=self.ballast_kg, settle_mm=settle_mm
        )

    def said(self) -> dict[str, float]:
        """The ballast in the request's words, of a pose or of the target."""
        if not self.entered or not any(self.ballast_kg):
            return {}
        return {"ballast_left_kg": self.ballast_kg[0], "ballast_right_kg": self.ballast_kg[1]}


LEVEL = Stand()
"""A level floor, nobody in the car."""


def sunk_mm(car: Car, after_km: float) -> tuple[float, float]:
    """How far each side has moved since hand-over, up positive, [mm].

    Both by -1 ± 1.5 and left against right by ± 1, of which the share 1 - exp(-km / 100) has come about.
    """
    drawn = stream(car.seed, 10).normal(0.0, 1.0, 2)
    share = 1.0 - math.exp(-after_km / RUN_IN_KM)
    common = -SINKS_MM + SINKS_SD_MM * float(drawn[0])
    apart = 0.5 * SIDES_APART_SD_MM * float(drawn[1])
    return share * (common + apart), share * (common - apart)
