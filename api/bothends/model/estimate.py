"""The posterior: this very car's constants as the readings leave them, and predictions from them.

Maximum a posteriori by `fit`, in unknowns scaled by their prior spreads. Predictions carry the covariance of
the constants and what will be new next time: friction at the next settle, the bush's next clamping.
"""

import math

from . import bar
from .evidence import FRICTION, MARK_LEFT, Evidence
from .fit import fit, fit_linear
from .linalg import cholesky, inverse, matvec
from .problem import ModelProblem
from .statics import ARM, BUSH, CONSTANTS, RATE, ROLL, TYRE, UNEVEN, equilibrium
from .units import DEG

__all__ = ["Estimate", "turns_of"]

NAMES = ("ln_rate", "arm", "bush", "ln_roll", "uneven", "ln_tyre")
KEPT = (RATE, ARM, BUSH, ROLL, UNEVEN, TYRE)
FREE_ANGLE = 0.6
FREE_MARK = 0.5


def turns_of(case) -> list:
    """Turn of each arm since the first hanging angle, by teardown : list of (2,), [rad]."""
    turns = [(0.0, 0.0)]
    car = case.car
    total = [0, 0]
    for teardown in range(1, case.teardowns + 1):
        ends = case.moves[teardown][1]
        for side in (0, 1):
            inner, outer = ends[side]
            # Whole numbers are summed, not angles, so that moves that cancel leave exactly nothing.
            total[side] += inner * car.outer_teeth + outer * car.inner_teeth
        unit = 2.0 * math.pi / (car.inner_teeth * car.outer_teeth)
        turns.append((total[0] * unit, total[1] * unit))
    return turns


class Estimate:
    """Posterior of one case.

    Attributes
    ----------
    linear : whether only one step was taken, to rank slips (see ``fit.fit_linear``)
    theta : (n,) constants and marks at the maximum, SI, ordered as statics and evidence say
    covariance : (n, n) of the scaled unknowns (theta - mean) / scale
    turns : turn since the first hanging angle by teardown
    evidence, noise, result : the observations, their whitener, the fit's result
    """

    def __init__(self, case, linear=False):
        self.case = case
        self.turns = turns_of(case)
        self.evidence = Evidence(case, self.turns)
        self._prior()
        ev = self.evidence
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
        method = fit_linear if linear else fit
        self.result = method(residuals=self._residuals, start=self._first(), precision=self.precision)
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
        self._clamps = None

    def _prior(self):
        """Prior means, scales and precision of the unknowns from the car's data."""
        car = self.case.car
        rate = bar.rate_nm_per_rad(
            diameter_m=car.diameter, bore_m=car.bore, length_m=car.length, shear_modulus_pa=car.modulus
        )
        hang = [0.0, 0.0]
        for side in (0, 1):
            values = [
                o.value - self.turns[o.teardown][side]
                for o in self.evidence.observations
                if o.kind == "hanging-angle" and o.side == side
            ]
            hang[side] = max(-1.4, min(1.4, values[0]))
        mean = hang + [math.log(rate), car.arm, car.bush] + car.load
        mean += [math.log(car.roll), car.uneven, math.log(car.tyre)]
        scale = [FREE_ANGLE, FREE_ANGLE, car.rate_sd, car.arm_sd, car.bush_sd, car.load_sd, car.load_sd]
        scale += [min(1.0, car.roll_sd / car.roll), car.uneven_sd, min(1.0, car.tyre_sd / car.tyre)]
        extra = self.evidence.size - CONSTANTS
        mean += [0.0] * extra
        scale += [FREE_MARK] * extra
        if self.evidence.unsprung is not None:
            mean[self.evidence.unsprung] = car.unsprung
            scale[self.evidence.unsprung] = car.unsprung_sd
        n = self.evidence.size
        self.precision = [[1.0 if i == j else 0.0 for j in range(n)] for i in range(n)]
        if car.known is not None:
            self._take_known(car.known, mean, scale)
        self.mean = mean
        self.scale = scale

    def _take_known(self, known: dict, mean: list, scale: list):
        """Replace the book's prior by what an earlier visit learned."""
        at = "$.car.known"
        names = known.get("names") or []
        values = known.get("mean") or []
        matrix = known.get("covariance") or []
        bad = ModelProblem(
            "out-of-range", at, "known must be the posterior of an earlier answer: names, mean, covariance"
        )
        if len(values) != len(names) or len(matrix) != len(names):
            raise bad
        index = []
        for i in range(len(names)):
            if names[i] not in NAMES or KEPT[NAMES.index(names[i])] in index or len(matrix[i]) != len(names):
                raise bad
            index.append(KEPT[NAMES.index(names[i])])
            value = values[i]
            if not -1e6 < value < 1e6 or not 0.0 < matrix[i][i] < 1e6:
                raise bad
        correlation = []
        for i in range(len(index)):
            mean[index[i]] = float(values[i])
            scale[index[i]] = math.sqrt(matrix[i][i])
        for i in range(len(index)):
            correlation.append(
                [matrix[i][j] / (scale[index[i]] * scale[index[j]]) for j in range(len(index))]
            )
        lower = cholesky(correlation)
        if lower is None or mean[ARM] <= 0.01:
            raise bad
        block = inverse(lower)
        for i in range(len(index)):
            for j in range(len(index)):
                self.precision[index[i]][index[j]] = block[i][j]

    def _marks(self, rests):
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

    def _first(self) -> list:
        return [0.0] * self.evidence.size

    def _unscaled(self, x: list) -> list:
        return [m + s * v for m, s, v in zip(self.mean, self.scale, x)]

    def _residuals(self, x: list):
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

    def rest_at(self, turn, near=None, lift: float = 0.0, ballast=(0.0, 0.0)):
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

    def heights(self, rest, disturbed):
        """Body heights to expect in one equilibrium, both sides.

        Parameters
        ----------
        rest : Equilibrium
        disturbed : (2,) bool
            Whether that side's cover comes off, so that its bush is clamped anew.

        Returns
        -------
        (mean : (2,) [m], covariance [vll, vrr, vlr] [m2] of the settled heights, rows : (2, n))
        """
        mean = []
        rows = []
        clamps = self.clamps()
        variance = [0.0, 0.0, 0.0]
        fresh = self.evidence.clamp_spread(self.theta, self.case.car.rest_sd) ** 2
        for side in (0, 1):
            row = rest.d_height[side] + [0.0] * (self.evidence.size - CONSTANTS)
            row[MARK_LEFT + side] = 1.0
            value = self.theta[MARK_LEFT + side] + rest.height[side]
            for clamp in (0, 1):
                reach = rest.d_height[side][clamp]
                if disturbed[clamp]:
                    continue
                shift, back, _ = clamps[clamp]
                value += reach * shift
                row = [a + reach * b for a, b in zip(row, back)]
            mean.append(value)
            rows.append(row)
        for clamp in (0, 1):
            left = rest.d_height[0][clamp]
            right = rest.d_height[1][clamp]
            v = fresh if disturbed[clamp] else clamps[clamp][2]
            variance[0] += left * left * v
            variance[1] += right * right * v
            variance[2] += left * right * v
        variance[0] += self.joint(rows[0], rows[0]) + FRICTION * FRICTION
        variance[1] += self.joint(rows[1], rows[1]) + FRICTION * FRICTION
        variance[2] += self.joint(rows[0], rows[1])
        return mean, variance, rows

    def constant(self, index: int):
        """Mean and standard deviation of one unknown."""
        return self.theta[index], self.scale[index] * math.sqrt(max(0.0, self.covariance[index][index]))

    def learned(self, rest) -> dict:
        """What was learned of this car, in the outside's units; ``rest`` is its present equilibrium."""
        rate, rate_sd = self.constant(RATE)
        roll, roll_sd = self.constant(ROLL)
        tyre, tyre_sd = self.constant(TYRE)
        arm, arm_sd = self.constant(ARM)
        bush, bush_sd = self.constant(BUSH)
        nm = math.exp(rate) * DEG
        kn = math.exp(roll) * 1e-3
        kt = math.exp(tyre) * 1e-3
        slope = self.slope(rest)
        # Its spread is that of the lever: the height's slope is proportional to the arm to first order.
        return {
            "bar_nm_per_deg": {"value": nm, "sd": nm * rate_sd},
            "arm_mm": {"value": arm * 1e3, "sd": arm_sd * 1e3},
            "roll_support_n_per_mm": {"value": kn, "sd": kn * roll_sd},
            "mm_per_deg": {"value": slope, "sd": abs(slope) * self._slope_spread(rest)},
            "bush_ratio": {"value": bush, "sd": bush_sd},
            "tyre_n_per_mm": {"value": kt, "sd": kt * tyre_sd},
        }

    def slope(self, rest) -> float:
        """Mean body height per degree with both sides turned alike, [mm/deg]."""
        both = 0.0
        for side in (0, 1):
            both += rest.d_height[side][0] + rest.d_height[side][1]
        return 0.5 * both * DEG * 1e3

    def _slope_spread(self, rest) -> float:
        """Relative spread of the slope, from arm and bush, the two constants it rests on."""
        arm, _ = self.constant(ARM)
        bush, _ = self.constant(BUSH)
        row = [0.0] * self.evidence.size
        row[ARM] = 1.0 / arm
        row[BUSH] = -1.0 / (1.0 + bush)
        return self.spread_of(row)

    def posterior(self) -> dict:
        """The car's lasting constants with their covariance, to be given back as ``car.known`` next time."""
        return {
            "names": list(NAMES),
            "mean": [self.theta[i] for i in KEPT],
            "covariance": [
                [self.covariance[i][j] * self.scale[i] * self.scale[j] for j in KEPT] for i in KEPT
            ],
        }


def load_of(estimate, rest, side: int):
    """Load on one spring at rest, [N], with its standard deviation."""
    row = rest.d_force[side] + [0.0] * (estimate.evidence.size - CONSTANTS)
    return rest.force[side], estimate.spread_of(row)
