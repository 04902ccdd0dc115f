"""Tests not yet made: what each would read, how that depends on the constants, and with what noise.

Covers the board test, the centre-jack test, the hang test, scales, ballast, and plain readings taken once more.
Minutes are common practice, no source.
"""

import math

from .beliefs import ARM_TAPED_SD_MM, STEP_GIVEN_SD
from .estimate import Estimate
from .evidence import carrying
from .fields import ANGLE_SD_WITH_DATUM, NOTCH, field
from .fields import kind as kind_of
from .fittings import FORCE, HEIGHT, PHI
from .observation import MODEL_ERROR
from .reading import stands
from .statics import ARM, CONSTANTS, LOAD_LEFT, RATE, Equilibrium
from .travel import travels
from .units import DEG, GRAVITY, MM

__all__ = ["BALLAST", "BOARD", "MINUTES", "Trial", "facts", "trials"]

GAUGE = ANGLE_SD_WITH_DATUM * DEG
TAPE = kind_of("body-height").sd * MM
SCALE = kind_of("wheel-load").sd * GRAVITY
BOARD = 50.0 * MM
BALLAST = 50.0 * GRAVITY
MINUTES = {
    "adjuster-lever": 5,
    "arm-length": 3,
    "ballast-test": 10,
    "bar-size": 10,
    "body-height": 4,
    "bump-gap": 5,
    "centre-jack": 10,
    "hang-test": 15,
    "hanging-angle": 40,
    "notch-angle": 5,
    "riding-angle": 4,
    "scales": 15,
    "settling": 5,
    "tooth-count": 10,
    "turns-left": 3,
}
"""Minutes a test takes, both sides. Common practice, no source."""


class Trial:
    """A test not yet made: rows : (k, n), noise : (k, k), what, side, minutes."""

    def __init__(self, what: str, side: str, minutes: int) -> None:
        self.what = what
        self.side = side
        self.minutes = minutes
        self.rows: list[list[float]] = []
        self.noise: list[list[float]] = []

    def add(self, row: list, variance: float) -> None:
        """One more reading with independent noise; shared noise is added by ``share``."""
        for line in self.noise:
            line.append(0.0)
        self.rows.append(row)
        self.noise.append([0.0] * len(self.noise) + [variance])

    def share(self, coefficients: list) -> None:
        """A unit-normal unknown that these readings share: coefficients : (k,)."""
        for i in range(len(coefficients)):
            for j in range(len(coefficients)):
                self.noise[i][j] += coefficients[i] * coefficients[j]


def _pose(estimate: Estimate, trial: Trial, rest: Equilibrium, kinds: tuple) -> Trial:
    """Add readings of both sides in one new settled pose to a trial."""
    wide = estimate.evidence.wide
    friction: tuple = ([], [])
    clamp: tuple = ([], [])
    first = len(trial.rows)
    for kind in kinds:
        for side in (0, 1):
            if kind == "body-height":
                row = wide(rest, HEIGHT, side)
                row[CONSTANTS + side] = 1.0
                variance = TAPE**2 + MODEL_ERROR[kind] ** 2
                rub = estimate.friction
            elif kind == "riding-angle":
                row = wide(rest, PHI, side)
                variance = GAUGE**2 + MODEL_ERROR[kind] ** 2
                rub = estimate.friction / (estimate.theta[ARM] * math.cos(rest.phi[side]))
            else:
                row = wide(rest, FORCE, side)
                variance = SCALE**2 + MODEL_ERROR[kind] ** 2
                rub = 0.0
            _, row, spreads = estimate.clamped(row)
            for end in (0, 1):
                friction[end].append(rub if end == side else 0.0)
                clamp[end].append(spreads[end])
            if kind == "wheel-load" and estimate.evidence.unsprung is not None:
                row[estimate.evidence.unsprung] = 1.0
            trial.add(row, variance)
    for shared in friction + clamp:
        trial.share([0.0] * first + shared)
    return trial


def _boarded(estimate: Estimate, rest: Equilibrium) -> tuple:
    """Where the car comes to rest with the board under its left and under its right tyre; None where nowhere."""
    return tuple([estimate.rest_at(estimate.turns[-1], rest.phi, lift) for lift in (BOARD, -BOARD)])


def _boards(estimate: Estimate, boarded: tuple, sides: tuple, minutes: int, name: str) -> Trial | None:
    trial = Trial("board-test", name, minutes)
    for side in sides:
        lift = BOARD if side == 0 else -BOARD
        there = (estimate.case.teardowns, lift, (0.0, 0.0), False)
        if there in [(p.teardown, p.lift, p.ballast, p.centred) for p in estimate.evidence.poses]:
            # Read again on the same board, it would count as the same settling, and tell little.
            return None
        found = boarded[side]
        if found is None:
            return None
        # Both poses share the bushes' clamping too; its part is small and is counted once for each.
        _pose(estimate, trial, found, ("body-height", "riding-angle"))
    return trial


def _centred(estimate: Estimate, rest: Equilibrium) -> Trial | None:
    """Heights and riding angles of both sides with the other axle carried amidships: shows whose the lean is.

    None where that was read already: it would be carried as far off the middle again.
    """
    if [p for p in estimate.evidence.poses if p.teardown == estimate.case.teardowns and p.centred]:
        return None
    lift = estimate.lift_at(estimate.case.teardowns)
    found = estimate.rest_at(estimate.turns[-1], rest.phi, lift, centred=True)
    if found is None:
        return None
    trial = _pose(
        estimate,
        Trial("centre-jack", "both", MINUTES["centre-jack"]),
        found,
        ("body-height", "riding-angle"),
    )
    shared = [carrying(row[LOAD_LEFT : LOAD_LEFT + 2], estimate.theta) for row in trial.rows]
    for k in (0, 1):
        trial.share([pair[k] for pair in shared])
    return trial


def _hang(estimate: Estimate, rest: Equilibrium) -> Trial:
    """Hub to body hanging less riding, both sides: shows the lever."""
    trial = Trial("hang-test", "both", MINUTES["hang-test"])
    shared: tuple = ([], [])
    limits = travels(estimate)
    arm = estimate.theta[ARM]
    for side in (0, 1):
        hang = limits[side].stop.value
        lever = arm * math.cos(rest.phi[side])
        row = [-lever * d for d in estimate.evidence.wide(rest, PHI, side)]
        row[ARM] += math.sin(hang) - math.sin(rest.phi[side])
        _, row, spreads = estimate.clamped(row)
        for end in (0, 1):
            shared[end].append(spreads[end])
        tape = 2.0 * (TAPE**2 + MODEL_ERROR["hub-to-body"] ** 2)
        trial.add(
            row,
            tape
            + estimate.friction**2
            + (arm * math.cos(hang)) ** 2 * (GAUGE**2 + MODEL_ERROR["hanging-angle"] ** 2),
        )
    for coefficients in shared:
        trial.share(coefficients)
    return trial


def _again(estimate: Estimate, kind: str, what: str, minutes: int, sd: float) -> Trial | None:
    """Both sides' readings of one kind once more in the present pose, sharing what the first ones share.

    The unknown read is the observation without its gauge or tape noise, whose variance and whose covariance
    with the constants follow from the fit: not a fresh row, but an addition to one that is known. None where a
    side was not read yet.
    """
    found = []
    for i in range(len(estimate.evidence.observations)):
        o = estimate.evidence.observations[i]
        plain = o.hanging or stands(o.place, False)
        if o.kind == kind and o.teardown == estimate.case.teardowns and plain and not o.gravity:
            found.append(i)
    # Of several settlings, spots or days the last is the one that would be read again.
    last = {}
    for i in found:
        last[estimate.evidence.observations[i].side] = i
    if sorted(last) != [0, 1]:
        return None
    found = sorted(last.values())
    trial = Trial(what, "both", minutes)
    for i in found:
        o = estimate.evidence.observations[i]
        unit = [0.0] * len(estimate.evidence.observations)
        unit[i] = o.spread * o.spread
        w = estimate.noise.vector(unit)
        back = [0.0] * estimate.evidence.size
        square = 0.0
        for m in range(len(w)):
            if w[m]:
                square += w[m] * w[m]
                jac = estimate.result["jacobian"][m]
                back = [a + w[m] * b for a, b in zip(back, jac)]
        # Given the constants, what is left unknown of the true reading: its own noise less what was seen of it.
        left = max(0.0, o.spread * o.spread - square)
        trial.add([a / s for a, s in zip(back, estimate.scale)], left + sd * sd)
    return trial


def _hanging(estimate: Estimate) -> Trial:
    """Both hanging angles with the datum, where they were not read so before."""
    trial = Trial("hanging-angle", "both", MINUTES["hanging-angle"])
    for side in (0, 1):
        row = [0.0] * estimate.evidence.size
        row[side] = 1.0
        trial.add(row, GAUGE**2 + MODEL_ERROR["hanging-angle"] ** 2)
    return trial


def _constant(estimate: Estimate, what: str, index: int, sd: float) -> Trial:
    """A fact of the car itself, once it is measured to a standard deviation ``sd``."""
    trial = Trial(what, "both", MINUTES[what])
    row = [0.0] * estimate.evidence.size
    row[index] = 1.0
    trial.add(row, sd * sd)
    return trial


def facts(estimate: Estimate) -> list:
    """Facts that are believed and could be measured, though not all of them on a closed car, as Trial."""
    car = estimate.case.car
    out = []
    if not car.bar_given:
        out.append(
            _constant(estimate, "bar-size", RATE, 0.01 * (field("car.bar.rate_sd_percent").default or 0.0))
        )
    if not car.arm_given:
        out.append(_constant(estimate, "arm-length", ARM, ARM_TAPED_SD_MM * MM))
    adjuster = car.adjuster
    if estimate.evidence.fit.gain is not None and adjuster.unsure:
        what = "notch-angle" if adjuster.kind == NOTCH else "adjuster-lever"
        out.append(_constant(estimate, what, estimate.evidence.fit.gain, STEP_GIVEN_SD))
    if not (estimate.case.read("hanging-angle", 0) and estimate.case.read("hanging-angle", 1)):
        out.append(_hanging(estimate))
    return out


def trials(estimate: Estimate) -> list:
    """Every test that could be made with the car as it stands, as Trial."""
    rest = estimate.now
    boarded = _boarded(estimate, rest)
    plain = ("body-height", "riding-angle")
    read = estimate.case.read
    riding = _again(estimate, "riding-angle", "riding-angle", MINUTES["riding-angle"], GAUGE)
    if riding is None:
        trial = Trial("riding-angle", "both", MINUTES["riding-angle"])
        riding = _pose(estimate, trial, rest, ("riding-angle",))
    hanging: Trial | None
    if [o for o in estimate.evidence.observations if o.gravity and o.kind == "hanging-angle"]:
        hanging = _hanging(estimate)
    else:
        hanging = _again(estimate, "hanging-angle", "hanging-angle", MINUTES["hanging-angle"], GAUGE)
    scales = _pose(estimate, Trial("scales", "both", MINUTES["scales"]), rest, ("wheel-load",))
    if scales is not None and estimate.evidence.unsprung is None:
        scales.share([estimate.case.car.unsprung_sd] * 2)
    if estimate.case.car.adjuster.there:
        # An arm whose bar is not drawn never hangs free.
        hanging = None
    out: list = [
        _again(estimate, "body-height", "body-height", MINUTES["body-height"], TAPE / math.sqrt(2.0)),
        riding,
        hanging,
        _boards(estimate, boarded, (0,), 5, "left"),
        _boards(estimate, boarded, (1,), 5, "right"),
        _boards(estimate, boarded, (0, 1), 10, "both"),
        _centred(estimate, rest),
        _hang(estimate, rest),
        scales,
    ]
    if read("body-height", 0) and read("body-height", 1):
        out.append(_pose(estimate, Trial("settling", "both", MINUTES["settling"]), rest, plain))
    if not estimate.case.car.arm_given:
        out.append(_constant(estimate, "arm-length", ARM, ARM_TAPED_SD_MM * MM))
    loaded = estimate.rest_at(estimate.turns[-1], rest.phi, 0.0, (0.5 * BALLAST, 0.5 * BALLAST))
    if loaded is not None:
        out.append(_pose(estimate, Trial("ballast-test", "both", MINUTES["ballast-test"]), loaded, plain))
    return [trial for trial in out if trial is not None]
