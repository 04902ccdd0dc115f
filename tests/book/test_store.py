"""The file: durable, one writer, one program at a time; entries never change."""

import itertools
import json
import shutil
import sqlite3
import tempfile
import threading
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tries import tries

from book.pages import JOB, Page, an_id, entry_lists
from bothends.book import devices, folded, jobs, log, schema
from bothends.book.sheet.fold import fold
from bothends.book.store import BOOK, BookFullError, BookInUseError, Store, visit


def push(store, entries):
    return store.write(lambda db: log.append(db, entries))


def everything(store):
    return [entry for _, entry in store.read(lambda db: log.since(db, 0, 10_000))]


def test_the_pragmas_that_durability_rests_on_are_set(store):
    def pragmas(db):
        return [db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("journal_mode", "synchronous")]

    assert store.write(lambda db: db.execute("PRAGMA journal_mode").fetchone()[0]) == "wal"
    # 2 is FULL: the log is synced at every commit, not only at checkpoints. https://sqlite.org/pragma.html
    assert store.write(lambda db: db.execute("PRAGMA synchronous").fetchone()[0]) == 2
    assert store.read(pragmas)[0] == "wal"


def test_an_entry_comes_back_as_it_was_sent(store):
    page = Page()
    sent = [
        page.reading(214.0, colour="red"),
        page.write("note", {"text": "\u0000 é \U0001f527"}, device_seq=7, mood={"a": [1, None]}),
        page.write("varnish", {}, schema=9),
    ]
    assert [t.status for t in push(store, sent)] == ["stored"] * 3
    assert everything(store) == sent


def test_the_same_entry_again_changes_nothing(store):
    page = Page()
    entry = page.reading(214.0)
    first = push(store, [entry])[0]
    for _ in range(5):
        again = push(store, [{**entry, "body": dict(reversed(entry["body"].items()))}])[0]
        assert (again.status, again.seq) == ("known", first.seq)
    without = {name: value for name, value in entry.items() if name != "schema"}
    assert push(store, [without, {**entry, "device_seq": None}])[1].status == "known"
    assert len(everything(store)) == 1


def test_another_content_under_a_known_id_is_refused_and_the_first_is_shown(store):
    entry = Page().reading(214.0)
    push(store, [entry])
    other = push(store, [{**entry, "at": "2026-09-21T10:00:01+02:00"}])[0]
    assert (other.status, other.stored) == ("other", entry)
    assert everything(store) == [entry]


def test_an_entry_is_never_changed_or_erased_by_anyone(store):
    push(store, [Page().reading(214.0)])
    for statement in ("UPDATE entries SET body = '{}'", "DELETE FROM entries"):
        with pytest.raises(sqlite3.IntegrityError, match="an entry is never"):
            store.write(lambda db, s=statement: db.execute(s))
    assert len(everything(store)) == 1


def test_what_a_failed_transaction_wrote_is_gone(store):
    def fails(db):
        log.append(db, [Page().reading(1.0)])
        raise RuntimeError("power cut")

    with pytest.raises(RuntimeError):
        store.write(fails)
    assert everything(store) == []


def test_a_reader_cannot_write(store):
    with pytest.raises(sqlite3.OperationalError, match="readonly"):
        store.read(lambda db: db.execute("DELETE FROM book"))


def test_a_second_program_on_the_same_folder_is_told_so(store, tmp_path):
    with pytest.raises(BookInUseError, match="another program"):
        Store(tmp_path)


def test_closing_lets_go_of_the_folder_and_leaves_one_file(tmp_path):
    for _ in range(2):
        with Store(tmp_path) as opened:
            opened.read(lambda db: log.last(db))
            push(opened, [Page().reading(214.0)])
    assert sorted(p.name for p in tmp_path.iterdir()) == ["book.lock", "book.sqlite3"]


def test_a_full_disk_is_said_and_keeps_nothing(store):
    def fill(db):
        pages = db.execute("PRAGMA page_count").fetchone()[0]
        db.execute(f"PRAGMA max_page_count = {pages + 2}")

    store.write(lambda db: None)
    store._writer.submit(fill, store._db).result()
    page = Page()
    long = [page.write("note", {"text": "x" * 9000}) for _ in range(10)]
    with pytest.raises(BookFullError, match="nothing of this was kept"):
        push(store, long)
    assert everything(store) == []
    assert push(store, [page.reading(214.0)])[0].status == "stored"


def test_a_clock_far_ahead_is_mentioned_and_the_entry_is_kept(store):
    page = Page()
    ahead = page.write("note", {"text": "from years ahead"}, at="2126-09-21T10:00:00+02:00")
    behind = page.write("note", {"text": "typed last month"}, ms=-(10**11))
    # Its writer has seen a clock far ahead; its own is right.
    after = page.write("note", {"text": "typed today"}, ms=400 * 24 * 3600 * 1000 * 10)
    taken = push(store, [ahead, behind, after])
    assert [t.status for t in taken] == ["stored", "stored", "stored"]
    assert "clock" in taken[0].note
    assert (taken[1].note, taken[2].note) == (None, None)


@pytest.mark.slow(seconds=2)
def test_a_reader_who_polls_while_many_write_misses_nothing(store):
    """Numbers are given inside the one writer's transaction: none appears below one already seen."""
    writers, each = 6, 40
    seen: list[str] = []
    done = threading.Event()

    def write(number):
        page = Page(job=an_id(number), device=f"phone-{number}", first=1000 * number)
        for count in range(each):
            page.reading(float(count + 1))
            if count % 7 == 3:
                page.reading(99.0)
        chunks = [page.entries[i : i + 3] for i in range(0, len(page.entries), 3)]
        for chunk in chunks:
            push(store, chunk)
            push(store, chunk)

    def poll():
        after = 0
        while True:
            last_round = done.is_set()
            page = store.read(lambda db, number=after: log.since(db, number, 7))
            for seq, entry in page:
                assert seq > after
                after = seq
                seen.append(entry["id"])
            if last_round and not page:
                return

    poller = threading.Thread(target=poll)
    poller.start()
    threads = [threading.Thread(target=write, args=(n,)) for n in range(1, writers + 1)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    done.set()
    poller.join()
    stored = [entry["id"] for entry in everything(store)]
    assert seen == stored
    assert len(set(stored)) == len(stored) == writers * (each + 6)


def test_entries_of_a_job_come_in_pages(store):
    page = Page()
    for value in range(1, 8):
        page.reading(float(value))
    push(store, page.entries)
    first = store.read(lambda db: log.of(db, JOB, 0, 3))
    rest = store.read(lambda db: log.of(db, JOB, first[-1][0]))
    assert [e for _, e in first + rest] == page.entries


@pytest.mark.slow
@settings(max_examples=tries(25), database=None)
@given(entry_lists(), st.data())
def test_a_book_filled_in_any_chunks_and_order_with_repeats_folds_to_the_same_sheet(entries, data):
    cuts = sorted(data.draw(st.lists(st.integers(0, len(entries)), max_size=4)))
    chunks = [entries[a:b] for a, b in itertools.pairwise([0, *cuts, len(entries)])]
    with tempfile.TemporaryDirectory() as folder, Store(Path(folder)) as opened:
        for chunk in data.draw(st.permutations(chunks)):
            push(opened, chunk)
            push(opened, chunk[::-1])
        folded.catch_up(opened.read, opened.write)
        found = opened.read(lambda db: jobs.find(db, JOB))
    assert found == (json.loads(json.dumps(fold(JOB, entries))) if entries else None)


def test_another_program_may_write_in_between(store, tmp_path):
    code, _ = visit(tmp_path, devices.new_code)
    assert store.write(lambda db: devices.pair(db, code, "phone")) is not None


def test_another_program_of_another_version_keeps_out(store, tmp_path, monkeypatch):
    monkeypatch.setattr(schema, "current", lambda db: False)
    with pytest.raises(BookInUseError, match="start the app"):
        visit(tmp_path, devices.new_code)


def test_half_a_change_that_a_power_cut_left_never_keeps_the_book_shut(tmp_path):
    whole, cut = tmp_path / "whole", tmp_path / "cut"
    page = Page()
    entry = page.reading(214.0)
    with Store(whole) as store:
        push(store, [entry])
    db = sqlite3.connect(whole / BOOK, isolation_level=None)
    # As a restored file is until it is opened: with a journal instead of a log. A small cache sends pages early.
    db.execute("PRAGMA journal_mode = DELETE")
    db.execute("PRAGMA cache_size = 5")
    db.execute("BEGIN IMMEDIATE")
    db.execute("CREATE TABLE half (words TEXT)")
    db.executemany("INSERT INTO half VALUES (?)", [("x" * 4000,)] * 50)
    shutil.copytree(whole, cut)
    db.close()
    assert (cut / f"{BOOK}-journal").stat().st_size > 0
    with Store(cut) as store:
        assert everything(store) == [entry]
        tables = store.read(lambda db: [row[0] for row in db.execute("SELECT name FROM sqlite_master")])
        assert "half" not in tables
