"""Small dense linear algebra on lists: what a fit of at most about 16 unknowns needs, and no more.

Matrices are lists of rows. Symmetric matrices are given whole; only the lower triangle is read.
Method: Cholesky, after Golub and Van Loan, Matrix Computations, section 4.2 (algorithms from memory).
"""

import math

__all__ = ["backward", "cholesky", "forward", "identity", "inverse", "matvec", "quadratic", "solve"]


def cholesky(a: list) -> list | None:
    """Lower triangle L with L Lt = a, for a symmetric positive definite a : (n, n).

    Returns
    -------
    list or None
        L : (n, n) with zeros above the diagonal; None where a is not positive definite to working precision.
    """
    n = len(a)
    lower: list[list[float]] = []
    for i in range(n):
        # The row grows as it is found, so that zip ends each sum where it must.
        row: list[float] = []
        ai = a[i]
        for j in range(i):
            s = ai[j]
            lj = lower[j]
            for u, v in zip(row, lj):
                s -= u * v
            row.append(s / lj[j])
        s = ai[i]
        for u in row:
            s -= u * u
        # Not "s <= 0": a NaN must fail here too.
        if not s > 1e-300:
            return None
        row.append(math.sqrt(s))
        lower.append(row + [0.0] * (n - 1 - i))
    return lower


def forward(lower: list, b: list) -> list:
    """Solve L x = b for lower triangular L : (n, n), b : (n,)."""
    x: list[float] = []
    for i in range(len(b)):
        s = b[i]
        row = lower[i]
        for u, v in zip(x, row):
            s -= u * v
        x.append(s / row[i])
    return x


def backward(lower: list, b: list) -> list:
    """Solve Lt x = b for lower triangular L : (n, n), b : (n,)."""
    n = len(b)
    x = [0.0] * n
    for i in range(n - 1, -1, -1):
        s = b[i]
        for k in range(i + 1, n):
            s -= lower[k][i] * x[k]
        x[i] = s / lower[i][i]
    return x


def solve(lower: list, b: list) -> list:
    """Solve L Lt x = b."""
    return backward(lower, forward(lower, b))


def inverse(lower: list) -> list:
    """Inverse of L Lt : (n, n), symmetric, whole."""
    n = len(lower)
    # Invert the triangle, then multiply its transpose with it: half the work of n solves.
    tri: list[list[float]] = []
    for i in range(n):
        row = [0.0] * n
        li = lower[i]
        d = 1.0 / li[i]
        row[i] = d
        for j in range(i):
            s = 0.0
            for k in range(j, i):
                s += li[k] * tri[k][j]
            row[j] = -s * d
        tri.append(row)
    out = [[0.0] * n for _ in range(n)]
    for i in range(n):
        for j in range(i + 1):
            s = 0.0
            for k in range(i, n):
                tk = tri[k]
                s += tk[i] * tk[j]
            out[i][j] = s
            out[j][i] = s
    return out


def identity(n: int) -> list:
    """Identity : (n, n)."""
    return [[1.0 if i == j else 0.0 for j in range(n)] for i in range(n)]


def matvec(a: list, x: list) -> list:
    """Product a x of a : (m, n) and x : (n,)."""
    out = []
    for row in a:
        s = 0.0
        for u, v in zip(row, x):
            s += u * v
        out.append(s)
    return out


def quadratic(a: list, x: list, y: list) -> float:
    """Bilinear form xt a y."""
    total = 0.0
    for i in range(len(x)):
        xi = x[i]
        if xi:
            s = 0.0
            for u, v in zip(a[i], y):
                s += u * v
            total += xi * s
    return total
