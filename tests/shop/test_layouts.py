"""Jobs on other layouts, on seeds the product was never tuned on: what the adjusters' plans come to.

Bounds allow for chance as in ``test_season``; ``bench_layouts`` is the large version. Goals: product goals, no
source.
"""

import math

import pytest

from shop.adjusters import Screw
from shop.adjusting import Job, play
from shop.bands import least, most
from shop.bench_layouts import planned
from shop.layout_tally import count, steps
from shop.layout_thumb import by_rule, knows_all, outer_lands, outer_reaches
from shop.layouts import LAYOUTS, made

JUDGING = 1_000_000
JOBS = {"front": (30, 200), "transverse": (20, 120), "plate": (30, 200), "cam": (15, 120), "beam": (15, 160),
        "unmeasured": (20, 200)}  # fmt: skip
"""How many in every run, and with ``--long``: every bound follows the count. Of 20 a goal of 0.97 lets 17
suffice."""
SWAPPED = 25


@pytest.fixture(scope="module")
def played(long):
    held: dict[str, list[Job]] = {}

    def of(name: str) -> list[Job]:
        if name not in held:
            held[name] = [play(name, JUDGING + i, planned) for i in range(JOBS[name][long])]
        return held[name]

    return of


@pytest.mark.parametrize("name", LAYOUTS)
def test_no_job_on_another_layout_is_refused(name, played):
    assert count(played(name)).errors == []


@pytest.mark.parametrize("name", ["front", "transverse"])
def test_screws_bring_a_front_axle_right_after_two_settlings_at_most(name, played):
    counted = count(played(name))
    assert counted.by_second >= least(0.97, counted.jobs)


@pytest.mark.parametrize("name", ["plate", "cam"])
def test_an_adjuster_at_the_rear_leaves_no_second_teardown(name, played):
    counted = count(played(name))
    assert counted.in_one_teardown >= least(0.97, counted.jobs)


def test_with_an_eccentric_inner_ends_are_drawn_where_outer_teeth_do_not_reach(played):
    # With 1.7 degrees either way. Derived: outer teeth and such an eccentric reach 0.42 of turns that are evenly
    # spread, fewer of the season's (rises of 15 to 50 mm are 2 to 7 degrees): of 300 jobs 0.71 need an inner end
    # even for someone who knows the true car and uses the whole tolerance.
    reached, beyond, jobs, needed = [], [], 0, 0
    for job in played("plate"):
        case = made("plate", job.seed)
        assert job.first is not None
        jobs += job.first.inner > 0
        needed += not outer_lands(case)
        for s in (0, 1):
            drawn = bool(job.first.teeth[s][0])
            (reached if outer_reaches(case, s, 0.4) else beyond).append(drawn)
    assert sum(reached) <= most(0.03, len(reached)) * len(reached)
    share = 0.42 * sum(reached) / len(reached) + 0.58 * sum(beyond) / len(beyond)
    assert share <= most(0.50, len(reached) + len(beyond))
    # Some of what that one uses is not to be had: friction, setting, and what readings leave open.
    every = len(played("plate"))
    assert jobs / every <= most(needed / every + 0.12, every)


@pytest.mark.parametrize("name", LAYOUTS)
def test_of_chances_given_as_many_come_true(name, played):
    counted = count(played(name))
    spread = 2.58 * math.sqrt(counted.promised * (1.0 - counted.promised) / counted.plans)
    assert counted.kept >= counted.promised - 0.05 - spread
    assert counted.sure_kept >= least(0.80, counted.sure)


def test_of_chances_of_eighty_in_a_hundred_eight_in_ten_come_true(played):
    counted = count([job for name in LAYOUTS for job in played(name)])
    assert counted.around > 30
    assert counted.around_kept >= least(counted.around_promised - 0.05, counted.around)


@pytest.mark.parametrize("name", LAYOUTS)
def test_heights_come_out_as_far_off_as_their_spread_says(name, played):
    counted = count(played(name))
    # Two heights of one plan go together somewhat: so many plans tell the spread to 1 / sqrt(2 plans) at least.
    chance = 2.58 / math.sqrt(2.0 * counted.plans)
    assert counted.z_sd < 1.1 + chance
    assert abs(counted.z_mean) < 0.2 + chance * math.sqrt(2.0)


def test_no_screw_is_asked_for_more_turns_than_it_has_left(played):
    for name in ("front", "transverse"):
        for job in played(name):
            for s, screw in enumerate(made(name, job.seed).adjusters):
                at = 0.0
                for step in (job.first, job.after):
                    if step is not None:
                        at += step.turns[s]
                        assert isinstance(screw, Screw)
                        assert screw.kept(at) == pytest.approx(at, abs=1.0 / 12.0), (name, job.seed)


def test_a_front_axle_with_thread_enough_opens_no_spline(played):
    for job in played("front"):
        if "bar" not in made("front", job.seed).facts:
            assert not any(step.opened or step.in_degrees for step in steps([job]))


def test_screws_that_nobody_measured_are_turned_read_and_turned_again_before_a_bar_is_drawn(played):
    counted = count(played("unmeasured"))
    assert not any(step.opened or step.in_degrees for step in steps(played("unmeasured")))
    assert counted.by_second >= least(0.95, counted.jobs)


def test_plans_for_screws_beat_the_rule_of_thumb(played):
    ruled = count([play("front", job.seed, by_rule) for job in played("front")])
    counted = count(played("front"))
    assert counted.first > ruled.first
    assert counted.by_second > ruled.by_second + 0.1


def test_someone_who_knows_the_car_needs_two_settlings_at_most():
    # What no planner can do much better than; the season itself, without the product.
    for name in ("front", "beam"):
        jobs = [play(name, JUDGING + i, knows_all(name, JUDGING + i)) for i in range(60)]
        assert count(jobs).by_second >= least(0.985, 60)


def test_screws_that_were_swapped_are_noticed_or_put_right_by_the_next_plan():
    # The slip that bars across the car invite: the left wheel's screw is on the right. A run of 60 tuning seeds
    # named it in 35 of the 47 whose turns differed by more than two, and noticed or put right 38; no goal was
    # set.
    jobs = [play("transverse", JUDGING + i, planned, swapped=True) for i in range(SWAPPED)]
    assert count(jobs).errors == []
    told = []
    for job in jobs:
        assert job.first is not None
        if abs(job.first.turns[0] - job.first.turns[1]) > 2.0:
            assert job.after is not None
            told.append("adjusters swapped" in job.after.doubts or job.after.landed)
    assert len(told) > SWAPPED / 2
    assert sum(told) / len(told) >= least(0.75, len(told))
