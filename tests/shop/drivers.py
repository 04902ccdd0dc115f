"""What drives the misses: each miss of the prediction split into its parts, and traced to what was drawn.

The miss of one side is the true settled height less the target. It is made of: the whole tooth (promised
height less target), settling, clamping the bush anew, and the rest, which is what the planner did not
know. That rest is compared with each standardised draw, plain and times the turn it acts on; the shares
are squared correlations, one draw at a time, so they need not add up to one; what no draw
explains is the noise of the readings.
"""

import numpy as np

from shop.season import Outcome

__all__ = ["lines"]

PAIRED = ("bar", "arm", "bush", "clamp", "load", "tyre", "mark", "unsprung")


def lines(outcomes: list[Outcome], *, most: int = 6) -> list[str]:
    """The split and the leading draws, for the mean height and for the lean, as lines of text."""
    rows = [o for o in outcomes if o.plans]
    out = []
    if len(rows) < 20:
        return out
    target = np.array([o.target_mm for o in rows])
    first = [o.plans[0] for o in rows]
    parts = {
        "all": np.array([p.stood_mm for p in first]) - target,
        "whole tooth": np.array([p.promised_mm for p in first]) - target,
        "settling": np.array([p.settled_by_mm for p in first]),
        "clamping": np.array([p.clamped_by_mm for p in first]),
    }
    parts["not known"] = parts["all"] - parts["whole tooth"] - parts["settling"] - parts["clamping"]
    turn = np.array([p.turn_deg for p in first])
    for mode, sign in (("mean", 0.5), ("lean", -1.0)):
        scale = 0.5 if mode == "mean" else 1.0
        split = {name: scale * part[:, 0] + sign * part[:, 1] for name, part in parts.items()}
        moved = scale * turn[:, 0] + sign * turn[:, 1]
        other = 0.5 * (turn[:, 0] + turn[:, 1]) if mode == "lean" else turn[:, 0] - turn[:, 1]
        out.append(f"{mode}: " + ", ".join(f"{name} sd {np.std(v):.2f} mm" for name, v in split.items()))
        unknown = split["not known"]
        shares = []
        for name, z in _draws(rows, lean=mode == "lean").items():
            columns = np.column_stack([np.ones(len(z)), z, z * moved, z * other])
            fit = columns @ np.linalg.lstsq(columns, unknown, rcond=None)[0]
            shares.append((float(np.var(fit) / np.var(unknown)), name))
        shares.sort(reverse=True)
        out.append(f"  not known, by draw (chance alone gives about {3 / len(rows):.2f}): " + ", ".join(
            f"{name} {share:.2f}" for share, name in shares[:most]
        ))  # fmt: skip
    return out


def _draws(rows: list[Outcome], *, lean: bool) -> dict[str, np.ndarray]:
    names = [n for n in rows[0].drawn if not n.endswith((" left", " right"))]
    out = {n: np.array([o.drawn[n] for o in rows]) for n in names}
    for name in PAIRED:
        left = np.array([o.drawn[name + " left"] for o in rows])
        right = np.array([o.drawn[name + " right"] for o in rows])
        out[name + (" apart" if lean else " of the sides")] = left - right if lean else left + right
    return out
