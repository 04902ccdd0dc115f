"""What readings share: correlated noise, and the transform that makes it plain unit noise.

Readings of one settled pose share the friction it settled with; readings of one teardown share where the bush
was clamped; gauge readings without a datum share the body's pitch. Such a covariance is diagonal plus a few
rank-one terms, C = diag(s^2) + sum of u ut, and is whitened by as many symmetric rank-one factors:

    T = (I - k_m v_m v_mt) ... (I - k_1 v_1 v_1t) diag(1/s),     Tt T = C^-1,
    k = (1 - 1/sqrt(1 + vt v)) / vt v,                           v_j = u_j carried through the factors before it

Source: the matrix square root of I + v vt, worked by hand; tested against numpy's Cholesky factor.
"""

import math

__all__ = ["Whitener"]


class Whitener:
    """The transform T of one set of readings.

    Parameters
    ----------
    deviations : (m,) independent standard deviations, each > 0
    directions : list of dicts {reading: coefficient}, each the footprint of one shared unit-normal unknown
    """

    def __init__(self, deviations: list, directions: list) -> None:
        self.scale = [1.0 / s for s in deviations]
        self.factors: list[tuple] = []
        for direction in directions:
            v = [0.0] * len(deviations)
            for i in direction:
                v[i] = direction[i] * self.scale[i]
            self._through(self.factors, v)
            square = 0.0
            for a in v:
                square += a * a
            if square > 0.0:
                k = (1.0 - 1.0 / math.sqrt(1.0 + square)) / square
                self.factors.append((k, [(i, v[i]) for i in range(len(v)) if v[i]]))

    @staticmethod
    def _through(factors: list, y: list) -> None:
        """Apply symmetric factors to y : (m,) in place, in the order given."""
        for k, v in factors:
            s = 0.0
            for i, a in v:
                s += a * y[i]
            if s:
                s *= k
                for i, a in v:
                    y[i] -= s * a

    def vector(self, y: list) -> list:
        """T y : (m,)."""
        out = [a * b for a, b in zip(y, self.scale)]
        self._through(self.factors, out)
        return out

    def back(self, y: list) -> list:
        """Tt y : (m,); so back(vector(y)) is C^-1 y."""
        out = y[:]
        self._through(self.factors[::-1], out)
        return [a * b for a, b in zip(out, self.scale)]

    def rows(self, jacobian: list) -> list:
        """T times a matrix : (m, n), given as rows; new rows are returned."""
        out = []
        for i in range(len(jacobian)):
            w = self.scale[i]
            out.append([w * a for a in jacobian[i]])
        for k, v in self.factors:
            first, a = v[0]
            s = [a * b for b in out[first]]
            for i, a in v[1:]:
                s = [c + a * b for c, b in zip(s, out[i])]
            for i, a in v:
                ka = k * a
                out[i] = [b - ka * c for b, c in zip(out[i], s)]
        return out
