"""What to measure next: the odds each test would give, against the minutes it takes.

To first order the covariance after a test does not depend on what it reads; the mean does, so the odds after
are averaged over where the mean may go, the teeth being chosen anew each time. Fixed quadrature, no chance.
"""

import math

from .estimate import Estimate
from .fields import FRONT
from .figures import length, load
from .lattice import Search
from .linalg import cholesky, forward, matvec
from .odds import COARSE, interval, landing
from .point import Point
from .sentences import TESTS
from .trial import BALLAST, BOARD, Trial, facts, trials

__all__ = ["advise"]

LEAST_GAIN = 0.01
"""Odds gained below which a test is not worth naming."""
SPREAD = ((-math.sqrt(3.0), 1.0 / 6.0), (0.0, 2.0 / 3.0), (math.sqrt(3.0), 1.0 / 6.0))
"""Gauss-Hermite rule of three nodes for a unit normal."""


def _after(estimate: Estimate, trial: Trial, heights: tuple, variance: tuple) -> tuple | None:
    """Variance (3,) of the heights once the test is read, to first order; None where it adds nothing."""
    scale = estimate.scale
    k = len(trial.rows)
    moved = []
    rows = []
    for row in trial.rows:
        scaled = [a * s for a, s in zip(row, scale)]
        rows.append(scaled)
        moved.append(matvec(estimate.covariance, scaled))
    matrix = []
    for i in range(k):
        line = []
        for j in range(k):
            s = trial.noise[i][j]
            for a, b in zip(rows[i], moved[j]):
                s += a * b
            line.append(s)
        matrix.append(line)
    lower = cholesky(matrix)
    if lower is None:
        return None
    parts = []
    for row in heights:
        scaled = [a * s for a, s in zip(row, scale)]
        cross = []
        for m in moved:
            s = 0.0
            for a, b in zip(scaled, m):
                s += a * b
            cross.append(s)
        parts.append(forward(lower, cross))
    out = list(variance)
    for i in range(k):
        out[0] -= parts[0][i] * parts[0][i]
        out[1] -= parts[1][i] * parts[1][i]
        out[2] -= parts[0][i] * parts[1][i]
    return tuple(out)


def _turns(search: Search, step: list, off: tuple) -> list:
    """Turns of each side, [rad], worth trying were the deviation ``off`` at the centre: a step either way."""
    if step[0] and step[1]:
        back = search.solve(search.map, off)
        wanted = [search.centre[s] - back[s] for s in (0, 1)]
    else:
        wanted = [search.alone(s, off) for s in (0, 1)]
    out = []
    for turn, one in zip(wanted, step):
        down = one * math.floor(turn / one) if one else 0.0
        out.append((down, down + one) if one else (0.0,))
    return out


def _expected_odds(search: Search, before: tuple, after: tuple) -> float:
    """Odds after a test, averaged over where it may move the expected heights, teeth chosen anew each time."""
    aim = search.aim
    # The spread of the mean's move is what the test takes off the heights' covariance; along its own axes, so that
    # a mirrored car gives mirrored figures.
    a = before[0] - after[0]
    b = before[2] - after[2]
    c = before[1] - after[1]
    turn = 0.5 * math.atan2(2.0 * b, a - c)
    middle = 0.5 * (a + c)
    half = math.sqrt(0.25 * (a - c) ** 2 + b * b)
    first = math.sqrt(max(0.0, middle + half))
    second = math.sqrt(max(0.0, middle - half))
    cos = math.cos(turn)
    sin = math.sin(turn)
    (m11, m12), (m21, m22) = search.map
    step = [search.fine * unit for unit in search.unit]
    x0, y0 = search.off
    sx, sy = math.sqrt(after[0]), math.sqrt(after[1])
    sd = math.sqrt(max(1e-12, after[0] + after[1] - 2.0 * after[2]))
    total = 0.0
    known: dict = {}
    for u, wu in SPREAD:
        for v, wv in SPREAD:
            x = x0 + first * u * cos - second * v * sin
            y = y0 + first * u * sin + second * v * cos
            # A test that moves nothing, or along one axis only, has nodes that lie on each other.
            if (x, y) in known:
                total += (wu * wv) * known[(x, y)]
                continue
            turns = _turns(search, step, (x, y))
            best = -1.0
            chosen = (x, y)
            for left in turns[0]:
                for right in turns[1]:
                    dl = left - search.centre[0]
                    dr = right - search.centre[1]
                    p = x + m11 * dl + m12 * dr
                    q = y + m21 * dl + m22 * dr
                    rank = interval(mean=p, sd=sx, half_width=aim.tolerance)
                    rank *= interval(mean=q, sd=sy, half_width=aim.tolerance)
                    rank *= interval(mean=p - q, sd=sd, half_width=aim.lean)
                    if rank > best:
                        best = rank
                        chosen = (p, q)
            known[(x, y)] = landing(
                mean=chosen, variance=after, tolerance=aim.tolerance, lean=aim.lean, rule=COARSE
            )
            total += (wu * wv) * known[(x, y)]
    return total


def _gain(search: Search, point: Point, trial: Trial, untold: float) -> float | None:
    """Odds that a trial adds, or None where it tells nothing that can be worked out."""
    after = _after(search.estimate, trial, point.rows, point.variance)
    if after is None or after[0] <= 0.0 or after[1] <= 0.0:
        return None
    return _expected_odds(search, point.variance, after) - untold


def _text(trial: Trial, units: str, sprung: str) -> str:
    name = trial.what
    if name == "board-test":
        name += "-both" if trial.side == "both" else "-one"
    if name == "scales" and sprung == FRONT:
        name = "scales-front"
    gaps = {"side": trial.side, "board": length(BOARD, units), "ballast": load(BALLAST, units)}
    return TESTS[name] % gaps


def advise(search: Search, point: Point | None) -> tuple:
    """Tests worth making before turning a tooth, best gain for the minutes first, and what facts would bring.

    Parameters
    ----------
    search : Lattice or Degrees, of the present target
    point : Point
        The option that would be taken now.

    Returns
    -------
    (list of dict, dict)
        what, side, odds_after, minutes, text of each test that gains LEAST_GAIN; and by the name of what measures
        a fact the odds if it were known.
    """
    if point is None or point.still():
        return [], {}
    ranked: list = []
    told: dict = {}
    # Judged by the same rule before and after, so that a test which tells nothing gains nothing.
    untold = _expected_odds(search, point.variance, point.variance)
    tests = trials(search.estimate)
    if search.aim.angles is not None:
        # Arms that are to hang at an angle are freed anyway: read first where they hang.
        tests += [trial for trial in facts(search.estimate) if trial.what == "hanging-angle"]
    for trial in tests:
        gain = _gain(search, point, trial, untold)
        if gain is None:
            continue
        odds = max(0.0, min(1.0, point.odds + gain))
        if trial.side == "both" and trial.what not in told:
            told[trial.what] = max(point.odds, odds)
        if gain >= LEAST_GAIN:
            found = {"what": trial.what, "side": trial.side, "odds_after": odds, "minutes": trial.minutes}
            found["text"] = _text(trial, search.case.units, search.case.car.sprung)
            ranked.append((-gain / trial.minutes, len(ranked), found))
    ranked.sort()
    for trial in facts(search.estimate):
        gain = _gain(search, point, trial, untold)
        if gain is not None:
            told[trial.what] = max(point.odds, min(1.0, point.odds + gain))
    return [item[2] for item in ranked], told
