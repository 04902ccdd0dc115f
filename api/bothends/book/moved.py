"""A book whose file was deleted or replaced while it was open: nothing is lost, and what is there now is opened.

Owns the order of things. The open handle still reaches every entry, also of a file without a name, so that is
copied first. Where nothing stands in the book's place the copy takes it, the same book as before. Where another
file does, somebody meant it: that one is opened, and the copy is kept beside it, as after ``restore``.
"""

import os
import sqlite3
from pathlib import Path

from .backup import aside, check, settle, to_disk
from .store import Store

__all__ = ["again"]

TRIES = 3


def again(store: Store) -> tuple[Store, Path | None]:
    """Open what stands in the book's place; the new store, and where the old book was put, None where it stayed.

    Raises
    ------
    BookInUseError, schema.UnfitBookError, OSError, sqlite3.Error
        Where that cannot be done; the old book was copied all the same, if there is a place for it.
    """
    book = store.path
    if store.closed:
        # An earlier try came this far.
        return _opened(book), None
    if store.stays():
        # Only the log's name has gone: closing folds it into the book.
        store.close()
        return _opened(book), None
    kept = None if _nothing(book) else aside(book)
    part = book.with_name(book.name + ".old")
    store.copy(part)
    check(part)
    if kept:
        settle(part, kept)
        _close(store)
        return _opened(book), kept
    to_disk(part)
    _bare(book)
    os.link(part, book)
    to_disk(book.parent)
    store.close()
    # The copy has a second name until the book is open: whoever deletes things may not be done.
    new = _opened(book, part)
    part.unlink()
    return new, None


def _opened(book: Path, copy: Path | None = None) -> Store:
    """The store of what stands there; it is put there again where that has gone once more."""
    for _ in range(TRIES):
        try:
            return Store(book.parent, new=False)
        except sqlite3.OperationalError:
            if copy is None or not _nothing(book):
                raise
            _bare(book)
            os.link(copy, book)
    return Store(book.parent, new=False)


def _nothing(book: Path) -> bool:
    """Whether no book stands there: no file, or one without a byte, which is then no more."""
    if book.exists() and not book.stat().st_size:
        book.unlink()
    return not book.exists()


def _close(store: Store) -> None:
    """Close it; SQLite then removes a log by its name, which may be the other book's by now."""
    log = store.path.with_name(store.path.name + "-wal")
    safe = log.with_name(log.name + ".kept")
    if log.exists() and not store.owns(log):
        safe.unlink(missing_ok=True)
        os.link(log, safe)
    store.close()
    if safe.exists():
        safe.replace(log)


def _bare(book: Path) -> None:
    """Leave no log of the old file beside the copy that takes its place: all of it is in the copy."""
    for ending in ("-wal", "-shm"):
        book.with_name(book.name + ending).unlink(missing_ok=True)
