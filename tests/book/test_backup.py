"""A copy while the book is in use, and the way back without losing what came after."""

import contextlib
import os
import shutil
import sqlite3
import stat

import pytest

from book.pages import JOB, Page, an_id
from bothends.book import backup as backups
from bothends.book import devices, links, log
from bothends.book.backup import BadCopyError, backup, restore
from bothends.book.schema import ForeignBookError
from bothends.book.store import BOOK, BookInUseError, Store, visit


def push(store, entries):
    return store.write(lambda db: log.append(db, entries))


def ids_in(store):
    return {entry["id"] for _, entry in store.read(lambda db: log.since(db, 0, 10_000))}


def test_restore_and_the_phones_logs_pushed_again_give_the_union(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    phones = [Page(device=f"phone-{n}", first=1000 * n) for n in (1, 2)]
    for page in phones:
        for value in range(1, 30):
            page.reading(float(value))
    with Store(data) as store:
        push(store, phones[0].entries[:20])
        push(store, phones[1].entries[:5])
        first = store.read(log.epoch)
        assert backup(data, copy) == 25
        push(store, phones[0].entries[20:])
        push(store, phones[1].entries[5:])
    assert restore(data, copy) == 25
    with Store(data) as store:
        assert store.read(log.epoch) != first
        assert len(ids_in(store)) == 25
        for page in phones:
            assert {t.status for t in push(store, page.entries)} <= {"stored", "known"}
        assert ids_in(store) == {e["id"] for page in phones for e in page.entries}


def test_what_was_there_before_restoring_is_kept_beside_it(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    with Store(data) as store:
        backup(data, copy)
        later = Page().reading(214.0)
        push(store, [later])
    restore(data, copy)
    (aside,) = data.glob("book-replaced-*.sqlite3")
    with sqlite3.connect(aside) as db:
        assert db.execute("SELECT id FROM entries").fetchall() == [(later["id"],)]
    db.close()
    assert sorted(p.name for p in data.iterdir()) == sorted([aside.name, "book.lock", BOOK])


def test_a_key_or_link_revoked_after_the_copy_stays_revoked_and_a_newer_phone_stays_paired(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"

    def pair(store):
        code, _ = store.write(devices.new_code)
        return store.write(lambda db: devices.pair(db, code, "phone"))

    with Store(data) as store:
        old, old_key = pair(store)
        _, token = store.write(lambda db: links.make(db, job=JOB, device="d"))
        backup(data, copy)
        store.write(lambda db: devices.revoke(db, old["id"]))
        store.write(lambda db: links.revoke(db, token))
        _, new_key = pair(store)
    restore(data, copy)
    with Store(data) as store:
        assert store.read(lambda db: devices.recognise(db, old_key)) is None
        assert store.read(lambda db: links.find(db, token)) == links.GONE
        assert store.read(lambda db: devices.recognise(db, new_key)) is not None


def test_a_copy_is_one_file_and_never_overwrites_another(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copies" / "copy.sqlite3"
    copy.parent.mkdir()
    with Store(data) as store:
        push(store, [Page().reading(214.0)])
        backup(data, copy)
        with pytest.raises(FileExistsError, match="name another file"):
            backup(data, copy)
    assert [p.name for p in copy.parent.iterdir()] == ["copy.sqlite3"]


def test_restoring_waits_for_the_server_to_be_stopped(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    with Store(data) as store:
        backup(data, copy)
        with pytest.raises(BookInUseError, match="stop it first"):
            restore(data, copy)
        push(store, [Page().reading(214.0)])


def test_restoring_into_an_empty_folder_makes_a_book(tmp_path):
    data, copy, new = tmp_path / "data", tmp_path / "copy.sqlite3", tmp_path / "new"
    with Store(data) as store:
        push(store, [Page().reading(214.0)])
        backup(data, copy)
    assert restore(new, copy) == 1
    Store(new).close()


def other_database(path):
    with sqlite3.connect(path) as db:
        db.execute("CREATE TABLE t (a)")
    db.close()


def damaged(path):
    data = path.parent / "damaged-data"
    with Store(data) as store:
        for n in range(40):
            page = Page(job=an_id(n), first=100 * n)
            push(store, [page.write("note", {"text": "x" * 500}) for _ in range(20)])
        backup(data, path)
    content = bytearray(path.read_bytes())
    middle = len(content) // 2
    content[middle : middle + 8192] = os.urandom(8192)
    path.write_bytes(content)


@pytest.mark.parametrize(
    "make",
    [
        lambda path: None,
        lambda path: path.write_bytes(b""),
        lambda path: path.write_text("not a database at all, but long enough to be read as one" * 20),
        other_database,
        damaged,
    ],
)
def test_a_file_that_is_no_sound_book_changes_nothing(make, tmp_path):
    data, bad = tmp_path / "data", tmp_path / "bad.sqlite3"
    with Store(data) as store:
        push(store, [Page().reading(214.0)])
    before = (data / BOOK).read_bytes()
    make(bad)
    with pytest.raises(BadCopyError):
        restore(data, bad)
    assert (data / BOOK).read_bytes() == before
    assert not list(data.glob("*.part"))


def test_a_damaged_book_is_set_aside_as_it_is(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    with Store(data) as store:
        push(store, [Page().reading(214.0)])
        backup(data, copy)
    (data / BOOK).write_bytes(b"rust" * 4096)
    assert restore(data, copy) == 1
    (aside,) = data.glob("book-replaced-*.sqlite3")
    assert aside.read_bytes() == b"rust" * 4096


def test_a_folder_without_a_book_cannot_be_copied(tmp_path):
    with pytest.raises(BadCopyError, match="no shop database"):
        backup(tmp_path, tmp_path / "copy.sqlite3")


def test_a_file_of_another_program_is_neither_opened_nor_touched(tmp_path):
    data = tmp_path / "data"
    data.mkdir()
    other_database(data / BOOK)
    before = (data / BOOK).read_bytes()
    with pytest.raises(ForeignBookError, match="not one of this program"):
        Store(data)
    with pytest.raises(ForeignBookError, match="move it away"):
        visit(data, devices.new_code)
    assert (data / BOOK).read_bytes() == before
    assert not list(data.glob("*-wal"))


def test_a_first_start_that_was_killed_before_its_first_table_goes_on(tmp_path):
    with sqlite3.connect(tmp_path / BOOK) as db:
        db.execute("CREATE TABLE _sqlite_migrations (migration_set TEXT, name TEXT, applied_at TEXT)")
    db.close()
    with Store(tmp_path) as store:
        assert ids_in(store) == set()


class PulledError(Exception):
    """The plug was pulled."""


CUTS = ("_copy", "settle", "to_disk")


@pytest.mark.parametrize("cut", range(9))
def test_a_restore_cut_off_at_any_step_leaves_the_book_whole_or_restored_with_the_old_one_beside_it(
    tmp_path, monkeypatch, cut
):
    data, copy, crashed = tmp_path / "data", tmp_path / "copy.sqlite3", tmp_path / "crashed"
    page = Page()
    store = Store(data)
    backup(data, copy)
    push(store, [page.reading(float(value)) for value in range(200, 240)])
    # The server was killed: what it wrote last stands in the log beside the book.
    shutil.copytree(data, crashed)
    store.close()
    assert (crashed / f"{BOOK}-wal").stat().st_size > 0
    steps = iter(range(1000))

    def cut_off(work):
        def step(*given):
            if next(steps) == cut:
                raise PulledError
            return work(*given)

        return step

    for name in CUTS:
        monkeypatch.setattr(f"bothends.book.backup.{name}", cut_off(getattr(backups, name)))
    done = False
    try:
        restore(crashed, copy)
        done = True
    except PulledError:
        pass
    monkeypatch.undo()
    with Store(crashed) as now:
        found = ids_in(now)
    written = {entry["id"] for entry in page.entries}
    assert found in (written, set()), "the book of before, whole, or the restored one"
    if not found:
        (aside,) = crashed.glob("book-replaced-*.sqlite3")
        with contextlib.closing(sqlite3.connect(aside)) as db:
            found = {row[0] for row in db.execute("SELECT id FROM entries")}
    assert found == written
    assert not done or cut >= 7


def test_no_pairing_code_of_before_works_after_a_restore_and_what_a_device_writes_as_is_kept(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    with Store(data) as store:
        old, _ = store.write(devices.new_code)
        backup(data, copy)
        used, _ = store.write(devices.new_code)
        _, key = store.write(lambda db: devices.pair(db, used, "phone", writes_as="phone-7"))
        new, _ = store.write(devices.new_code)
    restore(data, copy)
    with Store(data) as store:
        for code in (old, used, new):
            assert store.write(lambda db, code=code: devices.pair(db, code, "thief")) is None
        assert store.read(lambda db: devices.recognise(db, key))["writes_as"] == "phone-7"


@pytest.mark.skipif(os.name != "posix", reason="permission bits")
def test_what_is_kept_beside_a_damaged_book_is_no_wider_open_than_it_was(tmp_path):
    data, copy = tmp_path / "data", tmp_path / "copy.sqlite3"
    before = os.umask(0o077)
    try:
        with Store(data):
            backup(data, copy)
        (data / BOOK).write_bytes(b"rust" * 4096)
        restore(data, copy)
    finally:
        os.umask(before)
    assert {stat.S_IMODE(path.stat().st_mode) for path in [*data.iterdir(), copy]} == {0o600}
