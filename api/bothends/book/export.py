"""Tables for other programs: jobs, readings, moves and teardowns, with units in the headings.

Owns the queries and the formats; which columns there are says ``columns``. Rows come from the book's own views of
the same names and headings, which DEVELOPERS.md describes. Functions of an open database, run by ``store``.
"""

import itertools
from collections.abc import Iterator
from typing import Any

import msgspec
from sqlite_utils import Database

from . import simulated, table
from .columns import TABLES, selected, told
from .job_rows import end_of, utc

__all__ = ["TABLES", "as_csv", "as_json", "jobs_between", "rows"]

_ORDER = {
    "jobs": "v.first_at, v.job",
    "readings": "v.id",
    "moves": "v.id",
    "teardowns": "v.at, v.job, v.teardown, v.after_km",
}
_OF_BODIES = ("readings", "moves")
_AT = {"readings": "at", "moves": "at", "teardowns": "at"}


def rows(db: Database, name: str, *, since: str = "", until: str = "") -> Iterator[dict[str, Any]]:
    """Rows of a table, in order of time.

    Parameters
    ----------
    name : one of TABLES
    since, until : days, YYYY-MM-DD, both included, UTC; empty for no end. A job is of every day between its
        first and its last entry, the rest of the day they were written.
    """
    columns = TABLES[name]
    free = name in _OF_BODIES
    # A body is read once for each row, however often a column is asked for.
    view = f"WITH v AS MATERIALIZED (SELECT * FROM {name}) " if free else ""
    sql, values = (
        f"{view}SELECT {selected(columns, free=free)} FROM {'v' if free else f'{name} v'}",
        list[str](),
    )
    if name == "jobs":
        where, values = _worked(since, until)
        sql += where
    for row in db.query(f"{sql} ORDER BY {_ORDER[name]}", values):
        if name in _AT and not _between(row[_AT[name]], since, until):
            continue
        yield told(columns, row)


def jobs_between(db: Database, *, since: str = "", until: str = "") -> list[str] | None:
    """Jobs that were worked on between two days, for the book's file; None for all."""
    if not since and not until:
        return None
    where, values = _worked(since, until)
    return [row[0] for row in db.execute(f"SELECT job FROM job_sheets{where}", values).fetchall()]


def as_csv(db: Database, name: str, *, since: str = "", until: str = "") -> Iterator[bytes]:
    """A table as CSV (RFC 4180), in pieces."""
    names = [column.name for column in TABLES[name]]
    yield table.text(names, []).encode()
    for some in _by_the_thousand(rows(db, name, since=since, until=until)):
        yield table.text(names, some, heading=False).encode()


def as_json(db: Database, name: str, *, since: str = "", until: str = "") -> Iterator[bytes]:
    """A table as JSON, in pieces: its name, whether the book is simulated, its columns with units, its rows."""
    columns = [{"name": c.name, "unit": c.unit, "words": c.words} for c in TABLES[name]]
    head = msgspec.json.encode({"table": name, "simulated": simulated.marked(db), "columns": columns})
    yield head[:-1] + b',"rows":['
    comma = b""
    for some in _by_the_thousand(rows(db, name, since=since, until=until)):
        yield comma + b",\n".join(msgspec.json.encode(row) for row in some)
        comma = b",\n"
    yield b"]}\n"


def _by_the_thousand(found: Iterator[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    while some := list(itertools.islice(found, 1000)):
        yield some


def _worked(since: str, until: str) -> tuple[str, list[str]]:
    """The condition that a job was worked on between two days."""
    return " WHERE last_at >= ? AND first_at < ?", [since, end_of(until)]


def _between(at: str, since: str, until: str) -> bool:
    moment = utc(at)
    return moment >= since and (not until or moment < end_of(until))
