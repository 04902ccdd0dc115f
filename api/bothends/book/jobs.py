"""Jobs as lists and searches see them: one row per job and per stage of it, made from entries.

Owns the tables job_sheets, job_teardowns and job_holds. They hold nothing that the entries do not say: a
job whose entries have grown is folded again before anybody reads its row. Functions of an open database,
run by ``store``. What a row says of a sheet is ``job_rows``'s business.
"""

import logging
from typing import Any

import msgspec
from sqlite_utils import Database

from . import job_rows, log
from .search import narrow, where_of
from .sheet.fold import fold
from .sheet.outcome import stages

__all__ = [
    "SORTS",
    "STATES",
    "by_state",
    "cars",
    "count",
    "find",
    "last_visit",
    "listed",
    "refresh",
    "stale",
    "visit_before",
]

STATES = ("open", "measuring", "planned", "torn down", "checked", "closed")
"""What a list may be narrowed to; open is everything but closed."""
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
}
"""What a list may be sorted by; among equals the order of arrival decides, so that every order is whole."""
LOG = logging.getLogger("bothends")
AT_ONCE = 50
"""Jobs folded in one transaction, so that entries never wait long for the writer."""
LISTED = (
    "job, title, owner, wish, car, car_key, state, teardowns, entries, conflicts, puzzles, left_mm, right_mm,"
    " odds, first_at, last_at, last_seq AS seq"
)

AIM = ("target_left_mm", "target_right_mm", "tolerance_mm")
"""What a listed job says of its target: heights it comes to at its latest stage, how far off they may be."""


def stale(db: Database) -> bool:
    """Whether some job has entries that its row does not know yet."""
    return db.execute("SELECT 1 FROM job_sheets WHERE folded_seq < last_seq LIMIT 1").fetchone() is not None


def refresh(db: Database) -> bool:
    """Fold some of the jobs that have grown; True where more are left."""
    grown = db.execute(
        "SELECT job, last_seq FROM job_sheets WHERE folded_seq < last_seq LIMIT ?", [AT_ONCE]
    ).fetchall()
    for job, seq in grown:
        try:
            with db.atomic():
                _fold_again(db, job, seq)
        except Exception:
            # A fold never fails on an entry; if it does all the same, one job must not keep the others out.
            LOG.exception("job %s cannot be folded; its row stays as it was", job)
            db.execute("UPDATE job_sheets SET folded_seq = ? WHERE job = ?", [seq, job])
    return len(grown) == AT_ONCE and stale(db)


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
    query : words that must all appear in car, owner, wish or title
    car : a car's key, or words of its name; empty for all
    owner : the owner's first name or its beginning; empty for all
    state : one of STATES; empty for all
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
    aims = _targets(db, [row["job"] for row in found])
    for row in found:
        row.update(aims.get(row["job"], dict.fromkeys(AIM)))
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
    """How many jobs of a list stand where: each state but open, none of which is left out."""
    where, values = where_of(db, query=query, car=car, owner=owner, state="", since=since, until=until)
    found = db.execute(f"SELECT state, count(*) FROM job_sheets WHERE {where} GROUP BY state", values)
    return {**dict.fromkeys(STATES[1:], 0), **dict(found.fetchall())}


def cars(db: Database, *, query: str = "", after: str = "", limit: int = 50) -> list[dict[str, Any]]:
    """Cars in order of their keys, each as its latest visit names it."""
    where, values = ["car_key > ?"], [after]
    narrow(where, values, query)
    found = list(
        db.query(
            "SELECT car_key, car, owner, count(*) AS visits, max(last_at) AS last_at,"
            " sum(posterior IS NOT NULL) AS taught FROM job_sheets"
            f" WHERE {' AND '.join(where)} GROUP BY car_key ORDER BY car_key LIMIT ?",
            [*values, limit],
        )
    )
    for row in found:
        row["taught"] = bool(row["taught"])
    return found


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
    key : as from ``job_rows.car_key``
    than : another job than this one
    before : visits begun before this moment, UTC
    """
    if not key:
        return None
    found = list(
        db.query(
            "SELECT job, title, last_at AS at, bar, posterior, learned FROM job_sheets WHERE car_key = ?"
            " AND job != ? AND first_at < ? AND posterior IS NOT NULL ORDER BY last_at DESC, job LIMIT 1",
            [key, than, before],
        )
    )
    if not found:
        return None
    for name in ("bar", "posterior", "learned"):
        found[0][name] = msgspec.json.decode(found[0][name] or "null")
    return found[0]


def _fold_again(db: Database, job: str, seq: int) -> None:
    entries = [entry for _, entry in log.of(db, job)]
    sheet = fold(job, entries)
    row = {"folded_seq": seq, **job_rows.job(sheet, [entry["at"] for entry in entries])}
    names = ", ".join(f"{name} = ?" for name in row)
    db.conn.execute(f"UPDATE job_sheets SET {names} WHERE job = ?", [*row.values(), job])
    db.conn.execute("DELETE FROM job_teardowns WHERE job = ?", [job])
    for stage in stages(sheet):
        if stage["at"] is None:
            # Nothing was read before the first teardown: there is no such row to compare with.
            continue
        values = {"job": job, "car_key": row["car_key"], **job_rows.teardown(stage)}
        marks = ", ".join("?" for _ in values)
        db.conn.execute(
            f"INSERT INTO job_teardowns ({', '.join(values)}) VALUES ({marks})", list(values.values())
        )
    db.conn.execute("DELETE FROM job_holds WHERE job = ?", [job])
    holds = [(held["id"], job) for kind in ("readings", "moves", "plans") for held in sheet[kind]]
    db.conn.executemany("INSERT INTO job_holds VALUES (?, ?)", holds)
