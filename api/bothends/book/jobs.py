"""Jobs as lists and searches see them: one row per job and per stage of it, made from entries.

Owns searching, sorting and paging of job_sheets. That its rows say what the entries say is ``folded``'s business;
whoever asks sees to that first. Functions of an open database, run by ``store``.
"""

from typing import Any

import msgspec
from sqlite_utils import Database

from . import job_rows, log, numbers
from .search import HIDDEN, narrow, where_of
from .sheet.fold import fold

__all__ = [
    "SORTS",
    "STATES",
    "by_state",
    "cars",
    "count",
    "find",
    "key_of",
    "last_visit",
    "listed",
    "visit_before",
]

STATES = ("open", "measuring", "planned", "torn down", "checked", "closed")
"""What a list may be narrowed to; open is everything but closed. Besides, HIDDEN."""
SORTS = {
    "arrival": "last_seq",
    "begun": "first_at",
    "worked": "last_at",
    "car": "car COLLATE NOCASE",
    "owner": "owner COLLATE NOCASE",
    "wish": "wish COLLATE NOCASE",
    "state": "CASE state "
    + " ".join(f"WHEN '{name}' THEN {place}" for place, name in enumerate(STATES))
    + " END",
    "teardowns": "teardowns",
    "left": "left_mm",
    "right": "right_mm",
    "odds": "odds",
    "unsettled": "conflicts",
    "number": "(SELECT number FROM job_numbers n WHERE n.job = job_sheets.job)",
}
"""What a list may be sorted by; among equals the order of arrival decides, so that every order is whole."""
LISTED = (
    "job, title, owner, wish, car, car_key, car_by, chassis, plate, hidden,"
    " state, teardowns, entries, conflicts, puzzles, left_mm, right_mm,"
    " odds, first_at, last_at, last_seq AS seq"
)

AIM = ("target_left_mm", "target_right_mm", "tolerance_mm")
"""What a listed job says of its target: heights it comes to at its latest stage, how far off they may be."""


def listed(
    db: Database,
    *,
    query: str = "",
    car: str = "",
    owner: str = "",
    state: str = "",
    since: str = "",
    until: str = "",
    sort: str = "arrival",
    down: bool = True,
    before: int | None = None,
    skip: int = 0,
    limit: int = 50,
) -> list[dict[str, Any]]:
    """Jobs, by default those with the latest arrivals first.

    Parameters
    ----------
    query : words that must all appear in car, owner, wish or title; #17 is the job with that number
    car : a car's key, or words of its name; empty for all
    owner : the owner's first name or its beginning; empty for all
    state : one of STATES, or HIDDEN; empty for all that are not hidden
    since, until : days, YYYY-MM-DD, both included, UTC: jobs worked on between them; empty for no end
    sort : one of SORTS; jobs that lack it come last either way
    down : greatest first
    before : only jobs whose seq lies below it, to turn the page in the order of arrival
    skip : leave out so many, to turn the page in any order
    """
    where, values = where_of(
        db, query=query, car=car, owner=owner, state=state, since=since, until=until, before=before
    )
    way = "DESC" if down else "ASC"
    order = (
        f"{SORTS[sort]} IS NULL, {SORTS[sort]} {way}, last_seq {way}"
        if sort != "arrival"
        else f"last_seq {way}"
    )
    # The inner question is answered from one index; only the rows of this page are read.
    sql = (
        f"SELECT {LISTED} FROM job_sheets WHERE last_seq IN (SELECT last_seq FROM job_sheets WHERE {where}"
        f" ORDER BY {order} LIMIT ? OFFSET ?) ORDER BY {order}"
    )
    found = list(db.query(sql, [*values, limit, skip]))
    names = [row["job"] for row in found]
    aims, called = _targets(db, names), numbers.of(db, names)
    for row in found:
        row.update(aims.get(row["job"], dict.fromkeys(AIM)), number=called[row["job"]])
        row["hidden"] = bool(row["hidden"])
    return found


def _targets(db: Database, names: list[str]) -> dict[str, dict[str, float | None]]:
    """The heights that each job's target comes to at its latest stage; jobs without a stage are left out."""
    marks = ", ".join("?" for _ in names)
    rows = db.query(
        f"SELECT job, {', '.join(AIM)} FROM job_teardowns WHERE job IN ({marks})"
        " ORDER BY job, teardown, coalesce(after_km, -1)",
        names,
    )
    return {row["job"]: {name: row[name] for name in AIM} for row in rows}


def count(
    db: Database,
    *,
    query: str = "",
    car: str = "",
    owner: str = "",
    state: str = "",
    since: str = "",
    until: str = "",
) -> int:
    """How many jobs there are that ``listed`` would give on all its pages."""
    where, values = where_of(db, query=query, car=car, owner=owner, state=state, since=since, until=until)
    return int(db.execute(f"SELECT count(*) FROM job_sheets WHERE {where}", values).fetchone()[0])


def by_state(
    db: Database, *, query: str = "", car: str = "", owner: str = "", since: str = "", until: str = ""
) -> dict[str, int]:
    """How many jobs of a list stand where: each state but open, none of which is left out; and those hidden."""
    asked: dict[str, Any] = {"query": query, "car": car, "owner": owner, "since": since, "until": until}
    where, values = where_of(db, **asked, state="")
    found = db.execute(f"SELECT state, count(*) FROM job_sheets WHERE {where} GROUP BY state", values)
    out = {**dict.fromkeys(STATES[1:], 0), **dict(found.fetchall())}
    return {**out, HIDDEN: count(db, **asked, state=HIDDEN)}


def cars(
    db: Database, *, query: str = "", after: str = "", without: str = "", limit: int = 50
) -> list[dict[str, Any]]:
    """Cars in order of their keys, each as its latest visit names it; ``without`` that job."""
    where, values = ["car_key > ?", "job != ?", "hidden = 0"], [after, without]
    narrow(where, values, query)
    found = list(
        db.query(
            "SELECT car_key, car, owner, count(*) AS visits, max(last_at) AS last_at,"
            " sum(posterior IS NOT NULL) AS taught, sum(car_by = 'name') AS by_name FROM job_sheets"
            f" WHERE {' AND '.join(where)} GROUP BY car_key ORDER BY car_key LIMIT ?",
            [*values, limit],
        )
    )
    for row in found:
        row["taught"] = bool(row["taught"])
        row["by_name"] = row["visits"] > 1 and bool(row["by_name"])
    return found


def key_of(db: Database, *, car: str = "", owner: str = "", car_id: str = "") -> str:
    """The key of the car that somebody means: by its key, else the only one of that name and owner; "" for none."""
    if car_id:
        return car_id
    words = job_rows.named(car=car, owner=owner)
    found = db.execute(
        "SELECT DISTINCT car_key FROM job_sheets WHERE car_named = ? AND car_named != '' AND hidden = 0 LIMIT 2",
        [words],
    ).fetchall()
    return found[0][0] if len(found) == 1 else ""


def find(db: Database, job: str) -> dict[str, Any] | None:
    """The sheet of a job, folded from its entries as they are now; None where it has none."""
    entries = [entry for _, entry in log.of(db, job)]
    return fold(job, entries) if entries else None


def visit_before(db: Database, job: str) -> dict[str, Any] | None:
    """What the car of a job was taught at its latest visit before that job."""
    row = db.execute("SELECT car_key, first_at FROM job_sheets WHERE job = ?", [job]).fetchone()
    return None if row is None else last_visit(db, key=row[0], than=job, before=row[1] or "")


def last_visit(db: Database, *, key: str, than: str = "", before: str = "9999") -> dict[str, Any] | None:
    """What the car's latest earlier visit taught, where it taught anything.

    Parameters
    ----------
    key : a car's key
    than : another job than this one
    before : visits begun before this moment, UTC
    """
    if not key:
        return None
    found = list(
        db.query(
            "SELECT job, title, last_at AS at, bar, posterior, learned FROM job_sheets WHERE car_key = ?"
            " AND job != ? AND first_at < ? AND posterior IS NOT NULL AND hidden = 0"
            " ORDER BY last_at DESC, job LIMIT 1",
            [key, than, before],
        )
    )
    if not found:
        return None
    for name in ("bar", "posterior", "learned"):
        found[0][name] = msgspec.json.decode(found[0][name] or "null")
    return found[0]
