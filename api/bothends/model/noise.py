"""What readings share: correlated noise, and the transform that makes it plain unit noise.

Readings of one settled pose share the friction it settled with; gauge readings without a datum share the body's
pitch. Such a covariance is diagonal plus a few rank-one terms, C = diag(s^2) + sum of u ut, and is whitened by as
many symmetric rank-one factors:

    T = (I - k_m v_m v_mt) ... (I - k_1 v_1 v_1t) diag(1/s),     Tt T = C^-1,
    k = (1 - 1/sqrt(1 + vt v)) / vt v,                           v_j = u_j carried through the factors before it

Readings that no chain of shared terms connects are whitened apart, so that one column of T costs only its own
pose. What reaches further than a pose (a bush's clamping) is an unknown of the fit instead; see `evidence`.

Source: the matrix square root of I + v vt, worked by hand; tested against numpy's Cholesky factor.
"""

import math

__all__ = ["Whitener"]


def _groups(size: int, directions: list) -> list:
    """Directions that share readings, directly or by others between them, put together : list of lists."""
    owner: list = [None] * size
    groups: list[list] = []
    for direction in directions:
        joined = []
        for number in sorted([owner[i] for i in direction if owner[i] is not None]):
            joined += groups[number]
            groups[number] = []
        joined.append(direction)
        for other in joined:
            for i in other:
                owner[i] = len(groups)
        groups.append(joined)
    return [group for group in groups if group]


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
        # The factors that touch each reading's group, in their order.
        self._own: list[list] = [[] for _ in deviations]
        for group in _groups(len(deviations), directions):
            factors = self._factors(group)
            self.factors += factors
            for direction in group:
                for i in direction:
                    self._own[i] = factors

    def _factors(self, group: list) -> list:
        """(k, [(reading, v)]) of each direction of one group of readings."""
        found = {}
        for direction in group:
            for i in direction:
                found[i] = 0.0
        members = sorted(found)
        out: list[tuple] = []
        for direction in group:
            v = {}
            for i in members:
                v[i] = direction.get(i, 0.0) * self.scale[i]
            self._through(out, v)
            square = 0.0
            for i in members:
                square += v[i] * v[i]
            if square > 0.0:
                k = (1.0 - 1.0 / math.sqrt(1.0 + square)) / square
                out.append((k, [(i, v[i]) for i in members if v[i]]))
        return out

    @staticmethod
    def _through(factors: list, y: list | dict) -> None:
        """Apply symmetric factors to y, by reading, in place, in the order given."""
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

    def sparse(self, pairs: list) -> list:
        """T y for a y of few entries : list of (reading, value), in the order of the readings.

        Parameters
        ----------
        pairs : list of (reading, value), none twice
        """
        out = {}
        through: list[list] = []
        for i, _ in pairs:
            factors = self._own[i]
            if factors and not [f for f in through if f is factors]:
                through.append(factors)
                for _, v in factors:
                    for j, _ in v:
                        out[j] = 0.0
        for i, value in pairs:
            out[i] = value * self.scale[i]
        for factors in through:
            self._through(factors, out)
        return [(i, out[i]) for i in sorted(out)]

    def back(self, y: list) -> list:
        """Tt y : (m,); so back(vector(y)) is C^-1 y."""
        out = y[:]
        self._through(self.factors[::-1], out)
        return [a * b for a, b in zip(out, self.scale)]

    def rows(self, jacobian: list, units: list) -> list:
        """T times a matrix : (m, n), its columns measured in ``units`` : (n,), as new rows."""
        out = []
        for i in range(len(jacobian)):
            w = self.scale[i]
            out.append([w * a * b for a, b in zip(jacobian[i], units)])
        for k, v in self.factors:
            first, a = v[0]
            s = [a * b for b in out[first]]
            for i, a in v[1:]:
                s = [c + a * b for c, b in zip(s, out[i])]
            for i, a in v:
                ka = k * a
                out[i] = [b - ka * c for b, c in zip(out[i], s)]
        return out
