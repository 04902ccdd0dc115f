"""The table of jobs as the server makes it: every sort and page gives every job once, and no filter loses one."""

import functools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from book.pages import Page, an_id
from bothends.book import folded, jobs, log
from bothends.book.store import Store

CARS = ("Gannet roadster", "gannet roadster", "Plover utility", "Knot camper", "50% Knot", "")
OWNERS = ("Maren", "Mara", "Tove", "_ove", "")


def a_job(number: int, car: str, owner: str, kind: int, day: int) -> Page:
    """A job as far as ``kind`` says: 0 a card, 1 read, 2 planned, 3 torn down, 4 in dispute, 5 handed over."""
    page = Page(job=an_id(number), first=1000 * number)
    page.write("job", {"title": f"job {number}", "car": car, "owner": owner, "wish": "level it"})
    if kind > 0:
        page.heights(214.0 + day, 210.0)
    if kind > 1:
        page.plan(1, 0.5 + day / 100, (-3, 4))
    if kind > 2:
        page.move(1, (-3, 4))
    if kind == 4:
        page.move(1, (-3, 5))
    if kind == 5:
        page.write("close", {})
    for entry in page.entries:
        entry["at"] = f"2026-03-{day:02d}T12:00:00Z"
    return page


@functools.cache
def pages() -> tuple[Page, ...]:
    """Sixty jobs of every kind, many of them alike in what they are sorted by."""
    return tuple(
        a_job(n, CARS[n % len(CARS)], OWNERS[n % len(OWNERS)], n % 6, 1 + n * 7 % 28) for n in range(1, 61)
    )


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    with Store(tmp_path_factory.mktemp("book")) as opened:
        opened.write(lambda db: log.append(db, [e for page in pages() for e in page.entries]))
        folded.catch_up(opened.read, opened.write)
        yield opened


NARROWED = st.fixed_dictionaries(
    {},
    optional={
        "query": st.sampled_from(["gannet", "job 1", "level", "50%", "nobody"]),
        "car": st.sampled_from([*CARS, "gannet roadster / maren", "knot"]),
        "owner": st.sampled_from([*OWNERS, "mar", "_"]),
        "state": st.sampled_from(jobs.STATES),
        "since": st.sampled_from(["2026-03-10", "2026-04-01"]),
        "until": st.sampled_from(["2026-03-20", "2026-02-01"]),
    },
)


@given(
    sort=st.sampled_from(sorted(jobs.SORTS)),
    down=st.booleans(),
    limit=st.integers(1, 70),
    narrowed=NARROWED,
)
def test_sorting_and_paging_give_every_job_exactly_once(store, sort, down, limit, narrowed):
    def look(db):
        rows, skip = [], 0
        while page := jobs.listed(db, sort=sort, down=down, skip=skip, limit=limit, **narrowed):
            rows += page
            skip += limit
        whole = jobs.listed(db, limit=1000, **narrowed)
        return rows, whole, jobs.count(db, **narrowed)

    rows, whole, count = store.read(look)
    assert [row["job"] for row in rows] != [] or count == 0
    assert sorted(row["job"] for row in rows) == sorted(row["job"] for row in whole)
    assert len({row["job"] for row in rows}) == len(rows) == count


FIELDS = {
    "begun": "first_at",
    "worked": "last_at",
    "left": "left_mm",
    "right": "right_mm",
    "unsettled": "conflicts",
}


@given(sort=st.sampled_from(sorted(jobs.SORTS)), down=st.booleans())
def test_rows_stand_in_the_order_asked_for_and_those_without_come_last(store, sort, down):
    rows = store.read(lambda db: jobs.listed(db, sort=sort, down=down, limit=1000))
    values = [row[FIELDS.get(sort, "seq" if sort == "arrival" else sort)] for row in rows]
    there = [value for value in values if value is not None]
    assert values == there + [None] * (len(values) - len(there))
    if sort == "state":
        there = [jobs.STATES.index(value) for value in there]
    if sort in ("car", "owner", "wish"):
        there = [value.lower() for value in there]
    assert there == sorted(there, reverse=down)


@given(narrowed=NARROWED)
def test_a_filter_keeps_what_it_says(store, narrowed):
    rows = {row["job"]: row for row in store.read(lambda db: jobs.listed(db, limit=1000, **narrowed))}
    keys = {row["car_key"] for row in store.read(lambda db: jobs.listed(db, limit=1000))}
    for row in store.read(lambda db: jobs.listed(db, limit=1000)):
        text = " ".join(row[name] for name in ("title", "car", "owner", "wish")).lower()
        fits = all(word in text for word in narrowed.get("query", "").lower().split())
        fits &= row["owner"].lower().startswith(narrowed.get("owner", "").lower())
        if car := narrowed.get("car"):
            fits &= (
                row["car_key"] == car
                if car in keys
                else all(w in row["car"].lower() for w in car.lower().split())
            )
        state = narrowed.get("state")
        fits &= not state or (row["state"] != "closed" if state == "open" else row["state"] == state)
        fits &= row["last_at"][:10] >= narrowed.get("since", "")
        fits &= row["first_at"][:10] <= narrowed.get("until", "9999")
        assert (row["job"] in rows) is bool(fits), row


def test_a_search_is_answered_without_reading_whole_rows(store):
    where, values = "search LIKE ? AND last_seq < ? AND owner LIKE ?", ["%a%", 2**62, "m%"]
    plan = store.read(
        lambda db: db.execute(
            f"EXPLAIN QUERY PLAN SELECT count(*) FROM job_sheets WHERE {where}", values
        ).fetchall()
    )
    assert "COVERING INDEX job_sheets_found" in plan[0][3]


def test_a_job_says_which_tests_its_first_plan_rested_on(tmp_path):
    page = Page()
    for _ in range(2):
        page.heights(214.0, 210.0)
    page.reading(231.0, pose={"board_left_mm": 50})
    page.reading(243.0, what="wheel-load")
    page.reading(188.0, what="hub-to-body", pose={"hanging": True})
    page.write("known", {"use": True, "posterior": {"names": [], "mean": [], "covariance": []}})
    page.reading(214.0, teardown=1, pose={"ballast_left_kg": 50})
    bare = Page(job=an_id(2), first=5000)
    bare.heights(214.0, 210.0)
    bare.reading(209.0, pose={"ballast_left_kg": 50})
    with Store(tmp_path) as store:
        store.write(lambda db: log.append(db, [*page.entries, *bare.entries]))
        folded.catch_up(store.read, store.write)
        found = dict(store.read(lambda db: db.execute("SELECT job, tests FROM job_sheets").fetchall()))
    assert found == {page.job: "boards,hang,scales,heights twice,known", bare.job: "ballast"}
