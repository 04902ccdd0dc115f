"""The count of jobs on other layouts: rates, chances predicted and come true, ends drawn. Says no why."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from shop.adjusting import Job, Step

__all__ = ["Count", "count", "steps"]


@dataclass
class Count:
    """Shares of all jobs, errors counted as not on target; chances are of first plans and of second plans asked of
    every car.
    """

    jobs: int
    first: float
    by_second: float
    in_one_teardown: float
    opened: float
    """Jobs whose first plan draws any splined end."""
    inner: float
    """Jobs whose first plan draws an inner end, of those that draw any."""
    inner_sides: float
    """The same by side."""
    inner_jobs: float
    """Of all jobs, those whose first plan draws an inner end."""
    plans: int
    promised: float
    kept: float
    sure: int
    """Plans that promise 0.8 or more."""
    sure_promised: float
    sure_kept: float
    around: int
    """Plans that promise 0.7 to 0.9."""
    around_promised: float
    around_kept: float
    z_mean: float
    z_sd: float
    """Heights as they came against those promised, by their spreads."""
    doubted: float
    withheld: float
    errors: list[str]


def steps(jobs: list[Job]) -> list[Step]:
    """First plans and second plans of every job that got so far."""
    return [step for job in jobs for step in (job.first, job.after) if step is not None]


def _mean(values: Iterable[float]) -> float:
    values = list(values)
    return math.fsum(values) / len(values) if values else math.nan


def count(jobs: list[Job]) -> Count:
    """Count a season of one layout, or of several."""
    plans = steps(jobs)
    first = [job.first for job in jobs if job.first is not None]
    opened = [step for step in first if step.opened]
    sure = [p for p in plans if p.odds >= 0.8]
    around = [p for p in plans if 0.7 <= p.odds < 0.9]
    z = [
        (p.stood_mm[s] - p.promised_mm[s]) / p.promised_sd_mm[s]
        for p in plans
        for s in (0, 1)
        if p.promised_sd_mm[s] > 0.0
    ]
    mean = _mean(z)
    return Count(
        jobs=len(jobs),
        first=_mean(job.first is not None and job.first.landed for job in jobs),
        by_second=_mean(job.by_second for job in jobs),
        in_one_teardown=_mean(job.in_one_teardown for job in jobs),
        opened=_mean(step.opened for step in first),
        inner=_mean(step.inner > 0 for step in opened),
        inner_sides=_mean(bool(pair[0]) for step in opened for pair in step.teeth),
        inner_jobs=_mean(step.inner > 0 for step in first),
        plans=len(plans),
        promised=_mean(p.odds for p in plans),
        kept=_mean(p.landed for p in plans),
        sure=len(sure),
        sure_promised=_mean(p.odds for p in sure),
        sure_kept=_mean(p.landed for p in sure),
        around=len(around),
        around_promised=_mean(p.odds for p in around),
        around_kept=_mean(p.landed for p in around),
        z_mean=mean,
        z_sd=math.sqrt(_mean((v - mean) ** 2 for v in z)) if z else math.nan,
        doubted=_mean(bool(p.doubts) for p in plans),
        withheld=_mean(p.withheld for p in plans),
        errors=[f"{job.name}, seed {job.seed}: {job.error}" for job in jobs if job.error],
    )
