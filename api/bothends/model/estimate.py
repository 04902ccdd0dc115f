"""The posterior: this very car's constants as the readings leave them, and predictions from them.

Maximum a posteriori by `fit`, in unknowns scaled by their prior spreads. Predictions carry the covariance of
the constants and what will be new next time: friction at the next settle, the bush's next clamping.
"""

import math

from .bands import Bands, believed, usual
from .case import Case
from .evidence import MARK_LEFT, MARKS_ALIKE, Evidence
from .fit import FLOOR, fit, fit_linear
from .fittings import settled
from .moves import turns_of
from .prior import Prior
from .problem import ModelProblem
from .statics import ARM, CONSTANTS, RATE, ROLL, TYRE, Equilibrium, equilibrium

__all__ = ["Estimate"]

MOST_STEPS = 40
"""Steps of the fit before a log counts as contradicting itself; one that agrees needs about 5, one beside which
nearly nothing is known some 30."""
ENOUGH = 1e-3
"""Decrease of half the sum of squares that is left untaken where a fit only has to be ranked."""


class Estimate:
    """Posterior of one case.

    Attributes
    ----------
    linear : whether only one step was taken, to rank slips (see ``fit.fit_linear``)
    theta : (n,) constants and marks at the maximum, SI, ordered as statics and evidence say
    covariance : (n, n) of the scaled unknowns (theta - mean) / scale
    turns : turn since the first hanging angle by teardown, teeth and adjusters together, [rad]
    wounds : what of it the adjusters added, [rad]
    found, now : Equilibrium of the car as taken in, and after the last teardown
    friction, bands : standard deviation of a settled height that was fitted with, [m], and what is known of it
    evidence, noise, result : the observations, their whitener, the fit's result
    shift, shift_sd : what the other axle's plan is taken to add to the unevenness felt here, [m] (`beside`)
    """

    shift = 0.0
    shift_sd = 0.0

    def __init__(
        self,
        case: Case,
        linear: bool = False,
        near: "Estimate | None" = None,
        start: list | None = None,
        friction: float | None = None,
        exact: bool = False,
        arm: tuple | None = None,
        alike: bool = False,
    ) -> None:
        """Fit a case.

        Parameters
        ----------
        case : Case
        linear : bool
            Take one step about the prior's mean only.
        near : Estimate, optional
            Of a log with the same unknowns; ``start`` (n,) is then where the fit begins, SI, and it ends as soon as
            the sum of squares is known well enough to rank by it, unless ``exact``.
        friction : float
            Standard deviation of the height a side settles at, [m]; that of ``near``, or the usual one, where left
            out.
        arm : (2,)
            Mean and standard deviation believed of the lever, [m]; that of ``near``, or as the car has it, where
            left out.
        alike : bool
            Whether both sides' marks are believed to sit at the same height of the body, within MARKS_ALIKE.
            Plans do not rest on it, but it shows when arms and heights contradict one another.
        """
        self.alike = alike
        if near is not None:
            friction = friction or near.friction
            arm = arm or near.arm
        friction = friction or usual(case.car.axle)
        self.arm: tuple | None = arm
        self.case = case
        self.friction: float = friction
        self.bands = Bands([math.log(w) for w in believed(case.car.axle)])
        self.exact = exact
        # Where the car stood as found, if not by these constants (see `refit`).
        self.before: Equilibrium | None = None
        self.turns = turns_of(case)
        self.evidence = Evidence(case, self.turns)
        ev = self.evidence
        if ev.fit.gain is not None:
            self._wind([0.0] * ev.size)
        self.wounds = ev.wound
        prior = Prior(case, ev, self.turns, arm)
        self.mean = prior.mean
        self.scale = prior.scale
        self.precision = prior.precision
        for teardown in ev.clamps:
            for side in (0, 1):
                # Never quite nothing, so that the unknown keeps its place.
                self.scale[ev.clamps[teardown] + side] = max(
                    1e-12, ev.clamp_spread(self.mean, case.car.rest_sd)
                )
        self._before = self._at_mean(near)
        self._marks(self._before)
        self.noise = ev.whitener(self.mean, self._before, friction)
        self._near = self._before
        self._observed = [o.value for o in ev.observations]
        self.result = self._fitted(linear, near, start)
        if not self.result["converged"]:
            raise ModelProblem(
                "not-converged",
                "$.log",
                "The readings contradict each other. Check signs, units and sides",
            )
        # A linear fit only ranks slips: its derivatives, and so its figures, are those of the prior's mean.
        self.theta = self.mean if linear else self._unscaled(self.result["x"])
        if ev.fit.gain is not None:
            self._wind(self.theta)
        self.rests = self._near if ev.poses else []
        self.covariance = self.result["covariance"]
        found = self._standing(0)
        now = self._standing(-1) if case.teardowns else found
        if found is None and not case.readings:
            raise _unsprung()
        if found is None or now is None:
            raise ModelProblem(
                "no-equilibrium",
                "$.log",
                "With these readings the car would not stand on its arms. Check the teeth turned and the angles",
            )
        self.found = found
        self.now = now

    def _wind(self, theta: list) -> None:
        """Set the turns to what the adjusters' gain makes of them."""
        ev = self.evidence
        numbers = range(len(ev.turns))
        self.turns = [ev.turn_at(theta, t) for t in numbers]
        self.wounds = [ev.wound_at(theta, t) for t in numbers]

    @property
    def settled(self) -> float:
        """Share of the settling after hand-over that the car has reached since its last teardown."""
        after = 0.0
        for pose in self.evidence.poses:
            if pose.teardown == self.case.teardowns:
                after = max(after, pose.after)
        return settled(after) if after else 0.0

    def lift_at(self, teardown: int) -> float:
        """What the other axle's position after a teardown amounts to against now, as a board on the left, [m]."""
        felt = self.case.felt
        return 0.0 if felt is None else felt.lifts[teardown]

    def _standing(self, teardown: int) -> Equilibrium | None:
        """The car after a teardown on even ground, sought first near one of its poses."""
        number = range(len(self.turns))[teardown]
        for pose, rest in zip(self.evidence.poses, self.rests):
            if pose.teardown == number:
                near = self.rest_at(
                    self.turns[number], rest.phi, self.lift_at(number), wound=self.wounds[number]
                )
                if near is not None:
                    return near
                break
        return self.rest_at(self.turns[number], None, self.lift_at(number), wound=self.wounds[number])

    def _at_mean(self, near: "Estimate | None") -> list:
        """Equilibria of all poses at the prior's mean."""
        ev = self.evidence
        alike = near is not None and near.evidence.poses == ev.poses and near.turns == self.turns
        if alike and near.mean[:CONSTANTS] == self.mean[:CONSTANTS]:  # type: ignore[union-attr]
            return near._before  # type: ignore[union-attr]
        rests = ev.rests(self.mean, None)
        if rests is None:
            raise _unsprung()
        return rests

    def _fitted(self, linear: bool, near: "Estimate | None", start: list | None) -> dict:
        """The fit's result, from ``start`` where that is of any use, else from the prior's mean."""
        nothing = [0.0] * self.evidence.size
        # An anti-roll bar and the rest of the car do nearly the same against lean.
        careful = self.evidence.fit.anti is not None
        most = 2 * MOST_STEPS if careful else MOST_STEPS
        if linear:
            return fit_linear(residuals=self._residuals, start=nothing, precision=self.precision)
        if near is not None and start is not None and near.evidence.size == self.evidence.size:
            result = fit(
                residuals=self._residuals,
                start=[(t - m) / s for t, m, s in zip(start, self.mean, self.scale)],
                precision=self.precision,
                most_iterations=most,
                enough=FLOOR if self.exact else ENOUGH,
                careful=careful,
            )
            if result["converged"]:
                return result
            self._near = self._before
        # A log that needs more steps contradicts itself, and looking for its slip is what helps then.
        return fit(
            residuals=self._residuals,
            start=nothing,
            precision=self.precision,
            most_iterations=most,
            careful=careful,
        )

    def _marks(self, rests: list) -> None:
        """Start the marks' offsets where the first readings put them: they are as good as unknown before."""
        ev = self.evidence
        for o in reversed(ev.observations):
            if o.kind == "body-height":
                mark = MARK_LEFT + o.side
            elif o.kind == "hub-to-body":
                mark = ev.hub + o.side
            elif o.kind in ev.fit.offset:
                mark = ev.fit.offset[o.kind] + o.side
            else:
                continue
            self.mean[mark] = 0.0
            self.mean[mark] = o.value - ev.expected(o, self.mean, rests)[0]

    def _unscaled(self, x: list) -> list:
        return [m + s * v for m, s, v in zip(self.mean, self.scale, x)]

    def _residuals(self, x: list) -> tuple | None:
        theta = self._unscaled(x)
        if theta[ARM] <= 0.0 or theta[RATE] > 50.0 or theta[ROLL] > 50.0 or theta[TYRE] > 50.0:
            return None
        if not self.evidence.fit.sane(theta):
            return None
        ev = self.evidence
        rests = ev.rests(theta, self._near)
        if rests is None:
            return None
        self._near = rests
        residuals = []
        rows = []
        for i in range(len(ev.observations)):
            value, row = ev.expected(ev.observations[i], theta, rests)
            residuals.append(value - self._observed[i])
            rows.append(row)
        residuals, rows = self.noise.vector(residuals), self.noise.rows(rows, self.scale)
        if self.alike:
            residuals.append((theta[MARK_LEFT] - theta[MARK_LEFT + 1]) / MARKS_ALIKE)
            rows.append(self._marks_row())
        return residuals, rows

    def _marks_row(self) -> list:
        row = [0.0] * self.evidence.size
        row[MARK_LEFT] = self.scale[MARK_LEFT] / MARKS_ALIKE
        row[MARK_LEFT + 1] = -self.scale[MARK_LEFT + 1] / MARKS_ALIKE
        return row

    def marks_apart(self) -> tuple:
        """How much higher the left mark sits than the right one, [m], and how odd that is, in standard deviations.

        Those of the readings and of MARKS_ALIKE together; (0, 0) where a side's height was not read.
        """
        sides = [o.side for o in self.evidence.observations if o.kind == "body-height"]
        if 0 not in sides or 1 not in sides:
            return 0.0, 0.0
        row = [0.0] * self.evidence.size
        row[MARK_LEFT], row[MARK_LEFT + 1] = 1.0, -1.0
        apart = self.theta[MARK_LEFT] - self.theta[MARK_LEFT + 1]
        if self.alike:
            return apart, abs(apart) / MARKS_ALIKE
        return apart, abs(apart) / math.sqrt(MARKS_ALIKE**2 + self.joint(row, row))

    # -- predictions ------------------------------------------------------------------------------------------

    def spread_of(self, row: list) -> float:
        """Standard deviation of a quantity with derivatives ``row`` : (n,) by the unknowns."""
        return math.sqrt(max(0.0, self.joint(row, row)))

    def joint(self, first: list, second: list) -> float:
        """Covariance of two quantities by their derivatives : (n,) each."""
        return self.covariances([first, second])[2]

    def covariances(self, rows: list) -> tuple:
        """Variances of two quantities and their covariance by their derivatives : (2, n)."""
        top = len(self.scale)
        # Unknowns of teardowns long past come last, and hardly anything that is predicted depends on them.
        while top and not rows[0][top - 1] and not rows[1][top - 1]:
            top -= 1
        a, b = [[u * s for u, s in zip(row[:top], self.scale)] for row in rows]
        aa = ab = bb = 0.0
        for u, v, line in zip(a, b, self.covariance):
            s = t = 0.0
            for w, x, y in zip(a, b, line):
                s += w * y
                t += x * y
            aa += u * s
            ab += u * t
            bb += v * t
        return aa, bb, ab

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
        """Equilibrium for turns since the first hanging angle; or None.

        ``wound`` (2,) is what of the turns the adjusters added; as they are now, where left out. ``centred``:
        with the other axle carried amidships. ``theta`` (n,) other constants than the posterior's.
        """
        theta = theta or self.theta
        return equilibrium(
            constants=theta,
            free=centred,
            turn=turn,
            rest=self.case.car.rest,
            lift=lift,
            ballast=ballast,
            near=near,
            anti=self.evidence.anti(theta),
            wound=self.wounds[-1] if wound is None else wound,
            carried=self.evidence.fit.carried,
        )

    def stood(self, teardown: int, lift: float = 0.0, ballast: tuple = (0.0, 0.0)) -> Equilibrium | None:
        """The car as it stood after a teardown, with the other axle as it was then; or None."""
        lift += self.lift_at(teardown)
        return self.rest_at(self.turns[teardown], None, lift, ballast, self.wounds[teardown])

    def as_fitted(self, base: "Estimate") -> None:
        """Take over what another car was fitted to, with constants of its own to change."""
        self.case = base.case
        self.evidence = base.evidence
        self.alike = base.alike
        self.arm = base.arm
        self.friction = base.friction
        self.bands = base.bands
        self.exact = base.exact
        self.before = base.before
        self.turns = base.turns
        self.wounds = base.wounds
        self.noise = base.noise
        self.result = base.result
        self.rests = base.rests
        self.mean = base.mean
        self.scale = base.scale
        self.covariance = base.covariance
        self.theta = base.theta[:]
        self.found = base.found

    def clamp(self, side: int) -> tuple:
        """One bush's clamping in the last teardown, as a change of hanging angle: (index, mean, sd), [rad].

        ``index`` of its unknown, or None where the car has not been read standing since, so that mean and sd
        are what is believed of any clamping.
        """
        first = self.evidence.clamps.get(self.case.opened(self.case.teardowns))
        if first is None:
            return None, 0.0, self.evidence.clamp_spread(self.mean, self.case.car.rest_sd)
        mean, sd = self.constant(first + side)
        return first + side, mean, sd

    def clamped(self, row: list, ends: tuple = (0, 1)) -> tuple:
        """A standing reading's derivatives once the bushes are taken as they are clamped now.

        Parameters
        ----------
        row : (n,) derivatives of the reading by the unknowns
        ends : sides whose bush stays as it is clamped

        Returns
        -------
        (shift of the reading by what is known of the clamping, row : (n,) with its derivatives by the clamping
        too, spreads : (2,) by each side's clamping where that is no unknown of the fit, as a change of the
        reading)
        """
        shift = 0.0
        out = row[:]
        spreads = [0.0, 0.0]
        for end in ends:
            index, mean, sd = self.clamp(end)
            reach = row[end]
            if index is None:
                spreads[end] = reach * sd
            else:
                shift += reach * mean
                out[index] = reach
        return shift, out, spreads

    def constant(self, index: int) -> tuple:
        """Mean and standard deviation of one unknown."""
        return self.theta[index], self.scale[index] * math.sqrt(max(0.0, self.covariance[index][index]))


def _unsprung() -> ModelProblem:
    """What is said of a car that its own facts would not let stand."""
    return ModelProblem(
        "no-equilibrium",
        "$.car",
        "These bars cannot carry this load. Check diameter, length, arm and load",
    )
