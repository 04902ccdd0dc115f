"""From a request to a plan: the whole answer of the contract, and quick re-planning for another target."""

from .advice import advise
from .caution import standing
from .choose import choose
from .doubt import doubts
from .estimate import Estimate
from .lattice import Lattice
from .learned import learned, posterior
from .problem import ModelProblem
from .request import SIDES, read, read_target
from .teeth import fine_step_deg
from .units import DEG, GRAVITY, MM

__all__ = ["Plan", "solve"]


class Plan:
    """A fitted car: the slow part done once, so that another target costs only the plan.

    Parameters
    ----------
    request : dict as in the contract
    """

    def __init__(self, request: dict) -> None:
        self.case = read(request)
        self.doubts = []
        self.repaired = False
        try:
            self.estimate = Estimate(self.case)
            self.doubts = doubts(self.case, self.estimate)[0]
        except ModelProblem as problem:
            if problem.code != "not-converged":
                raise
            self._repair(problem)
        self.asked = (self.case.target, self.case.tolerance, self.case.lean)
        self.steady = self._steady()

    def _repair(self, problem: ModelProblem) -> None:
        """Plan as if the named slips were put right, where only that makes sense of the log; say so."""
        self.doubts, case = doubts(self.case, None)
        loudest = self.doubts[0]
        if loudest["guess"] == "unexplained":
            problem.path = "$.log[%d]" % loudest["log_index"]
            raise problem
        self.estimate = Estimate(case)
        self.case = case
        self.repaired = True

    def _steady(self) -> dict:
        """The part of the answer that no target changes."""
        estimate = self.estimate
        case = self.case
        car = case.car
        now = estimate.now
        mean, variance, _ = estimate.heights(now, (False, False))
        square = 2.0 * estimate.result["cost"]
        state = {}
        size = estimate.evidence.size
        for side in (0, 1):
            hanging, hanging_sd = estimate.constant(side)
            row = now.d_phi[side] + [0.0] * (size - len(now.d_phi[side]))
            shift, row, spreads = estimate.clamped(row)
            riding = now.phi[side] + shift
            spread = spreads[0] ** 2 + spreads[1] ** 2
            load = now.force[side]
            load_sd = estimate.spread_of(now.d_force[side] + [0.0] * (size - len(now.d_force[side])))
            state[SIDES[side]] = {
                "hanging_deg": {"value": (hanging + estimate.turns[-1][side]) / DEG, "sd": hanging_sd / DEG},
                "riding_deg": {
                    "value": riding / DEG,
                    "sd": (estimate.joint(row, row) + spread) ** 0.5 / DEG,
                },
                "body_height_mm": {"value": mean[side] / MM, "sd": variance[side] ** 0.5 / MM},
                "load_kg": {"value": load / GRAVITY, "sd": load_sd / GRAVITY},
            }
        readings = len(case.readings)
        return {
            "now": state,
            "learned": learned(estimate, now),
            "doubts": self.doubts,
            "step_deg": {
                "fine": fine_step_deg(inner_teeth=car.inner_teeth, outer_teeth=car.outer_teeth),
                "inner": 360.0 / car.inner_teeth,
                "outer": 360.0 / car.outer_teeth,
            },
            "posterior": posterior(estimate),
            "fit": {
                "iterations": estimate.result["iterations"],
                "readings": readings,
                "misfit_rms": (square / max(1, len(estimate.evidence.observations))) ** 0.5,
            },
        }

    def answer(self, target: dict | None = None, advice: bool = True) -> dict:
        """The whole answer, for the request's target or another one.

        Parameters
        ----------
        target : dict, optional
            As in the request: left_mm, right_mm, tolerance_mm, lean_mm.
        advice : bool
            Whether to work out what to measure next (the slider does without while it moves).
        """
        self.case.target, self.case.tolerance, self.case.lean = (
            self.asked if target is None else read_target(target)
        )
        lattice = Lattice(self.estimate)
        options, first = choose(lattice, bool(self.doubts))
        out = dict(self.steady)
        out["options"] = options
        out["measure_next"] = advise(lattice, first) if advice else []
        out["cautions"] = standing(self.case, options, self.doubts, self.repaired)
        return out


def solve(request: dict) -> dict:
    """Answer a solve request: the plan, what was learned, doubts, advice and cautions.

    Parameters
    ----------
    request : dict
        As in the contract, in plain dicts, lists, numbers, words and None.

    Returns
    -------
    dict
        As in the contract.

    Raises
    ------
    ModelProblem
        With code, path and a sentence, for anything that cannot be answered honestly.
    """
    return Plan(request).answer()
