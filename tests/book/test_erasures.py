"""Customers erased in the book: in its rows, in its bytes, and whatever old content comes by which way."""

import hashlib
import io
import json
import shutil
import sqlite3
from pathlib import Path

import pytest

from book.pages import JOB, Page, an_id
from bothends.book import (
    bookfile,
    erasures,
    export,
    folded,
    log,
    photos,
)
from bothends.book import others as differing
from bothends.book.backup import backup, restore
from bothends.book.sheet.fold import fold
from bothends.book.store import BOOK, Store, visit
from bothends.book.visits import with_visits

WORDS = ("Maren", "AB-12", "Wobbles", "Quay 7", "scratched")


def visits(store: Store) -> list[Page]:
    """Two visits of one car, and another car whose name is alike."""
    out = []
    for number, owner in ((1, "Maren"), (2, "Maren"), (3, "Ben")):
        page = Page(job=an_id(number, 1_790_000_000_000 + number), first=1000 * number)
        page.write(
            "job",
            {"title": f"{owner}, low", "owner": owner, "plate": "AB-12" if owner == "Maren" else "XY-9"},
        )
        page.write("job", {"car": "Gannet", "wish": "Wobbles" if owner == "Maren" else "Level"})
        page.write("car", {"bar": {"inner_teeth": 40, "outer_teeth": 44}, "arm_mm": 415.0})
        page.write("target", {"left_mm": 250.0, "right_mm": 250.0})
        page.heights(214.0, 210.0 + number)
        page.plan(1, 0.8, (-3, 4), (0, 1), label="both ends")
        page.move(1, (-3, 4), (0, 1))
        page.heights(249.0, 251.0, teardown=1)
        page.write("note", {"text": "Quay 7, ring first" if owner == "Maren" else "nothing"})
        page.write(
            "close", {"text": "scratched" if owner == "Maren" else "", "learned": {"arm_mm": {"value": 1.0}}}
        )
        for entry in page.entries:
            if owner == "Maren" and entry["kind"] == "move":
                entry["writer"] = "Maren"
        push(store, page.entries)
        out.append(page)
    catch_up(store)
    return out


def push(store, entries):
    return store.write(lambda db: log.append(db, entries))


def catch_up(store):
    folded.catch_up(store.read, store.write)


def erase(store, *pages, car="Gannet"):
    names = [page.job for page in pages]
    done = store.write(lambda db: erasures.erase(db, names, device="pc", cars=dict.fromkeys(names, car)))
    catch_up(store)
    return done


def everything(store):
    return [entry for _, entry in store.read(lambda db: log.since(db, 0, 10_000))]


def bytes_of(folder: Path) -> bytes:
    return b"".join(
        path.read_bytes() for path in sorted(folder.glob(f"{BOOK}*")) if not path.name.endswith("-shm")
    )


def words_in(data: bytes) -> list[str]:
    return [word for word in WORDS if word.encode() in data or word.casefold().encode() in data]


def figures(db):
    """Everything that is worked out of the book, without words and keys."""
    words = (
        "title",
        "owner",
        "wish",
        "car",
        "car_key",
        "search",
        "last_seq",
        "folded_seq",
        "entries",
        "last_at",
        "writer",
        "car_said",
        "car_own",
        "car_named",
        "car_by",
        "plate",
    )
    rows = [
        {name: value for name, value in row.items() if name not in words}
        for table in ("job_sheets", "job_teardowns")
        for row in db.query(f"SELECT * FROM {table} ORDER BY 1, 2")
    ]
    keys = {row["car_key"] for row in db.query("SELECT car_key FROM job_sheets")}
    return rows, len(keys), calibration_of(db)


def calibration_of(db):
    return [
        json.loads(json.dumps(row, default=str))
        for row in db.query("SELECT odds, hit FROM job_teardowns ORDER BY job, teardown")
    ]


def test_no_word_is_left_in_the_books_bytes_and_every_figure_is_as_it_was(tmp_path):
    with Store(tmp_path) as store:
        one, two, other = visits(store)
        before = store.read(figures)
        assert set(words_in(bytes_of(tmp_path))) == set(WORDS)
        done = erase(store, one, two)
        assert [(d.job, d.device, d.entries) for d in done] == [(one.job, "pc", 6), (two.job, "pc", 6)]
        assert words_in(bytes_of(tmp_path)) == []
        assert store.read(figures) == before
        rows = {row["job"]: row for row in store.read(lambda db: list(db.query("SELECT * FROM job_sheets")))}
        assert rows[one.job]["car_key"] == rows[two.job]["car_key"] != rows[other.job]["car_key"]
        assert (rows[one.job]["car"], rows[one.job]["owner"], rows[one.job]["search"].split()) == (
            "Gannet",
            "",
            ["gannet", "gannet"],
        )
        assert rows[other.job]["owner"] == "Ben"
    assert words_in(bytes_of(tmp_path)) == []
    assert words_in((tmp_path / erasures.FILE).read_bytes()) == []


def test_old_content_that_comes_again_is_answered_as_erased_and_never_as_a_dispute(store, tmp_path):
    one, two, _ = visits(store)
    erase(store, one, two)
    for entry in one.entries:
        bare = entry["kind"] in ("job", "plan", "note", "close", "move")
        (taken,) = push(store, [entry])
        assert (taken.status, taken.erased) == ("known", bare)
        again = next(e for e in everything(store) if e["id"] == entry["id"])
        assert push(store, [again])[0].status == "known"
    assert store.read(lambda db: differing.since(db, 0, 100)) == []
    assert words_in(bytes_of(tmp_path)) == []


def test_what_was_written_without_knowing_of_it_is_erased_as_it_arrives_and_what_was_written_after_is_not(
    store,
):
    one, *_ = visits(store)
    (done,) = erase(store, one)
    late = one.write("note", {"text": "Maren again"})
    new = one.write("note", {"text": "sold"}, erasure=done.id)
    reading = one.reading(248.0, teardown=1)
    taken = push(store, [late, new, reading])
    assert [(t.status, t.erased) for t in taken] == [("stored", True), ("stored", False), ("stored", False)]
    kept = {entry["id"]: entry for entry in everything(store)}
    assert kept[late["id"]]["body"] == {"text": ""}
    assert kept[late["id"]]["erased"] is True
    assert kept[new["id"]] == new
    assert kept[reading["id"]] == reading
    assert push(store, [late])[0].status == "known"


def test_contents_that_differ_lose_their_words_and_stay_apart_only_where_figures_do(store):
    page = Page()
    note, reading = page.write("note", {"text": "Maren"}), page.reading(214.0)
    push(store, page.entries)
    other = {**reading, "body": {**reading["body"], "value": 241.0, "method": "Maren"}}
    assert [t.status for t in push(store, [{**note, "body": {"text": "Wobbles"}}, other])] == [
        "other",
        "other",
    ]
    erase(store, page)
    left = [entry for _, entry in store.read(lambda db: differing.since(db, 0, 100))]
    assert [(e["id"], e["body"]["value"]) for e in left] == [(reading["id"], 241.0)]
    assert "Maren" not in json.dumps(left)
    assert push(store, [{**note, "body": {"text": "a third"}}])[0].status == "known"


def test_a_copy_of_before_that_is_restored_has_nothing_of_an_erased_customer(tmp_path):
    data, copy, new = tmp_path / "data", tmp_path / "copy.sqlite3", tmp_path / "new"
    with Store(data) as store:
        one, two, _ = visits(store)
        backup(data, copy)
        erase(store, one, two)
    assert words_in(copy.read_bytes()) != []
    restore(data, copy)
    assert words_in(bytes_of(data)) == []
    # The list beside the book is enough where the book itself is gone.
    new.mkdir()
    shutil.copy(data / erasures.FILE, new)
    restore(new, copy)
    assert words_in(bytes_of(new)) == []
    with Store(new) as store:
        assert {t.status for t in push(store, [*one.entries, *two.entries])} == {"known"}


def test_a_book_without_its_list_brings_its_own_erasures_into_a_restored_copy(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    with Store(data) as store:
        one, *_ = visits(store)
        backup(data, copy)
        erase(store, one)
    (data / erasures.FILE).unlink()
    restore(data, copy)
    with Store(data) as store:
        kept = [e for e in everything(store) if e["job"] == one.job]
        assert "Maren" not in json.dumps(kept)
    assert (data / erasures.FILE).exists()


def test_a_file_put_back_by_hand_is_brought_up_to_the_erasures_before_it_answers(tmp_path):
    data, kept = tmp_path / "data", tmp_path / "kept.sqlite3"
    with Store(data) as store:
        one, two, _ = visits(store)
    shutil.copy(data / BOOK, kept)
    with Store(data) as store:
        erase(store, one, two)
    shutil.copy(kept, data / BOOK)
    with Store(data) as store:
        assert "Maren" not in json.dumps(everything(store))
        assert words_in(bytes_of(data)) == []
        catch_up(store)
        assert {row.erased for row in [store.read(lambda db: erasures.look(db, one.job))]} == {True}


def test_an_export_has_no_word_and_takes_the_erasure_along(store, tmp_path):
    one, two, _ = visits(store)
    whole = b"".join(store.read(lambda db: list(bookfile.lines(db))))
    erase(store, one, two)
    after = b"".join(store.read(lambda db: list(bookfile.lines(db))))
    assert words_in(whole) == list(WORDS)
    assert words_in(after) == []
    for name in export.TABLES:
        assert words_in(b"".join(store.read(lambda db, n=name: list(export.as_csv(db, n))))) == []
    report = bookfile.pour(io.BytesIO(whole), store.write)
    assert (report.stored, report.refused) == (0, [])
    with Store(tmp_path / "other") as new:
        bookfile.pour(io.BytesIO(after), new.write)
        bookfile.pour(io.BytesIO(whole), new.write)
        assert "Maren" not in json.dumps(everything(new))


def test_an_erasure_in_a_file_takes_nothing_from_a_job_that_has_words_here(tmp_path):
    with Store(tmp_path / "a") as store:
        one, *_ = visits(store)
        whole = b"".join(store.read(lambda db: list(bookfile.lines(db))))
        erase(store, one)
        after = b"".join(store.read(lambda db: list(bookfile.lines(db))))
    with Store(tmp_path / "b") as store:
        bookfile.pour(io.BytesIO(whole), store.write)
        report = bookfile.pour(io.BytesIO(after), store.write)
        assert [(refused.code, refused.path) for refused in report.refused] == [("not-erased", "$.kind")]
        assert "Maren" in json.dumps(everything(store))
        report = bookfile.pour(io.BytesIO(after), store.write, erase=True)
        assert (report.stored, report.refused) == (1, [])
        assert "Maren" not in json.dumps([e for e in everything(store) if e["job"] == one.job])


@pytest.mark.parametrize(
    "change",
    [
        "body = '{}'",
        "body = '{}', extra = '{\"erased\":false}'",
        "body = body || ' ', extra = '{\"erased\":true}'",
        "extra = '{\"erased\":true}', at = '2026'",
        "extra = '{\"erased\":true}', device = 'x'",
        "extra = '{\"erased\":true}', kind = 'x'",
        "extra = '{\"erased\":true}', points_to = 'x'",
        "extra = NULL",
    ],
)
def test_nothing_but_less_of_an_erased_job_may_be_written_over(store, change):
    one, _, other = visits(store)
    erase(store, one)
    with pytest.raises(sqlite3.IntegrityError, match="never changed"):
        store.write(lambda db: db.execute(f"UPDATE entries SET {change} WHERE job = ?", [one.job]))
    for job, also in ((other.job, ""), (one.job, " AND kind = 'erase'")):
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            store.write(
                lambda db, j=job, a=also: db.execute(
                    f"UPDATE entries SET body = '{{}}', extra = '{{\"erased\":true}}' WHERE job = ?{a}", [j]
                )
            )
    with pytest.raises(sqlite3.IntegrityError, match="never erased"):
        store.write(lambda db: db.execute("DELETE FROM entries WHERE job = ?", [one.job]))


def test_a_full_job_is_erased_too_and_a_fold_under_way_brings_no_word_back(store, tmp_path, monkeypatch):
    monkeypatch.setattr(log, "PER_JOB", 12)
    one, two, _ = visits(store)
    stale = store.read(lambda db: folded.change_of(db, one.job))
    done, _ = erase(store, one, two)
    store.write(lambda db: folded._keep(db, stale))
    assert done.entries == 6
    assert words_in(bytes_of(tmp_path)) == []
    assert push(store, [one.write("note", {"text": "one more"})])[0].status == "full"


def test_asked_again_it_answers_with_what_was_done(store):
    one, *_ = visits(store)
    first, again = erase(store, one), erase(store, one)
    assert first == again
    assert store.read(lambda db: erasures.since(db, "", 10)) == first


def test_photos_of_the_job_are_deleted_but_for_one_that_another_job_has_too(store, tmp_path):
    one, two, _ = visits(store)
    shared, own = (b"\xff\xd8\xff\xe0" + word * 20 for word in (b"shared", b"scratched plate"))
    names = [hashlib.sha256(data).hexdigest() for data in (shared, own)]
    say = {"bytes": 100, "width": 10, "height": 10, "shows": "other", "words": "AB-12"}
    for name, pages in zip(names, ((one, two), (one,)), strict=True):
        push(store, [page.write("photo", {"sha256": name, **say}) for page in pages])
    for data in (shared, own):
        store.write(lambda db, d=data: photos.whole(db, d))
    erase(store, one)
    assert [store.read(lambda db, n=name: photos.held(db, n).whole) for name in names] == [True, False]
    assert own not in bytes_of(tmp_path)
    sheet = fold(one.job, [e for e in everything(store) if e["job"] == one.job])
    assert (sheet["photos"], sheet["puzzles"]) == ([], [])
    erase(store, two)
    assert shared not in bytes_of(tmp_path)


def test_the_command_line_erases_beside_a_running_server(tmp_path):
    with Store(tmp_path) as store:
        one, *_ = visits(store)
        visit(tmp_path, lambda db: erasures.erase(db, [one.job], device=erasures.SHOP, cars={}))
        kept = [e for e in everything(store) if e["job"] == one.job]
        assert "Maren" not in json.dumps(kept)
        catch_up(store)
    assert [e["device"] for e in erasures.read(tmp_path)] == [erasures.SHOP, erasures.SHOP]


def test_the_visits_of_a_car_are_found_together(store):
    one, two, other = visits(store)
    assert store.read(lambda db: with_visits(db, one.job)) == [one.job, two.job]
    assert store.read(lambda db: with_visits(db, other.job)) == [other.job]
    found = store.read(lambda db: erasures.look(db, one.job))
    assert (found.owner, found.plate, found.car, found.entries, found.erased) == (
        "Maren",
        "AB-12",
        "Gannet",
        6,
        False,
    )
    assert store.read(lambda db: erasures.look(db, JOB)) is None


def older_car(store):
    """An older job of Maren's whose car has names for its key, and what others say of that car."""
    key = "gannet / maren"
    hers, sold, apart, other, own = (
        Page(job=an_id(n, 1_790_000_000_000 + n), first=1000 * n) for n in (1, 2, 3, 4, 5)
    )
    hers.write("job", {"car": "Gannet", "owner": "Maren"})
    sold.write("job", {"car": "Gannet", "owner": "Ben", "by_name": False, "car_id": key})
    apart.write("job", {"car": "Gannet", "owner": "Ole", "by_name": False})
    apart.write("job", {"other_than": ["plover / ida", key]})
    other.write("job", {"car": "Plover", "owner": "Ida"})
    own.write("job", {"car": "Gannet", "owner": "Maren"})
    pages = (hers, sold, apart, other, own)
    for page in pages:
        page.heights(214.0, 210.0)
        push(store, page.entries)
    catch_up(store)
    return pages


def keys_of(store):
    rows = store.read(lambda db: list(db.query("SELECT job, car_key, car_apart, owner FROM job_sheets")))
    return {row["job"]: row for row in rows}


def test_a_key_made_of_the_customers_name_goes_from_other_jobs_which_keep_their_own_words(store, tmp_path):
    hers, sold, apart, other, own = older_car(store)
    assert store.read(lambda db: with_visits(db, hers.job)) == [hers.job, sold.job, own.job]
    assert len(erase(store, hers, own)) == 2
    assert words_in(bytes_of(tmp_path)) == []
    rows = keys_of(store)
    number = rows[hers.job]["car_key"]
    assert {job for job, row in rows.items() if row["car_key"] == number} == {hers.job, sold.job, own.job}
    assert rows[apart.job]["car_apart"].split("\n") == sorted(["plover / ida", number])
    assert [rows[page.job]["owner"] for page in (sold, apart, other)] == ["Ben", "Ole", "Ida"]
    sheets = [
        fold(page.job, [e for _, e in store.read(lambda db, p=page: log.of(db, p.job))])
        for page in (sold, apart)
    ]
    assert [(sheet["erased"], sheet["conflicts"], sheet["puzzles"]) for sheet in sheets] == [
        (None, [], [])
    ] * 2
    assert [one.job for one in store.read(lambda db: erasures.since(db, "", 10))] == [hers.job, own.job]
    # What comes again, or from a phone that had not heard of it, has the name no more; a true difference is one.
    (again,) = push(store, [sold.entries[0]])
    (late,) = push(store, [sold.write("job", {"wish": "low", "car_id": "gannet / maren"})])
    assert [(t.status, t.erased) for t in (again, late)] == [("known", "car"), ("stored", "car")]
    body = {**sold.entries[0]["body"], "owner": "Bob"}
    assert push(store, [{**sold.entries[0], "body": body}])[0].status == "other"
    assert words_in(bytes_of(tmp_path)) == []


def test_a_visit_of_the_same_car_that_is_not_erased_stays_one_under_a_number(store):
    hers, sold, _, _, own = older_car(store)
    erase(store, hers)
    rows = keys_of(store)
    number = rows[hers.job]["car_key"]
    assert {job for job, row in rows.items() if row["car_key"] == number} == {hers.job, sold.job, own.job}
    assert rows[own.job]["owner"] == "Maren"
    assert "gannet / maren" not in json.dumps([e["body"] for e in everything(store)])


def test_a_restored_copy_has_no_key_made_of_names_in_other_jobs_either(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    with Store(data) as store:
        hers, _, _, _, own = older_car(store)
        backup(data, copy)
        erase(store, hers, own)
        before = keys_of(store)
    restore(data, copy)
    assert words_in(bytes_of(data)) == []
    assert words_in((data / erasures.FILE).read_bytes()) == []
    with Store(data) as store:
        catch_up(store)
        assert keys_of(store) == before


def test_of_a_job_where_names_of_a_car_were_erased_nothing_else_may_be_written_over(store):
    hers, sold, *_ = older_car(store)
    erase(store, hers)
    for change in (
        "body = json_set(body, '$.owner', 'B'), extra = '{\"erased\":\"car\"}'",
        "body = '{}', extra = '{\"erased\":\"car\"}'",
        "body = '{}', extra = '{\"erased\":true}'",
        'extra = \'{"erased":"car","writer":"x"}\'',
    ):
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            store.write(lambda db, c=change: db.execute(f"UPDATE entries SET {c} WHERE job = ?", [sold.job]))


def test_a_job_younger_than_a_restored_copy_is_in_no_list_until_its_records_come_again(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    with Store(data) as store:
        backup(data, copy)
        hers, sold, *_ = older_car(store)
        erase(store, hers)
    restore(data, copy)
    listed = "SELECT job FROM job_sheets WHERE hidden = 0 ORDER BY job"
    with Store(data) as store:
        catch_up(store)
        assert store.read(lambda db: db.execute(listed).fetchall()) == []
        sheet = fold(hers.job, [e for _, e in store.read(lambda db: log.of(db, hers.job))])
        assert (sheet["about"]["hidden"], sheet["erased"]["alone"]) == (True, True)
        push(store, [*hers.entries, *sold.entries])
        catch_up(store)
        assert store.read(lambda db: db.execute(listed).fetchall()) == [(hers.job,), (sold.job,)]
        assert "maren" not in json.dumps(everything(store)).lower()
        sheet = fold(hers.job, [e for _, e in store.read(lambda db: log.of(db, hers.job))])
        assert (sheet["about"].get("hidden"), sheet["erased"]["alone"]) == (None, False)
