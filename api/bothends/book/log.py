"""The list of entries in the book: taking them in, handing them out in order of arrival.

Owns the rule that an id is taken once: the same entry again changes nothing, another content under a known
id is refused, and kept beside the list (``others``). What an erasure covers is kept without its words, however
often it comes (``erasing``). Functions of an open database, run by ``store``. Does not
check entries; ``entries.read`` does.
"""

import sqlite3
from datetime import UTC, datetime
from typing import Any, Literal

import msgspec
from sqlite_utils import Database

from . import erasing, numbers, others
from .entry_rows import COLUMNS, entry_of, row_of
from .sheet.erased import ERASE

__all__ = [
    "PER_JOB",
    "Taken",
    "append",
    "append_but",
    "epoch",
    "find",
    "last",
    "named",
    "now",
    "of",
    "of_jobs",
    "since",
]

PER_JOB = 10_000
"""Most entries of one job, a hundred times what a long one has: folding them takes a shop's PC a fraction of a
second, a phone some seconds. What comes after that is refused, and stays with whoever wrote it."""
AHEAD_MS = 5 * 60 * 1000
"""How far a writer's clock may be ahead of the shop's before it is mentioned, [ms]."""


class Taken(msgspec.Struct, kw_only=True):
    """What became of one entry."""

    status: str
    """stored, known (the same is there already), other (the id is there with other content), full (its job has as
    many entries as it may have), unfit, or held (an erasure nobody here asked for: ``append_but``)."""
    seq: int | None = None
    stored: dict[str, Any] | None = None
    """The entry that has the id, where the content differs."""
    note: str | None = None
    erased: bool | Literal["car"] = False
    """Whether what is in the book is without words that came with it; car: without names of a car alone."""


def now() -> str:
    """The shop's clock, UTC."""
    return stamp(datetime.now(UTC))


def stamp(moment: datetime) -> str:
    """A moment of UTC as it travels."""
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def append_but(db: Database, entries: list[dict[str, Any]], held: set[str]) -> list[Taken]:
    """Take entries in but those whose ids are ``held``; an answer for each in the order given, as ``append``."""
    taken = iter(append(db, [entry for entry in entries if entry["id"] not in held]))
    return [Taken(status="held") if entry["id"] in held else next(taken) for entry in entries]


def append(db: Database, entries: list[dict[str, Any]]) -> list[Taken]:
    """Take entries in, one by one in the order given; run it in one transaction.

    The numbers given here ascend and are never used again, and whoever sees one sees all below it: there is
    one writer, and nobody sees a transaction before it is committed.
    """
    received = now()
    clock_ms = datetime.fromisoformat(received).timestamp() * 1000.0
    taken = []
    newest: dict[str, int] = {}
    room: dict[str, int] = {}
    erasure: dict[str, erasing.Under] = {}
    for came in entries:
        entry = _plain(came)
        job = entry["job"]
        if job not in room:
            room[job] = PER_JOB - _count(db, job)
            erasure[job] = erasing.under(db, job)
        entry = erasing.standing(entry, erasure[job])
        if room[job] <= 0 and not _beyond(entry) and find(db, entry["id"]) is None:
            taken.append(Taken(status="full", note=_full_note()))
            continue
        try:
            # The connection's own execute: sqlite-utils adds nothing here and costs a third of the time.
            done = db.conn.execute(
                f"INSERT INTO entries ({COLUMNS}, points_to, received)"
                " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO NOTHING",
                [*row_of(entry), received],
            )
        except (sqlite3.DataError, sqlite3.InterfaceError, OverflowError, UnicodeError) as error:
            # Nothing that was checked should come here; if it does, it must not keep the others out.
            taken.append(Taken(status="unfit", note=f"SQLite cannot keep it: {error}"))
            continue
        if done.rowcount == 1:
            room[job] -= 1
            newest[job] = number = done.lastrowid or 0
            note = _clock_note(entry["at"], clock_ms)
            taken.append(Taken(status="stored", seq=number, note=note, erased=_lost(entry, came)))
            if entry["kind"] == ERASE:
                _note_last(db, {job: number})
                erasing.apply(db, job)
                erasure[job] = erasing.under(db, job)
            continue
        taken.append(_there(db, entry, came, received))
    numbers.give(db, newest)
    _note_last(db, newest)
    return taken


def _there(db: Database, entry: dict[str, Any], came: dict[str, Any], received: str) -> Taken:
    """What becomes of an entry whose id is taken; ``came`` is that entry with all its words."""
    seq, stored = find(db, entry["id"]) or (0, {})
    if erasing.stands_for(stored, entry):
        return Taken(status="known", seq=seq, erased=_lost(stored, came))
    others.keep(db, erasing.standing_beside(stored, entry), received)
    return Taken(status="other", seq=seq, stored=stored)


def _lost(kept: dict[str, Any], came: dict[str, Any]) -> bool | Literal["car"]:
    """What is kept of an entry without words that it came with, as it says itself; False where nothing went."""
    mark: bool | Literal["car"] = kept.get("erased") or False
    return False if came.get("erased") in (mark, True) else mark


def _beyond(entry: dict[str, Any]) -> bool:
    """Whether a full job takes an entry all the same: its customer can be erased, however long it is."""
    return entry["kind"] == ERASE or (entry["kind"] == "job" and entry.get("erasure") is not None)


def _note_last(db: Database, newest: dict[str, int]) -> None:
    """Note which number is a job's last."""
    for job, seq in newest.items():
        db.conn.execute(
            "INSERT INTO job_sheets (job, last_seq) VALUES (?, ?)"
            " ON CONFLICT (job) DO UPDATE SET last_seq = excluded.last_seq",
            [job, seq],
        )


def since(db: Database, after: int, limit: int) -> list[tuple[int, dict[str, Any]]]:
    """Entries that arrived after number ``after``, in order of arrival, with their numbers."""
    return _entries(db, "WHERE seq > ? ORDER BY seq LIMIT ?", after, limit)


def of(db: Database, job: str, after: int = 0, limit: int = -1) -> list[tuple[int, dict[str, Any]]]:
    """Entries of one job in order of arrival, with their numbers; all of them by default."""
    return _entries(db, "WHERE job = ? AND seq > ? ORDER BY seq LIMIT ?", job, after, limit)


def of_jobs(db: Database, jobs: list[str], after: int, limit: int) -> list[tuple[int, dict[str, Any]]]:
    """Entries of these jobs that arrived after number ``after``, in order of arrival, with their numbers."""
    marks = ", ".join("?" for _ in jobs)
    return _entries(db, f"WHERE job IN ({marks}) AND seq > ? ORDER BY seq LIMIT ?", *jobs, after, limit)


def find(db: Database, name: str) -> tuple[int, dict[str, Any]] | None:
    """The entry with an id, and its number."""
    found = _entries(db, "WHERE id = ?", name)
    return found[0] if found else None


def named(db: Database, seq: int) -> str | None:
    """Id of the entry with a number, None where there is none.

    Whoever knew another id under the number has read another book: an entry never changes its number.
    """
    found = db.conn.execute("SELECT id FROM entries WHERE seq = ?", [seq]).fetchone()
    return str(found[0]) if found else None


def last(db: Database) -> int:
    """The highest number given."""
    return int(db.conn.execute("SELECT coalesce(max(seq), 0) FROM entries").fetchone()[0])


def epoch(db: Database) -> str:
    """Changes when the book is restored from a copy: numbers of another epoch mean nothing in this one."""
    return str(db.conn.execute("SELECT value FROM book WHERE name = 'epoch'").fetchone()[0])


def _count(db: Database, job: str) -> int:
    return int(db.conn.execute("SELECT count(*) FROM entries WHERE job = ?", [job]).fetchone()[0])


def _full_note() -> str:
    return (
        f"this job has {PER_JOB:,} records, the most that one job may have;"
        " this one stays where it was made: begin a new job for the car"
    )


def _plain(entry: dict[str, Any]) -> dict[str, Any]:
    """The entry with what the schema leaves open said: a schema number, no empty count."""
    entry = {"schema": 1, **entry}
    if entry.get("device_seq") is None:
        entry.pop("device_seq", None)
    return entry


def _entries(db: Database, where: str, *parameters: Any) -> list[tuple[int, dict[str, Any]]]:
    found = db.conn.execute(f"SELECT seq, {COLUMNS} FROM entries {where}", parameters)
    return [(seq, entry_of(row)) for seq, *row in found]


def _clock_note(at: str, clock_ms: float) -> str | None:
    """A word where the writer's clock is ahead of the shop's; behind is usual, entries wait for a network.

    By ``at``, which is the writer's own clock: the id of whoever has seen a clock far ahead is ahead as well.
    """
    try:
        ahead_ms = datetime.fromisoformat(at).timestamp() * 1000.0 - clock_ms
    except (ValueError, OverflowError):
        # A moment that was sound to read and that this cannot reckon with: the calendar's first and last days.
        return None
    if ahead_ms <= AHEAD_MS:
        return None
    return (
        "this device's clock is ahead of the shop's; the record is kept; the order does not depend on clocks"
    )
