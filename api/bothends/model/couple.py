"""Two axles on one stiff body: what each feels of the other, from the other's own estimate.

A body on linear springs that does not twist has one angle of lean, and an axle's mean height is set by its own bars
alone. Only lean and cross-weight couple. With half tracks t, of the axle itself and of the other one:

    what the other adds against lean    (t_other / t)^2 (k + 2 k_anti)     k the wheel rate there, tyre included
    unevenness felt here                (t / t_other) D                    D the height difference at which that
                                                                           axle carries its own two loads

Both are read off the other axle's estimate, whatever it rests on, with its uncertainty. Absolute D says little, for
it depends on that axle's loads; its change with each move there is known well, and is what counts. A body that
twists adds less against lean.

Source: moments about the car's axis at both axles; worked by full solution of four corners
(tests/handbook/test_both_axles.py).
"""

import math

from .beliefs import BODY_SD, TRACK_SD
from .case import Case
from .estimate import Estimate
from .felt import Felt
from .problem import ModelProblem
from .refine import fitted
from .statics import CONSTANTS, LOAD_LEFT, LOAD_RIGHT, ROLL, Equilibrium

__all__ = ["coupled", "felt_of", "tracks"]

STEP = 0.02
"""Change of an unknown by which its derivative is taken, in its own standard deviations."""


def tracks(own: Case, other: Case) -> tuple:
    """The other axle's track against this one's: (ratio, its spread). Alike where not both were measured."""
    if own.car.track is None or other.car.track is None:
        return 1.0, TRACK_SD
    return other.car.track / own.car.track, 0.0


def coupled(case: Case) -> Estimate | None:
    """Let both axles of a case feel one another; the other axle's estimate, or None where there is none or where
    its readings contradict themselves.

    This axle is first taken by readings of the car as found, which nothing turned at the other one disturbs; what
    that tells of it goes into the other's estimate, and all that the other was read into this one's.
    """
    pair = case.pair
    if pair is None:
        return None
    try:
        case.felt = None
        pair.felt = felt_of(fitted(_as_found(case)), pair)
        other = fitted(pair)
    except ModelProblem:
        # What contradicts itself there must not stop the plan here.
        return None
    case.felt = felt_of(other, case)
    return other


def _as_found(case: Case) -> Case:
    """A case with readings of the car as found alone, and every move."""
    readings = [r for r in case.readings if r.teardown == 0 and not r.after]
    out = Case(case.car, case.wish, readings, case.moves, case.units, case.other)
    out.elsewhere = case.elsewhere
    return out


def felt_of(estimate: Estimate, own: Case) -> Felt | None:
    """What the axle of ``own`` feels of another one; None where that one would not stand on its own.

    Parameters
    ----------
    estimate : Estimate
        Of the other axle.
    own : Case
        Whose ``elsewhere`` are the moves at that axle.
    """
    ratio, spread = tracks(own, estimate.case)
    moves = sorted(own.elsewhere)
    here = _Axle(estimate, estimate.theta, moves)
    if here.stiffness is None:
        return None
    rows: list = [[0.0] * estimate.evidence.size for _ in range(1 + len(moves))]
    fit = estimate.evidence.fit
    unknowns = list(range(CONSTANTS)) + [k for k in (fit.gain, fit.pitch, fit.anti) if k is not None]
    for k in unknowns:
        step = STEP * max(1e-9, estimate.constant(k)[1])
        theta = estimate.theta[:]
        theta[k] += step
        there = _Axle(estimate, theta, moves)
        if there.stiffness is None:
            continue
        rows[0][k] = (math.log(there.stiffness) - math.log(here.stiffness)) / step
        for i in range(len(moves)):
            rows[1 + i][k] = (there.shifts[i] - here.shifts[i]) / step
    log = math.log(here.stiffness) + 2.0 * math.log(ratio)
    sd = math.sqrt(estimate.joint(rows[0], rows[0]) + BODY_SD**2 + (2.0 * spread) ** 2)
    spreads = {}
    lifts = [0.0] * (own.teardowns + 1)
    for i in range(len(moves)):
        shift = here.shifts[i] / ratio
        for teardown in range(moves[i]):
            lifts[teardown] += shift
        variance = estimate.joint(rows[1 + i], rows[1 + i]) / ratio**2 + (shift * spread) ** 2
        spreads[moves[i]] = math.sqrt(variance + _clamped(estimate, here, moves[i]) / ratio**2)
    return Felt((log, min(1.0, sd)), lifts, spreads)


def _clamped(estimate: Estimate, here: "_Axle", move: int) -> float:
    """Variance that fresh clampings of the bushes bring into a height difference, [m2]."""
    fresh = estimate.evidence.clamp_spread(estimate.theta, estimate.case.car.rest_sd)
    total = 0.0
    for side in (0, 1):
        if [teeth for teeth in estimate.case.moves[move][1][side][:2] if teeth]:
            total += (fresh * here.per_turn[side]) ** 2
    return total


class _Axle:
    """The other axle at certain constants: what it does by itself.

    ``stiffness`` [N/m], load across for each height difference, None where it does not stand; ``shifts`` what each
    of ``moves`` changed of the height difference at which it carries its own loads, [m]; ``per_turn`` (2,) the same
    for each radian of hanging angle.
    """

    def __init__(self, estimate: Estimate, theta: list, moves: list) -> None:
        self.estimate = estimate
        self.theta = theta
        self.stiffness: float | None = None
        self.shifts: list = []
        self.per_turn = (0.0, 0.0)
        rest = self._rest(estimate.case.teardowns, False)
        if rest is None:
            return
        d = [a - b for a, b in zip(rest.d_height[0], rest.d_height[1])]
        by_load = 0.5 * (d[LOAD_LEFT] - d[LOAD_RIGHT])
        stiffness = -1.0 / by_load - math.exp(theta[ROLL])
        last = None
        for move in [0] + moves:
            stood = self._rest(move, True)
            if stood is None:
                return
            apart = stood.height[0] - stood.height[1]
            if last is not None:
                self.shifts.append(apart - last)
            last = apart
            self.per_turn = tuple([stood.d_height[0][k] - stood.d_height[1][k] for k in (0, 1)])
        if stiffness > 0.0:
            self.stiffness = stiffness

    def _rest(self, teardown: int, free: bool) -> Equilibrium | None:
        """After that teardown; ``free`` of what the rest of the car resists."""
        evidence = self.estimate.evidence
        turn = evidence.turn_at(self.theta, teardown)
        wound = evidence.wound_at(self.theta, teardown)
        return self.estimate.rest_at(turn, wound=wound, centred=free, theta=self.theta)
