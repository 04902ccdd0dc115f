"""Which jobs are visits of one car: one rule, whatever the order; and what the book keeps of it, job by job."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tries import tries

from book.pages import START_MS, Page, an_id
from bothends.book import calibration, cars, export, folded, history, jobs, log, visits
from bothends.book.sheet import identity
from bothends.book.store import Store

GANNET = {"car": "Gannet", "owner": "Maren"}
ASKED = {**GANNET, "by_name": False}
"""As this version's app writes a new job's card: its name alone joins it to nothing."""


def push(store, *pages, entries=()):
    store.write(lambda db: log.append(db, [*(e for page in pages for e in page.entries), *entries]))
    folded.catch_up(store.read, store.write)


def a_job(number: int, **about) -> Page:
    page = Page(job=an_id(number, START_MS + number), first=1000 * number)
    page.write("job", about)
    return page


def parted(store) -> set[frozenset[str]]:
    """The jobs of each car."""
    found = store.read(
        lambda db: db.execute("SELECT car_key, job FROM job_sheets ORDER BY car_key").fetchall()
    )
    return {frozenset(job for _, job in rows) for _, rows in itertools.groupby(found, key=lambda row: row[0])}


def key(store, page) -> str:
    return store.read(
        lambda db: db.execute("SELECT car_key FROM job_sheets WHERE job = ?", [page.job]).fetchone()[0]
    )


def together(*pages) -> frozenset[str]:
    return frozenset(page.job for page in pages)


def test_two_cars_of_one_name_and_owner_are_asked_about_and_not_joined(store):
    one, two = a_job(1, **ASKED), a_job(2, **ASKED)
    push(store, one, two)
    assert parted(store) == {together(one), together(two)}
    (asked,) = store.read(lambda db: visits.others(db, two.job))
    assert (asked["car_key"], asked["why"], asked["visits"]) == (one.job, "name", 1)
    # Yes: a visit of that car.
    two.write("job", {"car_id": one.job})
    push(store, two)
    assert parted(store) == {together(one, two)}
    assert store.read(lambda db: visits.others(db, key(store, two))) == []


def asked_of_all(store) -> list[tuple[str, str, str]]:
    pairs = store.read(visits.alike)
    return [(pair["car"]["car_key"], pair["other"]["car_key"], pair["other"]["why"]) for pair in pairs]


def test_of_the_whole_book_the_same_is_asked_as_of_each_car_pair_by_pair_until_it_is_answered(store):
    pages = one, two, three = a_job(1, **ASKED), a_job(2, **ASKED), a_job(3, **ASKED, plate="SL 042")
    alone, hidden = a_job(4, car="Plover", owner="Tove", by_name=False), a_job(5, **ASKED, hidden=True)
    push(store, *pages, alone, hidden)
    found = asked_of_all(store)
    assert {frozenset(pair[:2]) for pair in found} == {
        frozenset(pair) for pair in itertools.combinations([page.job for page in pages], 2)
    }
    assert {why for *_, why in found} == {"name"}
    for page in pages:
        of_each = {line["car_key"] for line in store.read(lambda db, p=page: visits.others(db, p.job))}
        assert of_each == {key for *pair, _ in found if page.job in pair for key in pair} - {page.job}
    # Yes to one pair, no to another: what is left is one question about the two as one car.
    two.write("job", {"car_id": one.job})
    push(store, two)
    assert {frozenset(pair[:2]) for pair in asked_of_all(store)} == {frozenset([one.job, three.job])}
    no = three.write("job", {"other_than": [one.job]})
    push(store, three)
    assert asked_of_all(store) == []
    three.strike(no["id"])
    push(store, three)
    assert len(asked_of_all(store)) == 1


def test_no_is_remembered_on_both_cars_and_can_be_taken_back(store):
    one, two = a_job(1, **ASKED), a_job(2, **ASKED)
    no = two.write("job", {"other_than": [one.job]})
    push(store, one, two)
    for page in (one, two):
        assert store.read(lambda db, p=page: visits.others(db, p.job)) == []
    # A plate typed on both later does not overrule it.
    one.write("job", {"plate": "SL 042"})
    two.write("job", {"plate": "sl-042"})
    push(store, one, two)
    assert parted(store) == {together(one), together(two)}
    two.strike(no["id"])
    push(store, two)
    assert parted(store) == {together(one, two)}


@pytest.mark.parametrize(
    ("about", "joined"),
    [
        (({"plate": "SL 042"}, {"plate": "sl-042"}), True),
        (({"chassis": "KIT 77/3"}, {"chassis": "kit773"}), True),
        (({"chassis": "KIT 77/3", "plate": "SL 042"}, {"chassis": "KIT 77/4", "plate": "SL 042"}), False),
        (({"plate": "none"}, {"plate": "none"}), False),
        # One field had both in older apps.
        (({"plate": "WZZ 1234 5678 901"}, {"chassis": "wzz12345678901"}), True),
        (({}, {}), False),
    ],
)
def test_a_chassis_number_goes_before_a_plate_and_either_joins_whatever_the_name(store, about, joined):
    one, two = (a_job(n + 1, car=f"Gannet {n}", by_name=False, **more) for n, more in enumerate(about))
    push(store, one, two)
    assert (together(one, two) in parted(store)) is joined


def test_a_person_goes_before_any_number_and_two_such_cars_are_never_joined_by_one(store):
    one, two, three = (a_job(n, **ASKED, plate="SL 042") for n in (1, 2, 3))
    two.write("job", {"car_id": two.job})
    push(store, one, two)
    assert parted(store) == {together(one, two)}
    one.write("job", {"car_id": one.job})
    push(store, one, three)
    # Both are said to be cars of their own: the third is asked about, not guessed.
    assert parted(store) == {together(one), together(two), together(three)}
    asked = store.read(lambda db: visits.others(db, three.job))
    assert {(line["car_key"], line["why"]) for line in asked} == {(one.job, "plate"), (two.job, "plate")}


def test_jobs_of_older_apps_stay_one_car_and_are_named_as_joined_by_name_alone(store):
    one, two = a_job(1, **GANNET), a_job(2, car="gannet", owner="MAREN")
    push(store, one, two)
    assert parted(store) == {together(one, two)}
    (line,) = store.read(jobs.cars)
    assert (line["car_key"], line["visits"], line["by_name"]) == ("gannet / maren", 2, True)
    found = store.read(lambda db: cars.page(db, "gannet / maren"))
    assert [visit["car_by"] for visit in found["visits"]] == ["name", "name"]
    # Confirmed: each visit says so, and who did is known.
    for page in (one, two):
        page.write("job", {"car_id": "gannet / maren"}, writer="Anna")
    push(store, one, two)
    (line,) = store.read(jobs.cars)
    assert (line["car_key"], line["by_name"]) == ("gannet / maren", False)
    found = store.read(lambda db: cars.page(db, "gannet / maren"))
    assert found["visits"][0]["said"]["entry"] in (one.entries[-1]["id"], two.entries[-1]["id"])
    assert found["visits"][0]["said"]["writer"] == "Anna"


def test_a_new_job_of_that_name_is_asked_about_beside_the_old_ones(store):
    old, new = a_job(1, **GANNET), a_job(2, **ASKED)
    push(store, old, new)
    assert parted(store) == {together(old), together(new)}
    (asked,) = store.read(lambda db: visits.others(db, new.job))
    assert asked["car_key"] == "gannet / maren"


def test_cars_of_one_name_whose_plates_differ_are_not_asked_about(store):
    one, two = a_job(1, **ASKED, plate="SL 042"), a_job(2, **ASKED, plate="SL 043")
    push(store, one, two)
    assert store.read(lambda db: visits.others(db, one.job)) == []


def test_two_devices_that_say_two_cars_of_one_job_make_a_question(store):
    page = a_job(1, **ASKED)
    seen = [page.entries[0]["id"]]
    page.write("job", {"car_id": "one"}, saw=seen, device="phone-a")
    page.write("job", {"car_id": "two"}, saw=seen, device="phone-b")
    push(store, page)
    (question,) = store.read(lambda db: jobs.find(db, page.job))["conflicts"]
    assert (question["field"], [value["value"] for value in question["values"]]) == ("car_id", ["one", "two"])


ABOUT = st.fixed_dictionaries(
    {},
    optional={
        "car": st.sampled_from(["Gannet", "Knot"]),
        "owner": st.sampled_from(["Maren", ""]),
        "by_name": st.just(False),
        "plate": st.sampled_from(["SL 1", "SL 2", "none"]),
        "chassis": st.sampled_from(["KIT 1", "KIT 2"]),
        "hidden": st.booleans(),
        "car_id": st.sampled_from(["gannet / maren", *(an_id(n, START_MS + n) for n in (1, 2, 3))]),
        "other_than": st.lists(st.sampled_from([an_id(n, START_MS + n) for n in (1, 2, 3)]), max_size=2),
    },
)
BOOK = st.lists(st.lists(ABOUT, min_size=1, max_size=3), min_size=1, max_size=6)


def of(book) -> list[Page]:
    out = []
    for n, cards in enumerate(book, 1):
        page = Page(job=an_id(n, START_MS + n), first=1000 * n)
        for body in cards:
            page.write("job", body)
        out.append(page)
    return out


def whole(store) -> list[tuple]:
    """Key and reason of every job, as the book has them; the stages have the same key."""
    apart = "SELECT count(*) FROM job_teardowns t JOIN job_sheets j USING (job) WHERE t.car_key != j.car_key"
    assert store.read(lambda db: db.execute(apart).fetchone()[0]) == 0
    asked = "SELECT job, car_key, car_by FROM job_sheets ORDER BY job"
    return store.read(lambda db: db.execute(asked).fetchall())


def ruled(store) -> list[tuple]:
    """The same by the rule on all jobs at once."""
    rows = store.read(lambda db: list(db.query("SELECT * FROM job_sheets")))
    found = identity.cars([visits._asked(row) for row in rows])
    return sorted((job, *said) for job, said in found.items())


@pytest.mark.slow
@settings(max_examples=tries(25))
@given(book=BOOK, data=st.data())
def test_any_order_of_arrival_and_repetition_gives_the_same_cars_in_the_book(tmp_path_factory, book, data):
    pages = of(book)
    for page in pages:
        page.heights(214.0, 210.0)
    entries = [entry for page in pages for entry in page.entries]
    shuffled = data.draw(st.permutations(entries))
    with Store(tmp_path_factory.mktemp("one")) as one, Store(tmp_path_factory.mktemp("two")) as two:
        push(one, *pages)
        for at in range(0, len(shuffled), 3):
            push(two, entries=shuffled[at : at + 3])
        push(two, entries=shuffled[::2])
        assert whole(one) == whole(two) == ruled(one)


@pytest.mark.slow
@settings(max_examples=tries(25))
@given(book=BOOK, data=st.data())
def test_joining_or_splitting_and_taking_it_back_is_the_same_as_never(tmp_path_factory, book, data):
    pages = of(book)
    with Store(tmp_path_factory.mktemp("book")) as store:
        push(store, *pages)
        before = whole(store)
        some = data.draw(st.lists(st.sampled_from(pages), min_size=1, unique_by=lambda page: page.job))
        into = data.draw(st.sampled_from([key(store, pages[0]) or pages[0].job, an_id(99)]))
        said = [(page, page.write("job", {"car_id": into})) for page in some]
        push(store, *some)
        keys = {row[0]: row[1] for row in whole(store)}
        assert len({keys[page.job] for page in some}) == 1
        assert whole(store) == ruled(store)
        for page, entry in data.draw(st.permutations(said)):
            page.strike(entry["id"])
            push(store, page)
        assert whole(store) == before


JOBS = st.lists(
    st.fixed_dictionaries(
        {
            "said": st.sampled_from(["", "", "", "x", "0", "1"]),
            "own": st.sampled_from(["", "own", "name"]),
            "chassis": st.sampled_from(["", "", "c1", "c2"]),
            "plate": st.sampled_from(["", "p1", "p2"]),
            "apart": st.lists(st.sampled_from(["0", "1", "name"]), max_size=1),
        }
    ),
    max_size=9,
)


@given(found=JOBS, data=st.data())
def test_the_rule_is_a_function_of_the_set_of_jobs(found, data):
    for number, job in enumerate(found):
        job["job"] = str(number)
        job["own"] = job["job"] if job["own"] == "own" else job["own"]
    ruling = identity.cars(found)
    assert identity.cars(data.draw(st.permutations(found))) == ruling
    for job in found:
        said, (key, by) = job["said"], ruling[job["job"]]
        # A person's word is never overruled by a number.
        assert not said or (key == said and by == "said")
        assert bool(key) == bool(said or job["own"])


def test_a_change_looks_at_no_job_that_does_not_hang_together_with_it(store, monkeypatch):
    pages = [
        a_job(n, car=f"Gannet {n}", owner="Maren", by_name=False, plate=f"SL {n}0{n}") for n in range(1, 40)
    ]
    push(store, *pages)
    looked = []
    rule = identity.cars
    monkeypatch.setattr(identity, "cars", lambda found: looked.append(len(found)) or rule(found))
    pages[4].write("job", {"car_id": pages[7].job})
    push(store, pages[4])
    assert looked == [2]
    pages[4].heights(214.0, 210.0)
    push(store, pages[4])
    # Nothing that says which car it is has changed.
    assert looked == [2]


def test_the_jobs_of_a_car_are_told_with_its_hidden_ones(store):
    one, two = a_job(1, **GANNET), a_job(2, **GANNET, hidden=True)
    push(store, one, two)
    assert store.read(lambda db: visits.jobs_of(db, "gannet / maren")) == [one.job, two.job]
    assert store.read(lambda db: visits.jobs_of(db, "")) == []


def test_a_hidden_job_leaves_lists_visits_and_statistics_and_stays_in_files(store):
    shown, gone = a_job(1, **GANNET), a_job(2, **GANNET)
    for page in (shown, gone):
        page.write("target", {"left_mm": 250.0, "right_mm": 250.0})
        page.heights(240.0, 240.0)
        page.plan(1, 0.9)
        page.move(1)
        page.heights(250.0, 250.0, teardown=1)
        page.write("close", {"posterior": {"names": [], "mean": [], "covariance": []}})
    hid = gone.write("job", {"hidden": True})
    push(store, shown, gone)

    def seen() -> tuple:
        def look(db):
            told = calibration.calibration(db)
            return (
                [row["job"] for row in jobs.listed(db)],
                jobs.count(db),
                jobs.by_state(db)["hidden"],
                [line["visits"] for line in jobs.cars(db)],
                len(cars.page(db, "gannet / maren")["visits"]),
                {row["job"] for row in history.page(db)},
                told["first_teardown"]["count"],
                sum(row["handed_over"] for row in told["teardowns_per_job"]),
                told["height_error"]["count"],
            )

        return store.read(look)

    assert seen() == ([shown.job], 1, 1, [1], 1, {shown.job}, 1, 1, 2)
    (row,) = store.read(lambda db: jobs.listed(db, state="hidden"))
    assert (row["job"], row["hidden"]) == (gone.job, True)
    assert store.read(lambda db: jobs.last_visit(db, key="gannet / maren", than=shown.job)) is None
    files = store.read(lambda db: {name: list(export.rows(db, name)) for name in export.TABLES})
    for rows in files.values():
        assert {(row["job"], row["hidden"]) for row in rows} == {(shown.job, False), (gone.job, True)}
    assert len(store.read(lambda db: {row["job"] for row in history.page(db, hidden=True)})) == 2
    gone.strike(hid["id"])
    push(store, gone)
    assert seen()[1:] == (2, 0, [2], 2, {shown.job, gone.job}, 2, 2, 4)
