"""Least squares with a prior: the project's one fitter, for any residual function.

Levenberg-Marquardt on whitened residuals with exact derivatives and Marquardt's diagonal scaling; it starts as
plain Gauss-Newton and damps only when a step fails. Owns the iteration, not the meaning of what is fitted.

Source of the method: Marquardt, J. SIAM 11 (1963) 431; Nocedal and Wright, Numerical Optimization, ch. 10
(both from memory). Tested against NIST's Statistical Reference Datasets and scipy.optimize.
"""

from .linalg import cholesky, inverse, solve

__all__ = ["FLOOR", "fit", "fit_linear"]

# Decrease still predicted, relative and absolute, at which the iteration ends: a step of about a ten-millionth of
# a standard deviation, which is still taken. Below it lies the rounding of the cost.
TOLERANCE = 1e-13
FLOOR = 1e-14
# Decrease still predicted when the steps run out that counts as there: a hundredth of a standard deviation. Where
# little is known beside wide beliefs, the steps shrink by a constant factor only.
FAIR = 0.5
"""Share of the predicted decrease that a careful fit's step should bring."""
SHORTER = 0.1
"""Damping, as a share of the normal matrix's diagonal, that such a step is followed by at least."""
CLOSE_ENOUGH = 1e-4


def _normal(residuals: list, jacobian: list, x: list, precision: list | None) -> tuple:
    """Gradient : (n,) and normal matrix : (n, n) (lower triangle) of half the sum of squares plus prior."""
    n = len(x)
    matrix = []
    gradient = []
    for i in range(n):
        if precision is None:
            matrix.append([0.0] * n)
            gradient.append(0.0)
        else:
            row = precision[i]
            s = 0.0
            for u, v in zip(row, x):
                s += u * v
            matrix.append(row[:])
            gradient.append(s)
    for m in range(len(residuals)):
        row = jacobian[m]
        r = residuals[m]
        used = []
        for i in range(n):
            a = row[i]
            if a:
                used.append((i, a))
                gradient[i] += a * r
                target = matrix[i]
                for j, b in used:
                    target[j] += a * b
    return gradient, matrix


def _cost(residuals: list, x: list, precision: list | None) -> float:
    """Half the sum of squares, with the prior's."""
    total = 0.0
    for r in residuals:
        total += r * r
    if precision is not None:
        n = len(x)
        for i in range(n):
            xi = x[i]
            s = 0.0
            for u, v in zip(precision[i], x):
                s += u * v
            total += xi * s
    return 0.5 * total


def fit(
    *,
    residuals: object,
    start: list,
    precision: list | None = None,
    most_iterations: int = 100,
    enough: float = FLOOR,
    careful: bool = False,
) -> dict:
    """Minimise half the sum of squared residuals, plus half xt P x where a prior precision P is given.

    Parameters
    ----------
    residuals : callable (MicroPython has no name for its type)
        x : (n,) -> (r : (m,), jacobian : (m, n)), both whitened, or None where x cannot be evaluated (such a
        step is refused and damped).
    start : list
        First x : (n,). With a prior, x is measured from the prior's mean.
    precision : list, optional
        Prior precision : (n, n), symmetric.
    most_iterations : int
        Steps tried before giving up.
    enough : float
        Decrease of the cost still predicted at which the last step is taken and the iteration ends.
    careful : bool
        Whether steps that bring far less than predicted are shortened too. Where two unknowns nearly make up for
        each other, whole steps go to and fro across the way down for long.

    Returns
    -------
    dict
        x : (n,), cost, residuals, jacobian, covariance : (n, n) (inverse normal matrix, for unit noise),
        iterations, converged (False when the steps ran out, the start could not be evaluated, or the normal
        matrix is singular; covariance is then None).
    """
    x = start[:]
    n = len(x)
    value = residuals(x)  # type: ignore[operator]
    if value is None:
        return {"x": x, "cost": None, "converged": False, "iterations": 0, "covariance": None}
    r, jacobian = value
    cost = _cost(r, x, precision)
    damping = 0.0
    converged = False
    iterations = 0
    gradient, matrix = _normal(r, jacobian, x, precision)
    lower = None
    decrease = 0.0
    while iterations < most_iterations:
        iterations += 1
        if damping:
            damped = [row[:] for row in matrix]
            for i in range(n):
                damped[i][i] += damping * (matrix[i][i] or 1.0)
            lower = cholesky(damped)
        else:
            lower = cholesky(matrix)
        if lower is None:
            damping = max(1e-8, damping * 10.0)
            if damping > 1e15:
                break
            continue
        step = solve(lower, gradient)
        decrease = 0.0
        for i in range(n):
            decrease += 0.5 * gradient[i] * step[i]
        # A damped step is shorter than the way that is left; hence the factor.
        if decrease * (1.0 + damping) <= TOLERANCE * cost + enough and damping < 10.0:
            x = [x[i] - step[i] for i in range(n)]
            converged = True
            break
        trial = [x[i] - step[i] for i in range(n)]
        value = residuals(trial)  # type: ignore[operator]
        trial_cost = None if value is None else _cost(value[0], trial, precision)
        if trial_cost is not None and trial_cost <= cost * (1.0 + 1e-14):
            little = careful and cost - trial_cost < FAIR * decrease
            x = trial
            r, jacobian = value
            cost = trial_cost
            gradient, matrix = _normal(r, jacobian, x, precision)
            shorter = max(SHORTER, 4.0 * damping)
            damping = shorter if little else damping * 0.1 if damping > 1e-9 else 0.0
        else:
            damping = max(1e-4, damping * 10.0)
            if damping > 1e15:
                # No descent left in any direction: either at the minimum to rounding, or stuck.
                converged = decrease <= 1e-9 * cost
                break
    if not converged and iterations >= most_iterations and lower is not None:
        converged = decrease * (1.0 + damping) <= CLOSE_ENOUGH
    covariance = None
    if damping or lower is None:
        lower = cholesky(matrix)
    if lower is None:
        converged = False
    else:
        covariance = inverse(lower)
    return {
        "x": x,
        "cost": cost,
        "residuals": r,
        "jacobian": jacobian,
        "covariance": covariance,
        "iterations": iterations,
        "converged": converged,
    }


def fit_linear(*, residuals: object, start: list, precision: list) -> dict:
    """The fit as if the residuals were linear about ``start``: one Gauss-Newton step, taken at its word.

    For logs that contradict themselves so loudly that the whole fit wanders off: about the prior's mean the
    derivatives are sound, and so is the ranking of what might be wrong. Same parameters and keys as ``fit``.
    """
    value = residuals(start)  # type: ignore[operator]
    if value is None:
        return {"converged": False, "iterations": 0}
    r, jacobian = value
    gradient, matrix = _normal(r, jacobian, start, precision)
    lower = cholesky(matrix)
    if lower is None:
        return {"converged": False, "iterations": 1}
    step = solve(lower, gradient)
    x = [a - b for a, b in zip(start, step)]
    after = []
    for i in range(len(r)):
        s = r[i]
        row = jacobian[i]
        for k in range(len(step)):
            s -= row[k] * step[k]
        after.append(s)
    return {
        "x": x,
        "cost": _cost(after, x, precision),
        "residuals": after,
        "jacobian": jacobian,
        "covariance": inverse(lower),
        "iterations": 1,
        "converged": True,
    }
