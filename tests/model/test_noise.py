"""The whitener against numpy: diagonal noise plus shared unknowns."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bothends.model.noise import Whitener
from model.cars import steady

SEEDS = st.integers(0, 2**32 - 1)


def drawn(seed: int, size: int, shared: int):
    """Deviations, sparse directions and the covariance they make."""
    rng = np.random.default_rng(seed)
    deviations = 10.0 ** rng.uniform(-4, 1, size)
    covariance = np.diag(deviations**2)
    directions = []
    for _ in range(shared):
        hit = rng.choice(size, rng.integers(1, size + 1), replace=False)
        strength = deviations[hit] * 10.0 ** rng.uniform(-1, 1) * rng.normal(size=len(hit))
        directions.append({int(i): float(v) for i, v in zip(hit, strength, strict=True)})
        u = np.zeros(size)
        u[hit] = strength
        covariance += np.outer(u, u)
    return deviations.tolist(), directions, covariance


def matrix(noise: Whitener, size: int):
    return np.array([noise.vector(row) for row in np.eye(size).tolist()]).T


@given(SEEDS, st.integers(1, 12), st.integers(0, 6))
@steady(80)
def test_the_transform_squares_to_the_inverse_covariance(seed, size, shared):
    deviations, directions, covariance = drawn(seed, size, shared)
    t = matrix(Whitener(deviations, directions), size)
    # Compared in units of the diagonal noise, in which the condition is moderate.
    d = np.array(deviations)
    scaled = covariance / np.outer(d, d)
    assert (t * d).T @ (t * d) == pytest.approx(np.linalg.inv(scaled), abs=1e-11 * np.linalg.cond(scaled))
    # So it whitens, as numpy's Cholesky factor does: both leave the same sum of squares.
    y = np.random.default_rng(seed).normal(size=size) * d
    by_factor = np.linalg.solve(np.linalg.cholesky(scaled), y / d)
    ours = np.array(Whitener(deviations, directions).vector(y.tolist()))
    assert ours @ ours == pytest.approx(by_factor @ by_factor, rel=1e-8)


@given(SEEDS, st.integers(1, 12), st.integers(0, 6))
@steady(60)
def test_whitened_noise_is_plain_unit_noise(seed, size, shared):
    deviations, directions, covariance = drawn(seed, size, shared)
    t = matrix(Whitener(deviations, directions), size)
    d = np.array(deviations)
    scaled = covariance / np.outer(d, d)
    unit = (t * d) @ scaled @ (t * d).T
    assert unit == pytest.approx(np.eye(size), abs=1e-12 * np.linalg.cond(scaled))


@given(SEEDS, st.integers(1, 12), st.integers(0, 6))
@steady(60)
def test_rows_and_back_agree_with_the_matrix(seed, size, shared):
    deviations, directions, _ = drawn(seed, size, shared)
    noise = Whitener(deviations, directions)
    t = matrix(noise, size)
    rng = np.random.default_rng(seed + 1)
    jacobian = rng.normal(size=(size, 4))
    before = jacobian.tolist()
    size_of = np.abs(t) @ np.abs(jacobian)
    assert np.all(
        np.abs(np.array(noise.rows(before, [1.0, 2.0, 3.0, 4.0])) - t @ (jacobian * [1.0, 2.0, 3.0, 4.0]))
        <= 1e-12 * size_of.max()
    )
    assert before == jacobian.tolist()
    some = [(int(i), float(rng.normal())) for i in rng.choice(size, min(size, 3), replace=False)]
    few = np.zeros(size)
    few[[i for i, _ in some]] = [v for _, v in some]
    sparse = np.zeros(size)
    for i, v in noise.sparse(some):
        sparse[i] = v
    assert np.all(np.abs(sparse - t @ few) <= 1e-12 * (np.abs(t) @ np.abs(few)).max())
    y = rng.normal(size=size)
    kept = y.tolist()
    assert np.all(np.abs(np.array(noise.back(kept)) - t.T @ y) <= 1e-12 * (np.abs(t).T @ np.abs(y)).max())
    assert kept == y.tolist()


def test_noise_that_is_not_shared_is_only_scaled():
    noise = Whitener([2.0, 0.5], [])
    assert noise.vector([1.0, 1.0]) == [0.5, 2.0]
    assert noise.back([1.0, 1.0]) == [0.5, 2.0]


def test_a_direction_of_nothing_changes_nothing():
    assert Whitener([2.0, 0.5], [{}, {0: 0.0}]).vector([1.0, 1.0]) == [0.5, 2.0]


def test_an_unknown_shared_by_two_readings_leaves_their_difference_alone():
    # However large the shared part, the difference keeps the gauges' own spread.
    noise = Whitener([0.2, 0.2], [{0: 1e4, 1: 1e4}])
    apart = noise.vector([1.0, -1.0])
    assert apart[0] ** 2 + apart[1] ** 2 == pytest.approx(2 / 0.2**2, rel=1e-9)
    alike = noise.vector([1.0, 1.0])
    assert alike[0] ** 2 + alike[1] ** 2 < 1e-6


def test_readings_that_share_nothing_do_not_cost_one_another():
    noise = Whitener([1.0] * 5, [{0: 1.0, 1: 1.0}, {3: 1.0, 4: 1.0}, {1: 2.0, 2: 1.0}])
    assert [i for i, _ in noise.sparse([(0, 1.0)])] == [0, 1, 2]
    assert [i for i, _ in noise.sparse([(4, 1.0)])] == [3, 4]
    assert [i for i, _ in noise.sparse([(2, 1.0), (3, 1.0)])] == [0, 1, 2, 3, 4]
