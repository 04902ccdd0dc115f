"""How far friction may hold a side off its rest: an unknown of its own, learned from how the readings scatter.

What friction leaves at each settling is shared by the readings of that settling. How wide its band is nobody knows
before: a few values stand for it, each with a weight from belief and from how likely it makes the log. The log
speaks in two ways: settlings that do not agree with one another through the rest of the car, and repeats in one
pose between which the car was perhaps rolled and bounced again. The estimate uses the weights' root mean square,
the odds are a mean over them.

With the whitened readings' covariance C and friction's footprints V at the band that was fitted, another band adds
V D Vt. By the matrix determinant lemma and Woodbury's identity (from memory; tested against numpy)

    ln det (C + V D Vt) = ln det C + ln det (I + D M),      M = Vt C^-1 V,   q = Vt C^-1 y
    yt (C + V D Vt)^-1 y = yt C^-1 y - qt (D^-1 + M)^-1 q

so that every band costs a small matrix and no fit. SI.
"""

import math

from .bands import BANDS, Bands, believed
from .estimate import Estimate
from .linalg import cholesky, matvec, solve

__all__ = ["weigh"]

MOST_GROUPS = 16
"""Settlings of one side that are looked at; a longer log has told enough by them."""


def _repeats(members: list, reach: float) -> list:
    """Differences of repeats to the first one, as heights, with their tape's or gauge's variance, [m], [m2]."""
    first = members[0]
    return [
        ((m.value - first.value) / reach, (m.sd**2 + first.sd**2) / reach**2)
        for m in members[1:]
        if m.resettled is None
    ]


def _scatter(estimate: Estimate, bands: tuple) -> list:
    """Log-likelihood of each band by repeats between which the car was perhaps settled again, and perhaps not."""
    evidence = estimate.evidence
    out = [0.0] * len(bands)
    count = 0
    for pose in range(len(evidence.poses)):
        pairs: list = []
        for place, _, footprint in evidence.rubbed:
            if place != pose:
                continue
            rows = []
            for i in sorted(footprint):
                o = evidence.observations[i]
                rows.append(_repeats(o.members, footprint[i] / estimate.friction))
            # The same round of height and angle shares one settling.
            for k in range(max([len(row) for row in rows])):
                pairs.append([row[k] for row in rows if k < len(row)])
        if not pairs:
            continue
        count += 1
        if count > MOST_GROUPS:
            break
        still = 0.0
        for pair in pairs:
            still += _likely(pair, 0.0)
        for b in range(len(bands)):
            again = 0.0
            for pair in pairs:
                again += _likely(pair, 2.0 * bands[b] ** 2)
            top = max(still, again)
            out[b] += top + math.log(0.5 * math.exp(still - top) + 0.5 * math.exp(again - top))
    return out


def _likely(pair: list, shared: float) -> float:
    """Log-likelihood, less a constant, of differences with their own variances and one shared variance."""
    precision = 0.0
    pull = 0.0
    total = 0.0
    for value, variance in pair:
        precision += 1.0 / variance
        pull += value / variance
        total -= 0.5 * value * value / variance
    grown = 1.0 + shared * precision
    return total + 0.5 * shared * pull * pull / grown - 0.5 * math.log(grown)


def weigh(estimate: Estimate) -> Bands:
    """The weights of every band, from belief and from one estimate fitted with ``estimate.friction``."""
    evidence = estimate.evidence
    result = estimate.result
    logs = [math.log(w) for w in believed(estimate.case.car.axle)]
    if not evidence.rubbed:
        return Bands(logs)
    residuals = result["residuals"]
    jacobian = result["jacobian"]
    footprints = []
    pulls = []
    felt = []
    for _, _, footprint in evidence.rubbed[:MOST_GROUPS]:
        # Per unit of band: the footprint at the fitted one, divided by it.
        column = estimate.noise.sparse([(i, footprint[i] / estimate.friction) for i in footprint])
        q = 0.0
        row = [0.0] * evidence.size
        for i, w in column:
            q += w * residuals[i]
            row = [a + w * b for a, b in zip(row, jacobian[i])]
        footprints.append(dict(column))
        pulls.append(q)
        felt.append(row)
    carried = [matvec(estimate.covariance, row) for row in felt]
    n = len(felt)
    matrix = []
    for g in range(n):
        line = []
        for h in range(n):
            total = 0.0
            for i in footprints[g]:
                if i in footprints[h]:
                    total += footprints[g][i] * footprints[h][i]
            for a, b in zip(felt[g], carried[h]):
                total -= a * b
            line.append(total)
        matrix.append(line)
    scatter = _scatter(estimate, BANDS)
    for b in range(len(BANDS)):
        logs[b] += scatter[b] + _marginal(matrix, pulls, BANDS[b] ** 2 - estimate.friction**2)
    return Bands(logs)


def _marginal(matrix: list, pulls: list, more: float) -> float:
    """Change of the log-likelihood when every footprint's variance grows by ``more``, [m2]."""
    if abs(more) < 1e-18:
        return 0.0
    n = len(pulls)
    # I/more + M is symmetric; for a narrower band the sign of both is turned.
    sign = 1.0 if more > 0.0 else -1.0
    grown = []
    for g in range(n):
        row = [sign * v for v in matrix[g]]
        row[g] += sign / more
        grown.append(row)
    lower = cholesky(grown)
    if lower is None:
        return -50.0
    log_det = n * math.log(abs(more))
    for g in range(n):
        log_det += 2.0 * math.log(lower[g][g])
    back = solve(lower, pulls)
    square = 0.0
    for a, b in zip(pulls, back):
        square += a * b
    return 0.5 * sign * square - 0.5 * log_det
