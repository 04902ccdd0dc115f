"""A season: each car planned, torn down, judged; then, where it did not land, planned and torn down once
more.

Owns the order of the job and the count of outcomes. ``solve`` is passed in, so that any planner can be
judged; the mechanic follows its first option to the tooth. A car lands when its true heights, settled
once after the teardown, are within tolerance on both sides and in lean. The first settling after a
teardown is the one that is judged, and the one the readings for the second plan begin with.
"""

import itertools
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from shop import thumb
from shop.car import Car, State, as_found, clamped_anew, lands, rest, settling_mm, turned
from shop.fleet import draw
from shop.mechanic import Mechanic, hire

__all__ = ["Outcome", "Plan", "Report", "follow", "play", "report"]

Solve = Callable[[dict], dict]
ANOTHER_SETTLING = 99


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
    target_mm: float
    plans: list[Plan] = field(default_factory=list)
    error: str = ""
    outer_only: bool = False
    both_ends: bool = False
    knows_all: bool = False
    drawn: dict = field(default_factory=dict)
    reads_datum: bool = True
    after: Plan | None = None

    @property
    def first(self) -> bool:
        return bool(self.plans) and self.plans[0].landed

    @property
    def second(self) -> bool:
        """Landed at the first or the second teardown."""
        return any(plan.landed for plan in self.plans)


def follow(car: Car, state: State, answer: dict) -> tuple[State, Plan]:
    """Do what the first option says; the car after it, and the plan against what came.

    "Leave it" turns nothing: no teardown, the bushes stay as they are, the car is rolled and settles once
    more.
    """
    option = answer["options"][0]
    teeth = tuple((int(option[s]["inner"]), int(option[s]["outer"])) for s in ("left", "right"))
    inner, outer = (360.0 / n for n in car.teeth)
    turn = tuple(i * inner + o * outer for i, o in teeth)
    if any(any(pair) for pair in teeth):
        then, which = turned(car, state, turn), 0
    else:
        then, which = state, ANOTHER_SETTLING
    off = settling_mm(car, then.teardown, which)
    stood = [h * 1e3 for h in rest(car, then, settle_mm=off).height]
    still = [h * 1e3 for h in rest(car, then).height]
    before = rest(car, State(then.hanging, clamped_anew(car, 0), then.teardown))
    plan = Plan(
        odds=float(option["odds"]),
        turn_deg=turn,
        teeth=teeth,
        promised_mm=tuple(float(option[s]["body_height_mm"]["value"]) for s in ("left", "right")),
        promised_sd_mm=tuple(float(option[s]["body_height_mm"]["sd"]) for s in ("left", "right")),
        stood_mm=(stood[0], stood[1]),
        settled_by_mm=(stood[0] - still[0], stood[1] - still[1]),
        clamped_by_mm=(still[0] - before.height[0] * 1e3, still[1] - before.height[1] * 1e3),
        landed=lands(car, stood),
        doubts=len(answer["doubts"]),
    )
    return then, plan


def heights_read(log: list[dict], teardown: int = 0) -> tuple[float, float]:
    """Mean body heights as read on the wheels without boards, [mm]."""
    read: dict[str, list[float]] = {"left": [], "right": []}
    for entry in log:
        plain = entry["kind"] == "reading" and entry["what"] == "body-height" and not entry.get("pose")
        if plain and entry["teardown"] == teardown:
            read[entry["side"]].append(entry["value"])
    return math.fsum(read["left"]) / len(read["left"]), math.fsum(read["right"]) / len(read["right"])


def move_entry(plan: Plan, teardown: int) -> dict:
    """The log's entry for a plan that was followed."""
    left, right = ({"inner": i, "outer": o} for i, o in plan.teeth)
    return {"kind": "move", "teardown": teardown, "left": left, "right": right}


def _job(car: Car, mechanic: Mechanic, log: list[dict], solve: Solve, outcome: Outcome):
    state = as_found(car)
    state, plan = follow(car, state, solve(mechanic.request(log)))
    outcome.plans.append(plan)
    if not state.teardown:
        return
    log = [*log, move_entry(plan, 1), *mechanic.log(state, "plain")]
    outcome.after = follow(car, state, solve(mechanic.request(log)))[1]
    if not plan.landed:
        outcome.plans.append(outcome.after)


def play(
    seed: int, style: str, solve: Solve | None, *, friction: float = 1.0, board_rounds: int = 1
) -> Outcome:
    """One car of the season, by every planner; ``solve`` None leaves the product out."""
    car = draw(seed, friction=friction)
    mechanic = hire(car, board_rounds=board_rounds)
    found = as_found(car)
    log = mechanic.log(found, style)
    read = heights_read(log)
    outcome = Outcome(seed=seed, job=car.job, teeth=car.teeth, target_mm=car.target_mm, drawn=car.drawn)
    outcome.reads_datum = mechanic.reads_datum
    outcome.outer_only = thumb.landed(car, found, thumb.outer_only(car, read))
    outcome.both_ends = thumb.landed(car, found, thumb.both_ends(car, read))
    outcome.knows_all = thumb.landed(car, found, thumb.knows_all(car, found))
    if solve is not None:
        try:
            _job(car, mechanic, log, solve, outcome)
        except Exception as problem:  # whatever the planner raises is this car's outcome, and is reported
            outcome.error = f"{type(problem).__name__}: {problem}"
    return outcome


@dataclass
class Report:
    """Counts of one season. Rates are shares of all cars, errors counted as not landed."""

    cars: int
    first: float
    second: float
    outer_only: float
    both_ends: float
    knows_all: float
    promised: float
    """Mean odds of the first plans."""
    kept: float
    """Share of those that landed."""
    sure: int
    """First plans promised 0.8 or more."""
    sure_promised: float
    sure_kept: float
    promised_second: float
    """Mean odds of the second plans of cars that had truly missed: picked, so more is promised than kept."""
    kept_second: float
    seconds: int
    left_alone: int
    """How many of them said to leave it: off by the truth, on by what was read."""
    promised_after: float
    """Mean odds of second plans asked of every car."""
    kept_after: float
    doubted: float
    """Share of first plans with any doubt; the logs hold no slip."""
    table: list[tuple[float, float, int, float, float]]
    """(from, to, plans, mean promised, rate): first plans, and second plans asked of every car."""
    errors: list[str]


BINS = (0.0, 0.3, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0001)


def _mean(values: Iterable[float]) -> float:
    values = list(values)
    return math.fsum(values) / len(values) if values else math.nan


def report(outcomes: list[Outcome]) -> Report:
    """Count a season."""
    first = [o.plans[0] for o in outcomes if o.plans]
    second = [o.plans[1] for o in outcomes if len(o.plans) > 1]
    after = [o.after for o in outcomes if o.after]
    sure = [p for p in first if p.odds >= 0.8]
    table = []
    for low, high in itertools.pairwise(BINS):
        held = [p for p in first + after if low <= p.odds < high]
        if held:
            table.append(
                (low, min(high, 1.0), len(held), _mean(p.odds for p in held), _mean(p.landed for p in held))
            )
    return Report(
        cars=len(outcomes),
        first=_mean(o.first for o in outcomes),
        second=_mean(o.second for o in outcomes),
        outer_only=_mean(o.outer_only for o in outcomes),
        both_ends=_mean(o.both_ends for o in outcomes),
        knows_all=_mean(o.knows_all for o in outcomes),
        promised=_mean(p.odds for p in first),
        kept=_mean(p.landed for p in first),
        sure=len(sure),
        sure_promised=_mean(p.odds for p in sure),
        sure_kept=_mean(p.landed for p in sure),
        promised_second=_mean(p.odds for p in second),
        kept_second=_mean(p.landed for p in second),
        seconds=len(second),
        left_alone=sum(not any(map(any, p.teeth)) for p in second),
        promised_after=_mean(p.odds for p in after),
        kept_after=_mean(p.landed for p in after),
        doubted=_mean(p.doubts > 0 for p in first),
        table=table,
        errors=[f"seed {o.seed}: {o.error}" for o in outcomes if o.error],
    )
