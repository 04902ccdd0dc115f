"""The same car with another load or other bars: what the log taught, carried over to what is only tried.

Loads, arms, bushes, tyres, roll support, unevenness and marks belong to the car and keep their posterior; a
bar's rate belongs to the bar. Of the old bar's rate against its dimensions only a part is common to any bar
measured the same way in the same anchors (modulus of spring steel, the length that truly twists, the calliper);
the rest was that bar's own and is renewed:

    ln K_new - ln K_new,book = a (ln K_old - ln K_old,book) + e
    a = c s_new / s_old,     e ~ N(0, s_new^2 (1 - c^2))

which is the exact rule where the two logarithms are jointly normal with correlation c and the log speaks of the
old bar only. The bush keeps its rate, so its ratio to the bar changes; an adjuster at the arm stays as it is turned
and takes the bush's rest along as before. Nothing is fitted here. SI, radians.
"""

import math

from .case import Case
from .estimate import Estimate
from .fields import ANGLE_SD_WITH_DATUM
from .lattice import Search
from .observation import MODEL_ERROR
from .statics import ARM, BUSH, LOAD_LEFT, RATE, ROLL, TYRE, UNEVEN, Equilibrium
from .units import DEG

__all__ = ["COMMON", "PAIR", "SETTING", "Laden", "Rebarred", "hanging_for"]

COMMON = 0.5
"""Correlation of two bars' rates, each against its own dimensions, [-]. Common practice, no source."""
PAIR = 0.01 * math.sqrt(2.0)
"""Spread of one side's new bar against the pair's rate, [-]: 1 % a bar, and as much again that the old pair left in
the loads, since the model has one rate for both sides. Common practice, no source."""
SETTING = math.sqrt((ANGLE_SD_WITH_DATUM * DEG) ** 2 + MODEL_ERROR["hanging-angle"] ** 2)
"""How well a hanging angle is set by one reading of gauge and datum, [rad]."""
STEEPEST_ARM = 1.45
"""Steepest riding or hanging angle that is planned for, [rad]."""


def hanging_for(
    *,
    constants: list,
    rest: float,
    heights: tuple,
    anti: float | None = None,
    carried: tuple = (0.0, 0.0),
) -> tuple | None:
    """The hanging angles that bring both sides to given heights, in closed form from the ground up.

    The heights give the lean, the lean both forces, force and height the riding angle, the moment the twist.

    Parameters
    ----------
    constants : (>= CONSTANTS,) as statics orders them; their hanging angles are not looked at
    rest : angle at which the bushes are relaxed, [rad]
    heights : (2,) r sin f - F / k_tyre wanted, [m]
    anti : logarithm of the anti-roll bar's rate, [N/m]; None without one
    carried : (2,) what adjusters at the arms have taken the bushes' rest along, [rad]

    Returns
    -------
    (hanging : (2,), riding : (2,)) [rad], or None where an arm cannot reach or a wheel would carry nothing.
    """
    rate = math.exp(constants[RATE])
    arm = constants[ARM]
    tyre = math.exp(constants[TYRE])
    across = 0.5 * math.exp(constants[ROLL]) * (heights[0] - heights[1] - constants[UNEVEN])
    hanging = []
    riding = []
    forces = []
    for side, sign in ((0, 1.0), (1, -1.0)):
        force = constants[LOAD_LEFT + side] + sign * across
        sine = (heights[side] + force / tyre) / arm
        if force <= 0.0 or abs(sine) >= math.sin(STEEPEST_ARM):
            return None
        riding.append(math.asin(sine))
        forces.append(force)
    push = 0.0 if anti is None else math.exp(anti) * arm * (math.sin(riding[1]) - math.sin(riding[0]))
    for side, pushed in ((0, push), (1, -push)):
        phi = riding[side]
        moment = (forces[side] - pushed) * arm * math.cos(phi)
        alpha = phi + (moment - constants[BUSH] * rate * (rest + carried[side] - phi)) / rate
        if abs(alpha) > STEEPEST_ARM:
            return None
        hanging.append(alpha)
    return tuple(hanging), tuple(riding)


class Laden(Estimate):
    """A fitted car with its own bars, teeth as they are, and ``extra`` (2,) load on its springs, [N].

    ``now`` is None where it would not stand so.
    """

    def __init__(self, base: Estimate, case: Case, extra: tuple) -> None:
        self.as_fitted(base)
        self.base = base
        self.case = case
        self.before = base.found
        for side in (0, 1):
            self.theta[LOAD_LEFT + side] += extra[side]
        self.now = self.rest_at(self.turns[-1])  # type: ignore[assignment] # asked by who makes one

    def stood(self, teardown: int, lift: float = 0.0, ballast: tuple = (0.0, 0.0)) -> Equilibrium | None:
        """As the car stood then, on the bars that were in and under the load that it had."""
        return self.base.stood(teardown, lift, ballast)


class Rebarred(Laden):
    """The same car with bars of ``case.car``, hung so that the target of ``case`` is met.

    Attributes
    ----------
    rest : Equilibrium, or None where no hanging angle gives this target
    search : Search about it, at whose centre the bars hang
    """

    def __init__(self, base: Estimate, case: Case, extra: tuple) -> None:
        Laden.__init__(self, base, case, extra)
        old, new = base.case.car, case.car
        # Where the old bar's dimensions are not known, its rate says nothing of another bar's.
        share = COMMON * new.rate_sd / old.rate_sd if old.bar_given else 0.0
        rate = math.log(new.rate) + share * (base.theta[RATE] - math.log(old.rate))
        softer = math.exp(base.theta[RATE] - rate)
        bush = base.theta[BUSH] * softer
        self.theta[RATE] = rate
        self.theta[BUSH] = bush
        self.turns = [(0.0, 0.0)]
        # The angle each arm is set to has the adjuster's in it; what a bush holds goes along with it all the same.
        self.wounds = [base.wounds[-1] if self.evidence.fit.carried else (0.0, 0.0)]
        self.rest: Equilibrium | None = None
        self.search: Search | None = None
        # Hung first so that the car stands as it did; from there the search goes to the target.
        stood = base.rest_at(base.turns[-1])
        start = (
            None
            if stood is None
            else hanging_for(
                constants=self.theta,
                rest=new.rest,
                heights=stood.height,
                anti=self.evidence.anti(self.theta),
                carried=self.wounds[0],
            )
        )
        if start is None:
            return
        for side in (0, 1):
            self.theta[side] = start[0][side]
        now = self.rest_at(self.turns[0], start[1])
        if now is None:
            return
        self.now = now
        self._carry(base, share, softer, bush, [a - f for a, f in zip(*start)])
        search = Search(self, case.wish)
        if not search.reached:
            return
        for side in (0, 1):
            self.theta[side] += search.centre[side]
        self.search = search
        self.rest = search.rest
        self.covariance = self._set(self.covariance, [a - f for a, f in zip(self.theta[:2], search.rest.phi)])

    def rest_at(
        self,
        turn: tuple,
        near: tuple | None = None,
        lift: float = 0.0,
        ballast: tuple = (0.0, 0.0),
        wound: tuple | None = None,
        centred: bool = False,
        theta: list | None = None,
    ) -> Equilibrium | None:
        """As of any car; the adjuster's gain is felt through the bush alone, for the arm is set by its angle."""
        rest = Laden.rest_at(self, turn, near, lift, ballast, wound, centred, theta)
        if rest is not None:
            ratio = (theta or self.theta)[BUSH] if self.evidence.fit.carried else 0.0
            rest.felt = tuple([ratio * by for by in rest.wound])
            rest.wound = (0.0, 0.0)
        return rest

    def _carry(self, base: Estimate, share: float, softer: float, bush: float, twist: list) -> None:
        """The covariance in the new unknowns, unscaled: T C Tt, with what is new added."""
        size = self.evidence.size
        there = []
        for i in range(size):
            there.append([base.covariance[i][j] * base.scale[i] * base.scale[j] for j in range(size)])
        lines = []
        for i in range(size):
            line = [1.0 if i == j else 0.0 for j in range(size)]
            if i < 2:
                # What was read of the old hanging angles says nothing of the new ones.
                line[i] = 0.0
            if i == RATE:
                line[RATE] = share
            if i == BUSH:
                line[BUSH] = softer
                line[RATE] = bush * (1.0 - share)
            lines.append(line)
        half = [[_dot(line, column) for column in there] for line in lines]
        self.covariance = [[_dot(row, line) for line in lines] for row in half]
        self.scale = [1.0] * size
        own = self.case.car.rate_sd**2 * (1.0 - COMMON * COMMON)
        fresh = [0.0] * size
        fresh[RATE] = 1.0
        fresh[BUSH] = -bush
        for i in (RATE, BUSH):
            for j in (RATE, BUSH):
                self.covariance[i][j] += own * fresh[i] * fresh[j]
        self.covariance = self._set(self.covariance, twist)

    @staticmethod
    def _set(covariance: list, twist: list) -> list:
        """The covariance with the hanging angles as they are set: a bar off the pair's rate by d turns its own side
        as d times the twist would.
        """
        for side in (0, 1):
            covariance[side][side] = SETTING * SETTING + (PAIR * twist[side]) ** 2
        return covariance


def _dot(first: list, second: list) -> float:
    total = 0.0
    for a, b in zip(first, second):
        total += a * b
    return total
