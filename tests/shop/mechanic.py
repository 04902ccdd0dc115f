"""The mechanic: how the true car is read, and the request that follows.

Owns reading noise, habits, the log's entries and the request. Does not own the car's physics, the judging,
nor which scenario asks for what (``scenario``).

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

Heavy tails: readings are then off by Student's t with 3 degrees of freedom, scaled so that 68.3 in 100 lie
within the standard deviation sent, as with the normal; the core is as the tool says, and the spread of all
is 1.45 times that. Choice of ours, no source.
"""

import math
from dataclasses import dataclass, replace

from shop import papers
from shop.car import GRAVITY, Car, State, rest, settling_mm, stream
from shop.stand import LEVEL, Stand, sunk_mm

__all__ = ["Mechanic", "hire"]

SIDES = ("left", "right")
GAUGE_DEG, TAPE_MM, SCALE_KG, PITCH_DEG = 0.2, 1.5, 3.0, 1.5
TAIL, TAIL_CORE = 3.0, 1.19688
"""Degrees of freedom of heavy tails, and within how many scales of it 68.3 in 100 lie."""
LATER = 50
"""Settlings of the follow-up begin here."""


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
    reads: tuple[str, ...] = ("hanging-angle", "riding-angle", "body-height")
    marks: bool = False
    """Says ``resettled`` where the car is settled between rounds."""
    hub_rounds: int = 1
    """How often a hang test is read."""
    tails: bool = False

    def log(self, state: State, style: str, stand: Stand = LEVEL) -> list[dict]:
        """Readings of the car as it stands: "plain", or "boards" for two board tests on top."""
        noise = stream(self.car.seed, 5, state.teardown)
        entries: list[dict] = []
        self._hanging(entries, state, noise)
        self._standing(entries, state, noise, (0.0, 0.0), self.rounds, 0, stand)
        if style == "boards":
            for which, board in ((1, (self.board_mm, 0.0)), (2, (0.0, self.board_mm))):
                self._standing(entries, state, noise, board, self.board_rounds, 10 * which, stand)
        if self.reads_hub and state.teardown == 0:
            for _ in range(self.hub_rounds):
                self._hub(entries, state, noise, stand)
        return entries

    def arms_free(self, state: State) -> list[dict]:
        """Hanging angles alone, read before a tooth is turned."""
        entries: list[dict] = []
        self._hanging(entries, state, stream(self.car.seed, 5, state.teardown, 1), always=True)
        return entries

    def weighed(self, state: State, stand: Stand = LEVEL) -> list[dict]:
        """Both wheels on scales, once; what lies below the spring weighs too."""
        noise = stream(self.car.seed, 5, state.teardown, 2)
        stands = stand.rest(self.car, state, settle_mm=settling_mm(self.car, state.teardown))
        entries: list[dict] = []
        for side in (0, 1):
            kg = stands.force[side] / GRAVITY + self.car.sides[side].unsprung
            entry = {"kind": "reading", "what": "wheel-load", "side": SIDES[side]}
            entry |= {"value": round(float(kg + self._off(noise, SCALE_KG)), 1), "sd": SCALE_KG}
            self._close(entries, entry, state.teardown, stand.said(), stand)
        return entries

    def followed_up(self, state: State, after_km: float, stand: Stand = LEVEL) -> list[dict]:
        """Heights and riding angles read again, so far driven since hand-over; the car has sunk a little."""
        noise = stream(self.car.seed, 5, state.teardown, 3, round(after_km))
        entries: list[dict] = []
        again = replace(self, reads=("riding-angle", "body-height"))
        again._standing(entries, state, noise, (0.0, 0.0), self.rounds, LATER, stand, after_km)
        for entry in entries:
            entry["after_km"] = after_km
        return entries

    def _off(self, noise, sd):
        return noise.standard_t(TAIL) * sd / TAIL_CORE if self.tails else noise.normal(0.0, sd)

    def _angle(self, entries, what, side, true_deg, pitch, noise, teardown, pose=None, stand=LEVEL):
        gauge = true_deg + pitch + self._off(noise, GAUGE_DEG)
        entry = {"kind": "reading", "what": what, "side": SIDES[side], "value": round(float(gauge), 1)}
        if self.reads_datum:
            entry["datum"] = round(float(pitch + self._off(noise, GAUGE_DEG)), 1)
            entry["sd"] = 0.28
        else:
            entry["reference"] = "gravity"
            entry["sd"] = 0.2
        self._close(entries, entry, teardown, pose, stand)

    def _length(self, entries, what, side, true_m, noise, teardown, pose=None, stand=LEVEL):
        value = round(float(true_m * 1e3 + self._off(noise, TAPE_MM)))
        entry = {"kind": "reading", "what": what, "side": SIDES[side], "value": float(value), "sd": TAPE_MM}
        self._close(entries, entry, teardown, pose, stand)

    @staticmethod
    def _close(entries, entry, teardown, pose, stand):
        entry["teardown"] = teardown
        if pose:
            entry["pose"] = dict(pose)
        if stand.spot:
            entry["spot"] = stand.spot
        entries.append(entry)

    def _hanging(self, entries, state, noise, *, always=False):
        # Once a side is torn down its arm hangs free, and everyone reads it.
        if not (always or state.teardown or "hanging-angle" in self.reads):
            return
        pitch = noise.normal(0.0, self.pitch_deg)
        for _ in range(self.rounds):
            for side in (0, 1):
                true = math.degrees(state.hanging[side])
                self._angle(entries, "hanging-angle", side, true, pitch, noise, state.teardown)

    def _standing(self, entries, state, noise, board, rounds, settling, stand, after_km=0.0):
        pitch = noise.normal(0.0, self.pitch_deg)
        pose = {"board_left_mm": board[0], "board_right_mm": board[1]} if any(board) else {}
        pose |= stand.said()
        sunk = sunk_mm(self.car, after_km) if after_km else (0.0, 0.0)
        for turn in range(rounds):
            which = settling + (turn if self.settles_again else 0)
            off = settling_mm(self.car, state.teardown, which)
            off = (off[0] + sunk[0], off[1] + sunk[1])
            stands = stand.rest(self.car, state, board_mm=board, settle_mm=off)
            begun = len(entries)
            for side in (0, 1) if "riding-angle" in self.reads else ():
                true = math.degrees(stands.riding[side])
                self._angle(entries, "riding-angle", side, true, pitch, noise, state.teardown, pose, stand)
            for side in (0, 1) if "body-height" in self.reads else ():
                true = stands.height[side]
                self._length(entries, "body-height", side, true, noise, state.teardown, pose, stand)
            if self.marks and self.settles_again:
                for entry in entries[begun:]:
                    entry["resettled"] = turn

    def _hub(self, entries, state, noise, stand):
        stands = stand.rest(self.car, state, settle_mm=settling_mm(self.car, state.teardown))
        hung = rest(self.car, state, hung=True)
        pitch = noise.normal(0.0, self.pitch_deg)
        riding, hanging = stand.said(), {"hanging": True}
        for side in (0, 1):
            true = stands.hub[side]
            self._length(entries, "hub-to-body", side, true, noise, state.teardown, riding, stand)
        for side in (0, 1):
            true = math.degrees(hung.riding[side])
            self._angle(entries, "riding-angle", side, true, pitch, noise, state.teardown, hanging)
        for side in (0, 1):
            self._length(entries, "hub-to-body", side, hung.hub[side], noise, state.teardown, hanging)

    def request(self, log: list[dict]) -> dict:
        """What is sent: the car by all its papers, its own target as heights, and the log."""
        return papers.usual_request(self.car, log)


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
