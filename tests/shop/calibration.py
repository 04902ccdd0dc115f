"""Whether what is promised comes about: the field's measures of calibration, with honest bands.

Owns the measures alone, on plain arrays: values promised with their standard deviations against what came,
and odds against outcomes. Every measure comes with the chance of seeing it this far off or farther, were
the promises exactly right (``p``), so that a test can ask for a chance rather than for a figure.

* Probability integral transform: the promised distribution's share below what came; uniform where the
  promise is right. Kolmogorov's distance and a chi-square over ten bins. Dawid 1984; Diebold, Gunther, Tay
  1998. From memory.
* Continuous ranked probability score of a normal promise, in closed form (Gneiting and Raftery 2007,
  section 4.2, from memory): sd * (z (2 Phi(z) - 1) + 2 phi(z) - 1 / sqrt(pi)); mean sd / sqrt(pi) where the
  promise is right.
* Spiegelhalter's z of odds (1986, from memory): sum of (o - p)(1 - 2p) over the root of the sum of
  (1 - 2p)^2 p (1 - p); standard normal where the odds are right.
"""

import functools
import math
from typing import NamedTuple

import numpy as np
from scipy import integrate, stats

__all__ = ["Crps", "Odds", "Pit", "brier", "crps", "crps_normal", "odds", "pit", "pit_values"]

BINS = 10


class Pit(NamedTuple):
    """Uniformity of the transform: counts in ten bins, Kolmogorov's distance, chances, spread of z."""

    bins: tuple[int, ...]
    distance: float
    p_kolmogorov: float
    p_chi_square: float
    z_mean: float
    z_sd: float


class Crps(NamedTuple):
    """Mean score, its mean where the promises are right (same unit as the values), and the chance."""

    mean: float
    expected: float
    z: float
    p: float


class Odds(NamedTuple):
    """Spiegelhalter's z and its chance, Brier score and its mean where the odds are right."""

    z: float
    p: float
    brier: float
    expected: float


def _z(value, sd, came) -> np.ndarray:
    value, sd, came = (np.asarray(a, dtype=float) for a in (value, sd, came))
    if not (np.all(np.isfinite(value)) and np.all(np.isfinite(came)) and np.all(sd > 0.0)):
        raise ValueError("values and what came must be finite, standard deviations above zero")
    return (came - value) / sd


def pit_values(value, sd, came) -> np.ndarray:
    """Share of each promised normal below what came, (n,), 0 to 1."""
    return stats.norm.cdf(_z(value, sd, came))


def pit(value, sd, came) -> Pit:
    """The transform of n independent promises, judged as one sample of the uniform distribution."""
    z = _z(value, sd, came)
    share = stats.norm.cdf(z)
    bins = np.histogram(share, bins=BINS, range=(0.0, 1.0))[0]
    far = stats.kstest(share, "uniform")
    return Pit(
        bins=tuple(int(n) for n in bins),
        distance=float(far.statistic),
        p_kolmogorov=float(far.pvalue),
        p_chi_square=float(stats.chisquare(bins).pvalue),
        z_mean=float(np.mean(z)),
        z_sd=float(np.std(z, ddof=1)),
    )


def crps_normal(z) -> np.ndarray:
    """Score of a standard normal promise against z, (n,)."""
    z = np.asarray(z, dtype=float)
    return z * (2.0 * stats.norm.cdf(z) - 1.0) + 2.0 * stats.norm.pdf(z) - 1.0 / math.sqrt(math.pi)


@functools.cache
def _spread_of_score() -> float:
    """Standard deviation of the score of a standard normal promise that is right."""
    square = integrate.quad(lambda z: float(crps_normal(z)) ** 2 * stats.norm.pdf(z), -9.0, 9.0)[0]
    return math.sqrt(square - 1.0 / math.pi)


def crps(value, sd, came) -> Crps:
    """Mean score of n independent promises, against its mean were they right; the band is normal."""
    sd = np.asarray(sd, dtype=float)
    score = sd * crps_normal(_z(value, sd, came))
    expected = float(np.mean(sd)) / math.sqrt(math.pi)
    band = _spread_of_score() * math.sqrt(float(np.sum(sd**2))) / len(sd)
    z = (float(np.mean(score)) - expected) / band
    return Crps(float(np.mean(score)), expected, z, float(2.0 * stats.norm.sf(abs(z))))


def brier(promised, landed) -> float:
    """Mean square of odds less outcome."""
    promised, landed = np.asarray(promised, dtype=float), np.asarray(landed, dtype=float)
    return float(np.mean((promised - landed) ** 2))


def odds(promised, landed) -> Odds:
    """Spiegelhalter's z of n independent odds, and the Brier score beside its own mean."""
    p, o = np.asarray(promised, dtype=float), np.asarray(landed, dtype=float)
    spread = float(np.sum((1.0 - 2.0 * p) ** 2 * p * (1.0 - p)))
    z = float(np.sum((o - p) * (1.0 - 2.0 * p))) / math.sqrt(spread) if spread > 0.0 else math.nan
    chance = float(2.0 * stats.norm.sf(abs(z))) if spread > 0.0 else math.nan
    return Odds(z, chance, brier(p, o), float(np.mean(p * (1.0 - p))))
