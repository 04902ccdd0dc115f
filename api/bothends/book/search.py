"""What a list of jobs is narrowed to, as SQL and its values."""

import re
from typing import Any

from sqlite_utils import Database

from .job_rows import end_of

__all__ = ["HIDDEN", "narrow", "where_of"]

HIDDEN = "hidden"
"""What a list is narrowed to for the jobs that are hidden, and no other; no other list has them."""


def where_of(
    db: Database,
    *,
    query: str,
    car: str,
    owner: str,
    state: str,
    since: str,
    until: str,
    before: int | None = None,
) -> tuple[str, list[Any]]:
    """The condition of a list, as SQL and its values."""
    where = ["last_seq < ?", "hidden = ?"]
    values: list[Any] = [2**62 if before is None else before, int(state == HIDDEN)]
    if car:
        if db.execute("SELECT 1 FROM job_sheets WHERE car_key = ? LIMIT 1", [car]).fetchone():
            where.append("car_key = ?")
            values.append(car)
        else:
            narrow(where, values, car, of="car")
    if owner:
        where.append("owner LIKE ? ESCAPE '\\'")
        values.append(_literal(owner) + "%")
    narrow(where, values, query)
    if state and state != HIDDEN:
        where.append("state != ?" if state == "open" else "state = ?")
        values.append("closed" if state == "open" else state)
    if since:
        where.append("last_at >= ?")
        values.append(since)
    if until:
        where.append("first_at < ?")
        values.append(end_of(until))
    return " AND ".join(where), values


def narrow(where: list[str], values: list[Any], query: str, *, of: str = "search") -> None:
    """Keep the rows in which every word appears, wherever it stands and in any case; #17 is the job's number."""
    for word in query.casefold().split():
        if of == "search" and (number := re.fullmatch(r"#([0-9]{1,15})", word)):
            where.append("job = (SELECT n.job FROM job_numbers n WHERE n.number = ?)")
            values.append(int(number[1]))
            continue
        where.append(f"{of} LIKE ? ESCAPE '\\'")
        values.append("%" + _literal(word) + "%")


def _literal(text: str) -> str:
    """Text for LIKE that means itself."""
    return re.sub(r"([\\%_])", r"\\\1", text)
