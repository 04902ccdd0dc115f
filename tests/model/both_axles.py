"""A car with torsion bars at both ends, on one stiff body: how it stands by full solution of four corners.

Owns the truth and its readings. Both axles are the model's own (``cars.Truth``), without the rest of the car that
each has there; what ties them is solved here, by moments about the car's axis, and by nothing of `couple`.
"""

import math

from scipy.optimize import brentq

from bothends.model.bands import USUAL
from bothends.model.statics import ROLL, UNEVEN, equilibrium
from model.cars import BAR, BOOK_RATE, DEG, GRAVITY, SIDES, Truth

__all__ = ["AXLES", "Both", "asked"]

AXLES = ("rear", "front")
HELD = math.log(1e9)
"""As good as rigid, logarithm of [N/m]: a lean that is set."""
SPREADS = {"hanging-angle": 0.22, "riding-angle": 0.22, "body-height": 1.6, "wheel-load": 3.6}


class Both:
    """Two axles, rear and front; ``tracks`` [m]; ``noise`` a generator, or None for exact readings.

    ``friction`` is the standard deviation of a settled height, [m].
    """

    def __init__(self, rear: Truth, front: Truth, tracks=(1.44, 1.32), noise=None, friction=USUAL):
        self.axles = (rear, front)
        self.tracks = tracks
        self.noise = noise
        self.friction = friction
        self.turn = [[0.0, 0.0], [0.0, 0.0]]
        self.log: list = []
        self.teardown = 0

    def _axle(self, number: int, lean: float):
        """One axle held at a lean of the body, [rad]."""
        constants = self.axles[number].constants()
        constants[ROLL], constants[UNEVEN] = HELD, self.tracks[number] * lean
        turn = tuple(t * DEG for t in self.turn[number])
        return equilibrium(constants=constants, turn=turn, rest=0.0)

    def stands(self) -> list:
        """Both axles at rest: the lean at which the moments about the car's axis balance."""

        def moment(lean: float) -> float:
            total = 0.0
            for number, (axle, track) in enumerate(zip(self.axles, self.tracks, strict=True)):
                one, two = self._axle(number, lean).force
                total += track * (one - two - (axle.load_kg[0] - axle.load_kg[1]) * GRAVITY)
            return total

        lean = brentq(moment, -0.05, 0.05, xtol=1e-12)
        return [self._axle(number, lean) for number in (0, 1)]

    def heights(self, axle: str) -> list:
        """Ride heights of an axle, left and right, [mm]."""
        number = AXLES.index(axle)
        rest = self.stands()[number]
        return [(self.axles[number].mark_m[s] + rest.height[s]) * 1e3 for s in (0, 1)]

    def read(self, *whats: str, axles=AXLES):
        """One reading of each kind on both sides."""
        rests = self.stands()
        for number, name in enumerate(AXLES):
            if name not in axles:
                continue
            truth, rest = self.axles[number], rests[number]
            for side in (0, 1):
                rub = 0.0 if self.noise is None else self.noise.normal(0.0, self.friction)
                for what in whats:
                    lever = truth.arm_m * math.cos(rest.phi[side])
                    value = {
                        "hanging-angle": truth.hanging_deg[side] + self.turn[number][side],
                        "riding-angle": (rest.phi[side] + rub / lever) / DEG,
                        "body-height": (truth.mark_m[side] + rest.height[side] + rub) * 1e3,
                        "wheel-load": rest.force[side] / GRAVITY + truth.unsprung_kg,
                    }[what]
                    if self.noise is not None:
                        value += self.noise.normal(0.0, SPREADS[what])
                    entry = {"kind": "reading", "what": what, "side": SIDES[side], "value": float(value)}
                    self.log.append({**entry, "teardown": self.teardown, "axle": name})
        return self

    def plain(self, **given):
        return self.read("hanging-angle", "riding-angle", "body-height", "body-height", **given)

    def move(self, axle: str, left=(0, 0), right=(0, 0)):
        """Whole teeth (inner, outer) on each side of one axle."""
        self.teardown += 1
        entry = {"kind": "move", "teardown": self.teardown, "axle": axle}
        for side, (inner, outer) in enumerate((left, right)):
            self.turn[AXLES.index(axle)][side] += 360.0 * inner / 40 + 360.0 * outer / 44
            entry[SIDES[side]] = {"inner": inner, "outer": outer}
        self.log.append(entry)
        return self


def asked(both: Both, target: dict, **other) -> dict:
    """The request of a job of the rear; ``other`` are more facts of the front."""
    cars = []
    for truth, track in zip(both.axles, both.tracks, strict=True):
        bar = dict(BAR, diameter_mm=BAR["diameter_mm"] * (truth.rate / BOOK_RATE) ** 0.25)
        loads = dict(zip(SIDES, truth.load_kg, strict=True))
        cars.append({"bar": bar, "arm_mm": 415.0, "load_kg": loads, "track_mm": track * 1e3})
    front = {**cars[1], "anti_roll_n_per_mm": 0.0, **other}
    return {"car": {**cars[0], "other": front}, "target": target, "log": both.log}
