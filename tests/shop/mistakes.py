"""Mistakes in writing readings down: where a log offers a place for one, and what it then says.

Owns how each mistake changes a log and how large it must be to count: a slip counts only where it matters
and where a person could tell. Does not own mistakes at the car itself (a tooth too many, the other side
turned), nor whether they are told (``slips``).
"""

import itertools
from collections.abc import Callable

import numpy as np

__all__ = ["MAKE", "ONCE", "make", "places"]

ONCE = "sides swapped in one round"
"""Harder, and counted apart: the other round of the same kind is right, so the log contradicts itself."""
ANGLES = ("hanging-angle", "riding-angle")
LENGTHS = ("body-height", "hub-to-body")
MOST = {"hanging-angle": 89.0, "riding-angle": 89.0, "body-height": 3000.0, "hub-to-body": 2000.0}
"""Beyond these a form takes no value, [deg] and [mm]: no slip that could be made."""
INCH_MM = 25.4
POUND_KG = 0.45359237


def places(log: list[dict], kind: str) -> list[tuple[int, ...]]:
    """Every place for a mistake of the kind, as indexes of the entries that it spoils."""
    if kind in ("board under the other tyre", "board in inches"):
        return _boards(log)
    if kind in ("both heights in inches", "both loads in pounds"):
        what = "body-height" if "heights" in kind else "wheel-load"
        found = tuple(i for i, entry in enumerate(log) if entry.get("what") == what)
        return [found] if found else []
    found: list[tuple[int, ...]] = []
    for i, entry in enumerate(log):
        if entry["kind"] != "reading":
            continue
        angle = entry["what"] in ANGLES
        if (
            (kind == "sign flipped" and angle and abs(entry["value"]) >= 4.0)
            or (kind in ("inches for millimetres", "a height in inches") and entry["what"] == "body-height")
            or (kind == "datum missing" and abs(entry.get("datum", 0.0)) >= 3.0)
            or (kind == "decimal point lost" and _shifted(entry))
            or (kind == "digits swapped" and _swapped(entry))
        ):
            found.append((i,))
        elif kind == "value typed twice" and entry["side"] == "left" and entry["what"] in MOST:
            # The right side's reading of the same round comes right after the left's.
            if abs(entry["value"] - log[i + 1]["value"]) >= (3.0 if angle else 15.0):
                found.append((i + 1,))
        elif kind in ("sides swapped", ONCE) and entry["side"] == "left" and entry["what"] != "hub-to-body":
            rounds = [k for k, other in enumerate(log) if _alike(entry, other)]
            if rounds[0] != i and kind != ONCE:
                continue
            apart = [abs(_net(log[k]) - _net(log[k + 1])) for k in rounds]
            if min(apart) >= (4.0 if angle else 20.0):
                found.append((i, i + 1) if kind == ONCE else tuple(n for k in rounds for n in (k, k + 1)))
    return found


def make(log: list[dict], where: tuple[int, ...], kind: str, rng: np.random.Generator) -> None:
    """Make the mistake in the log, in place."""
    MAKE[kind](log, where, rng)


def _alike(entry: dict, other: dict) -> bool:
    return all(entry.get(k) == other.get(k) for k in ("kind", "what", "side", "teardown", "pose"))


def _net(entry: dict) -> float:
    return float(entry["value"] - entry.get("datum", 0.0))


def _boards(log: list[dict]) -> list[tuple[int, ...]]:
    found: list[tuple[tuple[float, float], list[int]]] = []
    for i, entry in enumerate(log):
        pose = entry.get("pose", {})
        board = (pose.get("board_left_mm", 0.0), pose.get("board_right_mm", 0.0))
        if not any(board):
            continue
        held = next((indexes for known, indexes in found if known == board), None)
        if held is None:
            found.append((board, [i]))
        else:
            held.append(i)
    return [tuple(indexes) for _, indexes in found]


def _tells(entry: dict, value: float) -> bool:
    """Whether the value typed is far enough off to be seen, and not so far that no form would take it."""
    angle = entry["what"] in ANGLES
    return abs(value - entry["value"]) >= (2.0 if angle else 9.0) and abs(value) <= MOST[entry["what"]]


def _shifted(entry: dict) -> list[float]:
    """The value with its decimal point one place to the right or to the left, where that tells."""
    if entry["what"] not in MOST:
        return []
    return [v for v in (round(entry["value"] * 10.0, 2), round(entry["value"] / 10.0, 2)) if _tells(entry, v)]


def _swapped(entry: dict) -> list[float]:
    """The value with two neighbouring digits changed over, the point between them or not, where that tells."""
    if entry["what"] not in MOST:
        return []
    text = f"{abs(entry['value']):g}"
    at = [i for i, letter in enumerate(text) if letter.isdigit()]
    found = []
    for a, b in itertools.pairwise(at):
        typed = list(text)
        typed[a], typed[b] = typed[b], typed[a]
        # Nobody types 012.
        if len(typed) > 1 and typed[0] == "0" and typed[1] != ".":
            continue
        value = float("".join(typed)) * (-1.0 if entry["value"] < 0.0 else 1.0)
        if _tells(entry, value):
            found.append(value)
    return found


def _sign(log, where, rng):
    log[where[0]]["value"] = -log[where[0]]["value"]


def _inches(log, where, rng):
    for i in where:
        log[i]["value"] = round(log[i]["value"] / INCH_MM, 2)


def _pounds(log, where, rng):
    for i in where:
        log[i]["value"] = round(log[i]["value"] / POUND_KG, 1)


def _no_datum(log, where, rng):
    del log[where[0]]["datum"]
    log[where[0]]["sd"] = 0.2


def _one_of(choices: Callable[[dict], list[float]]):
    def change(log, where, rng):
        found = choices(log[where[0]])
        log[where[0]]["value"] = found[int(rng.integers(len(found)))]

    return change


def _twice(log, where, rng):
    log[where[0]]["value"] = log[where[0] - 1]["value"]


def _other_tyre(log, where, rng):
    for i in where:
        pose = log[i]["pose"]
        pose["board_left_mm"], pose["board_right_mm"] = pose["board_right_mm"], pose["board_left_mm"]


def _board_inches(log, where, rng):
    for i in where:
        pose = log[i]["pose"]
        for name in ("board_left_mm", "board_right_mm"):
            pose[name] = round(pose[name] / INCH_MM, 2)


def _sides(log, where, rng):
    for i in where[::2]:
        left, right = log[i], log[i + 1]
        for name in ("value", "datum"):
            if name in left:
                left[name], right[name] = right[name], left[name]


MAKE: dict[str, Callable] = {
    "sign flipped": _sign,
    "inches for millimetres": _inches,
    "datum missing": _no_datum,
    "sides swapped": _sides,
    ONCE: _sides,
    "decimal point lost": _one_of(_shifted),
    "digits swapped": _one_of(_swapped),
    "value typed twice": _twice,
    "board under the other tyre": _other_tyre,
    "board in inches": _board_inches,
    "a height in inches": _inches,
    "both heights in inches": _inches,
    "both loads in pounds": _pounds,
}
