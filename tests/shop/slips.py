"""The slip study: logs with nothing wrong, and logs with one thing wrong, and whether the product tells.

Owns the slips and their judging. Each log has two rounds of everything, both board tests, and for half of
the cars one teardown with its move and its readings (for a miscounted tooth, always). A slip is one
person's one mistake: one reading, or left and right of one kind in one pose. A slip counts as told when
the doubt that leads the list names an entry that is wrong and what is wrong with it; mere presence
further down is counted apart.
"""

import copy
from collections.abc import Callable
from dataclasses import dataclass

from shop.car import as_found, stream, turned
from shop.fleet import draw
from shop.mechanic import Mechanic, hire
from shop.teeth import fewest
from shop.thumb import knows_all

__all__ = ["KINDS", "ONCE", "Slip", "Verdict", "judge", "log_of", "study", "with_slip"]

KINDS = ("sign flipped", "inches for millimetres", "datum missing", "sides swapped", "tooth")
ONCE = "sides swapped in one round"
"""Harder, and counted apart: the other round of the same kind is right, so the log contradicts itself."""
ANGLES = ("hanging-angle", "riding-angle")
PITCH_DEG = 3.0
"""Spread of the body's pitch in the slip study, [deg]: a datum worth forgetting is at least 3 degrees."""


@dataclass
class Slip:
    """What was done to the log: the entries that are wrong, the guess that names it, and the truth."""

    kind: str
    indexes: tuple[int, ...]
    side: str = ""
    end: str = ""
    truth: float = 0.0
    more: int = 0


@dataclass
class Verdict:
    """What the product made of one log.

    ``told``: the leading doubt is right (a clean log: there is none). ``listed``: some doubt is. ``placed``:
    the leading doubt names a wrong entry, whatever it guesses. ``silent``: no doubt at all. ``refused``: no
    answer. ``guess``: what the leading doubt, or the refusal, said.
    """

    seed: int
    kind: str
    slip: Slip | None
    told: bool = False
    listed: bool = False
    placed: bool = False
    silent: bool = False
    refused: bool = False
    guess: str = ""


def log_of(
    seed: int, *, moved: bool, miscount: tuple[int, int, int] | None = None
) -> tuple[list[dict], Mechanic]:
    """A rich log of one car; ``moved`` adds a teardown. ``miscount`` (side, end, teeth) is turned but not
    logged.
    """
    car = draw(seed)
    mechanic = hire(car, board_rounds=2, always_datum=True, pitch_deg=PITCH_DEG)
    state = as_found(car)
    log = mechanic.log(state, "boards")
    if moved:
        steps = [round(t / car.step_deg) for t in knows_all(car, state)]
        teeth = [fewest(n, car.teeth) for n in steps]
        done = [list(pair) for pair in teeth]
        if miscount:
            done[miscount[0]][miscount[1]] += miscount[2]
        inner, outer = (360.0 / n for n in car.teeth)
        state = turned(car, state, [i * inner + o * outer for i, o in done])
        left, right = ({"inner": i, "outer": o} for i, o in teeth)
        log.append({"kind": "move", "teardown": 1, "left": left, "right": right})
        log += mechanic.log(state, "plain")
    return log, mechanic


def with_slip(seed: int, kind: str) -> tuple[list[dict], Slip, Mechanic] | None:
    """A log with one slip of the kind; None where this car's log offers no place for it."""
    rng = stream(seed, 6, len(KINDS) if kind == ONCE else KINDS.index(kind))
    moved = bool(rng.random() < 0.5)
    if kind == "tooth":
        side, end, more = int(rng.integers(2)), int(rng.integers(2)), int(rng.choice([-1, 1]))
        log, mechanic = log_of(seed, moved=True, miscount=(side, end, more))
        index = next(i for i, e in enumerate(log) if e["kind"] == "move")
        name, which = ("left", "right")[side], ("inner", "outer")[end]
        truth = log[index][name][which] + more
        return log, Slip(kind, (index,), name, which, float(truth), more), mechanic
    log, mechanic = log_of(seed, moved=moved)
    log = copy.deepcopy(log)
    places = _places(log, kind)
    if not places:
        return None
    where = places[int(rng.integers(len(places)))]
    entry = log[where[0]]
    slip = Slip(kind, where, truth=float(entry["value"]))
    if kind == "sign flipped":
        entry["value"] = -entry["value"]
    elif kind == "inches for millimetres":
        entry["value"] = round(entry["value"] / 25.4, 2)
    elif kind == "datum missing":
        del entry["datum"]
        entry["sd"] = 0.2
    else:
        for i in where[::2]:
            left, right = log[i], log[i + 1]
            for name in ("value", "datum"):
                if name in left:
                    left[name], right[name] = right[name], left[name]
    return log, slip, mechanic


def _places(log: list[dict], kind: str) -> list[tuple[int, ...]]:
    found: list[tuple[int, ...]] = []
    for i, entry in enumerate(log):
        if entry["kind"] != "reading":
            continue
        angle = entry["what"] in ANGLES
        if (
            (kind == "sign flipped" and angle and abs(entry["value"]) >= 4.0)
            or (kind == "inches for millimetres" and entry["what"] == "body-height")
            or (kind == "datum missing" and abs(entry.get("datum", 0.0)) >= 3.0)
        ):
            found.append((i,))
        elif kind in ("sides swapped", ONCE) and entry["side"] == "left" and entry["what"] != "hub-to-body":
            # The right side's reading of the same round comes right after the left's.
            rounds = [k for k, other in enumerate(log) if _alike(entry, other)]
            if rounds[0] != i and kind != ONCE:
                continue
            apart = [abs(_net(log[k]) - _net(log[k + 1])) for k in rounds]
            if min(apart) >= (4.0 if angle else 20.0):
                found.append((i, i + 1) if kind == ONCE else tuple(n for k in rounds for n in (k, k + 1)))
    return found


def _alike(entry: dict, other: dict) -> bool:
    return all(entry.get(k) == other.get(k) for k in ("kind", "what", "side", "teardown", "pose"))


def _net(entry: dict) -> float:
    return float(entry["value"] - entry.get("datum", 0.0))


def _right(doubt: dict, slip: Slip) -> bool:
    if doubt["log_index"] not in slip.indexes:
        return False
    if slip.kind != "tooth":
        return bool(doubt["guess"] == ("sides swapped" if slip.kind == ONCE else slip.kind))
    named = doubt.get("side") == slip.side and doubt.get("end") == slip.end
    repaired = doubt.get("repaired_value")
    return bool(named and repaired is not None and round(repaired) == round(slip.truth))


def judge(seed: int, kind: str, request: dict, slip: Slip | None, solve: Callable[[dict], dict]) -> Verdict:
    """Compare the answer's doubts with the slip; ``slip`` None for a clean log, where any doubt is false.

    A request that is refused is not told, whatever the refusal says.
    """
    try:
        doubts = solve(request)["doubts"]
    except Exception as problem:  # the planner's own; it becomes the verdict's guess
        return Verdict(seed, kind, slip, refused=True, guess=f"{type(problem).__name__}: {problem}")
    guess = doubts[0]["guess"] if doubts else ""
    if slip is None:
        return Verdict(seed, kind, slip, told=not doubts, silent=not doubts, guess=guess)
    return Verdict(
        seed=seed,
        kind=kind,
        slip=slip,
        told=bool(doubts) and _right(doubts[0], slip),
        listed=any(_right(d, slip) for d in doubts),
        placed=bool(doubts) and doubts[0]["log_index"] in slip.indexes,
        silent=not doubts,
        guess=guess,
    )


def study(seed: int, solve: Callable[[dict], dict]) -> list[Verdict]:
    """One car's clean log, and one log for each slip that has a place in it."""
    moved = bool(stream(seed, 7).random() < 0.5)
    log, mechanic = log_of(seed, moved=moved)
    verdicts = [judge(seed, "clean", mechanic.request(log), None, solve)]
    for kind in (*KINDS, ONCE):
        made = with_slip(seed, kind)
        if made is not None:
            log, slip, mechanic = made
            verdicts.append(judge(seed, kind, mechanic.request(log), slip, solve))
    return verdicts
