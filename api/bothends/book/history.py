"""History across jobs: the car as found, after each teardown and at follow-ups; what was promised and what came.

Owns the queries, their pages and the CSV. Rows are those that ``jobs`` keeps; a page turns by (at, job,
teardown, after_km), so that rows which arrive in between neither repeat nor hide others. Functions of an open
database, run by ``store``.
"""

from collections.abc import Iterable
from typing import Any

from sqlite_utils import Database

from .columns import TEARDOWNS, selected, told
from .job_rows import end_of
from .table import text as as_text

__all__ = ["COLUMNS", "page", "place", "table"]

COLUMNS = tuple(column.name for column in TEARDOWNS)
PLACE = "v.at, v.job, v.teardown, coalesce(v.after_km, 0)"
"""What a page turns by, as SQL."""


def page(
    db: Database,
    *,
    car: str = "",
    since: str = "",
    until: str = "",
    after: tuple[str, str, int, float] | None = None,
    limit: int = 100,
    hidden: bool = False,
) -> list[dict[str, Any]]:
    """Rows in order of time.

    Parameters
    ----------
    car : a car's key, or its name with or without the owner; empty for all
    since, until : days, YYYY-MM-DD, both included, UTC; empty for no end
    after : the ``place`` of the last row of the page before
    hidden : those of hidden jobs too
    """
    where = ["1" if hidden else "NOT v.hidden"]
    values: list[Any] = []
    if car:
        keys = _keys(db, car)
        where.append(f"v.car_key IN ({', '.join('?' for _ in keys)})")
        values += keys
    if since:
        where.append("v.at >= ?")
        values.append(since)
    if until:
        where.append("v.at < ?")
        values.append(end_of(until))
    if after:
        where.append(f"({PLACE}) > (?, ?, ?, ?)")
        values += after
    # What narrows and orders are the view's own columns, so that the indexes of its table serve.
    sql = (
        f"SELECT {selected(TEARDOWNS)} FROM teardowns v WHERE {' AND '.join(where)} ORDER BY {PLACE} LIMIT ?"
    )
    return [told(TEARDOWNS, row) for row in db.query(sql, [*values, limit])]


def place(row: dict[str, Any]) -> tuple[str, str, int, float]:
    """Where a row stands, to go on after it; 0 km is hand-over day."""
    return row["at"], row["job"], row["teardown"], row["after_km"] or 0.0


def _keys(db: Database, car: str) -> list[str]:
    """Keys of the cars that somebody may mean: the very key, else every car of that name."""
    plain = " ".join(car.casefold().split())
    for given in (car, plain):
        if db.execute("SELECT 1 FROM job_sheets WHERE car_key = ? LIMIT 1", [given]).fetchone():
            return [given]
    name = f"{plain} / "
    found = db.execute(
        "SELECT DISTINCT car_key FROM job_sheets WHERE car_named != ''"
        " AND (car_named = ? OR substr(car_named, 1, ?) = ?) LIMIT 100",
        [plain, len(name), name],
    ).fetchall()
    return [row[0] for row in found] or [plain]


def table(rows: Iterable[dict[str, Any]], *, heading: bool = True) -> str:
    """Rows as CSV (RFC 4180), one line each, units in the heading."""
    return as_text(COLUMNS, rows, heading=heading)
