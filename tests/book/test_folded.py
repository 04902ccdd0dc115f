"""What is kept folded follows the entries, and no push waits for a fold."""

import threading
from concurrent.futures import ThreadPoolExecutor

from book.pages import Page, an_id
from bothends.book import folded, jobs, log
from bothends.book.sheet.fold import fold
from bothends.book.store import Store

PATIENCE_S = 30
KEPT = ("job_sheets", "job_teardowns", "job_holds")


def push(store, *pages):
    for page in pages:
        store.write(lambda db, p=page: log.append(db, p.entries))


def job(number, **more):
    page = Page(job=an_id(number), first=1000 * number)
    page.write("job", {"title": f"job {number}", "car": "Gannet", **more})
    page.heights(214.0, 210.0)
    return page


def states(store):
    """Title and how many entries each job's row knows of."""
    found = store.read(lambda db: jobs.listed(db, sort="begun", down=False))
    return {row["title"]: row["entries"] for row in found}


def tables(store):
    return store.read(
        lambda db: [sorted(db.execute(f"SELECT * FROM {name}").fetchall(), key=repr) for name in KEPT]
    )


def test_a_push_is_on_the_disk_while_another_job_is_still_being_folded(store, monkeypatch):
    begun, go_on = threading.Event(), threading.Event()

    def slow(name, entries):
        begun.set()
        assert go_on.wait(PATIENCE_S)
        return fold(name, entries)

    monkeypatch.setattr(folded, "fold", slow)
    push(store, job(1))
    with ThreadPoolExecutor(1) as others:
        folding = others.submit(folded.catch_up, store.read, store.write)
        assert begun.wait(PATIENCE_S)
        push(store, job(2))
        assert store.read(log.last) == 6
        go_on.set()
        folding.result(PATIENCE_S)


def test_bringing_up_to_date_ends_however_many_devices_go_on_pushing(store, monkeypatch):
    """What was pushed before is in the rows; what came meanwhile is left for the next time."""
    late = iter(range(10, 1000))

    def pushed_meanwhile(name, entries):
        push(store, job(next(late)))
        return fold(name, entries)

    monkeypatch.setattr(folded, "fold", pushed_meanwhile)
    push(store, job(1), job(2))
    folded.catch_up(store.read, store.write)
    monkeypatch.undo()
    known = states(store)
    assert (known["job 1"], known["job 2"]) == (3, 3)
    assert store.read(folded.stale)
    folded.catch_up(store.read, store.write)
    assert set(states(store).values()) == {3}
    assert not store.read(folded.stale)


def test_entries_that_come_while_their_own_job_is_folded_are_folded_the_next_time(store, monkeypatch):
    page = job(1)

    def grows(name, entries):
        if len(page.entries) == 3:
            page.reading(215.0)
            push(store, page)
        return fold(name, entries)

    monkeypatch.setattr(folded, "fold", grows)
    push(store, page)
    folded.catch_up(store.read, store.write)
    assert (states(store)["job 1"], store.read(folded.stale)) == (3, True)
    folded.catch_up(store.read, store.write)
    assert (states(store)["job 1"], store.read(folded.stale)) == (4, False)


def test_rows_that_another_program_has_brought_up_to_date_meanwhile_are_left_to_it(store, monkeypatch):
    page = job(1)
    done = []

    def overtaken(name, entries):
        if not done:
            done.append(name)
            page.move(1, (-3, 4))
            push(store, page)
            folded.catch_up(store.read, store.write)
        return fold(name, entries)

    monkeypatch.setattr(folded, "fold", overtaken)
    push(store, page)
    folded.catch_up(store.read, store.write)
    assert states(store) == {"job 1": 4}
    assert not store.read(folded.stale)


def test_only_rows_that_have_changed_are_written_and_they_are_those_of_a_book_made_anew(store, tmp_path):
    page = job(1)
    for teardown in range(1, 40):
        page.plan(teardown, 0.8, (-3, 4), target={"left_mm": 250.0, "right_mm": 250})
        page.move(teardown, (-3, 4))
        page.heights(250.0, 249.0, teardown=teardown)
        page.reading(250, teardown=teardown, after_km=300)
    push(store, page)
    folded.catch_up(store.read, store.write)
    before = store.write(lambda db: db.conn.total_changes)
    more = [page.strike(page.entries[-1]["id"]), page.reading(251.0, teardown=39)]
    store.write(lambda db: log.append(db, more))
    folded.catch_up(store.read, store.write)
    # Two entries and which is the last; the job's row, one stage gone and one anew, one entry less and one more.
    assert store.write(lambda db: db.conn.total_changes) - before <= 9
    with Store(tmp_path / "anew") as other:
        push(other, page)
        folded.catch_up(other.read, other.write)
        assert tables(store) == tables(other)


def test_a_job_that_cannot_be_folded_keeps_no_other_out(store, monkeypatch, caplog):
    def fails(name, entries):
        if name == an_id(1):
            raise ZeroDivisionError
        return fold(name, entries)

    monkeypatch.setattr(folded, "fold", fails)
    push(store, job(1), job(2))
    folded.catch_up(store.read, store.write)
    assert "cannot be folded" in caplog.text
    assert states(store) == {"": 0, "job 2": 3}
    assert not store.read(folded.stale)


def test_a_full_job_takes_no_more_and_says_so_and_other_jobs_do(store, monkeypatch):
    monkeypatch.setattr(log, "PER_JOB", 4)
    page, other = job(1), job(2)
    for value in (211.0, 212.0, 213.0):
        page.reading(value)
    taken = store.write(lambda db: log.append(db, page.entries))
    assert [one.status for one in taken] == ["stored"] * 4 + ["full"] * 2
    assert "4 records" in (taken[4].note or "")
    again = store.write(lambda db: log.append(db, [*page.entries, *other.entries]))
    assert [one.status for one in again] == ["known"] * 4 + ["full"] * 2 + ["stored"] * 3


def test_a_record_that_is_there_with_other_content_is_told_so_in_a_full_job_too(store, monkeypatch):
    monkeypatch.setattr(log, "PER_JOB", 3)
    page = job(1)
    push(store, page)
    (taken,) = store.write(lambda db: log.append(db, [{**page.entries[0], "device": "other"}]))
    assert taken.status == "other"
