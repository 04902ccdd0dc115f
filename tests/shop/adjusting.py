"""A job on a car of another layout: read, planned, adjusted as the plan says, judged; read and planned again.

Owns the mechanic's readings and work, the order of the job and what came of it. The solver is passed in. The
car is ``layouts``'. What the mechanic does as on other cars is as in ``mechanic``: gauge 0.2 degrees with a
datum (0.28), tape 1.5 mm, two rounds, half of them settle the car between rounds. Beyond that, common practice,
no source:

- heights of two points on arm and pivot 1.0 mm off, a bolt's length 0.5 mm (standard deviations, as they are
sent);
- turns are counted to a twelfth; in 2 of 100 adjustments one wheel's count is off by one turn, and nobody
knows;
- an eccentric is set within 2 degrees of its mark (standard deviation); its middle was found within 2.5;
- the settling that is judged is the first after the work, and the one the next readings begin with;
- after work on splines bushes are clamped anew; screws and eccentrics leave them.

``swapped``: the first adjustment is made at the wrong screws, left for right: what bars across the car invite.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from shop.adjusters import Eccentric, Notches, Screw
from shop.axle import stands
from shop.car import Pose, clamped_anew, stream
from shop.layouts import Case, Found, made
from shop.teeth import turn_deg

__all__ = ["Job", "Step", "play", "readings", "worked"]

Solve = Callable[[dict], dict]
SIDES = ("left", "right")
GAUGE_DEG, TAPE_MM, POINTS_MM, BOLT_MM, SET_DEG = 0.28, 1.5, 1.0, 0.5, 2.0
MISCOUNTS = 0.02
TWELFTH = 12.0


@dataclass
class Step:
    """One plan as followed: chance, what was turned, heights promised and come, [mm]."""

    label: str
    odds: float
    teeth: tuple[tuple[int, int], tuple[int, int]]
    turns: tuple[float, float]
    promised_mm: tuple[float, float]
    promised_sd_mm: tuple[float, float]
    stood_mm: tuple[float, float]
    landed: bool
    doubts: tuple[str, ...]
    withheld: bool
    miscounted: bool = False
    in_degrees: bool = False
    """The plan turns splines that nobody has counted; nothing was done."""

    @property
    def opened(self) -> bool:
        """Whether a splined end was drawn: a teardown."""
        return any(map(any, self.teeth))

    @property
    def inner(self) -> int:
        """Inner ends drawn."""
        return sum(bool(pair[0]) for pair in self.teeth)


@dataclass
class Job:
    """What came of one job.

    ``after`` is the second plan, asked of every car: a chance can only be judged on cars that were not picked
    by their outcome.
    """

    name: str
    seed: int
    first: Step | None = None
    after: Step | None = None
    error: str = ""
    requests: list[dict] = field(default_factory=list)

    @property
    def by_second(self) -> bool:
        """On target after the first or the second settling."""
        return self.first is not None and (
            self.first.landed or (self.after is not None and self.after.landed)
        )

    @property
    def in_one_teardown(self) -> bool:
        """On target after one teardown, with no more than one correction by the adjuster alone."""
        if self.first is None:
            return False
        return self.first.landed or (self.after is not None and self.after.landed and not self.after.opened)


def _settled(case: Case, found: Found, which: int, board_mm=(0.0, 0.0)) -> Pose:
    """Where the car stands at one of its settlings."""
    rng = stream(case.seed, 21, found.stage, which)
    band = case.axle.friction * 1e3
    off = rng.uniform(-band, band, 2)
    return stands(
        case.axle, found.hanging, found.clamped, board_mm=board_mm, settle_mm=(float(off[0]), float(off[1])),
        uneven_mm=float(case.axle.restless * 1e3 * rng.normal()),
    )  # fmt: skip


def readings(case: Case, found: Found) -> list[dict]:
    """The log of one visit to the floor, as the car stands there."""
    noise = stream(case.seed, 22, found.stage)
    anew = bool(stream(case.seed, 23).random() < 0.5)
    board = float(round(stream(case.seed, 24).uniform(40.0, 60.0)))
    out: list[dict] = []
    boards = [(0.0, 0.0)]
    if case.boards and not found.stage:
        boards += [(board, 0.0), (0.0, board)]
    if "hanging-angle" in case.kinds and found.opened:
        for _ in range(case.rounds):
            for s in (0, 1):
                _add(out, found, noise, "hanging-angle", s, math.degrees(found.hanging[s]), GAUGE_DEG)
    for n, under in enumerate(boards):
        for turn in range(case.rounds):
            pose = _settled(case, found, 10 * n + (turn if anew else 0), under)
            begun = len(out)
            for s in (0, 1):
                if n == 0 or "riding-angle" in case.kinds:
                    _stand(out, case, found, noise, s, pose)
            for entry in out[begun:]:
                if anew:
                    entry["resettled"] = turn
                if any(under):
                    entry["pose"] = {"board_left_mm": under[0], "board_right_mm": under[1]}
    return out


def _stand(out: list[dict], case: Case, found: Found, noise, s: int, pose: Pose) -> None:
    """What is read of one side of a standing car."""
    if "riding-angle" in case.kinds:
        _add(out, found, noise, "riding-angle", s, math.degrees(pose.riding[s]), GAUGE_DEG)
    _add(out, found, noise, "body-height", s, pose.height[s] * 1e3, TAPE_MM)
    if "arm-difference" in case.kinds:
        true = case.span_mm * math.sin(pose.riding[s] + case.aslant[s])
        _add(out, found, noise, "arm-difference", s, true, POINTS_MM)
    screw = case.adjusters[s]
    if "bolt-length" in case.kinds and isinstance(screw, Screw):
        # From some face of the anchor: the two sides differ.
        true = 60.0 + 7.0 * s + screw.pitch * 1e3 * found.turns[s]
        _add(out, found, noise, "bolt-length", s, true, BOLT_MM)


def _add(out: list[dict], found: Found, noise, what: str, s: int, true: float, sd: float) -> None:
    value = true + noise.normal(0.0, sd)
    digits = 0 if what == "body-height" else 1
    entry = {
        "kind": "reading",
        "what": what,
        "side": SIDES[s],
        "value": round(float(value), digits),
        "sd": sd,
    }
    out.append(entry | {"teardown": found.stage})


def _set(case: Case, found: Found, s: int, turns: float, miscount: float, rng) -> float:
    """Position of an adjuster after so many turns were asked of it, as it truly comes."""
    adjuster = case.adjusters[s]
    if isinstance(adjuster, Eccentric):
        return found.turns[s] + turns + (float(rng.normal(0.0, SET_DEG)) / 360.0 if turns else 0.0)
    if isinstance(adjuster, Notches):
        return adjuster.kept(found.turns[s] + turns)
    return adjuster.kept(found.turns[s] + turns + (miscount if turns else 0.0))


def worked(case: Case, found: Found, teeth, turns, *, swapped: bool = False) -> tuple[Found, bool]:
    """The car after the work, and whether a count went wrong that nobody knows of."""
    rng = stream(case.seed, 25, found.stage)
    wrong, which, way = rng.random() < MISCOUNTS, int(rng.integers(2)), float(rng.choice([-1.0, 1.0]))
    wrong = bool(wrong and isinstance(case.adjusters[0], Screw) and any(turns))
    if swapped:
        turns = turns[::-1]
    hanging, at = [], []
    for s in (0, 1):
        at.append(_set(case, found, s, turns[s], way if wrong and which == s else 0.0, rng))
        angle = case.adjusters[s].angle(at[s]) - case.adjusters[s].angle(found.turns[s])
        if case.teeth is not None:
            angle += math.radians(turn_deg(teeth[s], case.teeth))
        hanging.append(found.hanging[s] + angle)
    clamped, stage = list(found.clamped), found.stage + 1
    if case.car is not None:
        # An eccentric turns the outer plate on the inner one, which keeps the bush.
        clamped = [
            clamped[s] + case.adjusters[s].angle(at[s]) - case.adjusters[s].angle(found.turns[s])
            for s in (0, 1)
        ]
        if any(map(any, teeth)):
            anew = clamped_anew(case.car, stage)
            clamped = [anew[s] + case.adjusters[s].angle(at[s]) for s in (0, 1)]
    then = Found(
        (hanging[0], hanging[1]), (clamped[0], clamped[1]), (at[0], at[1]), stage, any(map(any, teeth))
    )
    return then, wrong


def _asked(case: Case, said: dict) -> tuple[tuple[int, int], float, bool]:
    """Teeth and turns that a side of an option asks for, and whether it asks for degrees of uncounted splines."""
    turns = float(said.get("turns") or 0.0)
    if isinstance(case.adjusters[0], Screw):
        turns = round(turns * TWELFTH) / TWELFTH
    if said["inner"] is None or said["outer"] is None:
        return (0, 0), turns, bool(said["turn_deg"]) and not turns
    return (int(said["inner"]), int(said["outer"])), turns, False


def _follow(case: Case, found: Found, answer: dict, *, swapped: bool = False) -> tuple[Found, Step, dict]:
    """Do what the first option says; the car after it, the plan against what came, and the log's move."""
    option = answer["options"][0]
    asked = [_asked(case, option[name]) for name in SIDES]
    teeth = (asked[0][0], asked[1][0])
    turns = (asked[0][1], asked[1][1])
    wrong = False
    move: dict = {}
    if any(turns) or any(map(any, teeth)):
        then, wrong = worked(case, found, teeth, turns, swapped=swapped)
        pose = _settled(case, then, 0)
        move = {"kind": "move", "teardown": then.stage}
        for s, name in enumerate(SIDES):
            move[name] = {"inner": teeth[s][0], "outer": teeth[s][1]}
            if turns[s]:
                move[name]["turns"] = turns[s]
    else:
        then, pose = found, _settled(case, found, 99)
    stood = (pose.height[0] * 1e3, pose.height[1] * 1e3)
    promised = [option[name].get("body_height_mm") or {"value": math.nan, "sd": 0.0} for name in SIDES]
    step = Step(
        label=option["label"],
        odds=float(option["odds"]),
        teeth=teeth,
        turns=turns,
        promised_mm=(promised[0]["value"], promised[1]["value"]),
        promised_sd_mm=(promised[0]["sd"], promised[1]["sd"]),
        stood_mm=stood,
        landed=case.lands(stood),
        doubts=tuple(str(doubt.get("guess") or "") for doubt in answer["doubts"]),
        withheld=bool(move) and not option["recommended"],
        miscounted=wrong,
        in_degrees=any(a[2] for a in asked),
    )
    return then, step, move


def play(name: str, seed: int, solve: Solve, *, swapped: bool = False, keep: bool = False) -> Job:
    """One job by its layout and seed, planned twice. ``keep`` leaves the requests in it."""
    case = made(name, seed)
    job = Job(name, seed)
    log = readings(case, case.found)
    try:
        for stage in (0, 1):
            request = {"car": case.facts, "target": case.target, "log": log}
            if keep:
                job.requests.append(request)
            found, step, move = _follow(case, case.found, solve(request), swapped=swapped and not stage)
            if stage:
                job.after = step
                break
            job.first = step
            if not move:
                # Nothing was done: read once more, as the car stands now.
                break
            case = replace(case, found=found)
            log = [*log, move, *readings(case, found)]
    except Exception as problem:  # whatever the planner raises is this job's outcome, and is reported
        job.error = f"{type(problem).__name__}: {problem}"
    return job
