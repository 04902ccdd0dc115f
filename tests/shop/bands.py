"""Bands of chance for tests on few cars."""

from scipy import stats

__all__ = ["least", "most"]


def least(target: float, count: int) -> float:
    """Fewest of ``count`` that a true rate of ``target`` reaches on 199 of 200 draws, as a rate."""
    return float(stats.binom.ppf(0.005, count, target)) / count


def most(target: float, count: int) -> float:
    """Most of ``count`` that a true rate of ``target`` stays within on 199 of 200 draws, as a rate."""
    return float(stats.binom.ppf(0.995, count, target)) / count
