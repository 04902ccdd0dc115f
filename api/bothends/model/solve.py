"""From a request to a plan: the whole answer of the contract, and quick re-planning for another target."""

from .advice import advise
from .assumed import assumed
from .case import Case
from .caution import standing
from .choose import Choice, choose
from .couple import coupled, felt_of
from .cross import crossed
from .doubt import doubts
from .estimate import Estimate
from .headline import headline
from .lattice import Search
from .learned import learned, posterior
from .now import now
from .option import leaning
from .problem import ModelProblem
from .refine import doubted, fitted
from .request import beyond, read, required
from .sentences import CAUTIONS
from .turning import steps_of
from .weighed import in_pounds, sentence
from .wish import Wish
from .withhold import decides, search_of

__all__ = ["Plan", "solve"]


class Plan:
    """A fitted car: the slow part done once, so that another target costs only the plan.

    Parameters
    ----------
    request : dict as in the contract
    """

    def __init__(self, request: dict) -> None:
        self.case = read(request)
        self._entered = self.case
        self.doubts = []
        self.repaired = False
        self._right: Case = self.case
        self._otherwise: Estimate | None = None
        # What is said of loads given that look like pounds; nothing where they do not.
        self._pounds = ""
        self.other = coupled(self.case)
        # Doubts of the other axle's readings: they change what is felt of it, and so count as this axle's own do.
        self.opposed: list = []
        pair = self.case.pair
        if pair is not None:
            self.opposed, self._unopposed = doubts(pair, self.other, self.case.units)
        try:
            self.estimate = fitted(self.case)
            light = in_pounds(request, self.estimate)
            if light is not None:
                self._pounds = sentence(self.case, light)
            self.doubts, self._right = doubted(self.estimate if light is None else fitted(light))
        except ModelProblem as problem:
            if problem.code != "not-converged":
                raise
            self._repair(problem)
        self._steady: dict = {}
        self.opposite = None
        if self.other is not None and self.case.felt is not None:
            # A phone whose jobs have one axle never reads these files.
            from .opposite import Opposite

            self.opposite = Opposite(self.estimate, self.other)

    def _repair(self, problem: ModelProblem) -> None:
        """Plan as if the doubts were put right, where only that makes sense of the log; recommend nothing."""
        self.doubts, case = doubts(self.case, None, self.case.units)
        if not self.doubts:
            raise problem
        try:
            self.estimate = fitted(case)
        except ModelProblem:
            problem.path = "$.log[%d]" % self.doubts[0]["log_index"]
            raise problem from None
        self.case = case
        self.repaired = True

    def steady(self) -> dict:
        """The part of the answer that no target changes."""
        if self._steady:
            return self._steady
        estimate = self.estimate
        case = self.case
        square = 2.0 * estimate.result["cost"]
        self._steady = {
            "learned": learned(estimate, estimate.now),
            "step_deg": steps_of(estimate),
            "posterior": posterior(estimate),
            "fit": {
                "iterations": estimate.result["iterations"],
                "readings": len(case.readings),
                "misfit_rms": (square / max(1, len(estimate.evidence.observations))) ** 0.5,
            },
        }
        return self._steady

    def withheld(self, search: Search, choice: Choice) -> bool:
        """Whether doubted readings, or loads, decide what is turned first, so that nothing is recommended."""
        if self.repaired or not (self.doubts or self.opposed or self._pounds):
            return self.repaired
        if self._otherwise is None:
            try:
                self._otherwise = fitted(self._put_right())
            except ModelProblem:
                return True
        return decides(search, choice, _likewise(search, self._otherwise))

    def _put_right(self) -> Case:
        """The case with every doubt put right, those of the other axle in what is felt of it."""
        right = self._right
        if not self.opposed or self.other is None:
            return right
        out = Case(right.car, right.wish, right.readings, right.moves, right.units, right.other).beside(right)
        out.felt = felt_of(fitted(self._unopposed), right)
        return out

    def _both(self, wish: Wish, advice: bool) -> tuple:
        """The plan of both axles: search and choice of the job's axle, and what is said of both.

        That of the other one is withheld where its own doubts decide it.
        """
        # Seldom asked, so a phone reads these files when it is.
        from .both_axles import BothAxles

        opposite = self.opposite
        assert opposite is not None
        pair = BothAxles(self.estimate, opposite.other, wish)
        out = pair.answer(opposite, advice)
        search, choice = pair.searches[1], pair.choices[1]
        withheld = False
        if self.opposed:
            try:
                withheld = decides(search, choice, _likewise(search, fitted(self._unopposed)))
            except ModelProblem:
                withheld = True
        if withheld:
            choice.options[0]["recommended"] = False
        out["withheld"] = withheld
        out["headline"] = headline(
            search, choice, entered=search.case, doubts=self.opposed, pounds=False, withheld=withheld
        )
        return pair.searches[0], pair.choices[0], out

    def answer(self, target: dict | None = None, advice: bool = True) -> dict:
        """The whole answer, for the request's target or another one.

        Parameters
        ----------
        target : dict, optional
            As in the request, in any of its forms.
        advice : bool
            Whether to work out what to measure next (the slider does without while it moves).
        """
        wish = self.case.wish
        if target is not None:
            wish = Wish(target)
            required(Case(self.case.car, wish, self.case.readings, self.case.moves))
            beyond(self.case, wish)
        other = both = None
        if self.opposite is not None and wish.other is not None:
            search, choice, both = self._both(wish, advice)
        else:
            search = search_of(self.estimate, wish)
            if search.cross is None:
                search.cross = crossed(self.estimate, search.aim)
            choice = choose(search)
        if self.opposite is not None:
            other = self.opposite.answer(search, choice)
        withheld = self.withheld(search, choice)
        if withheld:
            choice.options[0]["recommended"] = False
        tests, told = advise(search, choice.first) if advice else ([], {})
        out = dict(self.steady())
        # Of their own for each answer: another target may withhold its plan and this one not.
        out["doubts"] = [_said_of(doubt, withheld) for doubt in self.doubts]
        there = withheld or bool(both and both["withheld"])
        out["doubts"] += [_said_of(doubt, there) for doubt in self.opposed]
        out["other"] = other
        out["both"] = both
        out["now"] = now(self.estimate, search)
        out["target"] = wish.said(search.aim.wanted)
        out["options"] = choice.options
        out["measure_next"] = tests
        out["cross_weight"] = _cross_weight(search, choice)
        out["assumed"] = assumed(self.estimate, choice.options[0], told)
        loads = [self._pounds] if self._pounds else []
        out["headline"] = headline(
            search,
            choice,
            entered=self._entered,
            doubts=self.doubts + self.opposed,
            pounds=bool(loads),
            withheld=withheld,
        )
        out["withheld"] = withheld
        if self.case.pair is not None and other is None:
            loads.append(CAUTIONS["other-unused"])
        out["cautions"] = loads + standing(self.case, self.doubts + self.opposed, self.repaired)
        return out


def _likewise(search: Search, estimate: Estimate) -> Search:
    """The same search of the same car by another estimate, with as much felt of the other axle's plan."""
    there = search.estimate
    if there.shift or there.shift_sd:
        # Only in a plan of both axles, with whose files this comes.
        from .beside import Beside

        estimate = Beside(estimate, there.shift, there.shift_sd)
    return search_of(estimate, search.aim.wish)


def _said_of(doubt: dict, withheld: bool) -> dict:
    """A doubt with whether it changes the plan of one answer."""
    out = dict(doubt)
    out["changes_plan"] = withheld
    return out


def _cross_weight(search: Search, choice: Choice) -> dict | None:
    """What four scales say, and what cannot be had together; None where no stage has four loads."""
    if search.cross is None:
        return None
    rest = choice.first.rest or search.estimate.now
    whole = leaning(search.estimate, search.aim.wish.measured) != "rise"
    return search.cross.answer(choice.options[0], rest, whole)


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
