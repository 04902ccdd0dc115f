"""The plan of both axles in the answer: the other axle's options beside this one's, and what comes of both.

Each axle's options are of the car with the other one's first option done. The chance of both is that of each axle,
with what is not known of what the other brings in it, multiplied, and by that of the cross-weight where one is
wanted: what the axles share is the lean that each brings the other, whose spread is small beside that of tape and
friction (tests/model/test_both_axles.py holds it to simulated cars). Owns the figures; `pairs` owns which pair.
SI inside, mm, kg and sentences outside.
"""

import math

from .advice import advise
from .assumed import assumed
from .beside import Beside
from .choose import choose
from .couple import tracks
from .cross import crossed, spread_of_change
from .estimate import Estimate
from .fields import SIDES
from .figures import length
from .lattice import Search
from .now import now
from .odds import interval
from .opposite import Opposite
from .option import leaning
from .pairs import Axle, Pairs
from .point import Point
from .predict import heights
from .sentences import TOGETHER
from .statics import Equilibrium
from .turning import steps_of
from .units import GRAVITY, MM
from .wish import Wish
from .withhold import same, search_of

__all__ = ["BothAxles"]

PASSES = 3
"""How often both axles are planned, each beside the other's first option: more than once only where a given limit
forbids what was chosen."""


class BothAxles:
    """Both axles of one fitted car, planned together.

    Parameters
    ----------
    estimate, other : Estimate
        Of the job's axle and of the other one.
    wish : Wish
        Whose ``other`` is the other axle's.

    Attributes
    ----------
    searches, choices : of the job's axle and of the other one, each as if the other had been set
    """

    def __init__(self, estimate: Estimate, other: Estimate, wish: Wish) -> None:
        assert wish.other is not None
        there, back = tracks(estimate.case, other.case), tracks(other.case, estimate.case)
        self.axles = (Axle(estimate, wish, back), Axle(other, wish.other, there))
        self.pairs = Pairs(self.axles[0], self.axles[1])
        pair = self.pairs.best()
        leads = [pair.own.point, pair.other.point]
        self.searches: list = []
        self.choices: list = []
        for _ in range(PASSES):
            self.searches, self.choices = [], []
            for number in (0, 1):
                search = self._beside(number, leads[1 - number])
                search.cross = crossed(search.estimate, search.aim)
                choice = choose(search, same(leads[number], search.start, search))
                leads[number] = choice.first
                self.searches.append(search)
                self.choices.append(choice)
            if self.axles[1].brings(leads[1]) == (
                self.searches[0].estimate.shift,
                self.searches[0].estimate.shift_sd,
            ):
                break
        self.firsts = leads

    def _beside(self, number: int, point: Point) -> Search:
        """The search of one axle, the other one turned so."""
        return search_of(self._felt(number, point), self.axles[number].wish)

    def _felt(self, number: int, point: Point) -> Beside:
        """One axle, the other one turned so."""
        shift, spread = self.axles[1 - number].brings(point) or (0.0, 0.0)
        return Beside(self.axles[number].estimate, shift, spread)

    def share(self) -> tuple | None:
        """(mean, spread) of cross-weight as a share of all loads once both are set; None where not weighed."""
        search = self.searches[0]
        cross = search.cross
        rest = self.firsts[0].rest
        if cross is None or rest is None:
            return None
        mean, variance = cross.share(rest, self.firsts[0].moved)
        return mean, math.sqrt(variance)

    def _meanwhile(self, first: int) -> dict:
        """Heights of both axles once the first of them is set and the other is not."""
        out: dict = {}
        point = self.firsts[first]
        for number in (0, 1):
            axle = self.axles[number]
            estimate, moved = axle.estimate, (False, False)
            turn, wound = estimate.turns[-1], None
            if number == first:
                turn, wound, moved = point.turn, point.wound, point.moved
            else:
                estimate = self._felt(number, point)
            aim = axle.aim
            rest = estimate.rest_at(turn, None, aim.lift, aim.ballast, wound)
            out[estimate.case.car.sprung] = self._stands(estimate, axle.wish, rest, moved)
        return out

    @staticmethod
    def _stands(estimate: Estimate, wish: Wish, rest: Equilibrium | None, moved: tuple) -> dict | None:
        """Heights of one axle with their spreads; None where they were not read on both sides."""
        if rest is None or leaning(estimate, wish.measured) == "rise":
            return None
        mean, (vl, vr, vlr), _ = heights(estimate, rest, moved, wish.measured, (None, None), wish.spot)
        out: dict = {}
        for side, variance in ((0, vl), (1, vr)):
            out[SIDES[side]] = {"value": mean[side] / MM, "sd": math.sqrt(max(0.0, variance)) / MM}
        spread = math.sqrt(max(0.0, vl + vr - 2.0 * vlr))
        out["lean_mm"] = {"value": (mean[0] - mean[1]) / MM, "sd": spread / MM}
        return out

    def _change(self) -> dict:
        """Change of cross-weight, with its spread."""
        search, point = self.searches[0], self.firsts[0]
        rest = point.rest or search.estimate.now
        stood = search.aim.stood or search.estimate.now
        sd = spread_of_change(search.estimate, rest, stood, point.moved) / GRAVITY
        return {"value": self.choices[0].options[0]["cross_weight_kg"], "sd": sd}

    def odds(self) -> tuple:
        """(chance that everything lands, that of the cross-weight or None where none is wanted)."""
        total = 1.0
        for choice in self.choices:
            total *= choice.options[0]["odds"]
        share, wanted = self.share(), self.pairs.share
        if wanted is None or share is None:
            return total, None
        lands = interval(mean=share[0] - wanted[0], sd=share[1], half_width=wanted[1])
        return total * lands, lands

    def _there(self, advice: bool) -> dict:
        """What an answer says of the axle that it is of besides its plan, of the other one."""
        estimate, search, choice = self.axles[1].estimate, self.searches[1], self.choices[1]
        tests, told = advise(search, choice.first) if advice else ([], {})
        return {
            "now": now(estimate, search),
            "step_deg": steps_of(estimate),
            "measure_next": tests,
            "assumed": assumed(estimate, choice.options[0], told),
        }

    def answer(self, opposite: Opposite, advice: bool = True) -> dict:
        """The plan of both as the answer has it; what the other axle's doubts make of it is not this one's.

        Without ``advice`` nothing is worked out of what to measure next.
        """
        axles = [axle.estimate.case.car.sprung for axle in self.axles]
        turned = [not point.still() for point in self.firsts]
        first = axles.index(opposite.order()[0])
        if turned[0] != turned[1]:
            first = turned.index(True)
        odds, lands = self.odds()
        meanwhile = self._meanwhile(first)
        share = self.share()
        percent = None
        if share is not None:
            percent = {"value": 100.0 * share[0], "sd": 100.0 * share[1]}
        wanted = self.pairs.share
        out = {
            "axle": axles[1],
            "odds": odds,
            "first": axles[first],
            "target": self.axles[1].wish.said(self.searches[1].aim.wanted),
            "options": self.choices[1].options,
            "meanwhile": meanwhile,
            "cross_weight_kg": self._change(),
            "cross_percent": percent,
            "cross_wanted": None
            if wanted is None
            else {"percent": 100.0 * wanted[0], "tolerance_percent": 100.0 * wanted[1], "odds": lands},
            "leans_apart_mm": self.pairs.apart / MM,
            "words": self._words(axles, first, meanwhile),
        }
        out.update(self._there(advice))
        return out

    def _words(self, axles: list, first: int, meanwhile: dict) -> list:
        """What to do first and what is read meanwhile; what cannot be had together."""
        units = self.axles[0].estimate.case.units
        gaps = {"first": axles[first], "then": axles[1 - first], "axle": axles[0], "other": axles[1]}
        turned = [not point.still() for point in self.firsts]
        out = []
        if turned[0] and turned[1]:
            out.append(TOGETHER["order"] % gaps)
            known = [meanwhile[axles[n]] for n in (first, 1 - first)]
            if known[0] is not None and known[1] is not None:
                for name, stands in zip(("first", "then"), known):
                    for side in SIDES:
                        gaps["%s_%s" % (name, side)] = length(stands[side]["value"] * MM, units)
                out.append(TOGETHER["meanwhile"] % gaps)
        elif turned[0] or turned[1]:
            left = int(turned[0])
            gaps["turned"], gaps["left"] = axles[1 - left], axles[left]
            out.append(TOGETHER["one" if self.choices[left].as_wished else "one-off"] % gaps)
        gaps["by"] = length(abs(self.pairs.apart), units, True)
        if abs(self.pairs.apart) > self.axles[0].aim.lean:
            out.append(TOGETHER["apart"] % gaps)
        else:
            out.append(TOGETHER["share" if self.pairs.share else "kept"] % gaps)
        return out
