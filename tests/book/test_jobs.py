"""Lists and searches: always as the entries are now."""

from book.pages import JOB, Page, an_id
from bothends.book import folded, job_rows, jobs, log


def push(store, *pages):
    for page in pages:
        store.write(lambda db, p=page: log.append(db, p.entries))
    folded.catch_up(store.read, store.write)


def listed(store, **how):
    return store.read(lambda db: jobs.listed(db, **how))


def job(number, car="Gannet roadster", owner="Maren", wish="level, 20 mm up", **more):
    page = Page(job=an_id(number), first=1000 * number)
    page.write("job", {"title": f"job {number}", "car": car, "owner": owner, "wish": wish, **more})
    return page


def test_a_job_is_found_by_words_of_car_owner_and_wish_in_any_case(store):
    push(
        store,
        job(1),
        job(2, car="Plover utility", owner="Tove"),
        job(3, car="Knot camper", wish="50_50 100%"),
    )
    assert [j["title"] for j in listed(store, query="ROADSTER maren")] == ["job 1"]
    assert [j["title"] for j in listed(store, query="tove")] == ["job 2"]
    assert [j["title"] for j in listed(store, query="0_5 0%")] == ["job 3"]
    assert listed(store, query="roadster tove") == []
    assert listed(store, query="%") == listed(store, query="100%")


def test_a_list_comes_in_pages_with_the_latest_arrivals_first(store):
    push(store, *(job(n) for n in range(1, 6)))
    titles, before = [], None
    while page := listed(store, before=before, limit=2):
        titles += [j["title"] for j in page]
        before = page[-1]["seq"]
    assert titles == [f"job {n}" for n in (5, 4, 3, 2, 1)]
    push(store, job(7))
    older = job(1)
    older.write("note", {"text": "more"})
    push(store, older)
    assert [j["title"] for j in listed(store, limit=2)] == ["job 1", "job 7"]


def test_jobs_are_told_apart_by_where_they_stand(store):
    closed = job(1)
    closed.write("close", {})
    push(store, closed, job(2))
    assert [j["title"] for j in listed(store, state="closed")] == ["job 1"]
    assert [j["title"] for j in listed(store, state="open")] == ["job 2"]
    assert [j["title"] for j in listed(store, state="measuring")] == ["job 2"]


def test_jobs_are_counted_by_where_they_stand_as_far_as_the_search_leaves_them(store):
    closed = job(1)
    closed.write("close", {})
    push(store, closed, job(2, car="Plover utility"), job(3))
    counted = store.read(jobs.by_state)
    assert counted == {"measuring": 2, "planned": 0, "torn down": 0, "checked": 0, "closed": 1, "hidden": 0}
    found = store.read(lambda db: jobs.by_state(db, query="plover"))
    assert found == {**dict.fromkeys(counted, 0), "measuring": 1}


def test_a_job_that_grew_is_stale_until_it_is_folded_again(store):
    page = job(1)
    push(store, page)
    assert not store.read(folded.stale)
    page.heights(214.0, 210.0)
    store.write(lambda db: log.append(db, page.entries))
    assert store.read(folded.stale)
    assert store.read(lambda db: jobs.find(db, page.job))["readings"]
    push(store)
    row = listed(store)[0]
    assert (row["left_mm"], row["right_mm"], row["entries"]) == (214.0, 210.0, 3)


def test_the_views_read_like_the_book(store):
    page = job(1)
    wrong = page.reading(21.4)
    page.reading(214.0, corrects=wrong["id"], pose={"board_left_mm": 50})
    page.move(1, (-3, 4))
    push(store, page)

    def view(name):
        return store.read(lambda db: list(db.query(f"SELECT * FROM {name}")))

    assert [(r["value"], r["holds"], r["owner"]) for r in view("readings")] == [
        (21.4, 0, "Maren"),
        (214.0, 1, "Maren"),
    ]
    assert view("readings")[1]["board_left_mm"] == 50
    assert [(m["left_inner_teeth"], m["left_outer_teeth"], m["holds"]) for m in view("moves")] == [(-3, 4, 1)]
    assert [j["car"] for j in view("jobs")] == ["Gannet roadster"]
    assert [t["teardown"] for t in view("teardowns")] == [0, 1]


def visit(number, posterior, ms=0, **more):
    page = job(number, **more)
    page.write("car", {"bar": {"diameter_mm": 22.0 + number}})
    page.write("close", {"posterior": posterior, "learned": {"arm_mm": {"value": 415.0, "sd": 1.0}}})
    for entry in page.entries:
        entry["at"] = f"202{number}-01-01T12:00:00Z"
    return page


def test_a_car_that_returns_brings_what_its_last_visit_taught(store):
    first = {"names": ["arm"], "mean": [0.4], "covariance": [[1e-6]]}
    second = {**first, "mean": [0.41]}
    push(store, visit(2, second), visit(1, first), visit(3, first, car="Knot camper"))
    key = job_rows.named(car="gannet ROADSTER", owner="maren")
    found = store.read(lambda db: jobs.last_visit(db, key=key))
    assert (found["job"], found["posterior"]) == (an_id(2), second)
    assert found["bar"] == {"diameter_mm": 24.0}
    earlier = store.read(lambda db: jobs.last_visit(db, key=key, before="2022-01-01T00:00:00Z"))
    assert earlier["posterior"] == first
    assert store.read(lambda db: jobs.last_visit(db, key=key, than=an_id(2)))["posterior"] == first
    assert store.read(lambda db: jobs.last_visit(db, key="nobody's")) is None
    assert store.read(lambda db: jobs.last_visit(db, key="")) is None


def test_what_the_last_plan_taught_stands_in_where_the_close_says_nothing(store):
    page = job(1)
    posterior = {"names": [], "mean": [], "covariance": []}
    page.plan(1, 0.9, posterior=posterior)
    page.write("close", {})
    push(store, page)
    key = job_rows.named(car="Gannet roadster", owner="Maren")
    assert store.read(lambda db: jobs.last_visit(db, key=key))["posterior"] == posterior


def test_odd_entries_do_not_keep_a_job_out_of_the_list(store):
    page = Page()
    page.write("job", {"title": None, "car": None}, at="0001-01-01T00:00:00+14:00")
    page.write("varnish", {"a": 1}, at="9999-12-31T23:59:59-12:00")
    page.write("reading", {"what": "body-height"})
    page.write("target", {"left_mm": {"odd": 1}, "tolerance_mm": "5"})
    page.heights(214.0, 210.0)
    push(store, page)
    assert listed(store)[0]["puzzles"] == 2
    assert listed(store)[0]["job"] == JOB
