"""A copy of the book while it is in use, and the way back.

Owns the two commands' work. A copy is one file, checked before it gets its name. Restoring gives the book a
new epoch: phones see that, and send their whole logs again, so that what was entered after the copy
returns. What was there before restoring is kept beside it, on the disk before anything is replaced. Devices and
links go with today's book where it can be read: a key revoked after the copy was made must not work again, and no
pairing code of before works after it. So do photos, of which phones that
were short of room have nothing any more to send again.
"""

import contextlib
import os
import secrets
import shutil
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from . import erasing, erasures, ids, schema
from .sheet.order import LAST_MS
from .store import BOOK, lock, tune

__all__ = ["BadCopyError", "aside", "backup", "check", "restore", "settle", "to_disk"]

ACCESS = ("devices", "links")


class BadCopyError(Exception):
    """The file is not a book, or a damaged one; nothing was changed."""


def backup(data: Path, target: Path) -> int:
    """Copy the book of a data folder to a new file; return how many entries it holds.

    Raises
    ------
    FileExistsError
        If there is a file of that name already.
    BadCopyError
        If there is no book, or the copy fails its check.
    """
    if target.exists():
        raise FileExistsError(f"{target} is there already; name another file, or move it away")
    if not (data / BOOK).exists():
        raise BadCopyError(f"there is no shop database in {data}")
    part = target.with_name(target.name + ".part")
    part.unlink(missing_ok=True)
    try:
        _copy(data / BOOK, part)
        count = check(part)
        settle(part, target)
    finally:
        part.unlink(missing_ok=True)
    return count


def restore(data: Path, source: Path) -> int:
    """Put a copy in the place of the book of a data folder; return how many entries it holds.

    Raises
    ------
    BookInUseError
        If a program has the folder open.
    BadCopyError, NewerBookError
        If the file is not a sound book that this version can read; nothing is changed then.
    """
    check(source)
    _within_the_bound(source)
    data.mkdir(parents=True, exist_ok=True)
    book, part = data / BOOK, data / (BOOK + ".part")
    with lock(data):
        part.unlink(missing_ok=True)
        try:
            _copy(source, part)
            _renew(part, book)
            count = check(part)
            if book.exists():
                _set_aside(book)
            settle(part, book)
        finally:
            part.unlink(missing_ok=True)
    return count


def check(path: Path) -> int:
    """Read a whole copy; return how many entries it holds.

    Raises
    ------
    BadCopyError
        If it is not a book or not sound.
    """
    if not path.is_file():
        raise BadCopyError(f"there is no file {path}")
    try:
        with _open(path, "ro") as db:
            schema.claim(db, str(path))
            (found,) = db.execute("PRAGMA integrity_check").fetchone()
            if found != "ok":
                raise BadCopyError(f"{path} is damaged: {found}")
            return int(db.execute("SELECT count(*) FROM entries").fetchone()[0])
    except schema.ForeignBookError as error:
        raise BadCopyError(str(error)) from error
    except sqlite3.DatabaseError as error:
        raise BadCopyError(f"{path} is not a sound shop database: {error}") from error


def _within_the_bound(path: Path) -> None:
    """See that no record of a sound copy is stamped beyond what may be taken in.

    Raises
    ------
    BadCopyError
        If one is; it says how the others can be had.
    """
    with _open(path, "ro") as db:
        query = "SELECT id, id >= ?1 FROM entries WHERE max(id, job) >= ?1 LIMIT 1"
        found = db.execute(query, [ids.made(LAST_MS + 1, 0)]).fetchone()
    if found:
        name, itself = found
        raise BadCopyError(
            f"{path}: record {name}: {ids.too_late_words('id' if itself else 'job')}. Nothing was changed."
            f" For all the others put the copy as {BOOK} into a folder of its own, export that"
            " (bothends export all.jsonl --data FOLDER) and import the file: import names such records and"
            " leaves them out"
        )


@contextlib.contextmanager
def _open(path: Path, mode: str) -> Iterator[sqlite3.Connection]:
    db = sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True, isolation_level=None)
    try:
        yield db
    finally:
        db.close()


def _copy(source: Path, target: Path) -> None:
    """SQLite's online copy: one moment of the source, while others go on writing to it."""
    try:
        with _open(source, "ro") as old, contextlib.closing(sqlite3.connect(target)) as new:
            old.backup(new)
            # The copy is a file that goes alone; a write-ahead log beside it would be left behind.
            new.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.DatabaseError as error:
        raise BadCopyError(f"{source} cannot be copied: {error}") from error


def _renew(part: Path, today: Path) -> None:
    db = tune(part)
    try:
        schema.upgrade(db)
        known = []
        if today.exists():
            _carry_access(db.conn, today)
            _carry_photos(db.conn, today)
            known = _erasures_of(today)
        db.execute("BEGIN IMMEDIATE")
        erasures.bring(db, today.parent, more=known)
        db.execute("COMMIT")
        db.execute("DELETE FROM pairing_codes")
        db.execute("UPDATE book SET value = ? WHERE name = 'epoch'", [secrets.token_hex(8)])
        if erasing.scrub_wanted(db):
            erasing.scrub(db)
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        db.execute("PRAGMA journal_mode = DELETE")
    finally:
        db.close()


def _erasures_of(today: Path) -> list[dict[str, Any]]:
    """Customers that were erased in today's book, where it can be read."""
    try:
        with _open(today, "ro") as now:
            return erasures.records(Database(now))
    except sqlite3.DatabaseError:
        # Older, or damaged: the list beside the book has them.
        return []


def _carry_access(db: sqlite3.Connection, today: Path) -> None:
    """Take devices and links from today's book, with what was revoked in either."""
    for table in ACCESS:
        try:
            with _open(today, "ro") as now:
                there = _columns(now, table)
                # An older book has fewer columns; an even older one no such table.
                names = ", ".join(name for name in _columns(db, table) if name in there)
                rows = now.execute(f"SELECT {names} FROM {table}").fetchall() if names else []
        except sqlite3.DatabaseError:
            # A damaged book is what restoring is for.
            continue
        marks = ", ".join("?" for _ in names.split(","))
        db.executemany(
            f"INSERT INTO {table} ({names}) VALUES ({marks}) ON CONFLICT (id) DO UPDATE"
            " SET revoked = coalesce(revoked, excluded.revoked)",
            rows,
        )


def _carry_photos(db: sqlite3.Connection, today: Path) -> None:
    """Take photos that the copy does not have from today's book, one by one."""
    try:
        with _open(today, "ro") as now:
            names = now.execute("SELECT sha256, size, kind FROM photos WHERE kind IS NOT NULL").fetchall()
            for name, size, kind in names:
                if db.execute("SELECT kind FROM photos WHERE sha256 = ?", [name]).fetchone() == (kind,):
                    continue
                parts = now.execute(
                    "SELECT sha256, at, data FROM photo_parts WHERE sha256 = ?", [name]
                ).fetchall()
                db.execute("BEGIN IMMEDIATE")
                db.execute("DELETE FROM photo_parts WHERE sha256 = ?", [name])
                db.execute("INSERT OR REPLACE INTO photos VALUES (?, ?, ?)", [name, size, kind])
                db.executemany("INSERT INTO photo_parts VALUES (?, ?, ?)", parts)
                db.execute("COMMIT")
    except sqlite3.DatabaseError:
        # A damaged book is what restoring is for, and an older one has no photos.
        if db.in_transaction:
            db.execute("ROLLBACK")


def _columns(db: sqlite3.Connection, table: str) -> list[str]:
    return [str(row[1]) for row in db.execute(f"PRAGMA table_info({table})")]


def _set_aside(book: Path) -> None:
    """Keep the book that is replaced, whatever state it is in, and leave no log of it behind.

    A kill or a power cut at any moment leaves every entry in the book or in the copy: the log is emptied into the
    book, and the copy is on the disk, before a file goes.
    """
    kept = aside(book)
    part = kept.with_name(kept.name + ".part")
    try:
        _copy(book, part)
        settle(part, kept)
        with _open(book, "rw") as db:
            db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    except (BadCopyError, sqlite3.DatabaseError):
        part.unlink(missing_ok=True)
        for path in book.parent.glob(BOOK + "*"):
            if not path.name.endswith(".part"):
                beside = path.with_name(kept.name + path.name.removeprefix(BOOK))
                shutil.copyfile(path, beside)
                to_disk(beside)
    to_disk(book.parent)
    for ending in ("-wal", "-shm"):
        book.with_name(book.name + ending).unlink(missing_ok=True)


def aside(book: Path) -> Path:
    """A free name beside the book for one that is replaced."""
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S")
    return book.with_name(f"book-replaced-{stamp}-{secrets.token_hex(2)}.sqlite3")


def settle(part: Path, target: Path) -> None:
    """Give a finished file its name, so that after a power cut there is the old one or the new one."""
    to_disk(part)
    part.replace(target)
    to_disk(target.parent)


def to_disk(path: Path) -> None:
    """Wait until a file, or the names in a folder, have reached the disk."""
    if path.is_dir() and os.name != "posix":
        # Windows has no such call for folders.
        return
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
