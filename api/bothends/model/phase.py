"""The odds of bars that are not in yet: nobody knows the phase of their steps, so every phase counts alike.

Owns the mean over phases, the best and the worst of them. What the heights would be is `refit`'s business.
"""

import math

from .aim import Aim
from .odds import COARSE, RULE, landing

__all__ = ["over_phases"]

FIVE = (
    (-0.906179845938664, 0.236926885056189),
    (-0.5384693101056831, 0.478628670499366),
    (0.0, 0.568888888888889),
    (0.5384693101056831, 0.478628670499366),
    (0.906179845938664, 0.236926885056189),
)
"""Gauss-Legendre nodes and weights on [-1, 1] (from memory; a test holds them to numpy's)."""
MOST_PANELS = 8
FAR = 6.0
"""Standard deviations beyond which a phase has no odds to speak of."""


def over_phases(off: tuple, variance: tuple, swing: tuple, aim: Aim) -> dict:
    """The odds over every phase of the new bars' steps, each side set to its nearest.

    Parameters
    ----------
    off : (2,) expected heights less target with the angle set exactly, [m]
    variance : (3,) of the heights, [m2]
    swing : ((left, right) by half a step of the left side, the same of the right side), [m]
    aim : tolerance and lean, [m]

    Returns
    -------
    dict
        typical: mean over phases, uniform and unlike on both sides; best: a step lies right there; worst: both
        sides miss by half a step, the way that hurts most.
    """
    far = [aim.tolerance + FAR * math.sqrt(v) for v in variance[:2]]

    def at(left: float, right: float, rule: list) -> float:
        x = off[0] + left * swing[0][0] + right * swing[1][0]
        y = off[1] + left * swing[0][1] + right * swing[1][1]
        if abs(x) > far[0] or abs(y) > far[1]:
            return 0.0
        return landing(mean=(x, y), variance=variance, tolerance=aim.tolerance, lean=aim.lean, rule=rule)

    nodes = []
    for side in (0, 1):
        reach = abs(swing[side][side]) / math.sqrt(variance[side])
        panels = min(MOST_PANELS, 1 + int(reach / 1.5))
        line = []
        for k in range(panels):
            for node, weight in FIVE:
                line.append(((2 * k + 1 + node) / panels - 1.0, 0.5 * weight / panels))
        nodes.append(line)
    typical = 0.0
    for left, weight in nodes[0]:
        for right, other in nodes[1]:
            typical += weight * other * at(left, right, COARSE)
    worst = 1.0
    for left, right in ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)):
        worst = min(worst, at(left, right, RULE))
    return {"typical": typical, "best": at(0.0, 0.0, RULE), "worst": worst}
