"""The mechanic: how the true car is read, and the request that follows.

Owns reading noise, habits, the log's entries and the request. Does not own the car's physics or the
judging.

How a log comes about. Readings are taken in rounds; one round reads both sides. Before the first round of
a pose the car is rolled and bounced; some mechanics do so again before the second round, the rest read
the same settling twice. Two rounds of everything with the car standing or the arm hanging; one round of
each board test, two in the slip study. Drawn, common practice, no source unless named:

=======================  ==================================  =================================================
quantity                 drawn as                            because
=======================  ==================================  =================================================
gauge                    0.2 degrees, datum 0.2 more         digital gauge read to 0.1, seat on arm and sill
tape                     1.5 mm                              on the floor under a wing
scales                   3 kg                                pads
body pitch               ± 1.5 degrees (one sd) a pose       stands, floor, load in the front
reads the datum          85 in 100                           the rest say reference "gravity"
hub-to-body              35 in 100, riding and hanging       only some trust the wheel's centre
settles between rounds   half                                the rest read twice as it stands
board                    40-60 mm, whole millimetres         scrap wood
=======================  ==================================  =================================================

Standard deviations sent are the tool's own: 0.2 (0.28 with a datum), 1.5 mm, 3 kg. They are honest for
the tool and say nothing of settling (a band of ± 1-2 mm, sd 0.6 to 1.2 mm, or 0.1 to 0.15 degrees) nor of
clamping: those belong to the car, and the product has to allow for them. A round's riding angle and
height share one settling.
"""

import math
from dataclasses import dataclass

from shop.car import Car, State, rest, settling_mm, stream

__all__ = ["Mechanic", "hire"]

SIDES = ("left", "right")
GAUGE_DEG, TAPE_MM, SCALE_KG, PITCH_DEG = 0.2, 1.5, 3.0, 1.5


@dataclass
class Mechanic:
    """One mechanic with one car: habits, and the noise of this one's hands."""

    car: Car
    reads_datum: bool
    reads_hub: bool
    settles_again: bool
    board_mm: float
    rounds: int
    board_rounds: int
    pitch_deg: float

    def log(self, state: State, style: str) -> list[dict]:
        """Readings of the car as it stands: "plain", or "boards" for two board tests on top."""
        noise = stream(self.car.seed, 5, state.teardown)
        entries: list[dict] = []
        self._hanging(entries, state, noise)
        self._standing(entries, state, noise, (0.0, 0.0), self.rounds, 0)
        if style == "boards":
            for which, board in ((1, (self.board_mm, 0.0)), (2, (0.0, self.board_mm))):
                self._standing(entries, state, noise, board, self.board_rounds, 10 * which)
        if self.reads_hub and state.teardown == 0:
            self._hub(entries, state, noise)
        return entries

    def _angle(self, entries, what, side, true_deg, pitch, noise, teardown, pose=None):
        gauge = true_deg + pitch + noise.normal(0.0, GAUGE_DEG)
        entry = {"kind": "reading", "what": what, "side": SIDES[side], "value": round(float(gauge), 1)}
        if self.reads_datum:
            entry["datum"] = round(float(pitch + noise.normal(0.0, GAUGE_DEG)), 1)
            entry["sd"] = 0.28
        else:
            entry["reference"] = "gravity"
            entry["sd"] = 0.2
        self._close(entries, entry, teardown, pose)

    def _length(self, entries, what, side, true_m, noise, teardown, pose=None):
        value = round(float(true_m * 1e3 + noise.normal(0.0, TAPE_MM)))
        entry = {"kind": "reading", "what": what, "side": SIDES[side], "value": float(value), "sd": TAPE_MM}
        self._close(entries, entry, teardown, pose)

    @staticmethod
    def _close(entries, entry, teardown, pose):
        entry["teardown"] = teardown
        if pose:
            entry["pose"] = dict(pose)
        entries.append(entry)

    def _hanging(self, entries, state, noise):
        pitch = noise.normal(0.0, self.pitch_deg)
        for _ in range(self.rounds):
            for side in (0, 1):
                true = math.degrees(state.hanging[side])
                self._angle(entries, "hanging-angle", side, true, pitch, noise, state.teardown)

    def _standing(self, entries, state, noise, board, rounds, settling):
        pitch = noise.normal(0.0, self.pitch_deg)
        pose = {"board_left_mm": board[0], "board_right_mm": board[1]} if any(board) else None
        for turn in range(rounds):
            which = settling + (turn if self.settles_again else 0)
            off = settling_mm(self.car, state.teardown, which)
            stands = rest(self.car, state, board_mm=board, settle_mm=off)
            for side in (0, 1):
                true = math.degrees(stands.riding[side])
                self._angle(entries, "riding-angle", side, true, pitch, noise, state.teardown, pose)
            for side in (0, 1):
                self._length(entries, "body-height", side, stands.height[side], noise, state.teardown, pose)

    def _hub(self, entries, state, noise):
        stands = rest(self.car, state, settle_mm=settling_mm(self.car, state.teardown))
        hung = rest(self.car, state, hung=True)
        pitch = noise.normal(0.0, self.pitch_deg)
        pose = {"hanging": True}
        for side in (0, 1):
            self._length(entries, "hub-to-body", side, stands.hub[side], noise, state.teardown)
        for side in (0, 1):
            true = math.degrees(hung.riding[side])
            self._angle(entries, "riding-angle", side, true, pitch, noise, state.teardown, pose)
        for side in (0, 1):
            self._length(entries, "hub-to-body", side, hung.hub[side], noise, state.teardown, pose)

    def request(self, log: list[dict]) -> dict:
        """What is sent: the car by its papers, the wish, and the log."""
        car = self.car
        return {
            "car": {
                "bar": {
                    "diameter_mm": car.diameter_mm,
                    "bore_mm": 0.0,
                    "length_mm": float(car.length_mm),
                    "inner_teeth": car.teeth[0],
                    "outer_teeth": car.teeth[1],
                },
                "arm_mm": float(car.arm_mm),
                "arm_sd_mm": 3.0,
                "load_kg": {"left": car.load_kg, "right": car.load_kg},
                "axle": "trailing",
                "limits": {"stop_deg": car.stop_deg, "bump_mm": car.bump_mm, "droop_mm": car.droop_mm},
            },
            "target": {
                "left_mm": car.target_mm,
                "right_mm": car.target_mm,
                "tolerance_mm": car.tolerance_mm,
                "lean_mm": car.lean_mm,
            },
            "log": log,
        }


def hire(
    car: Car,
    *,
    rounds: int = 2,
    board_rounds: int = 1,
    always_datum: bool = False,
    pitch_deg: float = PITCH_DEG,
) -> Mechanic:
    """The mechanic who works on this car; the same one for every planner."""
    rng = stream(car.seed, 4)
    return Mechanic(
        car=car,
        reads_datum=bool(rng.random() < 0.85) or always_datum,
        reads_hub=bool(rng.random() < 0.35),
        settles_again=bool(rng.random() < 0.5),
        board_mm=float(round(rng.uniform(40.0, 60.0))),
        rounds=rounds,
        board_rounds=board_rounds,
        pitch_deg=pitch_deg,
    )
