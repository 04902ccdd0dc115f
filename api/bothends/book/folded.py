"""What is kept folded of every job, brought up to date after entries were taken in and never in that write.

Owns how the tables job_sheets, job_teardowns and job_holds follow the entries. They hold nothing that the
entries do not say. Taking entries in only notes in job_sheets which number is a job's last (``log``); here a
job that has grown is read (one moment of the book), folded with no transaction open, and its rows are
written: only those that have changed, and only if nobody else has brought them up to date meanwhile. So
whoever pushes waits for rows being written, never for a fold, however large the job. What a row says of a
sheet is ``job_rows``'s business.
"""

import logging
import sqlite3
from collections.abc import Callable
from functools import partial
from typing import Any, Protocol, TypeVar

import msgspec
from sqlite_utils import Database

from . import job_rows, log
from .sheet.fold import fold
from .sheet.outcome import stages

__all__ = ["Run", "catch_up", "stale"]

LOG = logging.getLogger("bothends")
T = TypeVar("T")
AT_ONCE = 50
"""Jobs whose rows are written in one transaction, so that entries never wait long for the writer."""
ENTRIES_AT_ONCE = 2000
"""Entries that are folded before what has come of them is written; a larger job goes alone."""


class Run(Protocol):
    """Runs some work on the book, as one read or one write of it: ``Store.read``, ``Store.write`` and the
    like."""

    def __call__(self, work: Callable[[Database], T], /) -> T:
        """What the work returns."""


class _Rows(msgspec.Struct):
    """What is kept of one job."""

    job: dict[str, Any]
    """Columns of job_sheets."""
    teardowns: dict[tuple[int, float | None], dict[str, Any]]
    """Rows of job_teardowns by teardown and kilometres since hand-over."""
    holds: set[str]
    """Ids of entries that count."""


class _Seen(msgspec.Struct):
    """A job whose entries its rows do not know yet, as it is at one moment of the book."""

    folded_seq: int
    """Up to which entry its rows stand."""
    seq: int
    """Its last entry."""
    before: _Rows
    entries: list[dict[str, Any]]


class _Change(msgspec.Struct):
    """What is to be written of a job."""

    job: str
    folded_seq: int
    """Up to which entry its rows must stand still, else somebody else has brought them up to date."""
    seq: int
    """Up to which entry they stand from now on."""
    before: _Rows
    after: _Rows | None
    """None where it could not be folded."""


def stale(db: Database, upto: int | None = None) -> bool:
    """Whether some job has entries that its rows do not know yet; those up to number ``upto`` where it is
    given."""
    return bool(_behind(db, log.last(db) if upto is None else upto, 1))


def catch_up(read: Run, write: Run) -> None:
    """Bring the rows of all jobs up to date with every entry that is in the book as this is called.

    Entries that arrive meanwhile are left for the next time, so it ends however many devices go on pushing.
    """
    upto = read(log.last)
    while names := read(partial(_behind, upto=upto, limit=AT_ONCE)):
        changes: list[_Change] = []
        count = 0
        for name in names:
            seen = read(partial(_look, job=name))
            after = _folded(name, seen.entries)
            changes.append(
                _Change(job=name, folded_seq=seen.folded_seq, seq=seen.seq, before=seen.before, after=after)
            )
            count += len(seen.entries)
            if count >= ENTRIES_AT_ONCE:
                break
        write(partial(_keep_all, changes=changes))


def _behind(db: Database, upto: int, limit: int) -> list[str]:
    """Jobs that have entries up to that number which their rows do not know."""
    rows = db.execute(
        "SELECT job FROM job_sheets s WHERE folded_seq < last_seq AND EXISTS (SELECT 1 FROM entries e"
        " WHERE e.job = s.job AND e.seq > s.folded_seq AND e.seq <= ?) LIMIT ?",
        [upto, limit],
    )
    return [job for (job,) in rows.fetchall()]


def _look(db: Database, job: str) -> _Seen:
    (folded_seq,) = db.execute("SELECT folded_seq FROM job_sheets WHERE job = ?", [job]).fetchone()
    entries = log.of(db, job)
    rows = db.query("SELECT * FROM job_teardowns WHERE job = ?", [job])
    holds = db.execute("SELECT id FROM job_holds WHERE job = ?", [job]).fetchall()
    return _Seen(
        folded_seq=folded_seq,
        seq=entries[-1][0],
        before=_Rows(
            job={},
            teardowns={(row["teardown"], row["after_km"]): row for row in rows},
            holds={name for (name,) in holds},
        ),
        entries=[entry for _, entry in entries],
    )


def _folded(job: str, entries: list[dict[str, Any]]) -> _Rows | None:
    """The rows of a job. A fold never fails on an entry; if it does all the same, it must not keep others
    out."""
    try:
        return _rows(job, entries)
    except Exception:
        LOG.exception("job %s cannot be folded; its rows stay as they were", job)
        return None


def _rows(job: str, entries: list[dict[str, Any]]) -> _Rows:
    """What is to be kept of a job with these entries."""
    sheet = fold(job, entries)
    found = stages(sheet)
    row = job_rows.job(sheet, found, [entry["at"] for entry in entries])
    teardowns = {
        # Where nothing was read before the first teardown there is no such row to compare with.
        (stage["teardown"], stage["after_km"]): {
            "job": job,
            "car_key": row["car_key"],
            **job_rows.teardown(stage),
        }
        for stage in found
        if stage["at"] is not None
    }
    holds = {held["id"] for kind in ("readings", "moves", "plans") for held in sheet[kind]}
    return _Rows(job=row, teardowns=teardowns, holds=holds)


def _keep_all(db: Database, changes: list[_Change]) -> None:
    for change in changes:
        try:
            with db.atomic():
                _keep(db, change)
        except sqlite3.OperationalError:
            # No room, or the file cannot be written: nothing of this is kept, and it is tried again.
            raise
        except Exception:
            LOG.exception("the rows of job %s cannot be kept; they stay as they were", change.job)
            db.execute("UPDATE job_sheets SET folded_seq = ? WHERE job = ?", [change.seq, change.job])


def _keep(db: Database, change: _Change) -> None:
    """Write what has changed of one job's rows, unless somebody else has brought them up to date."""
    row = {"folded_seq": change.seq, **(change.after.job if change.after else {})}
    names = ", ".join(f"{name} = ?" for name in row)
    done = db.conn.execute(
        f"UPDATE job_sheets SET {names} WHERE job = ? AND folded_seq = ?",
        [*row.values(), change.job, change.folded_seq],
    )
    if done.rowcount == 0 or change.after is None:
        return
    before, after = change.before, change.after
    gone = [key for key, old in before.teardowns.items() if after.teardowns.get(key) != old]
    db.conn.executemany(
        "DELETE FROM job_teardowns WHERE job = ? AND teardown = ? AND after_km IS ?",
        [(change.job, *key) for key in gone],
    )
    new = [values for key, values in after.teardowns.items() if before.teardowns.get(key) != values]
    if new:
        marks = ", ".join("?" for _ in new[0])
        db.conn.executemany(
            f"INSERT INTO job_teardowns ({', '.join(new[0])}) VALUES ({marks})",
            [list(values.values()) for values in new],
        )
    db.conn.executemany(
        "DELETE FROM job_holds WHERE id = ?", [(name,) for name in before.holds - after.holds]
    )
    # In order of the table's key, which is many times as fast where there are thousands.
    held = [(name, change.job) for name in sorted(after.holds - before.holds)]
    db.conn.executemany("INSERT INTO job_holds VALUES (?, ?)", held)
