"""The estimate of a case, with what is believed of its friction and its lever as the log itself shows them.

Both are beliefs that a single fit cannot change: the band of friction is a spread and not a constant, the lever's
belief is not normal. A first fit weighs them, and where they come out otherwise the log is fitted once more from
there.
"""

from .bands import usual
from .case import Case
from .doubt import doubts
from .estimate import Estimate
from .friction import weigh
from .lever import lever
from .problem import ModelProblem

__all__ = ["doubted", "fitted"]

FAR = 0.15
"""Change of the band, as a share of it, from which on the log is fitted again."""
MOVED = 0.1
"""Change of the lever's belief, in its own spreads, from which on the log is fitted again."""
STICKY = 1.5
"""Friction so many times the usual one may be a slip in disguise."""


def fitted(case: Case) -> Estimate:
    """The estimate of a case.

    Raises
    ------
    ModelProblem
        As ``Estimate``.
    """
    estimate = Estimate(case)
    bands = weigh(estimate)
    friction = estimate.friction
    if abs(bands.typical / friction - 1.0) > FAR:
        friction = bands.typical
    arm = lever(estimate)
    if arm is not None:
        car = case.car
        if abs(arm[0] - car.arm) < MOVED * car.arm_sd and abs(arm[1] - car.arm_sd) < MOVED * car.arm_sd:
            arm = None
    if arm is not None or friction != estimate.friction:
        estimate = _again(estimate, friction, arm)
    estimate.bands = bands
    return estimate


def _again(first: Estimate, friction: float, arm: tuple | None) -> Estimate:
    """The fit once more with other beliefs; the first one where that finds no rest."""
    try:
        return Estimate(first.case, near=first, start=first.theta, friction=friction, exact=True, arm=arm)
    except ModelProblem:
        return first


def doubted(estimate: Estimate) -> tuple:
    """Doubts of a fitted log, and the case with them put right: see `doubt.doubts`.

    A slip that many readings share, such as a board's thickness, looks like much friction and would hide behind it.
    So where friction comes out high, slips are looked for once more with the usual friction; what then has a name
    and leaves the rest in order is told.
    """
    case = estimate.case
    found, right = doubts(case, estimate, case.units)
    much = STICKY * usual(case.car.axle)
    if found or estimate.friction <= much:
        return found, right
    named, mended = doubts(case, Estimate(case), case.units)
    if not named or [doubt for doubt in named if doubt["guess"] == "unexplained"]:
        return found, right
    try:
        calm = fitted(mended).friction <= much
    except ModelProblem:
        calm = False
    return (named, mended) if calm else (found, right)
