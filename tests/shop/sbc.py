"""Simulation-based calibration: cars drawn from the model's own beliefs, read by its own equations, and fitted.

The truth must then fall anywhere in the posterior, each share of it as often as another: what is left is how far
the fit may be trusted at all, whatever real cars are like. Owns the designs, the draw of constants and readings,
and where the truth falls; the measure of uniformity is scipy's, real cars' misfit to the model is ``season``'s.
The one module here that knows the model, since it is the model's beliefs that are asked.

For a quantity that the posterior holds as normal the share is Phi((truth - mean) / sd). The band of friction is
one of a few values: the share is the weight below the true one and a random part of its own.

Drawn exactly as the fit believes it: constants, clamping, floor, settling, band of friction, pitch, tape and gauge.
Three things are not: a mark's height, which is as good as unknown and moves every height alike, is fixed; a
hanging angle that is read, as good as unknown too, is drawn as one that is not; and whatever is shared by readings
acts at the true car, where the fit takes it at the car that was expected.

Source: Talts, Betancourt, Simpson, Vehtari, Gelman 2018, Validating Bayesian inference algorithms with
simulation-based calibration (from memory); the randomised share of a discrete posterior: Czado, Gneiting, Held
2009 (from memory).
"""

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from scipy import stats

from bothends.model import beliefs, evidence, lever, statics
from bothends.model.bands import BANDS, BELIEVED
from bothends.model.case import Case
from bothends.model.moves import turns_of
from bothends.model.predict import heights
from bothends.model.prior import Prior
from bothends.model.problem import ModelProblem
from bothends.model.refine import fitted
from bothends.model.request import read
from bothends.model.statics import CONSTANTS, equilibrium
from bothends.model.units import DEG, GRAVITY, MM

__all__ = [
    "DESIGNS",
    "Design",
    "Even",
    "Fall",
    "Shares",
    "Truth",
    "draw",
    "evenness",
    "fall",
    "joined",
    "shares",
]

SIDES = ("left", "right")
UNIT = {"hanging-angle": DEG, "riding-angle": DEG, "body-height": MM, "wheel-load": GRAVITY}
MARK = 600.0 * MM
"""Every mark's height, [m]: so high that no car drawn has its mark below the floor."""
MOVE_DEG = (4.0, 2.5)
"""The move whose heights are foretold, left and right, both sides apart, [degrees]."""
NAMES = (
    "hanging left", "hanging right", "rate", "arm", "bush", "load left", "load right", "roll", "uneven", "tyre",
    "mark left", "mark right",
)  # fmt: skip
TRIES = 200


class Design(NamedTuple):
    """What is given and what is read; ``log`` holds entries without values. ``gravity``: share of cars whose gauge
    is read against gravity, the body's pitch unknown. An arm that is given without a spread may belong to a longer
    lever, as `lever` believes; one with a spread may not.
    """

    name: str
    car: dict
    log: list[dict]
    gravity: float = 0.5


class Truth(NamedTuple):
    """Constants (n,), SI, as the fit orders them; the band of friction [m]; heights after the move (2,), [m]."""

    theta: list[float]
    band: float
    heights: tuple[float, float]


class Fall(NamedTuple):
    """Where one truth falls: by quantity its share of the posterior, and (truth - mean) / sd (NaN for the band)."""

    share: dict[str, float]
    z: dict[str, float]


class Shares(NamedTuple):
    """Many draws: by quantity the shares (n,) and z (n,); ``refused`` as the fit said it."""

    share: dict[str, np.ndarray]
    z: dict[str, np.ndarray]
    refused: list[str]


class Even(NamedTuple):
    """How evenly shares fall: counts in ten bins, and the chances of their being this uneven by luck."""

    bins: tuple[int, ...]
    kolmogorov: float
    chi_square: float


def _round(what: str, teardown: int = 0, **more) -> list[dict]:
    return [{"kind": "reading", "what": what, "side": side, "teardown": teardown, **more} for side in SIDES]


def _stands(teardown: int = 0, **more) -> list[dict]:
    return _round("riding-angle", teardown, **more) + _round("body-height", teardown, **more)


def _boards(rounds: int) -> list[dict]:
    poses = ({"board_left_mm": 50.0}, {"board_right_mm": 50.0})
    return [e for pose in poses for n in range(rounds) for e in _stands(pose=pose, resettled=n)]


def _visit() -> list[dict]:
    return [e for n in range(2) for e in _stands(resettled=n)]


BAR = {"diameter_mm": 23.0, "length_mm": 590.0, "inner_teeth": 40, "outer_teeth": 44}
TAPED = {"arm_mm": 410.0}
ARM = {**TAPED, "arm_sd_mm": beliefs.ARM_TAPED_SD_MM}
GIVEN = {"bar": BAR, "load_kg": {"left": 240.0, "right": 240.0}}
HANG = _round("hanging-angle") * 2
TURNED = {"inner": -3, "outer": 4}


def _designs() -> dict[str, Design]:
    back = [{"kind": "move", "teardown": 1, "left": TURNED, "right": TURNED}, *_round("hanging-angle", 1)]
    back += [*_stands(1), *_stands(1, spot="yard")]
    boards = [*HANG, *_visit(), *_boards(2)]
    rows = [
        Design("given-boards", {**GIVEN, **ARM}, boards),
        Design("closed", ARM, _visit()),
        Design("closed-boards", ARM, [*_visit(), *_boards(2)]),
        # All that a log can tell but driving: weighed, torn down, and read elsewhere.
        Design("returned", {**GIVEN, **ARM}, [*HANG, *_round("wheel-load"), *_visit(), *_boards(1), *back]),
        Design(
            "driven", {**GIVEN, **ARM}, [*HANG, *_visit(), *_boards(1), *back, *_stands(1, after_km=60.0)]
        ),
        Design("given-boards-taped", {**GIVEN, **TAPED}, boards),
        Design("closed-taped", TAPED, _visit()),
        Design("closed-boards-taped", TAPED, [*_visit(), *_boards(2)]),
    ]
    return {row.name: row for row in rows}


DESIGNS = _designs()


def _request(design: Design, rng: np.random.Generator) -> dict:
    """The design's request; what is read stands at a placeholder."""
    log = [dict(entry) for entry in design.log]
    gravity = rng.random() < design.gravity
    for entry in log:
        if entry["kind"] == "reading":
            entry["value"] = {"body-height": MARK / MM, "wheel-load": 240.0}.get(entry["what"], 0.0)
            if gravity and UNIT[entry["what"]] == DEG:
                entry["reference"] = "gravity"
    target = {"left_mm": MARK / MM, "right_mm": MARK / MM}
    return {"car": design.car, "target": target, "log": log}


def _constants(case: Case, ev: evidence.Evidence, rng: np.random.Generator) -> list[float]:
    """Constants as the fit believes them before any reading."""
    prior = Prior(case, ev, turns_of(case))
    mean, scale = list(prior.mean), list(prior.scale)
    mean[:2], scale[:2] = [beliefs.HANGING_DEG * DEG] * 2, [beliefs.HANGING_SD_DEG * DEG] * 2
    clamping = ev.clamp_spread(prior.mean, case.car.rest_sd)
    for first in ev.clamps.values():
        scale[first : first + 2] = [clamping, clamping]
    if case.car.arm_taped and rng.random() < lever.SHARE:
        mean[statics.ARM] *= 1.0 + lever.LONGER
        scale[statics.ARM] = math.hypot(scale[statics.ARM], lever.LONGER_SD * case.car.arm)
    theta = [float(v) for v in rng.normal(mean, scale)]
    theta[CONSTANTS : CONSTANTS + 2] = [MARK, MARK]
    return theta


def _lever(theta: list[float], phi: float) -> float:
    return theta[statics.ARM] * math.cos(phi)


def _read(
    request: dict,
    ev: evidence.Evidence,
    theta: list[float],
    rests: list,
    band: float,
    rng: np.random.Generator,
) -> None:
    """Fill in what the log reads on the car of these constants, by the model's equations and noise."""
    pitch: dict[tuple, float] = {}
    settling: dict[tuple, float] = {}
    sunk: dict[tuple, float] = {}
    for o in ev.observations:
        value = ev.expected(o, theta, rests)[0]
        value += rng.normal(0.0, o.model_error())
        if o.pose is not None and o.kind != "wheel-load":
            # Height and angle of one settling share where friction holds the arm, and what it sank by.
            if (o.pose, o.side) not in settling:
                settling[o.pose, o.side] = rng.normal(0.0, band)
            if (o.teardown, o.side) not in sunk:
                sunk[o.teardown, o.side] = rng.normal(0.0, evidence.SETTLING_SIDE)
            off = settling[o.pose, o.side]
            off += evidence.settled(o.after) * sunk[o.teardown, o.side] if o.after else 0.0
            value += off / (_lever(theta, rests[o.pose].phi[o.side]) if o.kind == "riding-angle" else 1.0)
        if o.gravity:
            pose = (o.teardown, o.place, o.hanging, o.spot, o.after)
            if pose not in pitch:
                pitch[pose] = rng.normal(0.0, evidence.PITCH)
            value += pitch[pose]
        for reading in o.members:
            request["log"][reading.index]["value"] = float(rng.normal(value, reading.sd)) / UNIT[o.kind]


def _after(case: Case, ev: evidence.Evidence, theta: list[float], band: float, rng) -> tuple | None:
    """True heights after the move, settled once, (2,) [m]; None where the car would not stand."""
    clamp = rng.normal(0.0, ev.clamp_spread(theta, case.car.rest_sd), 2)
    turn = tuple(turns_of(case)[-1][s] + MOVE_DEG[s] * DEG + float(clamp[s]) for s in (0, 1))
    rest = equilibrium(constants=theta, turn=turn, rest=case.car.rest)
    if rest is None:
        return None
    return tuple(theta[CONSTANTS + s] + rest.height[s] + float(rng.normal(0.0, band)) for s in (0, 1))


def draw(design: Design, index: int) -> tuple[Case, Truth, np.random.Generator]:
    """One car of the model's own beliefs with its log read, and the truth.

    A car that would not stand, or whose readings no form would take, is drawn again: the beliefs are wide, and
    the model would not hold such a car for one either.
    """
    rng = np.random.default_rng((11, list(DESIGNS).index(design.name), index))
    for _ in range(TRIES):
        request = _request(design, rng)
        case = read(request)
        ev = evidence.Evidence(case, turns_of(case))
        theta = _constants(case, ev, rng)
        band = float(rng.choice(BANDS, p=BELIEVED))
        rests = ev.rests(theta, None) if theta[statics.ARM] > 0.0 else None
        stood = _after(case, ev, theta, band, rng) if rests is not None else None
        if stood is None:
            continue
        _read(request, ev, theta, rests, band, rng)
        try:
            return read(request), Truth(theta, band, stood), rng
        except ModelProblem:
            continue
    raise RuntimeError(f"no car of the design {design.name} would stand")


def _names(ev: evidence.Evidence) -> dict[str, int]:
    """The unknowns of a fit by name."""
    found = {name: place for place, name in enumerate(NAMES)}
    if ev.unsprung is not None:
        found["unsprung"] = ev.unsprung
    if ev.settling is not None:
        found["settling"] = ev.settling
    for spot, place in ev.spots.items():
        if place is not None:
            found["floor at " + spot] = place
    for teardown, first in ev.clamps.items():
        for s in (0, 1):
            found[f"clamping {teardown} {SIDES[s]}"] = first + s
    return found


def fall(design: Design, index: int, fit: Callable = fitted) -> Fall:
    """Fit one draw, and say where the truth falls.

    Raises
    ------
    ModelProblem
        Where the fit refuses the log.
    """
    case, truth, rng = draw(design, index)
    estimate = fit(case)
    z = {}
    for name, place in _names(estimate.evidence).items():
        mean, sd = estimate.constant(place)
        z[name] = (truth.theta[place] - mean) / sd
    turn = tuple(estimate.turns[-1][s] + MOVE_DEG[s] * DEG for s in (0, 1))
    rest = estimate.rest_at(turn)
    if rest is None:
        raise ModelProblem("no-equilibrium", "$", "the car as fitted would not stand after the move")
    mean, (left, right, both), _ = heights(estimate, rest, (True, True))
    for s, variance in ((0, left), (1, right)):
        z["height " + SIDES[s]] = (truth.heights[s] - mean[s]) / math.sqrt(variance)
    lean = truth.heights[0] - truth.heights[1] - mean[0] + mean[1]
    z["lean"] = lean / math.sqrt(left + right - 2.0 * both)
    share = {name: float(stats.norm.cdf(value)) for name, value in z.items()}
    weights, at = estimate.bands.weights, BANDS.index(truth.band)
    share["band of friction"] = sum(weights[:at]) + rng.random() * weights[at]
    return Fall(share, z)


def shares(design: Design, count: int, *, first: int = 0, fit: Callable = fitted) -> Shares:
    """Where ``count`` truths fall."""
    found, refused = [], []
    for index in range(first, first + count):
        try:
            found.append(fall(design, index, fit))
        except ModelProblem as problem:
            refused.append(f"draw {index}: {problem.code}")
    names = list(found[0].share) if found else []
    return Shares(
        {name: np.array([one.share[name] for one in found]) for name in names},
        {name: np.array([one.z[name] for one in found]) for name in names if name in found[0].z},
        refused,
    )


def joined(parts: list[Shares]) -> Shares:
    """Parts of one design's draws as one."""
    whole = [part for part in parts if part.share]
    return Shares(
        {name: np.concatenate([part.share[name] for part in whole]) for name in whole[0].share},
        {name: np.concatenate([part.z[name] for part in whole]) for name in whole[0].z},
        [line for part in parts for line in part.refused],
    )


def evenness(share: np.ndarray) -> Even:
    """Kolmogorov's test and a chi-square over ten bins against the uniform distribution."""
    bins = np.histogram(share, bins=10, range=(0.0, 1.0))[0]
    return Even(
        tuple(int(n) for n in bins),
        float(stats.kstest(share, "uniform").pvalue),
        float(stats.chisquare(bins).pvalue),
    )
