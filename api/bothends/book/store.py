"""The book's file: connections, transactions, threads. The one place that opens SQLite.

Owns durability and who may touch the file when. What is written and read is the business of the nouns
beside it (``log``, ``jobs``, ``devices``, ``links``): they are functions of an open database, run here by
``write`` and ``read``.

- WAL with synchronous=FULL: when ``write`` returns, what it wrote has reached the disk.
- One writer: one connection on a thread of its own, every write one transaction, BEGIN IMMEDIATE to COMMIT.
- Readers have connections of their own that cannot write; each read sees one moment of the book.
- One program at a time: a second one on the same folder is told so at once.
- The file is the one that has the name: a book that was deleted or replaced underneath is noticed before anything
  is read or written, and once more before a write returns (``moved`` says what then).
"""

import asyncio
import contextlib
import sqlite3
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from sqlite_utils import Database

from . import erasing, erasures, schema

__all__ = [
    "BOOK",
    "BookFullError",
    "BookInUseError",
    "BookMovedError",
    "Store",
    "glance",
    "lock",
    "tune",
    "visit",
]

BOOK = "book.sqlite3"
LOCK = "book.lock"
PATIENCE_S = 5.0
"""How long a statement waits for another program that has the file open, [s]."""

WRITING = "BEGIN IMMEDIATE"
"""Takes the file at once: a write that had to wait in the middle could not go on."""

T = TypeVar("T")


class BookInUseError(Exception):
    """Another program has this data folder open."""


class BookFullError(Exception):
    """The disk is full, or cannot be written; nothing of the transaction was kept."""


class BookMovedError(Exception):
    """The open file is not the one that has the book's name any more; nothing of this may be answered for."""


@contextmanager
def lock(data: Path) -> Iterator[None]:
    """Hold the data folder; released by leaving, or by the system when the program dies.

    An open exclusive transaction on a file of its own: SQLite's locks exist on every system it runs on.

    Raises
    ------
    BookInUseError
        If another program holds it.
    """
    holder = sqlite3.connect(data / LOCK, timeout=0.0, isolation_level=None, check_same_thread=False)
    try:
        try:
            holder.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            raise BookInUseError(
                f"another program has {data} open; stop it first, or give this one another folder"
            ) from error
        yield
    finally:
        holder.close()


def _connect(path: Path, *, new: bool = False) -> sqlite3.Connection:
    """Open a file; one that is not there is made where it may be ``new``, and is an OperationalError elsewhere."""
    where = f"{path.absolute().as_uri()}?mode={'rwc' if new else 'rw'}"
    return sqlite3.connect(where, uri=True, timeout=PATIENCE_S, isolation_level=None, check_same_thread=False)


def tune(path: Path, *, new: bool = True) -> Database:
    """A connection that writes, with the pragmas that the promise of durability rests on."""
    connection = _connect(path, new=new)
    try:
        db = Database(connection, recursive_triggers=False, execute_plugins=False)
        db.enable_wal()
        db.execute("PRAGMA synchronous = FULL")
        db.execute("PRAGMA foreign_keys = ON")
        # What is deleted or replaced is overwritten, not only let go.
        db.execute("PRAGMA secure_delete = ON")
    except BaseException:
        connection.close()
        raise
    return db


def _claim(path: Path) -> None:
    """Look at a file before anything is written to it, the settings of its header included.

    Where a power cut has left half a change, it is taken back first, as any program that reads the file would; that
    alone needs leave to write.
    """
    if not path.exists():
        return
    try:
        with contextlib.closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as db:
            schema.claim(db, str(path))
    except sqlite3.OperationalError as error:
        # https://sqlite.org/rescode.html#readonly: a journal to be rolled back, and this may not.
        if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_READONLY:
            raise
        with contextlib.closing(_connect(path)) as db:
            schema.claim(db, str(path))


def visit(data: Path, work: Callable[[Database], T]) -> T:
    """Run one short write from another program than the one that has the folder open.

    SQLite lets the two take turns. For the command line: whoever sits at the shop's PC may pair a device while
    the server runs.

    Raises
    ------
    BookInUseError
        If the file has not today's schema: that is brought about by whoever has the folder to itself.
    schema.ForeignBookError
        If the file is another program's.
    """
    _claim(data / BOOK)
    db = tune(data / BOOK, new=False)
    try:
        if not schema.current(db):
            raise BookInUseError(
                f"the shop database in {data} is of another version; start the app of this version once"
            )
        done = _transaction(db, WRITING, work)
        _clean(db, data)
        return done
    finally:
        db.close()


def glance(data: Path, work: Callable[[Database], T]) -> T:
    """Run one read of the book, also while another program has the folder open: one moment of it, no writing."""
    connection = _connect(data / BOOK)
    try:
        db = Database(connection, recursive_triggers=False, execute_plugins=False)
        db.execute("PRAGMA query_only = ON")
        return _transaction(db, "BEGIN", work)
    finally:
        connection.close()


class Store:
    """An open book.

    Parameters
    ----------
    data : the data folder; made if it is not there
    readers : reads that may run at once
    new : whether to begin a book where there is none; else that is an sqlite3.OperationalError

    Raises
    ------
    BookInUseError
        If another program has the folder open.
    schema.UnfitBookError
        If the book was written by a newer version, or the file is another program's.

    Its reads and writes raise BookMovedError once the file was deleted or replaced.
    """

    def __init__(self, data: Path, *, readers: int = 4, new: bool = True) -> None:
        data.mkdir(parents=True, exist_ok=True)
        self.path = data / BOOK
        self._lock = lock(data)
        self._lock.__enter__()
        try:
            _claim(self.path)
            self._db = tune(self.path, new=new)
            try:
                schema.upgrade(self._db)
                _transaction(self._db, WRITING, lambda db: erasures.bring(db, data))
                _clean(self._db, data)
                self._files = {path: _identity(path) for path in (self.path, _log_of(self.path))}
            except BaseException:
                self._db.close()
                raise
        except BaseException:
            self._lock.__exit__(None, None, None)
            raise
        self._writer = ThreadPoolExecutor(1, thread_name_prefix="book-writer")
        self._readers = ThreadPoolExecutor(readers, thread_name_prefix="book-reader")
        self._own = threading.local()
        self._opened: list[Database] = []
        self._opening = threading.Lock()
        self._closed = False

    def write(self, work: Callable[[Database], T]) -> T:
        """Run ``work`` in one transaction and return what it returns, once that is on the disk.

        Raises
        ------
        BookFullError
            If there is no room; nothing was kept.
        Exception
            Whatever ``work`` raises; nothing was kept.
        """
        return self._submit_write(work).result()

    def read(self, work: Callable[[Database], T]) -> T:
        """Run ``work`` on one moment of the book; it cannot write."""
        return self._submit_read(work).result()

    async def writing(self, work: Callable[[Database], T]) -> T:
        """``write``, off the event loop. A caller that goes away does not stop it."""
        return await asyncio.shield(asyncio.wrap_future(self._submit_write(work)))

    async def reading(self, work: Callable[[Database], T]) -> T:
        """``read``, off the event loop."""
        return await asyncio.wrap_future(self._submit_read(work))

    def close(self) -> None:
        """Finish what was begun, fold the write-ahead log into the file and let go of the folder."""
        if self._closed:
            return
        self._closed = True
        self._writer.shutdown()
        self._readers.shutdown()
        for db in self._opened:
            db.close()
        self._db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        self._db.close()
        self._lock.__exit__(None, None, None)

    def copy(self, target: Path) -> None:
        """Copy what is open, whatever has its name by now, to a file that goes alone."""
        target.unlink(missing_ok=True)
        with contextlib.closing(sqlite3.connect(target)) as new:
            self._writer.submit(self._db.conn.backup, new).result()
            new.execute("PRAGMA journal_mode = DELETE")

    def stays(self) -> bool:
        """Whether the book's own file is the one that has the name."""
        return self.owns(self.path)

    def owns(self, path: Path) -> bool:
        """Whether a file, of the book or its log, is still the one that was opened."""
        return _identity(path) == self._files[path]

    @property
    def closed(self) -> bool:
        """Whether it was closed."""
        return self._closed

    def _look(self) -> None:
        for path in self._files:
            if not self.owns(path):
                what = "replaced" if path.exists() else "deleted"
                raise BookMovedError(f"the shop database's file {path.name} was {what} while it was open")

    def __enter__(self) -> "Store":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _submit_write(self, work: Callable[[Database], T]) -> Future[T]:
        self._open()

        def written() -> T:
            self._look()
            try:
                done = _transaction(self._db, WRITING, work)
                _clean(self._db, self.path.parent)
                return done
            finally:
                # It may have gone in the middle: what was written is in the old file, and nobody is told of it.
                self._look()

        return self._writer.submit(written)

    def _submit_read(self, work: Callable[[Database], T]) -> Future[T]:
        self._open()

        def seen() -> T:
            self._look()
            try:
                return _transaction(self._reader(), "BEGIN", work)
            finally:
                # What it says, or why it failed, is not of the book any more.
                self._look()

        return self._readers.submit(seen)

    def _open(self) -> None:
        if self._closed:
            raise BookMovedError("the shop database is closed")

    def _reader(self) -> Database:
        db: Database | None = getattr(self._own, "db", None)
        if db is None:
            connection = _connect(self.path)
            db = self._own.db = Database(connection, recursive_triggers=False, execute_plugins=False)
            db.execute("PRAGMA query_only = ON")
            with self._opening:
                self._opened.append(db)
        return db


def _clean(db: Database, data: Path) -> None:
    """After an erasure: note it beside the book, and leave no bytes of what was taken out in the book's files."""
    if erasing.scrub_wanted(db):
        _transaction(db, WRITING, lambda db: erasures.bring(db, data))
        erasing.scrub(db)


def _log_of(book: Path) -> Path:
    return book.with_name(book.name + "-wal")


def _identity(path: Path) -> tuple[int, int] | None:
    """Which file has a name: one that was deleted, and another of the same name, differ; None for none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _transaction(db: Database, begin: str, work: Callable[[Database], T]) -> T:
    try:
        db.execute(begin)
        try:
            done = work(db)
            db.execute("COMMIT")
        except BaseException:
            db.rollback()
            raise
    except sqlite3.OperationalError as error:
        name = error.sqlite_errorname
        if begin == WRITING and (name in ("SQLITE_FULL", "SQLITE_READONLY") or "IOERR" in name):
            raise BookFullError(
                f"the shop database cannot be written: {error}; nothing of this was kept"
            ) from error
        raise
    return done
