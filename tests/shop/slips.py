"""The slip study: logs with nothing wrong, and logs with one thing wrong, and whether the product tells.

Owns the kinds of slip and their judging; mistakes in writing are made by ``mistakes``. Each log of a job has
two rounds of everything, both board tests, and for half of the cars one teardown with its move and its
readings (for a slip in turning, always). A log of a first visit has two rounds of everything but boards, and
the wheels weighed once; the loads are then not given. A slip is one person's one mistake: one reading, or
left and right of one kind in one pose, or one board, or one move. A slip counts as told when the doubt that
leads the list names an entry that is wrong and what is wrong with it; mere presence further down is counted
apart.
"""

import copy
from collections.abc import Callable
from dataclasses import dataclass

from shop import mistakes, papers, scenario
from shop.car import as_found, stream, turned
from shop.fleet import draw
from shop.mechanic import Mechanic, hire
from shop.mistakes import ONCE
from shop.teeth import fewest, turn_deg
from shop.thumb import knows_all

__all__ = [
    "AT_THE_CAR",
    "CLEAN",
    "FIRST_VISIT",
    "FURTHER",
    "KINDS",
    "ONCE",
    "ORDER",
    "Slip",
    "Verdict",
    "first_log",
    "judge",
    "log_of",
    "study",
    "with_slip",
]

KINDS = ("sign flipped", "inches for millimetres", "datum missing", "sides swapped", "tooth")
FURTHER = (
    "decimal point lost",
    "digits swapped",
    "value typed twice",
    "board under the other tyre",
    "board in inches",
    "two teeth",
    "other side turned",
    "turned the wrong way",
)
FIRST_VISIT = ("a height in inches", "both heights in inches", "both loads in pounds")
GUESSES = {
    ONCE: "sides swapped",
    "a height in inches": "inches for millimetres",
    "both heights in inches": "inches for millimetres",
    "both loads in pounds": "pounds for kilograms",
}
"""The answer's word for a kind that is not called by it."""
ORDER = (*KINDS, ONCE, *FURTHER, *FIRST_VISIT)
"""Each kind's stream of draws, by its place; new kinds go to the end."""
CLEAN = ("clean", "clean first visit")
AT_THE_CAR = ("tooth", "two teeth", "other side turned", "turned the wrong way")
PITCH_DEG = 3.0
"""Spread of the body's pitch in the slip study, [deg]: a datum worth forgetting is at least 3 degrees."""
TURN_TELLS_DEG = 2.0
"""A turn this far from the one logged is one that a person could tell."""
SIDES, ENDS = ("left", "right"), ("inner", "outer")
Teeth = list[tuple[int, int]]


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
    seed: int, *, moved: bool, done: Callable[[Teeth], Teeth] | None = None
) -> tuple[list[dict], Mechanic]:
    """A rich log of one car; ``moved`` adds a teardown. ``done`` says what is truly turned of the teeth
    (inner, outer) of the left and the right side that the log will name.
    """
    car = draw(seed)
    mechanic = hire(car, board_rounds=2, always_datum=True, pitch_deg=PITCH_DEG)
    state = as_found(car)
    log = mechanic.log(state, "boards")
    if moved:
        teeth = _planned(seed)
        state = turned(car, state, [turn_deg(pair, car.teeth) for pair in (done(teeth) if done else teeth)])
        left, right = ({"inner": i, "outer": o} for i, o in teeth)
        log.append({"kind": "move", "teardown": 1, "left": left, "right": right})
        log += mechanic.log(state, "plain")
    return log, mechanic


def _planned(seed: int) -> Teeth:
    car = draw(seed)
    return [fewest(round(t / car.step_deg), car.teeth) for t in knows_all(car, as_found(car))]


def first_log(seed: int) -> tuple[list[dict], Mechanic]:
    car = draw(seed)
    mechanic = hire(car, always_datum=True, pitch_deg=PITCH_DEG)
    state = as_found(car)
    return [*mechanic.log(state, "plain"), *mechanic.weighed(state)], mechanic


def _at_the_car(seed: int, kind: str, rng) -> tuple[list[dict], Slip, Mechanic] | None:
    """What was turned is not what the log says."""
    counts, teeth = draw(seed).teeth, _planned(seed)
    side, end, way = int(rng.integers(2)), int(rng.integers(2)), int(rng.choice([-1, 1]))
    slip = Slip(kind, ())
    if kind in ("tooth", "two teeth"):
        more = way * (1 if kind == "tooth" else 2)
        pair = list(teeth[side])
        pair[end] += more
        done = [(pair[0], pair[1]) if s == side else teeth[s] for s in (0, 1)]
        slip = Slip(kind, (), SIDES[side], ENDS[end], float(pair[end]), more)
    elif kind == "other side turned":
        done = [teeth[1], teeth[0]]
    else:
        # Half of them on one side only, as where the two sides mirror each other.
        done = [(-i, -o) if s == side or way > 0 else (i, o) for s, (i, o) in enumerate(teeth)]
    if kind not in ("tooth", "two teeth"):
        off = [turn_deg(done[s], counts) - turn_deg(teeth[s], counts) for s in (0, 1)]
        if max(map(abs, off)) < TURN_TELLS_DEG:
            return None
    log, mechanic = log_of(seed, moved=True, done=lambda _: done)
    slip.indexes = (next(i for i, e in enumerate(log) if e["kind"] == "move"),)
    return log, slip, mechanic


def with_slip(seed: int, kind: str) -> tuple[list[dict], Slip, Mechanic] | None:
    """A log with one slip of the kind; None where this car's log offers no place for it."""
    rng = stream(seed, 6, ORDER.index(kind))
    moved = bool(rng.random() < 0.5)
    if kind in AT_THE_CAR:
        return _at_the_car(seed, kind, rng)
    log, mechanic = first_log(seed) if kind in FIRST_VISIT else log_of(seed, moved=moved)
    log = copy.deepcopy(log)
    places = mistakes.places(log, kind)
    if not places:
        return None
    where = places[int(rng.integers(len(places)))]
    slip = Slip(kind, where, truth=float(log[where[0]]["value"]))
    mistakes.make(log, where, kind, rng)
    return log, slip, mechanic


def _request(kind: str, log: list[dict], mechanic: Mechanic) -> dict:
    """Of a first visit bar and arm are known, and no more."""
    asked = mechanic.request(log)
    if kind in FIRST_VISIT or kind == CLEAN[1]:
        asked["car"] = papers.facts(mechanic.car, (scenario.BAR, scenario.ARM))
    return asked


def _right(doubt: dict, slip: Slip) -> bool:
    if doubt["log_index"] not in slip.indexes:
        return False
    if slip.kind not in ("tooth", "two teeth"):
        named = GUESSES.get(slip.kind, slip.kind)
        # A height whose point was lost and one typed in centimetres are the same figure, put right in the same way.
        alike = slip.kind == "decimal point lost" and doubt["guess"] == "centimetres for millimetres"
        return bool(doubt["guess"] == named) or alike
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


def study(seed: int, solve: Callable[[dict], dict], kinds: tuple[str, ...] = (*KINDS, ONCE)) -> list[Verdict]:
    """One car's clean log, and one log for each slip of these kinds that has a place in it.

    With kinds of the first visit its clean log is studied too.
    """
    moved = bool(stream(seed, 7).random() < 0.5)
    log, mechanic = log_of(seed, moved=moved)
    verdicts = [judge(seed, CLEAN[0], _request(CLEAN[0], log, mechanic), None, solve)]
    if any(kind in FIRST_VISIT for kind in kinds):
        log, mechanic = first_log(seed)
        verdicts.append(judge(seed, CLEAN[1], _request(CLEAN[1], log, mechanic), None, solve))
    for kind in kinds:
        made = with_slip(seed, kind)
        if made is not None:
            log, slip, mechanic = made
            verdicts.append(judge(seed, kind, _request(kind, log, mechanic), slip, solve))
    return verdicts
