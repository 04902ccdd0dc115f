"""Cars for the tests of the model, exactly as the model takes them to be, and logs read from them.

Owns the truth behind a log, its readings with or without the noise the model assumes, and the request. Unlike the
simulated season, there is no physics here that the model leaves out: with exact readings it must find the truth.
Angles are read in degrees, lengths in millimetres, loads in kilograms, as in a request.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from hypothesis import HealthCheck, settings
from tries import tries

from bothends.model.bands import USUAL
from bothends.model.bar import rate_nm_per_rad
from bothends.model.observation import MODEL_ERROR
from bothends.model.statics import equilibrium

__all__ = ["BAR", "BOOK_RATE", "DEG", "GRAVITY", "SIDES", "Sheet", "Truth", "drawn", "plain", "steady"]

DEG = math.pi / 180.0
GRAVITY = 9.80665
SIDES = ("left", "right")
BAR = {"diameter_mm": 22.0, "bore_mm": 0.0, "length_mm": 600.0, "inner_teeth": 40, "outer_teeth": 44}
BOOK_RATE = rate_nm_per_rad(diameter_m=0.022, bore_m=0.0, length_m=0.6, shear_modulus_pa=78.5e9)
SPREAD = {
    "hanging-angle": 0.2,
    "riding-angle": 0.2,
    "body-height": 1.5,
    "hub-to-body": 1.5,
    "wheel-load": 3.0,
}


def steady(examples: int) -> settings:
    """Hypothesis settings: the same examples at every run of its kind, no time limit, nothing kept on disk."""
    return settings(
        max_examples=tries(examples),
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
    )


@dataclass(frozen=True)
class Truth:
    """One car as it truly is."""

    hanging_deg: tuple[float, float] = (9.0, 11.0)
    rate: float = BOOK_RATE
    """[N m/rad]."""
    arm_m: float = 0.415
    bush: float = 0.045
    load_kg: tuple[float, float] = (235.0, 235.0)
    roll: float = 13e3
    """[N/m]."""
    uneven_m: float = 0.0
    tyre: float = 180e3
    """[N/m]."""
    mark_m: tuple[float, float] = (0.245, 0.245)
    hub_m: tuple[float, float] = (0.205, 0.205)
    unsprung_kg: float = 20.0
    rest_deg: float = 0.0

    def constants(self) -> list:
        """As the model's statics orders them."""
        return [
            self.hanging_deg[0] * DEG,
            self.hanging_deg[1] * DEG,
            math.log(self.rate),
            self.arm_m,
            self.bush,
            self.load_kg[0] * GRAVITY,
            self.load_kg[1] * GRAVITY,
            math.log(self.roll),
            self.uneven_m,
            math.log(self.tyre),
        ]

    def settled(self, turn_deg=(0.0, 0.0), board_mm=(0.0, 0.0), ballast_kg=(0.0, 0.0), centred=False):
        """Where it rests; ``centred``: with the other axle carried amidships."""
        return equilibrium(
            constants=self.constants(),
            turn=tuple(t * DEG for t in turn_deg),
            rest=self.rest_deg * DEG,
            lift=(board_mm[0] - board_mm[1]) * 1e-3,
            ballast=tuple(b * GRAVITY for b in ballast_kg),
            free=centred,
        )

    def mirrored(self) -> "Truth":
        """The same car seen in a mirror."""
        return replace(
            self,
            hanging_deg=self.hanging_deg[::-1],
            load_kg=self.load_kg[::-1],
            mark_m=self.mark_m[::-1],
            hub_m=self.hub_m[::-1],
            uneven_m=-self.uneven_m,
        )


class Sheet:
    """A log as it is written, reading by reading.

    ``noise``: a generator, or None for exact readings. With noise every reading has its gauge's or tape's spread,
    the model's own error and the friction of its pose, as the model assumes.
    """

    def __init__(self, truth: Truth, noise=None, teeth=(40, 44)):
        self.truth = truth
        self.noise = noise
        self.teeth = teeth
        self.turn = [0.0, 0.0]
        self.teardown = 0
        self.log = []
        self._friction = {}

    def move(self, left=(0, 0), right=(0, 0)):
        """One teardown: whole teeth (inner, outer) on each side."""
        self.teardown += 1
        for side, (inner, outer) in enumerate((left, right)):
            self.turn[side] += 360.0 * inner / self.teeth[0] + 360.0 * outer / self.teeth[1]
        self.log.append(
            {
                "kind": "move",
                "teardown": self.teardown,
                "left": {"inner": left[0], "outer": left[1]},
                "right": {"inner": right[0], "outer": right[1]},
            }
        )
        return self

    def true(
        self, what: str, side: int, board_mm=(0.0, 0.0), ballast_kg=(0.0, 0.0), hung_deg=None, centred=False
    ) -> float:
        """What an exact reading would say, in the request's unit."""
        truth = self.truth
        if what == "hanging-angle":
            return truth.hanging_deg[side] + self.turn[side]
        if hung_deg is not None:
            return (
                hung_deg
                if what == "riding-angle"
                else (truth.hub_m[side] + truth.arm_m * math.sin(hung_deg * DEG)) * 1e3
            )
        rest = truth.settled(self.turn, board_mm, ballast_kg, centred)
        if what == "riding-angle":
            return rest.phi[side] / DEG
        if what == "body-height":
            return (truth.mark_m[side] + rest.height[side]) * 1e3
        if what == "hub-to-body":
            return (truth.hub_m[side] + truth.arm_m * math.sin(rest.phi[side])) * 1e3
        return rest.force[side] / GRAVITY + truth.unsprung_kg

    def _noise(self, what: str, side: int, pose: tuple, sd: float, rides: bool, settling: int = 0) -> float:
        if self.noise is None:
            return 0.0
        unit = {"wheel-load": GRAVITY, "body-height": 1e-3, "hub-to-body": 1e-3}.get(what, DEG)
        off = self.noise.normal(0.0, sd) + self.noise.normal(0.0, MODEL_ERROR[what] / unit)
        if rides and what not in ("hanging-angle", "wheel-load"):
            key = (self.teardown, pose, side, settling)
            if key not in self._friction:
                self._friction[key] = self.noise.normal(0.0, USUAL)
            rub = self._friction[key]
            off += (
                rub / (self.truth.arm_m * math.cos(self.true("riding-angle", side, *pose) * DEG)) / DEG
                if what == "riding-angle"
                else rub * 1e3
            )
        return float(off)

    def read(
        self,
        what: str,
        side: int,
        *,
        board_mm=(0.0, 0.0),
        ballast_kg=(0.0, 0.0),
        hung_deg=None,
        centred=False,
        **fields,
    ):
        """One reading, appended; ``fields`` (sd, datum, reference) go into the entry as they are.

        A datum is added to the value, as the gauge would show it; with reference "gravity" give the pitch as
        ``pitch``.
        """
        pitch = fields.pop("pitch", 0.0)
        sd = fields.get("sd", SPREAD[what])
        value = self.true(what, side, board_mm, ballast_kg, hung_deg, centred)
        pose = (board_mm, ballast_kg, None, centred)
        value += self._noise(what, side, pose, sd, hung_deg is None, fields.get("resettled", 0))
        entry = {"kind": "reading", "what": what, "side": SIDES[side], "teardown": self.teardown, **fields}
        entry["value"] = value + fields.get("datum", 0.0) + pitch
        pose = {}
        for s in (0, 1):
            if board_mm[s]:
                pose[f"board_{SIDES[s]}_mm"] = board_mm[s]
            if ballast_kg[s]:
                pose[f"ballast_{SIDES[s]}_kg"] = ballast_kg[s]
        if hung_deg is not None:
            pose["hanging"] = True
        if centred:
            pose["centred"] = True
        if pose:
            entry["pose"] = pose
        self.log.append(entry)
        return self

    def both(self, *whats: str, **given):
        """Readings of these kinds on both sides."""
        for what in whats:
            for side in (0, 1):
                self.read(what, side, **given)
        return self

    def plain(self, rounds: int = 1, **given):
        """Hanging angles, riding angles and body heights on both sides."""
        for _ in range(rounds):
            self.both("hanging-angle", "riding-angle", **given)
            self.both("body-height")
        return self

    def boards(self, board_mm: float = 50.0, rounds: int = 1):
        """A board under one tyre, then the other; heights and riding angles."""
        for boards in ((board_mm, 0.0), (0.0, board_mm)):
            for _ in range(rounds):
                self.both("riding-angle", "body-height", board_mm=boards)
        return self

    def hung(self, hung_deg: float = 4.0):
        """Hub to body riding, then hanging with the arm's angle."""
        self.both("hub-to-body")
        return self.both("riding-angle", "hub-to-body", hung_deg=hung_deg)

    def request(self, target=(250.0, 250.0), tolerance_mm=5.0, lean_mm=5.0, **car) -> dict:
        """The request; ``car`` overrides the car's fields."""
        bar = dict(BAR, inner_teeth=self.teeth[0], outer_teeth=self.teeth[1])
        given = {
            "bar": bar,
            "arm_mm": 415.0,
            # As `drawn` draws it: closer than a tape is believed.
            "arm_sd_mm": 3.0,
            "load_kg": {"left": 235.0, "right": 235.0},
        }
        given.update(car)
        return {
            "car": given,
            "target": {
                "left_mm": target[0],
                "right_mm": target[1],
                "tolerance_mm": tolerance_mm,
                "lean_mm": lean_mm,
            },
            "log": [dict(entry) for entry in self.log],
        }


def plain(truth: Truth | None = None, noise=None, rounds: int = 1, **given) -> dict:
    """A request with plain readings; ``given`` goes to the request."""
    return Sheet(truth or Truth(), noise).plain(rounds).request(**given)


def drawn(seed: int, *, load_sd_kg: float = 16.45) -> Truth:
    """A truth drawn from the prior that ``Sheet.request`` states."""
    rng = np.random.default_rng(seed)
    hang = float(rng.uniform(5.0, 16.0))
    return Truth(
        hanging_deg=(hang, hang + float(rng.normal(0.0, 2.0))),
        rate=BOOK_RATE * math.exp(float(rng.normal(0.0, 0.03))),
        arm_m=0.415 + float(rng.normal(0.0, 0.003)),
        bush=max(0.0, 0.045 + float(rng.normal(0.0, 0.02))),
        load_kg=tuple(235.0 + float(v) for v in rng.normal(0.0, load_sd_kg, 2)),
        roll=13e3 * math.exp(float(rng.normal(0.0, 5.0 / 13.0))),
        uneven_m=float(rng.normal(0.0, 0.004)),
        tyre=180e3 * math.exp(float(rng.normal(0.0, 35.0 / 180.0))),
    )
