"""The posterior: this very car's constants as the readings leave them, and predictions from them.

Maximum a posteriori by `fit`, in unknowns scaled by their prior spreads. Predictions carry the covariance of
the constants and what will be new next time: friction at the next settle, the bush's next clamping.
"""

import math

from .evidence import FRICTION, MARK_LEFT, Evidence
from .fit import fit, fit_linear
from .linalg import matvec
from .moves import turns_of
from .prior import Prior
from .problem import ModelProblem
from .request import Case
from .statics import ARM, RATE, ROLL, TYRE, Equilibrium, equilibrium

__all__ = ["Estimate"]

MOST_STEPS = 30
"""Steps of the fit before a log counts as contradicting itself; one that agrees needs about 5."""


class Estimate:
    """Posterior of one case.

    Attributes
    ----------
    linear : whether only one step was taken, to rank slips (see ``fit.fit_linear``)
    theta : (n,) constants and marks at the maximum, SI, ordered as statics and evidence say
    covariance : (n, n) of the scaled unknowns (theta - mean) / scale
    turns : turn since the first hanging angle by teardown
    found, now : Equilibrium of the car as taken in, and after the last teardown
    evidence, noise, result : the observations, their whitener, the fit's result
    """

    def __init__(self, case: Case, linear: bool = False) -> None:
        self.case = case
        self.friction = FRICTION
        # Where the car stood as found, if not by these constants (see `refit`).
        self.before: Equilibrium | None = None
        self.turns = turns_of(case)
        self.evidence = Evidence(case, self.turns)
        ev = self.evidence
        prior = Prior(case, ev, self.turns)
        self.mean = prior.mean
        self.scale = prior.scale
        self.precision = prior.precision
        start = ev.rests(self.mean, None)
        if start is None:
            raise ModelProblem(
                "no-equilibrium",
                "$.car",
                "with these bars, arms and loads the car would not stand on its arms; check diameter, length, arm"
                " and load",
            )
        self._marks(start)
        self.noise = ev.whitener(self.mean, start, case.car.rest_sd)
        self._near = start
        self._observed = [o.value for o in ev.observations]
        start_x = [0.0] * ev.size
        if linear:
            self.result = fit_linear(residuals=self._residuals, start=start_x, precision=self.precision)
        else:
            # A log that needs more steps contradicts itself, and looking for its slip is what helps then.
            self.result = fit(
                residuals=self._residuals, start=start_x, precision=self.precision, most_iterations=MOST_STEPS
            )
        if not self.result["converged"]:
            raise ModelProblem(
                "not-converged",
                "$.log",
                "no set of constants was found that explains these readings; look for a reading far out of line"
                " (sign, unit, side) and strike it",
            )
        # A linear fit only ranks slips: its derivatives, and so its figures, are those of the prior's mean.
        self.theta = self.mean if linear else self._unscaled(self.result["x"])
        self.rests = self._near if ev.poses else []
        self.covariance = self.result["covariance"]
        self._clamps: list | None = None
        found = self.rest_at(self.turns[0])
        now = self.rest_at(self.turns[-1])
        if found is None or now is None:
            raise ModelProblem(
                "no-equilibrium",
                "$.log",
                "the car would not stand on its arms as the log has it; check the teeth turned and the angles",
            )
        self.found = found
        self.now = now

    def _marks(self, rests: list) -> None:
        """Start the marks' offsets where the first readings put them: they are as good as unknown before."""
        ev = self.evidence
        for o in reversed(ev.observations):
            if o.kind == "body-height":
                mark = MARK_LEFT + o.side
            elif o.kind == "hub-to-body":
                mark = ev.hub + o.side
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
        ev = self.evidence
        rests = ev.rests(theta, self._near)
        if rests is None:
            return None
        self._near = rests
        residuals = []
        rows = []
        scale = self.scale
        for i in range(len(ev.observations)):
            value, row = ev.expected(ev.observations[i], theta, rests)
            residuals.append(value - self._observed[i])
            rows.append([a * b for a, b in zip(row, scale)])
        return self.noise.vector(residuals), self.noise.rows(rows)

    # -- predictions ------------------------------------------------------------------------------------------

    def spread_of(self, row: list) -> float:
        """Standard deviation of a quantity with derivatives ``row`` : (n,) by the unknowns."""
        return math.sqrt(max(0.0, self.joint(row, row)))

    def joint(self, first: list, second: list) -> float:
        """Covariance of two quantities by their derivatives : (n,) each."""
        a = [u * s for u, s in zip(first, self.scale)]
        b = [u * s for u, s in zip(second, self.scale)]
        total = 0.0
        moved = matvec(self.covariance, b)
        for u, v in zip(a, moved):
            total += u * v
        return total

    def rest_at(
        self, turn: tuple, near: tuple | None = None, lift: float = 0.0, ballast: tuple = (0.0, 0.0)
    ) -> Equilibrium | None:
        """Equilibrium at the posterior's constants for turns since the first hanging angle; or None."""
        return equilibrium(
            constants=self.theta, turn=turn, rest=self.case.car.rest, lift=lift, ballast=ballast, near=near
        )

    def clamps(self) -> list:
        """What the readings say of the bushes' clamping in the last teardown, by side.

        Each side: (shift, row, variance), as a change of hanging angle: its mean, [rad]; its dependence on the
        unknowns : (n,); and its variance given them. Before any reading: (0, zeros, prior variance).
        """
        if self._clamps is None:
            self._clamps = []
            ev = self.evidence
            spread = ev.clamp_spread(self.mean, self.case.car.rest_sd)
            for side in (0, 1):
                direction = ev.shared.get(("clamp", self.case.teardowns, side))
                if direction is None or not spread:
                    self._clamps.append((0.0, [0.0] * ev.size, spread * spread))
                    continue
                u = [0.0] * len(ev.observations)
                for i in direction:
                    u[i] = direction[i]
                w = self.noise.vector(u)
                shift = 0.0
                share = 0.0
                row = [0.0] * ev.size
                for i in range(len(w)):
                    if w[i]:
                        shift -= w[i] * self.result["residuals"][i]
                        share += w[i] * w[i]
                        jac = self.result["jacobian"][i]
                        row = [a - w[i] * b for a, b in zip(row, jac)]
                row = [spread * a / s for a, s in zip(row, self.scale)]
                self._clamps.append((spread * shift, row, spread * spread * max(0.0, 1.0 - share)))
        return self._clamps

    def clamped(self, row: list, ends: tuple = (0, 1)) -> tuple:
        """A standing reading's derivatives once the bushes are taken as they are clamped now.

        Parameters
        ----------
        row : (n,) derivatives of the reading by the unknowns
        ends : sides whose bush stays as it is clamped

        Returns
        -------
        (shift of the reading by what is known of the clamping, row : (n,) with the clamping's own dependence on
        the unknowns, spreads : (2,) what is left unknown of each side's clamping, as a change of the reading)
        """
        shift = 0.0
        out = row
        spreads = [0.0, 0.0]
        for end in ends:
            known, back, variance = self.clamps()[end]
            reach = row[end]
            shift += reach * known
            out = [a + reach * b for a, b in zip(out, back)]
            spreads[end] = reach * math.sqrt(variance)
        return shift, out, spreads

    def constant(self, index: int) -> tuple:
        """Mean and standard deviation of one unknown."""
        return self.theta[index], self.scale[index] * math.sqrt(max(0.0, self.covariance[index][index]))
