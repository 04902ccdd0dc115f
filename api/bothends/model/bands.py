"""The bands of friction that stand for every car, and what is believed of each before any reading."""

import math

from .units import MM

__all__ = ["BANDS", "BELIEVED", "USUAL", "Bands", "believed", "usual"]

BANDS = (0.3 * MM, 0.6 * MM, 0.9 * MM, 1.3 * MM, 1.8 * MM, 2.5 * MM)
"""Standard deviations of a settled height that stand for every band, [m]."""
BELIEVED = (0.11, 0.30, 0.39, 0.05, 0.04, 0.11)
"""What is believed of each before any reading: most cars settle within 1 to 2 mm of rest, and one in seven
sticks and hangs at up to 4. In two heaps, so that a log which shows much friction is not drawn halfway back to
little. Common practice, no source."""
USUAL = 0.9 * MM
"""The band that a fit begins with, [m]."""
LEAVES = (0.02, 0.05, 0.13, 0.20, 0.25, 0.35)
USUAL_LEAVES = 1.8 * MM
"""The same of packs of leaves, which rub: 3 to 5 mm either way until a log shows otherwise (from memory)."""
RARE = 0.01
"""Weight below which a band is not worth working odds out for."""


def believed(axle: str) -> tuple:
    """What is believed of each band on a kind of axle (`fields.AXLES`)."""
    return LEAVES if axle == "beam" else BELIEVED


def usual(axle: str) -> float:
    """The band that a fit of such an axle begins with, [m]."""
    return USUAL_LEAVES if axle == "beam" else USUAL


class Bands:
    """Weights of ``BANDS``: ``weights`` sum to 1; ``mean_square`` of the band, [m2]."""

    def __init__(self, logs: list | None = None) -> None:
        if logs is None:
            logs = [math.log(w) for w in BELIEVED]
        top = max(logs)
        weights = [math.exp(v - top) for v in logs]
        total = 0.0
        for w in weights:
            total += w
        self.weights = [w / total for w in weights]
        self.mean_square = 0.0
        for w, band in zip(self.weights, BANDS):
            self.mean_square += w * band * band

    @property
    def typical(self) -> float:
        """Root mean square of the band, [m]."""
        return math.sqrt(self.mean_square)

    def spread(self, of: float) -> list:
        """(weight, change of a settled height's variance against a band ``of``) of every band that counts, [m2]."""
        out = []
        total = 0.0
        for w, band in zip(self.weights, BANDS):
            if w >= RARE:
                out.append((w, band * band - of * of))
                total += w
        return [(w / total, more) for w, more in out]
