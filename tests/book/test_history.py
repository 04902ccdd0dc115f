"""History across jobs, its CSV, and the calibration of the odds."""

import csv
import io

import numpy
import pytest
import scipy.stats

from book.pages import Page, an_id
from bothends.book import calibration, chance, folded, history, job_rows, jobs, log

TARGET = {"left_mm": 250.0, "right_mm": 250.0, "tolerance_mm": 5.0, "lean_mm": 5.0}


def done(number, odds, *, lands=True, car="Gannet roadster", follow=True, title="Level the rear"):
    page = Page(job=an_id(number), first=1000 * number)
    page.write("job", {"title": title, "car": car, "owner": "Maren"})
    page.write("target", TARGET)
    page.heights(214.0, 210.0)
    page.plan(1, odds, (-3, 4), target=TARGET)
    page.move(1, (-3, 4) if follow else (0, 4))
    page.heights(251.0 if lands else 260.0, 250.0, teardown=1)
    for entry in page.entries:
        entry["at"] = f"2026-{number:02d}-10T23:30:00+01:00"
    return page


def push(store, *pages):
    for page in pages:
        store.write(lambda db, p=page: log.append(db, p.entries))
    folded.catch_up(store.read, store.write)


def page_of(store, **how):
    return store.read(lambda db: history.page(db, **how))


def test_a_row_has_promise_and_outcome(store):
    push(store, done(1, 0.9))
    before, after = page_of(store)
    assert (before["teardown"], before["body_height_left_mm"], before["odds"]) == (0, 214.0, None)
    assert (after["odds"], after["promised_left_mm"], after["body_height_left_mm"]) == (0.9, 250.0, 251.0)
    assert (after["left_inner_teeth"], after["left_outer_teeth"], after["hit"], after["followed"]) == (
        -3,
        4,
        True,
        True,
    )
    assert (after["owner"], after["at"]) == ("Maren", "2026-01-10T22:30:00Z")


def test_history_comes_in_pages_by_time_without_gaps_or_repeats(store):
    push(store, *(done(n, 0.5) for n in (3, 1, 2)))
    found, after = [], None
    while rows := page_of(store, after=after, limit=2):
        found += [(row["job"], row["teardown"]) for row in rows]
        after = history.place(rows[-1])
    assert found == [(an_id(n), t) for n in (1, 2, 3) for t in (0, 1)]


def test_history_may_be_narrowed_to_a_car_and_to_days(store):
    push(store, done(1, 0.5), done(2, 0.5, car="Knot camper"), done(3, 0.5))
    assert {r["job"] for r in page_of(store, car="Knot camper / Maren")} == {an_id(2)}
    assert {r["job"] for r in page_of(store, car="gannet Roadster")} == {an_id(1), an_id(3)}
    assert page_of(store, car="Gan_et") == []
    assert {r["job"] for r in page_of(store, since="2026-02-10", until="2026-02-10")} == {an_id(2)}


def test_the_table_is_csv_with_units_in_the_heading_and_no_formulas(store):
    push(store, done(1, 0.9, title='=1+1 "hello"'))
    rows = list(csv.DictReader(io.StringIO(history.table(page_of(store)))))
    assert tuple(rows[0]) == history.COLUMNS
    assert rows[1]["title"] == '\'=1+1 "hello"'
    assert (rows[1]["left_inner_teeth"], rows[1]["hit"], rows[0]["odds"]) == ("-3", "true", "")


def test_odds_are_binned_against_what_came(store):
    push(
        store,
        done(1, 0.81),
        done(2, 0.89),
        done(3, 0.85, lands=False),
        done(4, 1.0),
        done(5, 0.2, lands=False),
        done(6, 0.9, follow=False),
    )
    found = store.read(calibration.calibration)
    counts = {(b["low"], b["high"]): (b["count"], b["landed"]) for b in found["bins"] if b["count"]}
    assert counts == {(0.2, 0.3): (1, 0), (0.8, 0.9): (3, 2), (0.9, 1.0): (1, 1)}
    assert found["all"]["count"] == 5
    assert found["all"]["brier"] == pytest.approx((0.19**2 + 0.11**2 + 0.85**2 + 0.0 + 0.2**2) / 5, rel=1e-12)
    assert (found["first_teardown"]["count"], found["first_teardown"]["landed"]) == (6, 4)
    assert found["height_error"]["count"] == 10
    assert found["height_error"]["mean_mm"] == pytest.approx((3 * 1.0 + 2 * 10.0) / 10)


def test_an_adjustment_is_told_apart_from_teardowns_and_its_chance_counts(store):
    screwed = []
    for number, lands in ((1, True), (2, False)):
        page = Page(job=an_id(number), first=1000 * number)
        page.write("target", {"left_mm": 250.0, "right_mm": 250.0, "tolerance_mm": 4.0, "lean_mm": 4.0})
        page.write(
            "plan",
            {
                "teardown": 1,
                "odds": 0.8,
                "left": {"inner": 0, "outer": 0, "turns": 2.25},
                "right": {"inner": 0, "outer": 0, "turns": -0.5},
            },
        )
        page.adjust(1, 2.25, -0.5)
        page.heights(250.0, 250.0 if lands else 270.0, teardown=1)
        screwed.append(page)
    screwed[1].adjust(2, 0.0, -2.0)
    push(store, *screwed, done(3, 0.9))
    found = store.read(calibration.calibration)
    assert found["all"]["count"] == 3
    assert (found["first_teardown"]["count"], found["first_teardown"]["landed"]) == (1, 1)
    assert (found["first_adjustment"]["count"], found["first_adjustment"]["landed"]) == (2, 1)
    assert found["adjustments"] == {"count": 3, "jobs": 2}
    per = [(row["teardowns"], row["in_hand"]) for row in found["teardowns_per_job"]]
    assert per == [(0, 2), (1, 1)]
    row = next(row for row in page_of(store) if row["teardown"] == 1 and row["job"] == an_id(1))
    assert (row["left_inner_teeth"], row["left_turns"], row["right_turns"], row["followed"]) == (
        0,
        2.25,
        -0.5,
        True,
    )


def test_an_empty_book_has_no_rates(store):
    found = store.read(calibration.calibration)
    assert len(found["bins"]) == calibration.BINS
    assert found["all"]["share"] is None
    assert found["first_teardown"]["share"] is None
    assert page_of(store) == []


@pytest.mark.parametrize(("landed", "count"), [(0, 1), (1, 1), (8, 10), (37, 50), (999, 1000)])
def test_the_interval_is_scipys(landed, count):
    other = scipy.stats.binomtest(landed, count).proportion_ci(method="wilson")
    assert calibration.wilson(landed=landed, count=count) == pytest.approx((other.low, other.high), abs=1e-12)


def test_jobs_are_counted_by_their_teardowns_without_a_gap(store):
    twice = done(1, 0.9)
    twice.move(3, (1, 0))
    closed = done(2, 0.9)
    closed.write("close", {})
    push(store, twice, closed, Page(job=an_id(3), first=90_000))
    found = store.read(calibration.calibration)["teardowns_per_job"]
    assert [(r["teardowns"], r["handed_over"], r["in_hand"]) for r in found] == [
        (0, 0, 0),
        (1, 1, 0),
        (2, 0, 1),
    ]


def test_height_errors_are_binned_round_zero(store):
    push(store, done(1, 0.9), done(2, 0.9, lands=False))
    bins = store.read(calibration.calibration)["height_error"]["bins"]
    assert [(b["low_mm"], b["high_mm"]) for b in bins] == [(2.0 * n - 1, 2.0 * n + 1) for n in range(6)]
    assert [b["count"] for b in bins] == [2, 1, 0, 0, 0, 1]


def test_plans_with_a_test_are_told_from_plans_without(store):
    with_boards = done(1, 0.95)
    with_boards.reading(231.0, pose={"board_left_mm": 50})
    push(store, with_boards, done(2, 0.7), done(3, 0.8, lands=False))
    found = {row["test"]: row for row in store.read(calibration.calibration)["helped"]}
    assert tuple(found) == job_rows.TESTS
    boards = found["boards"]
    assert (boards["with_it"]["count"], boards["with_it"]["landed"]) == (1, 1)
    assert boards["with_it"]["promised"] == pytest.approx(0.95)
    assert (boards["without"]["count"], boards["without"]["landed"]) == (2, 1)
    assert found["scales"]["with_it"]["count"] == 0
    assert found["scales"]["with_it"]["promised"] is None


def test_a_follow_up_has_a_row_of_its_own_and_counts_in_no_rate(store):
    page = done(1, 0.9)
    push(store, page)
    before = store.read(calibration.calibration)
    page.heights(247.0, 244.0, teardown=1, after_km=300)
    page.write("close", {})
    push(store, page)
    _, hand_over, later = page_of(store)
    assert (later["teardown"], later["after_km"], later["body_height_left_mm"]) == (1, 300.0, 247.0)
    assert (later["settled_left_mm"], later["settled_right_mm"], later["still_within"]) == (-4.0, -6.0, False)
    assert (later["hit"], later["odds"], later["followed"], later["left_inner_teeth"]) == (
        None,
        None,
        None,
        None,
    )
    assert (hand_over["hit"], hand_over["after_km"], hand_over["body_height_left_mm"]) == (True, None, 251.0)
    after = store.read(calibration.calibration)
    assert {**after, "teardowns_per_job": 0} == {**before, "teardowns_per_job": 0}
    (row,) = store.read(lambda db: jobs.listed(db))
    assert (row["state"], row["left_mm"], row["odds"]) == ("closed", 247.0, 0.9)


def test_pages_turn_between_hand_over_day_and_its_follow_ups(store):
    page = done(1, 0.9)
    for km in (300, 40.5, 1000):
        page.heights(247.0, 244.0, teardown=1, after_km=km)
    for entry in page.entries:
        entry["at"] = "2026-01-10T12:00:00Z"
    push(store, page)
    found, after = [], None
    while rows := page_of(store, after=after, limit=1):
        found += [(row["teardown"], row["after_km"]) for row in rows]
        after = history.place(rows[-1])
    assert found == [(0, None), (1, None), (1, 40.5), (1, 300.0), (1, 1000.0)]


def test_a_plan_that_promised_no_height_counts_by_its_outcome_alone(store):
    page = Page(job=an_id(1))
    page.write("target", TARGET)
    sides = {"left": {"inner": 1, "outer": 0, "body_height_mm": None}, "right": {"inner": 1, "outer": 0}}
    page.write("plan", {"teardown": 1, "odds": 0.7, **sides, "target": TARGET})
    page.move(1, (1, 0), (1, 0))
    page.heights(251.0, 250.0, teardown=1)
    push(store, page)
    found = store.read(calibration.calibration)
    assert (found["all"]["count"], found["all"]["landed"]) == (1, 1)
    assert (found["height_error"]["count"], found["height_error"]["mean_mm"]) == (0, None)
    assert found["height_error"]["bins"] == []


def test_the_figures_are_narrowed_to_a_period_a_person_and_a_car(store):
    ours = [done(1, 0.8), done(2, 0.7, lands=False), done(3, 0.9, car="Knot camper")]
    for entry in ours[1].entries:
        entry["writer"] = "Runa"
    push(store, *ours)

    def counted(**among):
        found = store.read(lambda db: calibration.calibration(db, calibration.Among(**among)))
        return found["all"]["count"], sum(row["in_hand"] for row in found["teardowns_per_job"])

    assert counted() == (3, 3)
    # The evening of the tenth is still the tenth in UTC.
    assert counted(since="2026-02-10") == (2, 2)
    assert counted(since="2026-02-10", until="2026-02-10") == (1, 1)
    assert counted(by="Runa") == (1, 1)
    assert counted(by="nobody") == (0, 0)
    assert counted(car="knot CAMPER") == (1, 1)
    assert counted(car="Gannet roadster", by="phone a") == (1, 1)
    choices = store.read(calibration.calibration)["choices"]
    assert choices == {"by": ["phone a", "Runa"], "cars": ["Gannet roadster", "Knot camper"]}


@pytest.mark.parametrize(
    ("landed", "count", "p"), [(3, 12, 0.6), (12, 12, 0.6), (30, 46, 0.83), (400, 600, 0.7)]
)
def test_how_often_a_count_comes_about_is_scipys_binomial_where_all_chances_are_one(landed, count, p):
    other = scipy.stats.binom(count, p)
    tails = 2 * min(other.cdf(landed), other.sf(landed - 1))
    close = 1e-9 if count <= chance.EXACT else 0.02
    assert chance.of_count([p] * count, landed) == pytest.approx(min(1.0, tails), abs=close)


@pytest.mark.slow
def test_chances_that_are_right_are_doubted_as_seldom_as_said_and_those_that_are_not_are_caught():
    rng = numpy.random.default_rng(3)
    odds = list(rng.uniform(0.5, 0.98, 60))
    hits = rng.uniform(size=(2000, 60)) < odds
    doubted = numpy.mean([chance.of_count(odds, int(row.sum())) < 0.05 for row in hits])
    single = numpy.mean([chance.of_single(odds, list(row)) < 0.05 for row in hits])
    # Whole counts are doubted less often than one may; both within what 2,000 rounds can tell.
    assert doubted < 0.065
    assert 0.03 < single < 0.07
    assert chance.of_count(odds, 20) < 1e-6
    # As many on target as predicted, and yet every low chance came true and every high one did not.
    turned = [p < 0.76 for p in odds]
    assert chance.of_single(odds, turned) < 1e-3
    assert (chance.of_count([], 0), chance.of_single([], []), chance.of_single([0.5], [True])) == (None,) * 3
