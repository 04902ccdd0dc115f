"""Whose visit each job is, as job_sheets keeps it: brought up to date for the jobs that a change can reach.

Owns the columns car_key and car_by of job_sheets, and car_key of job_teardowns. The rule is
``sheet.identity``'s; here it is asked about a job that has changed and whatever hangs together with it, by id,
chassis number or plate, before the change or after it. No job is folded for it, and no other car looked at.
Functions of an open database, run by ``store``.
"""

from collections.abc import Iterable
from typing import Any

from sqlite_utils import Database

from .job_rows import FACTS
from .sheet import identity

__all__ = ["alike", "apart", "facts_of", "jobs_of", "others", "settle", "with_visits"]

MOST = 400
"""Values that one question names."""
OFFERED = 5
"""Cars that a person is asked about at once."""
PAIRS = 20
"""Pairs of cars that a person is asked about at once, of the whole book."""
_SELECT = f"SELECT job, {', '.join(FACTS)}, car_key, car_by FROM job_sheets"


def facts_of(db: Database, job: str) -> dict[str, Any] | None:
    """What a job says now of which car it is; None where nothing is kept of it."""
    return next(iter(db.query(f"{_SELECT} WHERE job = ?", [job])), None)


def jobs_of(db: Database, key: str) -> list[str]:
    """Every job of a car, hidden ones too, the one begun first first; none for "" or a key that no car has."""
    if not key:
        return []
    found = db.execute("SELECT job FROM job_sheets WHERE car_key = ? ORDER BY first_at, job", [key])
    return [job for (job,) in found.fetchall()]


def with_visits(db: Database, job: str) -> list[str]:
    """Every job of a job's car, itself included, as ``jobs_of``. Rows must be up to date."""
    said = facts_of(db, job)
    return jobs_of(db, said["car_key"] if said else "") or [job]


def settle(db: Database, changed: Iterable[dict[str, Any]]) -> None:
    """Say anew whose visits these jobs are, and all that hang together with them; in the caller's transaction.

    Parameters
    ----------
    changed : rows as ``facts_of`` gives them, of each job that changed as it was and as it is
    """
    start = list(changed)
    if not start:
        return
    rows = _together(db, start)
    found = identity.cars([_asked(row) for row in rows])
    for row in rows:
        key, by = found[row["job"]]
        if (row["car_key"], row["car_by"]) == (key, by):
            continue
        db.conn.execute("UPDATE job_sheets SET car_key = ?, car_by = ? WHERE job = ?", [key, by, row["job"]])
        if row["car_key"] != key:
            db.conn.execute("UPDATE job_teardowns SET car_key = ? WHERE job = ?", [key, row["job"]])


def _asked(row: dict[str, Any]) -> dict[str, Any]:
    """A row as ``identity.cars`` takes it."""
    return {
        "job": row["job"],
        "said": row["car_said"],
        "own": row["car_own"],
        "chassis": row["chassis"],
        "plate": row["plate"],
        "apart": row["car_apart"].split("\n") if row["car_apart"] else [],
    }


def _together(db: Database, start: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """All jobs that hang together with some, as they stand now, by id, chassis number or plate."""
    found: dict[str, dict[str, Any]] = {}
    asked: dict[str, set[str]] = {"id": set(), "chassis": set(), "plate": set()}
    new = start
    while new:
        todo: dict[str, set[str]] = {name: set() for name in asked}
        for row in new:
            todo["id"].add(row["car_said"] or row["car_own"])
            # A job of another id may be named by others' words on it.
            todo["id"].add(row["car_own"])
            todo["chassis"].add(row["chassis"])
            todo["plate"].add(row["plate"])
        new = []
        for name, values in todo.items():
            fresh = sorted(values - asked[name] - {""})
            asked[name] |= set(fresh)
            for row in _bearing(db, name, fresh):
                if row["job"] not in found:
                    found[row["job"]] = row
                    new.append(row)
    # A job that says nothing any more has no neighbours, and is asked about all the same.
    for row in start:
        if row["job"] not in found and (now := facts_of(db, row["job"])) is not None:
            found[row["job"]] = now
    return [found[job] for job in sorted(found)]


def _bearing(db: Database, name: str, values: list[str]) -> list[dict[str, Any]]:
    out: list[dict[str, Any]] = []
    for at in range(0, len(values), MOST):
        some = values[at : at + MOST]
        marks = ", ".join("?" for _ in some)
        if name == "id":
            out += db.query(f"{_SELECT} WHERE car_said IN ({marks})", some)
            out += db.query(f"{_SELECT} WHERE car_said = '' AND car_own IN ({marks})", some)
        else:
            out += db.query(f"{_SELECT} WHERE {name} IN ({marks}) AND {name} != ''", some)
    return out


def others(db: Database, key: str) -> list[dict[str, Any]]:
    """Cars that a person is asked about: is it the same as this one? The latest first, OFFERED at most.

    Those that bear its chassis number or plate, and those of its name and owner unless both bear a number and the
    numbers differ; but none that somebody said is another car. Hidden jobs ask nothing.

    Returns
    -------
    list of dict
        car_key, car, owner, visits, last_at, and why: chassis, plate or name.
    """
    mine = _said_of(db, [key]).get(key) if key else None
    if mine is None or not mine["shown"]:
        return []
    why: dict[str, str] = {}
    for column in ("chassis", "plate", "car_named"):
        for value in sorted(mine[column]):
            rows = db.execute(
                f"SELECT car_key FROM job_sheets WHERE {column} = ? AND {column} != '' AND car_key NOT IN (?, '')"
                " AND hidden = 0 GROUP BY car_key ORDER BY max(last_at) DESC LIMIT ?",
                [value, key, MOST],
            ).fetchall()
            for (other,) in rows:
                why.setdefault(other, "name" if column == "car_named" else column)
    known = _said_of(db, list(why))
    asked = [
        other
        for other, reason in why.items()
        if not _apart(mine, known[other]) and not (reason == "name" and _differ(mine, known[other]))
    ]
    lines = [{**_line(db, other), "why": why[other]} for other in asked]
    return sorted(lines, key=lambda line: line["last_at"] or "", reverse=True)[:OFFERED]


def alike(db: Database) -> list[dict[str, Any]]:
    """Pairs of cars of the whole book that a person is asked about, as ``others`` asks; PAIRS at most.

    Those that bear one chassis number first, then one plate, then one name and owner; of each the latest first.

    Returns
    -------
    list of dict
        ``car``, the one that was here last, and ``other``, as ``others`` gives it.
    """
    found: dict[tuple[str, str], str] = {}
    for column in ("chassis", "plate", "car_named"):
        rows = db.execute(
            f"SELECT {column} FROM job_sheets WHERE {column} != '' AND car_key != '' AND hidden = 0"
            f" GROUP BY {column} HAVING count(DISTINCT car_key) > 1 ORDER BY max(last_at) DESC LIMIT ?",
            [MOST],
        ).fetchall()
        for (value,) in rows:
            for pair in _pairs(db, column, value):
                found.setdefault(pair, "name" if column == "car_named" else column)
            if len(found) >= PAIRS:
                break
    lines = [
        {"car": _line(db, one), "other": {**_line(db, other), "why": why}}
        for (one, other), why in found.items()
    ]
    return lines[:PAIRS]


def _pairs(db: Database, column: str, value: str) -> list[tuple[str, str]]:
    """Of the cars that have a value in common those a person is asked about, two by two, the latest first."""
    keys = [
        key
        for (key,) in db.execute(
            f"SELECT car_key FROM job_sheets WHERE {column} = ? AND car_key != '' AND hidden = 0"
            " GROUP BY car_key ORDER BY max(last_at) DESC LIMIT ?",
            [value, OFFERED + 1],
        ).fetchall()
    ]
    known = _said_of(db, keys)
    return [
        (one, other)
        for i, one in enumerate(keys)
        for other in keys[i + 1 :]
        if not _apart(known[one], known[other])
        and not (column == "car_named" and _differ(known[one], known[other]))
    ]


def apart(db: Database, key: str) -> list[dict[str, Any]]:
    """Cars that somebody said are other ones than this, as ``others`` gives them, with the jobs that say so."""
    mine = _said_of(db, [key]).get(key) if key else None
    if mine is None:
        return []
    found: dict[str, set[str]] = {}
    rows = db.query("SELECT job, car_key, car_own, car_said, car_apart FROM job_sheets WHERE car_apart != ''")
    for row in list(rows):
        ids = set(row["car_apart"].split("\n"))
        if row["car_key"] == key:
            for other in sorted(ids):
                marks = db.execute(
                    "SELECT car_key FROM job_sheets WHERE car_key = ? OR job = ? OR car_said = ? LIMIT 1",
                    [other] * 3,
                ).fetchone()
                if marks and marks[0] != key:
                    found.setdefault(marks[0], set()).add(row["job"])
        elif ids & mine["ids"]:
            found.setdefault(row["car_key"], set()).add(row["job"])
    lines = [{**_line(db, other), "jobs": sorted(jobs)} for other, jobs in sorted(found.items()) if other]
    return [line for line in lines if line["visits"]]


def _said_of(db: Database, keys: list[str]) -> dict[str, dict[str, Any]]:
    """By key, what all jobs of a car say of it: names, numbers, ids it goes by, ids it is said not to be."""
    out: dict[str, dict[str, Any]] = {}
    for at in range(0, len(keys), MOST):
        some = keys[at : at + MOST]
        for row in db.query(
            f"SELECT job, car_key, {', '.join(FACTS)}, car_named, hidden FROM job_sheets"
            f" WHERE car_key IN ({', '.join('?' for _ in some)})",
            some,
        ):
            empty: dict[str, set[str]] = {
                name: set() for name in ("chassis", "plate", "car_named", "ids", "apart")
            }
            said = out.setdefault(row["car_key"], {**empty, "shown": False})
            said["ids"] |= {row["job"], row["car_key"], row["car_own"], row["car_said"]} - {""}
            said["apart"] |= set(row["car_apart"].split("\n")) - {""}
            if not row["hidden"]:
                said["shown"] = True
                for name in ("chassis", "plate", "car_named"):
                    said[name] |= {row[name]} - {""}
    return out


def _apart(one: dict[str, Any], other: dict[str, Any]) -> bool:
    return bool(one["apart"] & other["ids"] or other["apart"] & one["ids"])


def _differ(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """Whether both bear a number of a kind, and none in common."""
    return any(
        one[mark] and other[mark] and not one[mark] & other[mark]
        for mark in (identity.CHASSIS, identity.PLATE)
    )


def _line(db: Database, key: str) -> dict[str, Any]:
    """A car as its latest visit names it."""
    (line,) = db.query(
        "SELECT car_key, car, owner, count(*) AS visits, max(last_at) AS last_at FROM job_sheets"
        " WHERE car_key = ? AND hidden = 0",
        [key],
    )
    return line
