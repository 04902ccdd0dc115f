"""The odds that both heights and the lean land: a bivariate normal over a hexagon, by fixed quadrature.

    P( low_l <= x <= high_l,  low_r <= y <= high_r,  |x - y| <= lean )

The outer integral is Gauss-Legendre in pieces that end wherever the integrand bends, the inner one an error
function; no random numbers, so phone and PC agree. Tested against scipy.stats and scipy.integrate.
"""

import math

__all__ = ["COARSE", "RULE", "interval", "landing"]

ROOT_HALF = math.sqrt(0.5)
REACH = 8.5


def _gauss_legendre(n: int) -> list:
    """Nodes and weights on [-1, 1] by Newton's method on the Legendre polynomial (from memory)."""
    out = []
    for i in range(n):
        x = math.cos(math.pi * (i + 0.75) / (n + 0.5))
        for _ in range(50):
            p0, p1 = 1.0, x
            for k in range(2, n + 1):
                p0, p1 = p1, ((2 * k - 1) * x * p1 - (k - 1) * p0) / k
            slope = n * (x * p1 - p0) / (x * x - 1.0)
            step = p1 / slope
            x -= step
            if abs(step) < 1e-15:
                break
        out.append((x, 2.0 / ((1.0 - x * x) * slope * slope)))
    return out


RULE = _gauss_legendre(16)
COARSE = _gauss_legendre(7)
"""For averages over many odds, where the fourth decimal does not matter."""


def interval(*, mean: float, sd: float, half_width: float) -> float:
    """Probability that a normal quantity lies within plus or minus ``half_width`` of zero.

    >>> round(interval(mean=2.0, sd=2.5, half_width=5.0), 6)
    0.882375
    """
    if sd <= 0.0:
        return 1.0 if abs(mean) <= half_width else 0.0
    k = ROOT_HALF / sd
    return 0.5 * (math.erf((half_width - mean) * k) + math.erf((half_width + mean) * k))


def landing(*, mean: tuple, variance: tuple, tolerance: float, lean: float, rule: list = RULE) -> float:
    """Odds that both deviations lie within the tolerance and their difference within the lean.

    Parameters
    ----------
    mean : (2,) expected deviation of the left and right height from target, [any length]
    variance : (3,) variance left, variance right, covariance, [that length squared]
    tolerance, lean : half widths, [that length], > 0
    rule : Gauss-Legendre nodes and weights for each piece

    Returns
    -------
    float
        Probability, 0 to 1, absolute error below 1e-9 with RULE, 1e-4 with COARSE, for correlations
        short of 0.9999.

    Examples
    --------
    >>> round(landing(mean=(0.0, 0.0), variance=(6.25, 6.25, 0.0), tolerance=100.0, lean=5.0), 6)
    0.842701
    """
    mx, my = mean
    vx, vy, vxy = variance
    if vx <= 1e-24 or vy <= 1e-24:
        # One side known exactly: the other's spread alone decides, within what the lean leaves it.
        if vx > vy:
            mx, my, vx, vy = my, mx, vy, vx
        if abs(mx) > tolerance:
            return 0.0
        low = max(-tolerance, mx - lean)
        high = min(tolerance, mx + lean)
        centre = 0.5 * (low + high)
        return interval(mean=my - centre, sd=math.sqrt(max(0.0, vy)), half_width=0.5 * (high - low))
    sx = math.sqrt(vx)
    slope = vxy / vx
    rest = math.sqrt(max(vy - slope * vxy, 1e-12 * vy))
    low = max(-tolerance, -tolerance - lean, mx - REACH * sx)
    high = min(tolerance, tolerance + lean, mx + REACH * sx)
    if low >= high:
        return 0.0
    cuts = [low, high]
    # Where the inner bounds bend, and where the conditional mean runs across one of them sharply.
    for cut in (lean - tolerance, tolerance - lean):
        if low < cut < high:
            cuts.append(cut)
    base = my - slope * mx
    for edge, tilt in ((-tolerance, 0.0), (tolerance, 0.0), (-lean, 1.0), (lean, 1.0)):
        q = slope - tilt
        if abs(q) * sx > 0.5 * rest:
            at = (edge - base) / q
            width = rest / abs(q)
            for cut in (at - 6.0 * width, at - 2.0 * width, at + 2.0 * width, at + 6.0 * width):
                if low < cut < high:
                    cuts.append(cut)
    cuts.sort()
    total = 0.0
    k = ROOT_HALF / rest
    erf = math.erf
    exp = math.exp
    for i in range(len(cuts) - 1):
        left = cuts[i]
        length = cuts[i + 1] - left
        # Bounds often bend at the same place: with the lean as wide as the tolerance both do at zero.
        if length <= 0.0:
            continue
        parts = 1 + int(length / (3.0 * sx))
        half = 0.5 * length / parts
        for part in range(parts):
            centre = left + (2 * part + 1) * half
            for node, weight in rule:
                x = centre + half * node
                a = x - lean
                if a < -tolerance:
                    a = -tolerance
                b = x + lean
                if b > tolerance:
                    b = tolerance
                if b > a:
                    u = (x - mx) / sx
                    m = base + slope * x
                    total += half * weight * exp(-0.5 * u * u) * (erf((b - m) * k) - erf((a - m) * k))
    value = total * 0.5 / (sx * math.sqrt(2.0 * math.pi))
    return min(1.0, max(0.0, value))
