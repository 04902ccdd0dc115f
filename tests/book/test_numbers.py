"""The short number of a job at a shop: by order of arrival, stable, never another job's."""

from book.pages import Page, an_id
from bothends.book import folded, jobs, log, numbers


def job(number):
    page = Page(job=an_id(number), first=1000 * number)
    page.write("job", {"title": "Level the rear", "car": "Gannet roadster", "owner": "Maren"})
    page.heights(214.0, 210.0)
    return page


def push(store, *entries):
    store.write(lambda db: log.append(db, list(entries)))
    folded.catch_up(store.read, store.write)


def called(store):
    return store.read(lambda db: {row["job"]: row["number"] for row in jobs.listed(db)})


def test_jobs_are_numbered_as_their_first_records_arrive_and_keep_their_number(store):
    one, two = job(1), job(2)
    push(store, two.entries[0], one.entries[0])
    assert called(store) == {two.job: 1, one.job: 2}
    push(store, *one.entries, *two.entries)
    push(store, *job(3).entries)
    assert called(store) == {two.job: 1, one.job: 2, an_id(3): 3}
    assert store.read(lambda db: numbers.of(db, [one.job, an_id(9)])) == {one.job: 2}


def test_the_number_of_a_job_that_is_gone_is_given_to_no_other(store):
    push(store, job(1).entries[0], job(2).entries[0])
    store.write(lambda db: db.execute("DELETE FROM job_numbers WHERE number = 2"))
    push(store, job(3).entries[0])
    assert called_at(store, an_id(3)) == 3


def called_at(store, name):
    return store.read(lambda db: numbers.of(db, [name]))[name]


def test_a_job_is_found_by_its_number_and_sorted_by_it(store):
    push(store, *(entry for n in (1, 2, 3) for entry in job(n).entries))
    push(store, *job(1).entries[:1])
    found = store.read(lambda db: jobs.listed(db, query="gannet #2"))
    assert [row["number"] for row in found] == [2]
    assert [row["number"] for row in store.read(lambda db: jobs.listed(db, sort="number"))] == [3, 2, 1]
