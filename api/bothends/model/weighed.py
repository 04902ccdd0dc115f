"""Whether the loads that were given are in pounds: a fact that no entry of the log can be doubted for.

Bars, arms and angles say what the springs carry. Where that is so much less than the loads given that the log fits
far better with them taken as pounds, it is said, and the plan is held against the plan with them so. SI.
"""

from . import figures
from .case import Case
from .estimate import Estimate
from .fields import SIDES
from .problem import ModelProblem
from .request import read
from .sentences import CAUTIONS
from .statics import LOAD_LEFT

__all__ = ["in_pounds", "sentence"]

WORTH = 25.0
"""Drop of the sum of squares that taking them as pounds must bring. Common practice, no source."""


def in_pounds(request: dict, estimate: Estimate) -> Case | None:
    """The case with the loads given taken as pounds, or None where they look like kilograms.

    Parameters
    ----------
    request : dict as in the contract
    estimate : of the request as it stands
    """
    square = 2.0 * estimate.result["cost"]
    # A log that fits has nothing to gain, nor one whose springs carry what was given.
    lighter = estimate.mean[LOAD_LEFT] + estimate.mean[LOAD_LEFT + 1]
    lighter -= estimate.theta[LOAD_LEFT] + estimate.theta[LOAD_LEFT + 1]
    if not estimate.case.car.load_given or square < WORTH or lighter <= 0.0:
        return None
    other = dict(request)
    other["car"] = dict(request["car"])
    given = request["car"]["load_kg"]
    other["car"]["load_kg"] = loads = {}
    for side in SIDES:
        if given.get(side) is not None:
            loads[side] = given[side] * figures.POUND_KG
    try:
        case = read(other)
        right = Estimate(case, friction=estimate.friction, arm=estimate.arm)
    except ModelProblem:
        return None
    return case if square - 2.0 * right.result["cost"] > WORTH else None


def sentence(case: Case, right: Case) -> str:
    """What is said of loads that look like pounds; ``right`` has them so."""
    given = [figures.load(newton, case.units) for newton in case.car.load]
    meant = [figures.load(newton, case.units) for newton in right.car.load]
    return CAUTIONS["loads-pounds"] % {
        "left": given[0], "right": given[1], "left_meant": meant[0], "right_meant": meant[1]
    }  # fmt: skip
