"""What is kept folded of every job, brought up to date after entries were taken in and never in that write.

Owns how the tables job_sheets, job_teardowns and job_holds follow the entries, all but whose visit a job is
(``visits``). They hold nothing that the
entries do not say. Taking entries in only notes in job_sheets which number is a job's last (``log``); here a
job that has grown is read and folded as it is at one moment of the book, with no write open, and its rows are
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

from . import job_rows, log, visits
from .sheet.fold import fold
from .sheet.outcome import stages

__all__ = ["AT_ONCE", "Change", "Run", "behind", "catch_up", "change_of", "newest", "part", "stale"]

LOG = logging.getLogger("bothends")
T = TypeVar("T")
AT_ONCE = 50
"""Jobs whose rows are written in one transaction, so that entries never wait long for the writer."""
LARGE = 1000
"""Entries of a job that is folded elsewhere, where the caller has such a place, and written alone."""


class Run(Protocol):
    """Runs some work on the book, as one read or one write of it: ``Store.read``, ``Store.write`` and the like."""

    def __call__(self, work: Callable[[Database], T], /) -> T:
        """What the work returns."""


class Change(msgspec.Struct):
    """What is to be written of a job whose entries its rows do not know yet."""

    job: str
    folded_seq: int
    """Up to which entry its rows must stand still, else somebody else has brought them up to date."""
    seq: int
    """Up to which entry they stand from now on."""
    row: dict[str, Any] = {}
    """Columns of job_sheets; none where the job could not be folded, and then nothing else either."""
    stages_gone: list[tuple[int, float | None]] = []
    """Rows of job_teardowns to take out: teardown, kilometres since hand-over."""
    stages_new: list[dict[str, Any]] = []
    holds_gone: list[str] = []
    """Ids to take out of job_holds."""
    holds_new: list[str] = []


class _Grown(msgspec.Struct):
    """A job whose entries its rows do not know yet, and how many entries it has."""

    job: str
    entries: int


def stale(db: Database) -> bool:
    """Whether some job has entries that its rows do not know yet."""
    return behind(db) > 0


def behind(db: Database, after: int = 0, upto: int = 2**62) -> int:
    """How many jobs have entries that their rows do not know yet, their last one after and up to these numbers."""
    sql = "SELECT count(*) FROM job_sheets WHERE folded_seq < last_seq AND last_seq > ? AND last_seq <= ?"
    return int(db.execute(sql, [after, upto]).fetchone()[0])


def newest(db: Database, count: int) -> int:
    """The number behind which lie the last entries of so many jobs that are behind; 0 where there are no more."""
    row = db.execute(
        "SELECT last_seq FROM job_sheets WHERE folded_seq < last_seq ORDER BY last_seq DESC LIMIT 1 OFFSET ?",
        [count],
    ).fetchone()
    return int(row[0]) if row else 0


def catch_up(read: Run, write: Run, elsewhere: Callable[[str], Change] | None = None) -> None:
    """Bring the rows of all jobs up to date with every entry that is in the book as this is called.

    Entries that arrive meanwhile are left for the next time, so it ends however many devices go on pushing.

    Parameters
    ----------
    elsewhere : does ``change_of`` for large jobs, given their id, where this thread would be in the way
    """
    upto = read(log.last)
    while part(read, write, upto, elsewhere=elsewhere):
        pass


def part(
    read: Run,
    write: Run,
    upto: int,
    *,
    after: int = 0,
    most: int = AT_ONCE,
    elsewhere: Callable[[str], Change] | None = None,
    all_elsewhere: bool = False,
) -> bool:
    """Bring some jobs up to date, those that grew last first; whether there were any.

    Parameters
    ----------
    after, upto : of the jobs that have entries up to the one number, those with entries after the other
    most : so many jobs
    elsewhere : does ``change_of`` for large jobs, or ``all_elsewhere``, where this thread would be in the way
    """
    grown = read(partial(_behind, after=after, upto=upto, limit=most))
    changes: list[Change] = []
    for one in grown:
        large = one.entries >= LARGE
        if large and changes:
            break
        if elsewhere is not None and (large or all_elsewhere):
            changes.append(elsewhere(one.job))
        else:
            changes.append(read(partial(change_of, job=one.job)))
        if large:
            break
    if changes:
        write(partial(_keep_all, changes=changes))
    return bool(grown)


def change_of(db: Database, job: str) -> Change:
    """Fold a job as it is at this moment of the book, and compare with what is kept of it."""
    (folded_seq,) = db.execute("SELECT folded_seq FROM job_sheets WHERE job = ?", [job]).fetchone()
    entries = log.of(db, job)
    change = Change(job=job, folded_seq=folded_seq, seq=entries[-1][0])
    try:
        sheet = fold(job, [entry for _, entry in entries])
        found = stages(sheet)
        row = job_rows.job(sheet, found, [entry["at"] for _, entry in entries])
    except Exception:
        # A fold never fails on an entry; if it does all the same, one job must not keep the others out.
        LOG.exception("job %s cannot be folded; its rows stay as they were", job)
        return change
    kept = {
        (old["teardown"], old["after_km"]): old
        for old in db.query("SELECT * FROM job_teardowns WHERE job = ?", [job])
    }
    (car_key,) = db.execute("SELECT car_key FROM job_sheets WHERE job = ?", [job]).fetchone()
    now = {
        (stage["teardown"], stage["after_km"]): {
            "job": job,
            "car_key": car_key,
            **job_rows.teardown(stage),
        }
        for stage in found
        # Where nothing was read before the first teardown there is no such row to compare with.
        if stage["at"] is not None
    }
    held = {name for (name,) in db.execute("SELECT id FROM job_holds WHERE job = ?", [job]).fetchall()}
    holds = {one["id"] for kind in ("readings", "moves", "plans", "photos") for one in sheet[kind]}
    change.row = row
    change.stages_gone = [key for key, old in kept.items() if now.get(key) != old]
    change.stages_new = [new for key, new in now.items() if kept.get(key) != new]
    change.holds_gone = sorted(held - holds)
    # In order of the table's key, which is many times as fast to write where there are thousands.
    change.holds_new = sorted(holds - held)
    return change


def _behind(db: Database, upto: int, limit: int, after: int = 0) -> list[_Grown]:
    """Jobs that have entries up to that number which their rows do not know; those that grew last first."""
    rows = db.execute(
        "SELECT job, (SELECT count(*) FROM entries e WHERE e.job = s.job) FROM (SELECT job FROM job_sheets s"
        " WHERE folded_seq < last_seq AND last_seq > ? AND EXISTS (SELECT 1 FROM entries e"
        " WHERE e.job = s.job AND e.seq > s.folded_seq AND e.seq <= ?) ORDER BY last_seq DESC LIMIT ?) s",
        [after, upto, limit],
    )
    return [_Grown(job=job, entries=entries) for job, entries in rows.fetchall()]


def _keep_all(db: Database, changes: list[Change]) -> None:
    moved: list[dict[str, Any]] = []
    for change in changes:
        try:
            before = visits.facts_of(db, change.job)
            with db.atomic():
                _keep(db, change)
            after = visits.facts_of(db, change.job)
            if before is not None and after is not None and before != after:
                moved += [before, after]
        except sqlite3.OperationalError:
            # No room, or the file cannot be written: nothing of this is kept, and it is tried again.
            raise
        except Exception:
            LOG.exception("the rows of job %s cannot be kept; they stay as they were", change.job)
            db.execute("UPDATE job_sheets SET folded_seq = ? WHERE job = ?", [change.seq, change.job])
    visits.settle(db, moved)


def _keep(db: Database, change: Change) -> None:
    """Write what has changed of one job's rows, unless somebody else has brought them up to date."""
    row = {"folded_seq": change.seq, **change.row}
    names = ", ".join(f"{name} = ?" for name in row)
    done = db.conn.execute(
        f"UPDATE job_sheets SET {names} WHERE job = ? AND folded_seq = ?",
        [*row.values(), change.job, change.folded_seq],
    )
    if done.rowcount == 0:
        return
    db.conn.executemany(
        "DELETE FROM job_teardowns WHERE job = ? AND teardown = ? AND after_km IS ?",
        [(change.job, *key) for key in change.stages_gone],
    )
    if change.stages_new:
        # Another job's change may have made it another car's visit meanwhile.
        (car_key,) = db.execute("SELECT car_key FROM job_sheets WHERE job = ?", [change.job]).fetchone()
        change.stages_new = [{**new, "car_key": car_key} for new in change.stages_new]
        columns = list(change.stages_new[0])
        marks = ", ".join("?" for _ in columns)
        db.conn.executemany(
            f"INSERT INTO job_teardowns ({', '.join(columns)}) VALUES ({marks})",
            [[new[name] for name in columns] for new in change.stages_new],
        )
    db.conn.executemany("DELETE FROM job_holds WHERE id = ?", [(name,) for name in change.holds_gone])
    held = [(name, change.job) for name in change.holds_new]
    db.conn.executemany("INSERT INTO job_holds VALUES (?, ?)", held)
