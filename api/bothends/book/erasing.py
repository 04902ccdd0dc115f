"""Erasing a customer inside the book: which erasure covers a job, and taking the words out of what is there.

Owns the one way in which records of the book change. An erasure is a record of its own (kind erase), appended like
any other; with it, in the same transaction, every record of its job is replaced by what ``sheet.erased`` leaves of
it, and so is what comes later from writers who did not know of it (``log``). The file's triggers let that through
and nothing else. Functions of an open database, run by ``store``.
"""

import sqlite3
from typing import Any

import msgspec
from sqlite_utils import Database

from . import photos, visits
from .entries import same
from .entry_rows import COLUMNS, entry_of, row_of
from .job_rows import FACTS
from .sheet.erased import ERASE, covered, erased

__all__ = [
    "apply",
    "latest",
    "scrub",
    "scrub_wanted",
    "standing",
    "standing_beside",
    "stands_for",
    "would_erase",
]

WANTED = "scrub"
"""In the table ``book``: words were taken out, and what free pages hold of them is not overwritten yet."""
WORDS = ("title", "owner", "wish", "car", "search", "car_named", *FACTS)
"""Columns of a job's row that hold words of it."""


def latest(db: Database, job: str) -> str | None:
    """Id of a job's last erasure; None where there is none."""
    query = f"SELECT max(id) FROM entries WHERE kind = '{ERASE}' AND job = ?"
    found = db.conn.execute(query, [job]).fetchone()[0]
    return None if found is None else str(found)


def standing(entry: dict[str, Any], erasure: str | None) -> dict[str, Any]:
    """A record as it may be kept under its job's last erasure."""
    return erased(entry) if covered(entry, erasure) else entry


def stands_for(stored: dict[str, Any], entry: dict[str, Any]) -> bool:
    """Whether what is kept under an id is what a record says, where either may be without its words."""
    if same(stored, entry):
        return True
    if not (stored.get("erased") or entry.get("erased")):
        return False
    if same(erased(stored), erased(entry)):
        return True
    # A version that does not know the kind leaves no text at all, where a later one leaves some.
    bare = _unknown(stored)
    return same(stored, bare) and same(bare, _unknown(entry))


def standing_beside(stored: dict[str, Any], entry: dict[str, Any]) -> dict[str, Any]:
    """Another content under the id of a record, as it may be kept: without words where that is."""
    return erased(entry) if stored.get("erased") else entry


def _unknown(entry: dict[str, Any]) -> dict[str, Any]:
    """What a version leaves of a record that does not know its kind."""
    return {**erased({**entry, "kind": ""}), "kind": entry["kind"]}


def would_erase(db: Database, entry: dict[str, Any]) -> bool:
    """Whether an entry is an erasure that is not here and would take words from what is."""
    if (
        entry["kind"] != ERASE
        or db.conn.execute("SELECT 1 FROM entries WHERE id = ?", [entry["id"]]).fetchone()
    ):
        return False
    rows = db.conn.execute(f"SELECT {COLUMNS} FROM entries WHERE job = ?", [entry["job"]])
    return any(standing(one, entry["id"]) is not one for one in map(entry_of, rows.fetchall()))


def apply(db: Database, job: str) -> int:
    """Take the words out of a job as its last erasure asks; how many of its records had some.

    The rows that are folded of it lose theirs at once, and are made anew by the next catching up.
    """
    erasure = latest(db, job)
    changed = 0
    pictures = set()
    for row in db.conn.execute(f"SELECT {COLUMNS} FROM entries WHERE job = ?", [job]).fetchall():
        entry = entry_of(row)
        new = standing(entry, erasure)
        if not same(new, entry):
            _replace(db, entry, new)
            changed += 1
            if entry["kind"] == "photo":
                pictures.add(str(entry["body"].get("sha256")))
    for name in pictures:
        photos.let_go(db, name)
    _others(db, job)
    # A fold that is under way elsewhere read the words: it must not find its row as it stood.
    before = visits.facts_of(db, job)
    blank = ", ".join(f"{name} = ''" for name in WORDS)
    db.conn.execute(f"UPDATE job_sheets SET folded_seq = -1 - last_seq, {blank} WHERE job = ?", [job])
    db.conn.execute("UPDATE job_teardowns SET writer = NULL WHERE job = ?", [job])
    after = visits.facts_of(db, job)
    # Its other visits are visits of one another as before, whatever this one said of them.
    visits.settle(db, [row for row in (before, after) if row])
    db.conn.execute("INSERT OR REPLACE INTO book (name, value) VALUES (?, '1')", [WANTED])
    return changed


def _replace(db: Database, entry: dict[str, Any], new: dict[str, Any]) -> None:
    *_, body, extra, pointer = row_of(new)
    statement = "UPDATE entries SET body = ?, extra = ?, points_to = ? WHERE id = ?"
    db.conn.execute(statement, [body, extra, pointer, entry["id"]])


def _others(db: Database, job: str) -> None:
    """The same for contents that came under ids of the job; what then differs no more is no content of its own."""
    found = db.conn.execute(
        f"SELECT o.number, o.entry, {COLUMNS.replace('id,', 'e.id,', 1)}"
        " FROM others o JOIN entries e USING (id) WHERE e.job = ? ORDER BY o.number",
        [job],
    ).fetchall()
    seen: list[dict[str, Any]] = []
    for number, text, *row in found:
        new = erased(msgspec.json.decode(text))
        if stands_for(entry_of(row), new) or any(same(new, one) for one in seen):
            db.conn.execute("DELETE FROM others WHERE number = ?", [number])
            continue
        seen.append(new)
        db.conn.execute(
            "UPDATE others SET entry = ? WHERE number = ?", [msgspec.json.encode(new).decode(), number]
        )


def scrub_wanted(db: Database) -> bool:
    """Whether words were taken out whose bytes may still stand in the file or its log."""
    return db.conn.execute("SELECT 1 FROM book WHERE name = ?", [WANTED]).fetchone() is not None


def scrub(db: Database) -> bool:
    """Write the file anew without its free pages and empty its log; whether both could be done.

    Outside of any transaction. What was deleted before this version overwrote it goes too.
    """
    try:
        db.conn.execute("VACUUM")
        db.conn.execute("DELETE FROM book WHERE name = ?", [WANTED])
        busy = db.conn.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
        if busy:
            # Somebody still reads the book as it was: once more when it is opened, or by the next erasure.
            db.conn.execute("INSERT OR REPLACE INTO book (name, value) VALUES (?, '1')", [WANTED])
        return not busy
    except sqlite3.OperationalError:
        return False
