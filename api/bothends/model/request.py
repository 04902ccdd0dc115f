"""A solve request, checked and turned into SI: the only door between the outside's names and the model.

Checks what every caller must obey (bounds, teardown numbers, the readings a plan cannot do without) and fills
in the documented defaults. Unknown fields are not this module's business: the server's schema refuses them.
"""

from . import bounds
from .field import choice, flag, integer, number, part, table
from .problem import ModelProblem
from .units import DEG, GRAVITY, MM

__all__ = ["SIDES", "Car", "Case", "Reading", "read", "read_target"]

AXLES = ("trailing", "semi-trailing", "swing")
KINDS = ("hanging-angle", "riding-angle", "body-height", "hub-to-body", "wheel-load")
SIDES = ("left", "right")
USUAL_LOAD_KG = 240.0
USUAL_LOAD_SD_KG = 60.0


class Car:
    """Bar, arm, loads, bush, roll support, tyres, axle and limits, in SI; ``*_sd`` are standard deviations."""

    def __init__(self, source: dict) -> None:
        car = table(source, "car", "$")
        bar = table(car, "bar", "$.car")
        at = "$.car.bar"
        self.diameter = number(bar, "diameter_mm", at, bounds.DIAMETER_MM) * MM
        self.bore = number(bar, "bore_mm", at, bounds.BORE_MM, 0.0) * MM
        if self.bore >= self.diameter:
            raise ModelProblem(
                "out-of-range",
                at + ".bore_mm",
                "bore must be less than the bar's diameter of %g mm, got %g mm; a solid bar has bore 0"
                % (self.diameter / MM, self.bore / MM),
            )
        self.length = number(bar, "length_mm", at, bounds.LENGTH_MM) * MM
        self.inner_teeth = integer(bar, "inner_teeth", at, bounds.TEETH)
        self.outer_teeth = integer(bar, "outer_teeth", at, bounds.TEETH)
        self.modulus = number(bar, "shear_modulus_gpa", at, bounds.SHEAR_MODULUS_GPA, 78.5) * 1e9
        self.rate_sd = number(bar, "rate_sd_percent", at, bounds.RATE_SD_PERCENT, 3.0) * 0.01
        at = "$.car"
        self.arm = number(car, "arm_mm", at, bounds.ARM_MM) * MM
        self.arm_sd = number(car, "arm_sd_mm", at, bounds.ARM_SD_MM, 3.0) * MM
        loads = part(car, "load_kg", at)
        usual = USUAL_LOAD_KG if loads is None else None
        loads = loads or {}
        kg = [number(loads, side, at + ".load_kg", bounds.LOAD_KG, usual) for side in SIDES]
        sd = USUAL_LOAD_SD_KG if usual else max(0.07 * 0.5 * (kg[0] + kg[1]), bounds.LOAD_SD_KG[0])
        self.load = [k * GRAVITY for k in kg]
        self.load_sd = number(car, "load_sd_kg", at, bounds.LOAD_SD_KG, sd) * GRAVITY
        self.unsprung = number(car, "unsprung_kg", at, bounds.UNSPRUNG_KG, 20.0) * GRAVITY
        self.unsprung_sd = number(car, "unsprung_sd_kg", at, bounds.UNSPRUNG_SD_KG, 10.0) * GRAVITY
        self._limits(part(car, "limits", at) or {})
        bush = part(car, "bush", at) or {}
        at = "$.car.bush"
        self.bush = number(bush, "ratio", at, bounds.BUSH_RATIO, 0.045)
        self.bush_sd = number(bush, "ratio_sd", at, bounds.BUSH_RATIO_SD, 0.02)
        self.rest = number(bush, "rest_deg", at, bounds.BUSH_REST_DEG, self.stop / DEG) * DEG
        self.rest_sd = number(bush, "rest_sd_deg", at, bounds.BUSH_REST_SD_DEG, 2.5) * DEG
        at = "$.car"
        self.roll = number(car, "roll_support_n_per_mm", at, bounds.ROLL_SUPPORT_N_PER_MM, 13.0) / MM
        self.roll_sd = number(car, "roll_support_sd_n_per_mm", at, bounds.ROLL_SUPPORT_SD_N_PER_MM, 5.0) / MM
        self.uneven = number(car, "unevenness_mm", at, bounds.UNEVENNESS_MM, 0.0) * MM
        self.uneven_sd = number(car, "unevenness_sd_mm", at, bounds.UNEVENNESS_SD_MM, 4.0) * MM
        self.tyre = number(car, "tyre_n_per_mm", at, bounds.TYRE_N_PER_MM, 180.0) / MM
        self.tyre_sd = number(car, "tyre_sd_n_per_mm", at, bounds.TYRE_SD_N_PER_MM, 35.0) / MM
        self.axle = choice(car, "axle", at, AXLES, "trailing")
        self.half_axle = number(car, "half_axle_mm", at, bounds.HALF_AXLE_MM, 600.0) * MM
        self.half_axle_angle = number(car, "half_axle_deg", at, bounds.HALF_AXLE_DEG, 0.0) * DEG
        self.sweep = number(car, "sweep_deg", at, bounds.SWEEP_DEG, 15.0) * DEG
        self.known = part(car, "known", at)

    def _limits(self, limits: dict) -> None:
        at = "$.car.limits"
        self.stop = number(limits, "stop_deg", at, bounds.STOP_DEG, 0.0) * DEG
        self.bump = number(limits, "bump_mm", at, bounds.BUMP_MM, 60.0) * MM
        self.droop = number(limits, "droop_mm", at, bounds.DROOP_MM, 90.0) * MM
        self.travel_given = limits.get("bump_mm") is not None and limits.get("droop_mm") is not None
        self.stress_given = limits.get("permissible_stress_mpa") is not None
        self.stress = number(
            limits, "permissible_stress_mpa", at, bounds.PERMISSIBLE_STRESS_MPA, 700.0
        ) * 1e6  # fmt: skip
        joint = number(limits, "joint_deg", at, bounds.JOINT_DEG, -1.0, True)
        self.joint = joint * DEG if joint > 0.0 else None


class Reading:
    """One reading in SI: ``value`` has its datum subtracted.

    ``pose`` is (lift, ballast left, ballast right) with lift = board left - board right, [m] and [N]; readings
    taken with the wheels hanging have ``hanging``. ``raw`` and ``datum`` keep what was typed, in its own unit.
    """

    def __init__(
        self,
        index: int,
        kind: str,
        side: int,
        value: float,
        sd: float,
        teardown: int,
        pose: tuple,
        hanging: bool,
        gravity: bool,
        raw: float,
        datum: float | None,
    ) -> None:
        self.index = index
        self.kind = kind
        self.side = side
        self.value = value
        self.sd = sd
        self.teardown = teardown
        self.pose = pose
        self.hanging = hanging
        self.gravity = gravity
        self.raw = raw
        self.datum = datum


class Case:
    """A whole request: ``car``, ``target`` (2,) [m], ``tolerance``, ``lean`` [m], ``readings``, ``moves``.

    ``moves`` maps teardown number to (log index, ((inner, outer) left, (inner, outer) right)); ``teardowns`` is
    how many have been done.
    """

    def __init__(
        self, car: Car, target: list, tolerance: float, lean: float, readings: list, moves: dict
    ) -> None:
        self.car = car
        self.target = target
        self.tolerance = tolerance
        self.lean = lean
        self.readings = readings
        self.moves = moves
        self.teardowns = len(moves)


def _reading(entry: dict, index: int) -> Reading:
    at = "$.log[%d]" % index
    kind = choice(entry, "what", at, KINDS)
    side = SIDES.index(choice(entry, "side", at, SIDES))
    teardown = integer(entry, "teardown", at, bounds.TEARDOWN, 0)
    gravity = choice(entry, "reference", at, ("body", "gravity"), "body") == "gravity"
    pose = part(entry, "pose", at) or {}
    hanging = flag(pose, "hanging", at + ".pose")
    datum = None
    if kind in ("hanging-angle", "riding-angle"):
        raw = number(entry, "value", at, bounds.ANGLE_DEG)
        if entry.get("datum") is not None:
            datum = number(entry, "datum", at, bounds.ANGLE_DEG)
            gravity = False
        # Two readings of one gauge make up a difference: its spread is the gauge's times the root of two.
        sd = number(entry, "sd", at, bounds.ANGLE_SD_DEG, 0.2 if datum is None else 0.28) * DEG
        value = (raw - (datum or 0.0)) * DEG
    else:
        if entry.get("datum") is not None:
            raise ModelProblem(
                "bad-log", at + ".datum", "a datum goes with an angle; leave it out of " + kind
            )
        gravity = False
        if kind == "wheel-load":
            raw = number(entry, "value", at, bounds.WHEEL_LOAD_KG)
            sd = number(entry, "sd", at, bounds.LOAD_READING_SD_KG, 3.0) * GRAVITY
            value = raw * GRAVITY
        else:
            raw = number(
                entry, "value", at, bounds.HEIGHT_MM if kind == "body-height" else bounds.HUB_TO_BODY_MM
            )
            sd = number(entry, "sd", at, bounds.LENGTH_SD_MM, 1.5) * MM
            value = raw * MM
    at += ".pose"
    boards = [number(pose, "board_%s_mm" % s, at, bounds.BOARD_MM, 0.0) * MM for s in SIDES]
    ballast = [number(pose, "ballast_%s_kg" % s, at, bounds.BALLAST_KG, 0.0) * GRAVITY for s in SIDES]
    if hanging and kind in ("body-height", "wheel-load"):
        raise ModelProblem(
            "bad-log", at + ".hanging", "a %s is read with the car on its wheels; take hanging off" % kind
        )
    if kind == "hanging-angle":
        # The arm is free: boards and ballast cannot matter to it.
        boards, ballast, hanging = [0.0, 0.0], [0.0, 0.0], True
    place = (boards[0] - boards[1], ballast[0], ballast[1])
    return Reading(index, kind, side, value, sd, teardown, place, bool(hanging), gravity, raw, datum)


def _move(entry: dict, index: int) -> tuple:
    at = "$.log[%d]" % index
    teardown = integer(entry, "teardown", at, (1, bounds.TEARDOWN[1]))
    turned = []
    for side in SIDES:
        ends = part(entry, side, at) or {}
        turned.append(
            tuple([integer(ends, end, at + "." + side, bounds.TEETH_TURNED, 0) for end in ("inner", "outer")])
        )
    return teardown, (index, tuple(turned))


def read_target(wish: dict) -> tuple:
    """The wanted heights (2,) [m], tolerance [m] and lean [m]."""
    target = [number(wish, side + "_mm", "$.target", bounds.HEIGHT_MM) * MM for side in SIDES]
    tolerance = number(wish, "tolerance_mm", "$.target", bounds.TOLERANCE_MM, 5.0) * MM
    lean = number(wish, "lean_mm", "$.target", bounds.LEAN_MM, 5.0) * MM
    return target, tolerance, lean


def read(source: dict) -> Case:
    """Check a request and return it as a Case.

    Raises
    ------
    ModelProblem
        "out-of-range" or "bad-log" with the field's path; "missing-reading" where a side has no hanging angle
        or no body height; "too-many-readings".
    """
    car = Car(source)
    target, tolerance, lean = read_target(table(source, "target", "$"))
    log = source.get("log") or []
    if not isinstance(log, (list, tuple)):
        raise ModelProblem("out-of-range", "$.log", "the log must be a list of readings and moves")
    if len(log) > bounds.READINGS[1]:
        raise ModelProblem(
            "too-many-readings",
            "$.log",
            "a log may hold %d entries, got %d; strike what no longer matters"
            % (bounds.READINGS[1], len(log)),
        )
    readings = []
    moves = {}
    for index in range(len(log)):
        entry = log[index]
        at = "$.log[%d]" % index
        if not isinstance(entry, dict):
            raise ModelProblem("out-of-range", at, "an entry must be an object with a kind")
        if choice(entry, "kind", at, ("reading", "move")) == "reading":
            readings.append(_reading(entry, index))
        else:
            teardown, move = _move(entry, index)
            if teardown in moves:
                raise ModelProblem(
                    "bad-log", at + ".teardown", "teardown %d has two moves; strike one of them" % teardown
                )
            moves[teardown] = move
    for teardown in moves:
        if teardown > len(moves):
            raise ModelProblem(
                "bad-log",
                "$.log[%d].teardown" % moves[teardown][0],
                "moves are numbered 1, 2, 3 without a gap; got teardown %d of %d" % (teardown, len(moves)),
            )
    for reading in readings:
        if reading.teardown > len(moves):
            raise ModelProblem(
                "bad-log",
                "$.log[%d].teardown" % reading.index,
                "this reading follows teardown %d, but the log has %d; enter the move first"
                % (reading.teardown, len(moves)),
            )
    for kind, words in (("hanging-angle", "hanging angle"), ("body-height", "body height")):
        for side in (0, 1):
            if not [r for r in readings if r.kind == kind and r.side == side]:
                raise ModelProblem(
                    "missing-reading",
                    "$.log",
                    "a plan needs a %s on each side; there is none on the %s, read it first"
                    % (words, SIDES[side]),
                )
    return Case(car, target, tolerance, lean, readings, moves)
