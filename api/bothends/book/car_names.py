"""Names of an erased customer that stand in other jobs as the key of a car: found before, taken out after.

The key of an older job's car is its name and owner; what was said of other jobs may name that car by it
(``car_id``, ``other_than``), and such a job is often another customer's. Owns finding these, and what is written
there: an erasure of names of the car alone, then a card that says the same by a number. Functions of an open
database, run by ``store``.
"""

from collections.abc import Iterable, Iterator
from typing import Any

import msgspec
from sqlite_utils import Database

from . import ids, log
from .job_rows import named
from .sheet.erased import CAR, ERASE, is_number_of_a_car, unnamed
from .sheet.fold import fold
from .sheet.kinds import schema_of

__all__ = ["of_jobs", "take"]


def of_jobs(db: Database, jobs: Iterable[str]) -> dict[str, str]:
    """By name that was the key of a car of these jobs: the car's key now, "" where it has none.

    Every car and owner that their cards ever said are joined, for keys were made of what was said at the time; but
    none that is another car by now. To be asked before anything is erased, with rows up to date.
    """
    those = set(jobs)
    found: dict[str, str] = {}
    for job in sorted(those):
        row = db.execute("SELECT car_key, car_own, car_said FROM job_sheets WHERE job = ?", [job]).fetchone()
        key = row[0] if row else ""
        for name in sorted(_said_in(db, job) | set(row or ())):
            if name and not is_number_of_a_car(name) and (name == key or not _of_others(db, name) - those):
                found.setdefault(name, key)
    return found


def _said_in(db: Database, job: str) -> set[str]:
    """Keys that the cars and owners of a job's cards made, whichever were said together."""
    said: dict[str, set[str]] = {"car": set(), "owner": set()}
    for _, entry in log.of(db, job):
        if entry["kind"] == "job":
            for name, words in said.items():
                words.add(str(entry["body"].get(name) or ""))
    return {named(car=car, owner=owner) for car in said["car"] for owner in said["owner"] if owner}


def _of_others(db: Database, name: str) -> set[str]:
    """Jobs whose car has a name for its key, or would have by their own words."""
    return {
        str(job)
        for column in ("car_key", "car_own")
        for (job,) in db.execute(f"SELECT job FROM job_sheets WHERE {column} = ?", [name])
    }


def take(
    db: Database, names: dict[str, str], *, without: Iterable[str], numbers: dict[str, str], device: str
) -> list[str]:
    """Take names out of every job that bears one as the key of a car; the jobs that did, in order.

    Visits of the same car stay visits of it: they say its number. In the transaction that erases, after it.

    Parameters
    ----------
    names : as ``of_jobs`` gave them
    without : jobs that were erased themselves
    numbers : by key that was a name, the number that stands in its place; where there is none, one is made
    device : who asked
    """
    told = {}
    for name, key in names.items():
        told[name] = key if is_number_of_a_car(key) else numbers.setdefault(key or name, ids.new())
    done = sorted(_bearing(db, names) - set(without))
    for job in done:
        _renumber(db, job, told, device)
    return done


def _bearing(db: Database, names: dict[str, str]) -> set[str]:
    """Jobs with a card, or another content of one, that has one of these names as a key, and visits of its car."""
    found = set()
    cards = db.execute(
        "SELECT job, body FROM entries WHERE kind = 'job'"
        " AND (body ->> '$.car_id' IS NOT NULL OR body ->> '$.other_than' IS NOT NULL)"
    )
    for job, body in cards:
        if names.keys() & set(_keys_in(msgspec.json.decode(body))):
            found.add(str(job))
    for (text,) in db.execute("SELECT entry FROM others WHERE entry ->> '$.kind' = 'job'"):
        entry = msgspec.json.decode(text)
        if names.keys() & set(_keys_in(entry["body"])):
            found.add(str(entry["job"]))
    for name in names:
        found |= {str(job) for (job,) in db.execute("SELECT job FROM job_sheets WHERE car_key = ?", [name])}
    return found


def _others_of(db: Database, job: str) -> list[dict[str, Any]]:
    """Other contents of a job's records."""
    found = db.execute("SELECT entry FROM others WHERE entry ->> '$.job' = ?", [job])
    return [msgspec.json.decode(text) for (text,) in found]


def _keys_in(body: dict[str, Any]) -> Iterator[str]:
    """Keys of cars that a card says."""
    apart = body.get("other_than")
    for one in [body.get("car_id"), *(apart if isinstance(apart, list) else [])]:
        if isinstance(one, str):
            yield one


def _renumber(db: Database, job: str, told: dict[str, str], device: str) -> None:
    """Say by numbers what a job says of its car, and take the names out."""
    entries = [entry for _, entry in log.of(db, job)]
    about = fold(job, entries)["about"]
    said = [one for one in _keys_in({"car_id": about.get("car_id")}) if one]
    row = db.execute("SELECT car_key FROM job_sheets WHERE job = ?", [job]).fetchone()
    body: dict[str, Any] = {}
    if said and not is_number_of_a_car(said[0]):
        body["car_id"] = told.get(said[0], said[0])
    elif not said and row and row[0] in told:
        body["car_id"] = told[row[0]]
    apart = list(_keys_in({"other_than": about.get("other_than")}))
    if not all(map(is_number_of_a_car, apart)):
        body["other_than"] = list(dict.fromkeys(told.get(one, one) for one in apart))
    worded = sum(unnamed(entry) is not entry for entry in entries)
    (newest,) = db.execute("SELECT max(id) FROM entries").fetchone()
    made = []
    erasure = {"entries": worded, "only": CAR}
    name = ids.new(after=newest)
    envelope = {"job": job, "device": device, "at": log.now()}
    if worded or any(unnamed(entry) is not entry for entry in _others_of(db, job)):
        made.append(
            {"id": name, **envelope, "schema": schema_of(ERASE, erasure), "kind": ERASE, "body": erasure}
        )
    if body:
        card = {"id": ids.new(after=name), **envelope, "schema": 1, "kind": "job"}
        known = {"erasure": name} if made else {}
        made.append({**card, **known, "body": body})
    log.append(db, made)
