"""The count of a season: rates, odds promised and kept, heights promised and reached.

Owns the figures of a list of outcomes; says nothing about why (``drivers``).
"""

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from shop import calibration
from shop.season import Outcome, Plan

__all__ = ["Part", "Promised", "Report", "parts", "promised", "report"]


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
    withheld: int
    """First plans not recommended, although they turn something; they are followed all the same."""
    nothing_turned: int
    """First plans that leave the car as it is."""
    past_stop: int
    """First plans that left an arm beyond its true stop."""
    brier: float
    """Brier score of the first plans."""
    heights: "Promised"
    """Heights promised by first plans, both sides, against what came."""
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
        left_alone=sum(not p.turns for p in second),
        promised_after=_mean(p.odds for p in after),
        kept_after=_mean(p.landed for p in after),
        doubted=_mean(p.doubts > 0 for p in first),
        withheld=sum(p.withheld for p in first),
        nothing_turned=sum(not p.turns for p in first),
        past_stop=sum(p.past_stop for p in first),
        brier=calibration.brier([p.odds for p in first], [p.landed for p in first]) if first else math.nan,
        heights=promised(first),
        table=table,
        errors=[f"seed {o.seed}: {o.error}" for o in outcomes if o.error],
    )


@dataclass
class Promised:
    """Standardised misses of promised heights: how many, mean, standard deviation, and how their transform
    falls into ten bins (uniform where the promise is right).
    """

    count: int
    z_mean: float
    z_sd: float
    bins: tuple[int, ...]


def promised(plans: list[Plan]) -> Promised:
    """Heights promised by plans, left and right, against how the cars then stood."""
    rows = [
        (plan.promised_mm[s], plan.promised_sd_mm[s], plan.stood_mm[s])
        for plan in plans
        for s in (0, 1)
        if plan.promised_sd_mm[s] > 0.0
    ]
    if len(rows) < 2:
        return Promised(len(rows), math.nan, math.nan, (0,) * calibration.BINS)
    found = calibration.pit(*np.array(rows).T)
    return Promised(len(rows), found.z_mean, found.z_sd, found.bins)


@dataclass
class Part:
    """One part of a mix: its cars, and first, second, promised and kept among them."""

    name: str
    cars: int
    first: float
    second: float
    promised: float
    kept: float


def parts(outcomes: list[Outcome], *, family: bool = False) -> list[Part]:
    """The season by scenario; ``family``: by the first word of its name."""
    held: dict[str, list[Outcome]] = {}
    for outcome in outcomes:
        name = outcome.scenario.split("-")[0] if family else outcome.scenario
        held.setdefault(name, []).append(outcome)
    found = []
    for name, rows in sorted(held.items()):
        plans = [o.plans[0] for o in rows if o.plans]
        found.append(
            Part(
                name,
                len(rows),
                _mean(o.first for o in rows),
                _mean(o.second for o in rows),
                _mean(p.odds for p in plans),
                _mean(p.landed for p in plans),
            )
        )
    return found
