"""Small linear algebra against numpy."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model import linalg
from model.cars import steady

SIZES = st.integers(1, 14)
SEEDS = st.integers(0, 2**32 - 1)


def drawn(seed: int, size: int):
    """A symmetric positive definite matrix whose condition spans many decades, and two vectors."""
    rng = np.random.default_rng(seed)
    q, _ = np.linalg.qr(rng.normal(size=(size, size)))
    a = q @ np.diag(10.0 ** rng.uniform(-4, 3, size)) @ q.T
    return 0.5 * (a + a.T), rng.normal(size=size), rng.normal(size=size)


def close(found, expected, a, power=1.0):
    """Equal but for rounding amplified by the matrix's condition."""
    found, expected = np.array(found), np.array(expected)
    loss = 1e-14 * np.linalg.cond(a) ** power
    assert np.abs(found - expected).max() <= loss * max(1e-300, np.abs(expected).max())


@given(SEEDS, SIZES)
@steady(80)
def test_the_factor_is_numpys(seed, size):
    a, _, _ = drawn(seed, size)
    lower = linalg.cholesky(a.tolist())
    close(lower, np.linalg.cholesky(a), a)
    assert all(lower[i][j] == 0.0 for i in range(size) for j in range(i + 1, size))


@given(SEEDS, SIZES)
@steady(80)
def test_solutions_and_inverses_are_numpys(seed, size):
    a, b, _ = drawn(seed, size)
    lower = linalg.cholesky(a.tolist())
    close(linalg.solve(lower, b.tolist()), np.linalg.solve(a, b), a)
    inverse = linalg.inverse(lower)
    close(inverse, np.linalg.inv(a), a)
    assert all(inverse[i][j] == inverse[j][i] for i in range(size) for j in range(size))
    triangle = np.linalg.cholesky(a)
    close(linalg.forward(triangle.tolist(), b.tolist()), np.linalg.solve(triangle, b), a)
    close(linalg.backward(triangle.tolist(), b.tolist()), np.linalg.solve(triangle.T, b), a)


@given(SEEDS, SIZES)
@steady(40)
def test_products_are_numpys(seed, size):
    a, x, y = drawn(seed, size)
    x[0] = 0.0
    tight = {"rel": 1e-10, "abs": 1e-9}
    assert linalg.matvec(a.tolist(), x.tolist()) == pytest.approx((a @ x).tolist(), **tight)
    assert linalg.quadratic(a.tolist(), x.tolist(), y.tolist()) == pytest.approx(x @ a @ y, **tight)
    wide = np.vstack([a, a])
    assert linalg.matvec(wide.tolist(), x.tolist()) == pytest.approx((wide @ x).tolist(), **tight)


def test_only_the_lower_triangle_is_read():
    a, _, _ = drawn(3, 5)
    spoilt = a.tolist()
    for i in range(5):
        for j in range(i + 1, 5):
            spoilt[i][j] = math.nan
    assert linalg.cholesky(spoilt) == linalg.cholesky(a.tolist())


@pytest.mark.parametrize(
    "a",
    [
        [[0.0]],
        [[-1.0]],
        [[1.0, 2.0], [2.0, 1.0]],
        [[1.0, 1.0], [1.0, 1.0]],
        [[math.nan]],
        [[1.0, 0.0], [math.nan, 1.0]],
    ],
)
def test_what_is_not_positive_definite_has_no_factor(a):
    assert linalg.cholesky(a) is None


def test_the_identity_is_its_own_factor_and_inverse():
    unit = linalg.identity(4)
    assert np.array_equal(unit, np.eye(4))
    assert linalg.cholesky(unit) == unit
    assert linalg.inverse(unit) == unit


def test_nothing_at_all_is_no_error():
    assert linalg.cholesky([]) == []
    assert linalg.inverse([]) == []
    assert linalg.solve([], []) == []
