"""Older files become today's, at one stroke, whatever schema they had."""

import sqlite3

import pytest
from sqlite_utils import Database

from book.pages import Page
from bothends.book import log, schema
from bothends.book.store import BOOK, Store, tune


def build(folder, upto):
    """A book as the version that ended with migration ``upto`` would have left it, with an entry in it."""
    db = tune(folder / BOOK)
    later = schema.names()[schema.names().index(upto) + 1 :]
    schema.BOOK.apply(db, stop_before=later)
    entry = Page().reading(214.0)
    db.execute(
        "INSERT INTO entries (id, job, device, at, kind, schema, body, received) VALUES (?,?,?,?,?,1,?,?)",
        [entry["id"], entry["job"], "phone-a", entry["at"], "reading", '{"value":214.0}', log.now()],
    )
    if "m002_sheets" not in later:
        db.execute("INSERT INTO job_sheets (job, last_seq) VALUES (?, 1)", [entry["job"]])
    db.close()
    return entry


def shape(path):
    db = sqlite3.connect(path)
    found = db.execute("SELECT type, name, sql FROM sqlite_master ORDER BY type, name").fetchall()
    db.close()
    return [row for row in found if not row[1].startswith("sqlite_stat")]


@pytest.mark.parametrize("upto", schema.names())
def test_a_book_of_every_earlier_schema_opens_with_its_entries(upto, tmp_path):
    old, new = tmp_path / "old", tmp_path / "new"
    old.mkdir()
    entry = build(old, upto)
    with Store(old) as store:
        (found,) = store.read(lambda db: log.since(db, 0, 10))
        assert found[1]["id"] == entry["id"]
        stale = store.read(
            lambda db: db.execute("SELECT job, last_seq, folded_seq FROM job_sheets").fetchall()
        )
        assert stale == [(entry["job"], 1, 0)]
        store.write(lambda db: log.append(db, [Page(first=500).reading(1.0)]))
    Store(new).close()
    assert shape(old / BOOK) == shape(new / BOOK)


@pytest.mark.parametrize("upto", schema.names()[:-1])
def test_a_migration_that_fails_leaves_the_book_at_the_schema_it_had(upto, tmp_path, monkeypatch):
    build(tmp_path, upto)
    before = shape(tmp_path / BOOK)
    run = schema._run

    def half(db, *statements):
        run(db, *statements[:1])
        raise sqlite3.OperationalError("power cut")

    monkeypatch.setattr(schema, "_run", half)
    with pytest.raises(sqlite3.OperationalError, match="power cut"):
        Store(tmp_path)
    assert shape(tmp_path / BOOK) == before
    monkeypatch.undo()
    Store(tmp_path).close()


def test_a_book_of_a_newer_version_is_left_untouched(tmp_path):
    Store(tmp_path).close()
    db = Database(tmp_path / BOOK)
    db["_sqlite_migrations"].insert({"migration_set": "book", "name": "m999_varnish", "applied_at": "later"})
    db.close()
    before = (tmp_path / BOOK).read_bytes()
    with pytest.raises(schema.NewerBookError, match="m999_varnish"):
        Store(tmp_path)
    assert (tmp_path / BOOK).read_bytes() == before
