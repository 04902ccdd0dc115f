"""Copies of the book by the day, made while the app runs: which are kept, when the next is due, which was the last.

A copy is made and checked as ``backup`` does it. It stands under the day it was made on, so a second one of a
day takes the place of the first. Seven days are kept, and before them the oldest of each week for four weeks.
Other files of the folder are nobody's business here.
"""

import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import msgspec

from .backup import backup, settle
from .store import BOOK

__all__ = ["DAYS", "FOLDER", "LONGEST_DAYS", "OLD_DAYS", "WEEKS", "Copy", "due", "last", "make", "same_disk"]

FOLDER = "copies"
DAYS = 7
WEEKS = 4
LONGEST_DAYS = 7 * (WEEKS + 1) - 1
"""How old the oldest copy that is kept may be where one is made every day: what was in the book then is in it."""
OLD_DAYS = 3
"""Days after which the last copy is called old."""
NAME = re.compile(r"bothends-(\d{4}-\d{2}-\d{2})\.sqlite3")


class Copy(msgspec.Struct, frozen=True, kw_only=True):
    """A copy that was checked when it was made."""

    path: Path
    day: date
    """The day it stands under."""
    at: datetime
    """When it was made, UTC."""
    size: int
    """Bytes."""


def last(folder: Path) -> Copy | None:
    """The newest copy; None where there is none."""
    return max(_copies(folder), key=lambda copy: copy.day, default=None)


def due(data: Path, folder: Path, now: datetime) -> bool:
    """Whether there is a book, and it has been written to since the last copy, and that is of another day."""
    book = data / BOOK
    if not book.exists():
        return False
    newest = last(folder)
    if newest is None:
        return True
    written = max(_stat(path) for path in (book, data / f"{BOOK}-wal"))
    return newest.day != now.date() and written > newest.at


def make(data: Path, folder: Path, now: datetime) -> int:
    """Copy the book into the folder, check the copy, and remove those that are not kept; how many entries it has.

    Raises
    ------
    BadCopyError
        If there is no book, or the copy is not sound; copies of before stay.
    OSError
        If the disk does not take it.
    """
    folder.mkdir(parents=True, exist_ok=True)
    target = folder / f"bothends-{now.date().isoformat()}.sqlite3"
    fresh = target.with_name(target.name + ".new")
    fresh.unlink(missing_ok=True)
    try:
        count = backup(data, fresh)
        settle(fresh, target)
    finally:
        fresh.unlink(missing_ok=True)
    there = _copies(folder)
    kept = _kept([copy.day for copy in there], now.date())
    for copy in there:
        if copy.day not in kept:
            copy.path.unlink(missing_ok=True)
    return count


def same_disk(data: Path, folder: Path) -> bool:
    """Whether copies stand on the disk of the book itself."""
    there = next((path for path in (folder, *folder.parents) if path.exists()), folder)
    return there.stat().st_dev == data.stat().st_dev


def _kept(days: list[date], today: date) -> set[date]:
    """Which of some days stay.

    >>> days = [date(2026, 3, 1) + timedelta(days=n) for n in range(60)]
    >>> kept = _kept(days, days[-1])
    >>> [day.isoformat() for day in sorted(kept)][:5], len(kept)
    (['2026-03-30', '2026-04-06', '2026-04-13', '2026-04-20', '2026-04-23'], 11)
    >>> max((days[n] - min(_kept(days[: n + 1], days[n]))).days for n in range(60)) == LONGEST_DAYS
    True
    """
    days = sorted(days)
    # The newest stays, however long ago it was.
    recent = {day for day in days if day > today - timedelta(days=DAYS)} | set(days[-1:])
    weeks: dict[tuple[int, int], date] = {}
    for day in days:
        if day not in recent:
            weeks.setdefault(day.isocalendar()[:2], day)
    return recent | set(sorted(weeks.values())[-WEEKS:])


def _copies(folder: Path) -> list[Copy]:
    if not folder.is_dir():
        return []
    return [
        Copy(path=path, day=day, at=_stat(path), size=path.stat().st_size)
        for path in folder.iterdir()
        if (day := _day(path))
    ]


def _day(path: Path) -> date | None:
    found = NAME.fullmatch(path.name)
    try:
        return date.fromisoformat(found[1]) if found else None
    except ValueError:
        return None


def _stat(path: Path) -> datetime:
    """When a file was last written to; long ago where there is none."""
    seconds = path.stat().st_mtime if path.exists() else 0.0
    return datetime.fromtimestamp(seconds, UTC)
