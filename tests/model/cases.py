"""Requests that bring out what an answer can say: one for every headline and every obstacle, and others at random.

Owns the requests only; what they must bring out is said where they are used.
"""

import copy
import math
import random

import numpy as np

from bothends.model.car import Car
from bothends.model.statics import equilibrium
from model.both_axles import Both, asked
from model.cars import BAR, DEG, GRAVITY, SIDES, Sheet, Truth, drawn

__all__ = [
    "ADJUSTED",
    "EVERY",
    "FRONT",
    "HEADLINES",
    "RANGE",
    "SCREW",
    "WIDE",
    "front",
    "rise",
    "stood",
    "tossed",
    "wished",
]

LEVEL = Truth(hanging_deg=(10.0, 10.0))
STEEP = Truth(hanging_deg=(21.0, 21.0))
WIDE = {"bump_mm": 300.0, "droop_mm": 300.0}
"""Limits that nothing here passes."""
BOTH = ["inner", "outer"]
FIFTY = {"as": "cross-weight", "cross_percent": 50.0, "rise_mm": 20.0}


def rise(left: float, right: float | None = None, **more) -> dict:
    return {"as": "rise", "left_rise_mm": left, "right_rise_mm": left if right is None else right, **more}


def wished(sheet: Sheet, target: dict, teeth: tuple | None = None, **car) -> dict:
    request = sheet.request(**car)
    if teeth:
        request["car"]["bar"] = dict(BAR, inner_teeth=teeth[0], outer_teeth=teeth[1])
    request["target"] = target
    return request


def stood() -> Sheet:
    """Plain readings of a car that stands level."""
    return Sheet(LEVEL).plain()


def _weighed(front: tuple, plain: bool = True) -> dict:
    """Four scales under the car; without plain readings nothing says how it leans."""
    sheet = Sheet(Truth())
    (sheet.plain(2).boards() if plain else sheet.both("riding-angle", "hanging-angle")).both("wheel-load")
    request = sheet.request()
    for side, value in zip(("left", "right"), front, strict=True):
        entry = {"kind": "reading", "what": "wheel-load", "axle": "front", "side": side, "value": value}
        request["log"].append({**entry, "teardown": 0})
    return request if plain else {**request, "target": rise(20.0)}


def _doubted() -> dict:
    """One height of two in inches: as found, and so the rise, hangs on it."""
    request = wished(Sheet(LEVEL).plain(2).boards(), rise(30.0))
    first = next(e for e in request["log"] if e["what"] == "body-height")
    first["value"] /= 25.4
    return request


def _repaired() -> dict:
    """A log that only makes sense with its slip put right."""
    sheet = Sheet(Truth(hanging_deg=(23.0, 21.0))).plain(2, datum=1.0, sd=0.28)
    request = sheet.request(target=(300.0, 300.0))
    first = next(e for e in request["log"] if e["what"] == "hanging-angle")
    first["value"] = -first["value"]
    return request


def _miscounted() -> dict:
    """A log whose move is one tooth off at the inner end of the left bar."""
    sheet = Sheet(Truth(hanging_deg=(10.0, 10.0))).plain(2, datum=1.0, sd=0.28).boards()
    sheet.move((2, -2), (2, -2)).plain(2, datum=1.0, sd=0.28)
    request = wished(sheet, rise(40.0))
    move = next(e for e in request["log"] if e["kind"] == "move")
    move["left"]["inner"] += 1
    return request


def _rubber() -> dict:
    bush = {"ratio": 1.0, "ratio_sd": 0.0001, "rest_deg": 60.0, "rest_sd_deg": 0.0}
    truth = Truth(hanging_deg=(10.0, 10.0), bush=1.0, rest_deg=60.0)
    return wished(Sheet(truth).plain(), rise(-80.0), bush=bush, limits={"bump_mm": 500.0})


def _known() -> Sheet:
    return Sheet(LEVEL).plain(6, datum=1.0, sd=0.28).boards(rounds=4)


def _hung() -> Sheet:
    return stood().both("hub-to-body").both("riding-angle", "hub-to-body", hung_deg=2.0)


FRONT = {
    "sprung": "front",
    "axle": "wishbone",
    "arm_mm": 350.0,
    "bar": {"diameter_mm": 26.0, "length_mm": 1100.0},
    "load_kg": {"left": 430.0, "right": 420.0},
}
"""A front axle of double wishbones; its teeth are not counted."""
SCREW = {"kind": "screw", "lever_mm": 108.0, "pitch_mm": 1.27}
RANGE = {"raise_turns": {"left": 9.0, "right": 9.0}, "lower_turns": {"left": 7.0, "right": 7.0}}


def front(target: dict, adjuster: dict | None = None, log: list | tuple = (), **car) -> dict:
    """Ride heights of a front axle, and what is asked of it; ``log`` is added to the readings."""
    heights = [
        {"kind": "reading", "what": "body-height", "side": side, "value": value + more, "teardown": 0}
        for side, value in (("left", 598.0), ("right", 606.0))
        for more in (0.0, 1.0)
    ]
    return {"car": {**FRONT, "adjuster": adjuster or SCREW, **car}, "target": target, "log": [*heights, *log]}


class Wishbones:
    """A front axle as it truly is, with screws: what it reads at given turns, in a request's units."""

    lean = 300.0
    """Between the points of an arm difference, [mm]."""

    def __init__(self, gain: float = 1.03, anti: float = 6e3):
        car = Car({"car": FRONT})
        self.per = gain * SCREW["pitch_mm"] / SCREW["lever_mm"]
        self.anti = math.log(anti)
        loads = [kg * GRAVITY for kg in FRONT["load_kg"].values()]
        self.constants = [20 * DEG, 19.4 * DEG, math.log(car.rate), 1.01 * car.arm, 0.045, *loads]
        self.constants += [math.log(18e3), 0.002, math.log(180e3)]

    def stands(self, turns, board_mm=(0.0, 0.0)):
        return equilibrium(
            constants=self.constants,
            turn=tuple(t * self.per for t in turns),
            rest=0.0,
            lift=(board_mm[0] - board_mm[1]) * 1e-3,
            anti=self.anti,
        )

    def log(self, turns, teardown=0, bolts=True, board_mm=(0.0, 0.0)) -> list:
        """Heights twice, arm differences, and bolt lengths."""
        rest = self.stands(turns, board_mm)
        out = []
        for s, side in enumerate(SIDES):
            values = [("body-height", 620 + 1e3 * rest.height[s])] * 2
            values.append(("arm-difference", self.lean * math.sin(rest.phi[s])))
            if bolts:
                values.append(("bolt-length", 30 + SCREW["pitch_mm"] * turns[s]))
            for what, value in values:
                entry = {"kind": "reading", "what": what, "side": side, "value": value, "teardown": teardown}
                if any(board_mm) and what != "bolt-length":
                    entry["pose"] = {f"board_{name}_mm": mm for name, mm in zip(SIDES, board_mm, strict=True)}
                out.append(entry)
        return out

    def job(self, true, said=None, target=None, bolts=True, adjuster=None, **car) -> dict:
        """Read, turned, read again; ``said`` is what was entered where that is not the truth."""
        said = said or true
        move = {"kind": "move", "teardown": 1}
        for side, turns in zip(SIDES, said, strict=True):
            move[side] = {"turns": turns}
        log = [*self.log((0.0, 0.0), 0, bolts), move, *self.log(true, 1, bolts)]
        adjuster = {**SCREW, **RANGE, **(adjuster or {})}
        return {"car": {**FRONT, "adjuster": adjuster, **car}, "target": target or rise(20.0), "log": log}


def _four(left: float) -> list:
    loads = (("front", (450.0, 440.0)), ("rear", (left, 310.0)))
    return [
        {"kind": "reading", "what": "wheel-load", "axle": axle, "side": side, "value": value, "teardown": 0}
        for axle, pair in loads
        for side, value in zip(("left", "right"), pair, strict=True)
    ]


ECCENTRIC = {"kind": "eccentric", "throw_mm": 4.0, "lever_mm": 120.0}
PACKS = {"kind": "notch", "step_deg": 3.0, "share": 0.5, "shared": True, **RANGE}


def _both(
    target: dict, slip: bool = False, weighed: bool = False, facts: dict | None = None, **given
) -> dict:
    """Bars at both ends, read as found, with or without four scales.

    ``slip`` leaves the front's angles in another world than its heights; ``facts`` are more of the front.
    """
    front = Truth(hanging_deg=(12.0, 11.0), load_kg=(260.0, 250.0))
    both = Both(LEVEL, front).plain(**given)
    request = asked(both.read("wheel-load") if weighed else both, target, **(facts or {}))
    for entry in request["log"]:
        if slip and entry["axle"] == "front" and entry["what"] == "riding-angle":
            entry["value"] = 60.0
    return request


HEADLINES = {
    "as-wished": wished(Sheet(LEVEL).plain(3), rise(0.0)),
    "as-wished-then": _both(rise(0.0, other=rise(25.0))),
    "turn": wished(_known(), rise(30.0, tolerance_mm=12.0, lean_mm=12.0)),
    "turn-coarse": wished(stood(), rise(60.0), teeth=(20, 20)),
    "turn-held": wished(stood(), rise(30.0), held={"right": BOTH}),
    "turn-degrees-held": {"target": rise(30.0), "car": {"held": {"right": BOTH}}, "log": stood().log},
    "turn-degrees": {"target": rise(30.0, tolerance_mm=14.0, lean_mm=14.0), "log": _known().log},
    "turn-degrees-left": {"target": rise(30.0, 9.0), "log": _known().log},
    "turn-degrees-right": {"target": rise(9.0, 30.0), "log": _known().log},
    "read-first": _doubted(),
    "read-first-move": _miscounted(),
    "read-first-loads": wished(stood(), rise(40.0), load_kg={"left": 518.0, "right": 518.0}),
    "forbidden-joint": wished(stood(), rise(30.0), limits={"joint_deg": 1.0}),
    "forbidden-stop": wished(Sheet(STEEP).plain(), rise(110.0), limits={"stop_deg": 7.5}),
    "forbidden-steep": wished(stood(), {"as": "hanging-angle", "left_deg": 82.0, "right_deg": 82.0}),
    "forbidden-slack": _rubber(),
    "forbidden-lower": wished(stood(), rise(60.0), limits={"droop_mm": 10.0}),
    "forbidden-higher": wished(stood(), rise(-60.0), limits={"bump_mm": 10.0}),
    "forbidden-bars": wished(stood(), rise(120.0), limits={**WIDE, "permissible_stress_mpa": 600.0}),
    "out-of-reach": wished(stood(), rise(500.0)),
    "nothing-better": wished(Sheet(LEVEL).plain(3), rise(5.5), teeth=(20, 20)),
    "held": wished(stood(), rise(30.0), held={"left": BOTH, "right": BOTH}),
    "adjust": front(rise(20.0), {**SCREW, **RANGE}),
    "adjust-teeth": front(
        rise(45.0), {**SCREW, **RANGE}, bar={**FRONT["bar"], "inner_teeth": 30, "outer_teeth": 32}
    ),
    "adjust-short": front(rise(150.0), {**SCREW, **RANGE}, held={"left": BOTH, "right": BOTH}),
    "adjust-shared": wished(
        stood(), rise(30.0, tolerance_mm=30.0, lean_mm=30.0), axle="beam", adjuster=PACKS
    ),
    "adjust-shared-short": wished(stood(), rise(30.0, 20.0, tolerance_mm=1.0), axle="beam", adjuster=PACKS),
    "read-first-turns": Wishbones().job((-4.0, 2.0), (4.0, 2.0)),
    "adjusted-out": front(
        rise(6.5),
        {**SCREW, "raise_turns": {"left": 0.0, "right": 0.0}, "lower_turns": {"left": 9.0, "right": 9.0}},
        held={"left": BOTH, "right": BOTH},
    ),
}
"""By the headline that they bring out, as `sentences.HEADLINES` names it."""

ADJUSTED = {
    "screws, nothing known of them": front(rise(20.0, 14.0), {"kind": "screw"}),
    "screws, nothing looked at": front(rise(20.0), SCREW),
    "screws, bars renewed": front(rise(20.0), SCREW, renewed="bars"),
    "screws lowered": front(rise(-12.0, -10.0), {**SCREW, **RANGE}),
    "screws too short": front(rise(40.0), {**SCREW, **RANGE, "across": True}),
    "screws that may be too short": front(rise(45.0), SCREW),
    "screws, on target": front(rise(0.0), {**SCREW, **RANGE}),
    "front, weighed even": front(rise(10.0), {**SCREW, **RANGE}, _four(300.0)),
    "front, weighed apart": front(
        {"as": "heights", "left_mm": 615.0, "right_mm": 615.0}, {**SCREW, **RANGE}, _four(390.0)
    ),
    "front, loads not known": front(rise(10.0), {**SCREW, **RANGE}, load_kg=None),
    "front, weighed apart, nothing said of lean": {
        "car": {**FRONT, "adjuster": SCREW}, "target": rise(10.0), "log": _four(390.0),
    },
    "eccentrics": wished(stood(), rise(6.0, 4.0), adjuster=ECCENTRIC),
    "eccentrics and teeth": wished(stood(), rise(45.0, 40.0), adjuster=ECCENTRIC),
    "a cam beside equal teeth": wished(
        stood(), rise(45.0, 40.0), teeth=(40, 40), adjuster={**ECCENTRIC, "throw_mm": 10.0}
    ),
    "notches, shared": wished(
        stood(), rise(30.0, 20.0), axle="beam", adjuster=PACKS,
    ),
    "notches, not measured": wished(stood(), rise(30.0, 20.0), adjuster={"kind": "notch", **RANGE}),
}  # fmt: skip
"""Cars with an adjuster."""

MORE = {
    "measured droop": wished(_hung(), rise(120.0)),
    "assumed droop": wished(stood(), rise(120.0)),
    "assumed bump": wished(stood(), rise(-90.0)),
    "stop, unplaced": wished(Sheet(STEEP).both("body-height"), rise(110.0), limits={"stop_deg": 7.5}),
    "stress, bump assumed": wished(stood(), rise(60.0), limits={"permissible_stress_mpa": 870.0}),
    "usual stress": wished(stood(), rise(120.0), limits=WIDE),
    "stress near": wished(stood(), rise(30.0), limits={**WIDE, "permissible_stress_mpa": 1900.0}),
    "little travel": wished(stood(), rise(10.0), limits={"bump_mm": 3.0, "droop_mm": 20.0}),
    "slack": wished(stood(), rise(-30.0), limits={**WIDE, "stop_deg": 12.0}),
    "advised": wished(stood(), rise(30.0)),
    "nothing known": {"target": rise(30.0)},
    "hard ride": wished(
        Sheet(Truth(hanging_deg=(10.0, 10.0), load_kg=(60.0, 60.0))).plain(), rise(10.0),
        load_kg={"left": 60.0, "right": 60.0},
    ),
    "same teeth": wished(stood(), rise(30.0), teeth=(44, 44)),
    "dividing teeth": wished(stood(), rise(30.0), teeth=(22, 44)),
    "repaired": _repaired(),
    "loads in pounds": wished(stood(), rise(30.0), load_kg={"left": 518.0, "right": 518.0}),
    "weighed even": _weighed((304.0, 306.0)),
    "weighed apart": _weighed((280.0, 330.0)),
    "weighed, fifty wanted": {**_weighed((280.0, 330.0)), "target": FIFTY},
    "weighed, out of reach": {
        **_weighed((280.0, 330.0)),
        "target": {**FIFTY, "cross_percent": 70.0, "rise_mm": 400.0},
    },
    "weighed apart, nothing said of lean": _weighed((250.0, 360.0), plain=False),
    "one side in degrees": {"target": rise(20.0, 6.0), "car": {"held": {"right": BOTH}}, "log": stood().log},
}  # fmt: skip


OPPOSITE = {
    "both axles": _both(rise(40.0, 10.0)),
    "the front not read": _both(rise(40.0, 10.0), axles=("rear",)),
    "both axles, as wished": _both(rise(0.0)),
    "the front not read, as wished": _both(rise(0.0), axles=("rear",)),
    "the front against itself": _both(rise(40.0, 10.0), slip=True),
    "both axles planned": _both(rise(40.0, 20.0, other=rise(-5.0, -25.0))),
    "both axles planned, leans apart": _both(rise(20.0, 0.0, other=rise(0.0, 20.0))),
    "both axles planned, fifty wanted": _both(rise(20.0, other=rise(10.0, cross_percent=50.0)), weighed=True),
    "both axles planned, the front held": _both(
        rise(20.0, other=rise(10.0)), facts={"held": {"left": BOTH, "right": BOTH}}
    ),
    "both axles planned, the front not read": _both(rise(40.0, other=rise(10.0)), axles=("rear",)),
}
"""Jobs that say of the other axle too."""
EVERY = {**HEADLINES, **ADJUSTED, **MORE, **OPPOSITE}

FACTS = {
    "diameter_mm": 22.0,
    "length_mm": 600.0,
    "inner_teeth": 40,
    "outer_teeth": 44,
}


def tossed(seed: int) -> dict:
    """A request with some of what could be known, some of what could be read, and any wish."""
    toss = random.Random(seed)
    share = toss.random()
    car: dict = {"bar": {name: value for name, value in FACTS.items() if toss.random() < share}}
    for name, value in (
        ("arm_mm", 415.0),
        ("load_kg", {"left": 235.0}),
        ("limits", {"stop_deg": 3.0}),
        ("limits", {"bump_mm": 60.0, "droop_mm": 90.0, "permissible_stress_mpa": 1000.0}),
        ("held", {"left": ["inner"]}),
    ):
        if toss.random() < share:
            car[name] = {**car.get(name, {}), **value} if isinstance(value, dict) else value
    sheet = Sheet(drawn(seed), np.random.default_rng(seed))
    share = toss.random()
    for what in ("hanging-angle", "riding-angle", "body-height", "hub-to-body", "wheel-load"):
        for side in (0, 1):
            for _ in range(toss.randint(1, 3)):
                if toss.random() < share:
                    sheet.read(what, side)
    for side in (0, 1):
        if toss.random() < 0.15:
            sheet.read("riding-angle", side, hung_deg=4.0).read("hub-to-body", side, hung_deg=4.0)
    if toss.random() < 0.3:
        sheet.boards()
    up = [toss.uniform(-50.0, 80.0) for _ in range(2)]
    target = toss.choice(
        [
            rise(*up),
            rise(up[0], up[0] + toss.uniform(-10.0, 10.0), tolerance_mm=toss.choice([3.0, 8.0])),
            {
                "as": "hanging-angle",
                "left_deg": toss.uniform(5.0, 25.0),
                "right_deg": toss.uniform(5.0, 25.0),
            },
        ]
    )
    return {"car": car, "target": target, "log": copy.deepcopy(sheet.log)}
