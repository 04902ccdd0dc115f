"""A season: each car planned, torn down, judged; then, where it did not land, planned and torn down once
more.

Owns the order of the job. ``solve`` is passed in, so that any planner can be judged; the mechanic follows
its first option to the tooth, or, where no tooth is counted yet, to the step of the true bars nearest to
the turn in degrees. A car lands when its true heights, settled once after the teardown, are within
tolerance on both sides and in lean. The first settling after a teardown is the one that is judged, and the
one the readings for the second plan begin with. What the car, the log and the request are like is the
scenario's (``scenario``, ``awkward``); counting is ``tally``'s.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from shop import scenario, teeth, thumb
from shop.awkward import Case, made
from shop.car import Car, State, as_found, clamped_anew, settling_mm, turned
from shop.judge import Wish, as_usual, heights_read

__all__ = ["Outcome", "Plan", "asks_to_turn", "follow", "move_entry", "play"]

Solve = Callable[[dict], dict]
ANOTHER_SETTLING = 99
SIDES = ("left", "right")


@dataclass
class Plan:
    """A first option as followed: teeth, odds, heights promised, and how the car then truly stood, [mm]."""

    odds: float
    turn_deg: tuple[float, float]
    teeth: tuple[tuple[int, int], tuple[int, int]]
    promised_mm: tuple[float, float]
    promised_sd_mm: tuple[float, float]
    stood_mm: tuple[float, float]
    settled_by_mm: tuple[float, float]
    clamped_by_mm: tuple[float, float]
    landed: bool
    doubts: int
    withheld: bool = False
    """Not recommended, although it turns something."""
    in_degrees: bool = False
    past_stop: bool = False
    """Left an arm standing beyond the true stop."""
    lean_mm: tuple[float, float] = (math.nan, math.nan)
    """Lean promised and its standard deviation, left less right."""

    @property
    def turns(self) -> bool:
        """Whether anything was turned."""
        return any(map(any, self.teeth))


@dataclass
class Outcome:
    """One car's season.

    ``plans`` holds one plan, or two where the first did not land; none after an error. ``after`` is the
    second plan asked of every car that was torn down, landed or not: odds can only be judged on cars that
    were not picked by their outcome. A car whose heights are truly just outside and read just inside is
    told to be left alone, rightly by what was read, and counts as missed among the picked ones.
    """

    seed: int
    job: str
    teeth: tuple[int, int]
    target_mm: tuple[float, float]
    plans: list[Plan] = field(default_factory=list)
    error: str = ""
    outer_only: bool = False
    both_ends: bool = False
    knows_all: bool = False
    drawn: dict = field(default_factory=dict)
    reads_datum: bool = True
    after: Plan | None = None
    scenario: str = ""

    @property
    def first(self) -> bool:
        return bool(self.plans) and self.plans[0].landed

    @property
    def second(self) -> bool:
        """Landed at the first or the second teardown."""
        return any(plan.landed for plan in self.plans)


def _figure(option: dict, side: int, wish: Wish) -> tuple[float, float]:
    """Height promised and its standard deviation; from the rise where the mark was never read."""
    said = option[SIDES[side]]
    if said.get("body_height_mm"):
        return float(said["body_height_mm"]["value"]), float(said["body_height_mm"]["sd"])
    return wish.base_mm[side] + float(said["rise_mm"]["value"]), float(said["rise_mm"]["sd"])


def _teeth(option: dict, car: Car) -> tuple[tuple[tuple[int, int], ...], bool]:
    """Whole teeth that are turned, and whether the plan was in degrees."""
    found, degrees = [], False
    for name in SIDES:
        said = option[name]
        if said["inner"] is None or said["outer"] is None:
            degrees = True
            found.append(teeth.fewest(teeth.nearest_step(float(said["turn_deg"]), car.teeth), car.teeth))
        else:
            found.append((int(said["inner"]), int(said["outer"])))
    return tuple(found), degrees


def asks_to_turn(option: dict) -> bool:
    """Whether an option turns anything at all."""
    for name in SIDES:
        said = option[name]
        if said["inner"] or said["outer"] or (said["inner"] is None and said["turn_deg"]):
            return True
    return False


def follow(car: Car, state: State, answer: dict, wish: Wish | None = None) -> tuple[State, Plan]:
    """Do what the first option says; the car after it, and the plan against what came.

    "Leave it" turns nothing: no teardown, the bushes stay as they are, the car is rolled and settles once
    more. Without a wish the car's own target is meant.
    """
    wish = wish or as_usual(car)
    option = answer["options"][0]
    done, in_degrees = _teeth(option, car)
    turn = tuple(teeth.turn_deg(pair, car.teeth) for pair in done)
    if any(any(pair) for pair in done):
        then, which = turned(car, state, turn), 0
    else:
        then, which = state, ANOTHER_SETTLING
    stands = wish.stood(car, then, settling_mm(car, then.teardown, which))
    stood = [h * 1e3 for h in stands.height]
    still = [h * 1e3 for h in wish.stood(car, then).height]
    before = wish.stood(car, State(then.hanging, clamped_anew(car, 0), then.teardown))
    promised = [_figure(option, s, wish) for s in (0, 1)]
    lean = option.get("lean_mm") or {}
    plan = Plan(
        odds=float(option["odds"]),
        turn_deg=turn,
        teeth=done,
        promised_mm=(promised[0][0], promised[1][0]),
        promised_sd_mm=(promised[0][1], promised[1][1]),
        stood_mm=(stood[0], stood[1]),
        settled_by_mm=(stood[0] - still[0], stood[1] - still[1]),
        clamped_by_mm=(still[0] - before.height[0] * 1e3, still[1] - before.height[1] * 1e3),
        landed=wish.lands(stood),
        doubts=len(answer["doubts"]),
        withheld=not option.get("recommended", True) and asks_to_turn(option),
        in_degrees=in_degrees,
        past_stop=max(stands.riding) > math.radians(car.stop_deg),
        lean_mm=(float(lean.get("value", math.nan)), float(lean.get("sd", math.nan))),
    )
    return then, plan


def move_entry(plan: Plan, teardown: int) -> dict:
    """The log's entry for a plan that was followed; in teeth, since they were counted as it was done."""
    left, right = ({"inner": i, "outer": o} for i, o in plan.teeth)
    return {"kind": "move", "teardown": teardown, "left": left, "right": right}


def _job(case: Case, log: list[dict], solve: Solve, outcome: Outcome) -> None:
    car, state = case.car, as_found(case.car)
    wish = case.wish(log)[1]
    answer = solve(case.request(log))
    if case.scene.last_look and asks_to_turn(answer["options"][0]):
        log = [*log, *case.mechanic.arms_free(state)]
        answer = solve(case.request(log, counted=True))
    state, plan = follow(car, state, answer, wish)
    outcome.plans.append(plan)
    if not state.teardown or not case.scene.reads:
        return
    log = [*log, move_entry(plan, 1), *case.mechanic.log(state, "plain", case.again)]
    outcome.after = follow(car, state, solve(case.request(log, counted=True)), wish)[1]
    if not plan.landed:
        outcome.plans.append(outcome.after)


def play(
    seed: int, name: str, solve: Solve | None, *, friction: float = 1.0, board_rounds: int | None = None
) -> Outcome:
    """One car of the scenario of that name, by every planner; ``solve`` None leaves the product out.

    ``friction`` widens or narrows every usual band of settling; ``board_rounds`` overrides the scenario's.
    """
    scene = scenario.of(name, seed)
    if board_rounds is not None and scene.board_rounds:
        scene = replace(scene, board_rounds=board_rounds)
    case = made(seed, scene, friction=friction)
    car, found = case.car, as_found(case.car)
    log = case.first_log()
    wish = case.wish(log)[1]
    read = heights_read(log) or wish.base_mm
    outcome = Outcome(seed=seed, job=car.job, teeth=car.teeth, target_mm=wish.target_mm, drawn=car.drawn)
    outcome.scenario = scene.name
    outcome.reads_datum = case.mechanic.reads_datum
    outcome.outer_only = thumb.landed(car, found, thumb.outer_only(car, read, wish), wish)
    outcome.both_ends = thumb.landed(car, found, thumb.both_ends(car, read, wish), wish)
    outcome.knows_all = thumb.landed(car, found, thumb.knows_all(car, found, wish), wish)
    if solve is not None:
        try:
            _job(case, log, solve, outcome)
        except Exception as problem:  # whatever the planner raises is this car's outcome, and is reported
            outcome.error = f"{type(problem).__name__}: {problem}"
    return outcome
