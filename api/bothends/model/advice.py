"""What to measure next: the odds each test would give, against the minutes it takes.

To first order the covariance after a test does not depend on what it reads; the mean does, so the odds after
are averaged over where the mean may go, the teeth being chosen anew each time. Fixed quadrature, no chance.
Minutes are common practice, no source.
"""

import math

from .evidence import FRICTION, MODEL_ERROR
from .linalg import cholesky, forward, matvec
from .odds import interval, landing
from .statics import ARM, CONSTANTS
from .units import DEG, GRAVITY, MM

__all__ = ["advise"]

GAUGE = 0.28 * DEG
TAPE = 1.5 * MM
SCALE = 3.0 * GRAVITY
BOARD = 50.0 * MM
BALLAST = 50.0 * GRAVITY
LEAST_GAIN = 0.01
"""Odds gained below which a test is not worth naming."""
SPREAD = ((-math.sqrt(3.0), 1.0 / 6.0), (0.0, 2.0 / 3.0), (math.sqrt(3.0), 1.0 / 6.0))
"""Gauss-Hermite rule of three nodes for a unit normal."""

WORDS = {
    "board-test": "Board test: a board of 50 mm under the %s tyre, settle, read both heights and riding angles",
    "hang-test": "Hang test, %s: lift till the wheels hang, read arm and hub to body, then again on the wheels",
    "scales": "Weigh both rear wheels on scales",
    "ballast-test": "Ballast test: 50 kg over the axle, settle, read both heights and riding angles",
    "body-height": "Read both body heights again, twice",
    "riding-angle": "Read both riding angles again, with the datum",
    "hanging-angle": "Read both hanging angles again while the arms are free",
}


class Test:
    """A test not yet made: rows : (k, n), noise : (k, k), what, side, minutes."""

    def __init__(self, what, side, minutes):
        self.what = what
        self.side = side
        self.minutes = minutes
        self.rows = []
        self.noise = []

    def add(self, row: list, variance: float):
        """One more reading with independent noise; shared noise is added by ``share``."""
        for line in self.noise:
            line.append(0.0)
        self.rows.append(row)
        self.noise.append([0.0] * len(self.noise) + [variance])

    def share(self, coefficients: list):
        """A unit-normal unknown that these readings share: coefficients : (k,)."""
        for i in range(len(coefficients)):
            for j in range(len(coefficients)):
                self.noise[i][j] += coefficients[i] * coefficients[j]


def _pose(estimate, test: Test, rest, kinds):
    """Add readings of both sides in one new settled pose to a test."""
    clamps = estimate.clamps()
    extra = [0.0] * (estimate.evidence.size - CONSTANTS)
    friction = ([], [])
    clamp = ([], [])
    first = len(test.rows)
    for kind in kinds:
        for side in (0, 1):
            if kind == "body-height":
                row = rest.d_height[side] + extra
                row[CONSTANTS + side] = 1.0
                variance = TAPE**2 + MODEL_ERROR[kind] ** 2
                rub = FRICTION
            elif kind == "riding-angle":
                row = rest.d_phi[side] + extra
                variance = GAUGE**2 + MODEL_ERROR[kind] ** 2
                rub = FRICTION / (estimate.theta[ARM] * math.cos(rest.phi[side]))
            else:
                row = rest.d_force[side] + extra
                variance = SCALE**2 + MODEL_ERROR[kind] ** 2
                rub = 0.0
            for end in (0, 1):
                friction[end].append(rub if end == side else 0.0)
                reach = row[end]
                clamp[end].append(reach * math.sqrt(clamps[end][2]))
                row = [a + reach * b for a, b in zip(row, clamps[end][1])]
            if kind == "wheel-load" and estimate.evidence.unsprung is not None:
                row[estimate.evidence.unsprung] = 1.0
            test.add(row, variance)
    for shared in friction + clamp:
        test.share([0.0] * first + shared)
    return test


def _boards(estimate, rest, sides, minutes, name):
    test = Test("board-test", name, minutes)
    for side in sides:
        lift = BOARD if side == 0 else -BOARD
        found = estimate.rest_at(estimate.turns[-1], rest.phi, lift)
        if found is None:
            return None
        before = len(test.rows)
        _pose(estimate, test, found, ("body-height", "riding-angle"))
        # Readings of the two poses share nothing new but the clamp, whose part is small: leave it out.
        test.noise = [line + [0.0] * (len(test.rows) - len(line)) for line in test.noise]
        assert before == 0 or len(test.noise) == len(test.rows)
    return test


def _hang(estimate, rest):
    """Hub to body hanging less riding, both sides: shows the lever."""
    test = Test("hang-test", "both", 15)
    arm = estimate.theta[ARM]
    extra = [0.0] * (estimate.evidence.size - CONSTANTS)
    for side in (0, 1):
        hang = estimate.theta[side] + estimate.turns[-1][side]
        hang = max(estimate.case.car.stop, min(hang, estimate.case.car.stop + 0.35))
        lever = arm * math.cos(rest.phi[side])
        row = [-lever * d for d in rest.d_phi[side]] + extra
        row[ARM] += math.sin(hang) - math.sin(rest.phi[side])
        tape = 2.0 * (TAPE**2 + MODEL_ERROR["hub-to-body"] ** 2)
        test.add(
            row,
            tape + FRICTION**2 + (arm * math.cos(hang)) ** 2 * (GAUGE**2 + MODEL_ERROR["hanging-angle"] ** 2),
        )
    return test


def _again(estimate, kind, what, minutes, sd):
    """Both sides' readings of one kind once more in the present pose, sharing what the first ones share.

    The unknown read is the observation without its gauge or tape noise, whose variance and whose covariance
    with the constants follow from the fit (so this is not a fresh row but an addition to a known one). Returns
    (Test, covariances with the heights' rows are taken by the caller) or None where a side was not read yet.
    """
    found = []
    for i in range(len(estimate.evidence.observations)):
        o = estimate.evidence.observations[i]
        plain = o.hanging or o.place == (0.0, 0.0, 0.0)
        if o.kind == kind and o.teardown == estimate.case.teardowns and plain:
            found.append(i)
    sides = [estimate.evidence.observations[i].side for i in found]
    if sorted(sides) != [0, 1]:
        return None
    test = Test(what, "both", minutes)
    for i in found:
        o = estimate.evidence.observations[i]
        unit = [0.0] * len(estimate.evidence.observations)
        unit[i] = o.spread * o.spread
        w = estimate.noise.vector(unit)
        back = [0.0] * estimate.evidence.size
        square = 0.0
        for m in range(len(w)):
            if w[m]:
                square += w[m] * w[m]
                jac = estimate.result["jacobian"][m]
                back = [a + w[m] * b for a, b in zip(back, jac)]
        # Given the constants, what is left unknown of the true reading: its own noise less what was seen of it.
        left = max(0.0, o.spread * o.spread - square)
        test.add([a / s for a, s in zip(back, estimate.scale)], left + sd * sd)
    return test


def _after(estimate, test: Test, heights: list, variance):
    """Variance (3,) of the heights once the test is read, to first order; None where it adds nothing."""
    scale = estimate.scale
    k = len(test.rows)
    moved = []
    rows = []
    for row in test.rows:
        scaled = [a * s for a, s in zip(row, scale)]
        rows.append(scaled)
        moved.append(matvec(estimate.covariance, scaled))
    matrix = []
    for i in range(k):
        line = []
        for j in range(k):
            s = test.noise[i][j]
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
    return out


def _expected_odds(lattice, before, after) -> float:
    """Odds after a test, averaged over where it may move the expected heights, teeth chosen anew each time."""
    case = lattice.case
    # The spread of the mean's move is what the test takes off the heights' covariance.
    a = max(0.0, before[0] - after[0])
    b = before[2] - after[2]
    c = max(0.0, before[1] - after[1])
    root_a = math.sqrt(a)
    skew = b / root_a if root_a > 1e-9 else 0.0
    root_c = math.sqrt(max(0.0, c - skew * skew))
    (m11, m12), (m21, m22) = lattice.map
    fine = lattice.fine
    x0, y0 = lattice.deviation(lattice.mean)
    sx, sy = math.sqrt(after[0]), math.sqrt(after[1])
    sd = math.sqrt(max(1e-12, after[0] + after[1] - 2.0 * after[2]))
    det = m11 * m22 - m12 * m21
    total = 0.0
    for u, wu in SPREAD:
        for v, wv in SPREAD:
            x = x0 + root_a * u
            y = y0 + skew * u + root_c * v
            left = (lattice.centre[0] - (m22 * x - m12 * y) / det) / fine
            right = (lattice.centre[1] - (m11 * y - m21 * x) / det) / fine
            best = -1.0
            chosen = None
            for n in (math.floor(left), math.floor(left) + 1):
                for m in (math.floor(right), math.floor(right) + 1):
                    dl = n * fine - lattice.centre[0]
                    dr = m * fine - lattice.centre[1]
                    p = x + m11 * dl + m12 * dr
                    q = y + m21 * dl + m22 * dr
                    rank = interval(mean=p, sd=sx, half_width=case.tolerance)
                    rank *= interval(mean=q, sd=sy, half_width=case.tolerance)
                    rank *= interval(mean=p - q, sd=sd, half_width=case.lean)
                    if rank > best:
                        best = rank
                        chosen = (p, q)
            total += wu * wv * landing(mean=chosen, variance=after, tolerance=case.tolerance, lean=case.lean)
    return total


def _tests(estimate, rest):
    """Every test that could be made now."""
    out = [
        _again(estimate, "body-height", "body-height", 4, TAPE / math.sqrt(2.0)),
        _again(estimate, "riding-angle", "riding-angle", 4, GAUGE),
        _again(estimate, "hanging-angle", "hanging-angle", 40, GAUGE),
        _boards(estimate, rest, (0,), 5, "left"),
        _boards(estimate, rest, (1,), 5, "right"),
        _boards(estimate, rest, (0, 1), 10, "both"),
        _hang(estimate, rest),
        _pose(estimate, Test("scales", "both", 15), rest, ("wheel-load",)),
    ]
    if out[-1] is not None and estimate.evidence.unsprung is None:
        out[-1].share([estimate.case.car.unsprung_sd] * 2)
    if out[1] is None:
        out[1] = _pose(estimate, Test("riding-angle", "both", 4), rest, ("riding-angle",))
    loaded = estimate.rest_at(estimate.turns[-1], rest.phi, 0.0, (0.5 * BALLAST, 0.5 * BALLAST))
    if loaded is not None:
        out.append(_pose(estimate, Test("ballast-test", "both", 10), loaded, ("body-height", "riding-angle")))
    return [test for test in out if test is not None]


def advise(lattice, point) -> list:
    """Tests worth making before turning a tooth, best gain for the minutes first.

    Parameters
    ----------
    lattice : Lattice, of the present target
    point : Point
        The option that would be taken now.

    Returns
    -------
    list of dict
        what, side, odds_after, minutes, text; empty where no test gains LEAST_GAIN.
    """
    estimate = lattice.estimate
    if point is None or lattice.rest is None or point.ends() == 0:
        return []
    ranked = []
    number = 0
    for test in _tests(estimate, estimate.now):
        after = _after(estimate, test, point.rows, point.variance)
        if after is None or after[0] <= 0.0 or after[1] <= 0.0:
            continue
        odds = _expected_odds(lattice, point.variance, after)
        gain = odds - point.odds
        if gain >= LEAST_GAIN:
            text = WORDS[test.what]
            if "%s" in text:
                text = text % ("one, then the other" if test.what == "board-test" and test.side == "both"
                               else "both sides" if test.side == "both" else test.side)  # fmt: skip
            number += 1
            ranked.append((-gain / test.minutes, number, {
                "what": test.what, "side": test.side, "odds_after": odds, "minutes": test.minutes, "text": text,
            }))  # fmt: skip
    ranked.sort()
    return [item[2] for item in ranked]
