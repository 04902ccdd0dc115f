"""The fitter against scipy.optimize on the real problem, and its ways of failing."""

import math

import numpy as np
import pytest
from scipy import optimize

from bothends.model.estimate import Estimate
from bothends.model.fit import fit, fit_linear
from bothends.model.request import read
from model.cars import Sheet, Truth, drawn


def rich(seed: int):
    """A noisy log with every kind of reading, by seed."""
    noise = np.random.default_rng(seed)
    sheet = Sheet(drawn(seed), noise).plain(2, datum=1.5, sd=0.28)
    if seed % 2:
        sheet.boards()
    if seed % 3 == 0:
        sheet.hung()
    if seed % 4 == 0:
        sheet.both("wheel-load")
    if seed % 5 < 3:
        sheet.move(left=(-3, 4), right=(0, 1)).plain(1)
    return sheet.request()


def stacked(estimate, jacobian: bool):
    """Residuals of data and prior together, in numpy, so that scipy sees one plain least squares."""
    root = np.linalg.cholesky(np.array(estimate.precision)).T

    def residuals(x):
        return np.concatenate([estimate._residuals(x.tolist())[0], root @ x])

    def derivatives(x):
        return np.vstack([estimate._residuals(x.tolist())[1], root])

    return residuals, derivatives if jacobian else "2-point"


@pytest.mark.parametrize("seed", range(12))
def test_the_real_problem_has_scipys_maximum_and_covariance(seed):
    estimate = Estimate(read(rich(seed)))
    result = estimate.result
    residuals, derivatives = stacked(estimate, True)
    other = optimize.least_squares(
        residuals, np.zeros(len(result["x"])), jac=derivatives, xtol=1e-15, ftol=1e-15, gtol=1e-12
    )
    assert other.success
    spread = np.sqrt(np.diag(result["covariance"]))
    assert np.abs((np.array(result["x"]) - other.x) / spread).max() < 2e-6
    assert result["cost"] == pytest.approx(other.cost, rel=1e-10)
    covariance = np.linalg.inv(other.jac.T @ other.jac)
    apart = (np.array(result["covariance"]) - covariance) / np.outer(spread, spread)
    assert np.abs(apart).max() < 1e-5


@pytest.mark.parametrize("seed", range(6))
def test_the_real_problem_has_exact_derivatives(seed):
    estimate = Estimate(read(rich(seed)))
    x = np.array(estimate.result["x"])
    exact = np.array(estimate._residuals(x.tolist())[1])
    scale = np.abs(exact).max()
    for k in range(len(x)):
        step = np.zeros(len(x))
        step[k] = 1e-4
        up, down = [np.array(estimate._residuals((x + s * step).tolist())[0]) for s in (1, -1)]
        assert (up - down) / 2e-4 == pytest.approx(exact[:, k], rel=1e-5, abs=1e-7 * scale)


def line(x):
    """Residuals of the line through (0, 1), (1, 3), (2, 5.3), about."""
    rows = [[1.0, t] for t in (0.0, 1.0, 2.0)]
    return [x[0] + x[1] * t - y for t, y in ((0.0, 1.0), (1.0, 3.0), (2.0, 5.3))], rows


def test_a_linear_problem_takes_one_step_and_its_confirmation():
    result = fit(residuals=line, start=[50.0, -50.0])
    assert result["converged"]
    assert result["iterations"] <= 2
    expected, rest, _, _ = np.linalg.lstsq(
        np.array([[1, 0], [1, 1], [1, 2.0]]), np.array([1, 3, 5.3]), rcond=None
    )
    assert result["x"] == pytest.approx(expected.tolist(), abs=1e-10)
    assert 2 * result["cost"] == pytest.approx(float(rest[0]), rel=1e-9)


def test_a_prior_pulls_as_one_more_reading_at_nothing():
    precision = [[4.0, 1.0], [1.0, 3.0]]
    result = fit(residuals=line, start=[0.0, 0.0], precision=precision)
    a = np.array([[1, 0], [1, 1], [1, 2.0]])
    normal = a.T @ a + np.array(precision)
    assert result["x"] == pytest.approx(np.linalg.solve(normal, a.T @ np.array([1, 3, 5.3])).tolist())
    assert np.array(result["covariance"]) == pytest.approx(np.linalg.inv(normal))


def test_the_linear_fit_is_the_fit_of_a_linear_problem():
    precision = [[4.0, 1.0], [1.0, 3.0]]
    one = fit(residuals=line, start=[0.0, 0.0], precision=precision)
    two = fit_linear(residuals=line, start=[0.0, 0.0], precision=precision)
    for key in ("x", "cost", "residuals"):
        assert two[key] == pytest.approx(one[key])
    assert two["converged"]
    assert np.array(two["covariance"]) == pytest.approx(np.array(one["covariance"]))


def test_the_linear_fit_takes_one_step_at_its_word():
    def curved(x):
        return [math.exp(x[0]) - 3.0], [[math.exp(x[0])]]

    result = fit_linear(residuals=curved, start=[0.0], precision=[[1.0]])
    # Half (2 - dx)^2 + half dx^2 about x = 0.
    assert result["x"] == pytest.approx([1.0])
    assert result["residuals"] == pytest.approx([-1.0])
    assert result["cost"] == pytest.approx(1.0)


def test_a_start_that_cannot_be_evaluated_does_not_converge():
    for method in (fit, fit_linear):
        result = method(residuals=lambda x: None, start=[0.0], precision=[[1.0]])
        assert result["converged"] is False
    assert fit(residuals=lambda x: None, start=[0.0])["covariance"] is None


def test_steps_that_cannot_be_evaluated_are_shortened():
    refused = []

    def wall(x):
        # The full first step from 3 lands far below 0, where nothing can be evaluated.
        if x[0] <= 0.0:
            refused.append(x[0])
            return None
        return [math.log(x[0]) + 2.0], [[1.0 / x[0]]]

    result = fit(residuals=wall, start=[3.0])
    assert refused
    assert result["converged"]
    assert result["x"] == pytest.approx([math.exp(-2.0)], rel=1e-9)


def test_an_unknown_that_nothing_speaks_of_is_named_as_not_converged():
    def blind(x):
        return [x[0] - 1.0], [[1.0, 0.0]]

    result = fit(residuals=blind, start=[0.0, 0.0])
    assert result["converged"] is False
    assert result["covariance"] is None
    assert (
        fit_linear(residuals=blind, start=[0.0, 0.0], precision=[[0.0, 0.0], [0.0, 0.0]])["converged"]
        is False
    )


def test_a_prior_makes_up_for_an_unknown_that_nothing_speaks_of():
    def blind(x):
        return [x[0] - 1.0], [[1.0, 0.0]]

    result = fit(residuals=blind, start=[0.0, 0.5], precision=[[0.0, 0.0], [0.0, 4.0]])
    assert result["converged"]
    assert result["x"] == pytest.approx([1.0, 0.0], abs=1e-9)
    assert result["covariance"][1][1] == pytest.approx(0.25)


def test_running_out_of_steps_is_not_convergence():
    def far(x):
        return [x[0] ** 3 - 1e9], [[3 * x[0] ** 2]]

    result = fit(residuals=far, start=[1.0], most_iterations=3)
    assert result["converged"] is False
    assert result["iterations"] == 3


def test_residuals_with_nothing_left_end_at_once():
    def exact(x):
        return [x[0] - 2.0, 2.0 * x[0] - 4.0], [[1.0], [2.0]]

    result = fit(residuals=exact, start=[2.0])
    assert result["converged"]
    assert result["x"] == [2.0]
    assert result["cost"] == 0.0


def test_the_start_is_not_changed():
    start = [0.0, 0.0]
    fit(residuals=line, start=start)
    assert start == [0.0, 0.0]


def test_a_start_far_off_finds_the_same_maximum():
    estimate = Estimate(read(rich(1)))
    spread = np.sqrt(np.diag(estimate.result["covariance"]))
    rng = np.random.default_rng(5)
    for _ in range(10):
        start = rng.normal(0.0, 0.7, len(spread)).tolist()
        again = fit(residuals=estimate._residuals, start=start, precision=estimate.precision)
        assert again["converged"]
        assert np.abs((np.array(again["x"]) - np.array(estimate.result["x"])) / spread).max() < 1e-5


def test_a_car_of_other_proportions_is_fitted_as_well():
    truth = Truth(hanging_deg=(25.0, 22.0), rate=1500.0, arm_m=0.5, load_kg=(160.0, 150.0))
    request = Sheet(truth, np.random.default_rng(0)).plain(2).request(
        bar={"diameter_mm": 18.6, "length_mm": 600.0, "inner_teeth": 30, "outer_teeth": 31},
        arm_mm=500.0,
        load_kg={"left": 155.0, "right": 155.0},
    )  # fmt: skip
    estimate = Estimate(read(request))
    residuals, derivatives = stacked(estimate, False)
    other = optimize.least_squares(
        residuals, np.zeros(len(estimate.result["x"])), jac=derivatives, xtol=1e-12
    )
    spread = np.sqrt(np.diag(estimate.result["covariance"]))
    assert np.abs((np.array(estimate.result["x"]) - other.x) / spread).max() < 1e-4
