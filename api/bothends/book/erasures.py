"""Customers erased on request: asking for it, what it will take, the list of what was done, and that list's file.

Owns the file ``erasures.jsonl`` beside the book: every erasure's record once more, so that an older file put in the
book's place (a copy restored, a disk's image, one copied back by hand) is brought up to them before it answers
anybody. No line says what was erased. Functions of an open database, run by ``store``.
"""

import logging
import os
from pathlib import Path
from typing import Any

import msgspec
from sqlite_utils import Database

from . import car_names, ids, log
from .entry_rows import COLUMNS, entry_of
from .erasing import latest
from .sheet.erased import ERASE, erased, is_number_of_a_car
from .sheet.fold import fold

__all__ = [
    "FILE",
    "SHOP",
    "Done",
    "Look",
    "bring",
    "erase",
    "look",
    "read",
    "records",
    "since",
    "there",
    "told",
]

LOG = logging.getLogger("bothends")
FILE = "erasures.jsonl"
NEEDED = ("id", "job", "device", "at", "kind", "schema", "body")
SHOP = "shop-pc"
"""What an erasure says in ``device`` that was asked for on the command line."""


class Look(msgspec.Struct, kw_only=True):
    """A job before its customer is erased."""

    job: str
    title: str
    owner: str
    plate: str
    car: str
    car_key: str
    first_at: str
    last_at: str
    entries: int
    """Records that have words to be taken out."""
    spots: list[str]
    """Names of places that stay."""
    erased: bool
    """Whether it was erased before."""


class Done(msgspec.Struct, kw_only=True):
    """An erasure that was made."""

    id: str
    job: str
    at: str
    device: str
    entries: int


def look(db: Database, job: str) -> Look | None:
    """What erasing would take from a job; None where there is none."""
    entries = [entry for _, entry in log.of(db, job)]
    if not entries:
        return None
    sheet = fold(job, entries)
    last = latest(db, job)
    row = db.execute("SELECT car_key FROM job_sheets WHERE job = ?", [job]).fetchone()
    moments = sorted(entry["at"] for entry in entries)
    spots = {e["body"]["spot"] for e in entries if isinstance(e["body"].get("spot"), str)}
    about = sheet["about"]
    return Look(
        job=job,
        title=sheet["title"],
        owner=sheet["owner"],
        plate=about["plate"] if isinstance(about.get("plate"), str) else "",
        car=sheet["car_name"],
        car_key=row[0] if row else "",
        first_at=moments[0],
        last_at=moments[-1],
        entries=sum(_worded(entry) for entry in entries if not _is_card_of(entry, last)),
        spots=sorted(spots),
        erased=last is not None,
    )


def _is_card_of(entry: dict[str, Any], erasure: str | None) -> bool:
    """Whether an entry is the card that was written with an erasure: what the car is called from then on."""
    known = erasure is not None and entry.get("erasure") == erasure
    return known and entry["kind"] == "job" and set(entry["body"]) <= {"by_name", "car", "car_id", "title"}


def _worded(entry: dict[str, Any]) -> bool:
    return entry.get("erased") is not True and erased(entry) is not entry


def there(db: Database, job: str) -> bool:
    """Whether a job has records here."""
    return bool(log.of(db, job, 0, 1))


def erase(db: Database, jobs: list[str], *, device: str, cars: dict[str, str]) -> list[Done]:
    """Erase the customers of some jobs that are there; what was done of each, in the order given.

    A job that has no words left and whose car is to be called the same is answered with its last erasure. Jobs
    of one car stay jobs of one car, under a number that says nothing of anybody, and so it is called in other jobs
    too (``car_names``). Rows must be up to date.

    Parameters
    ----------
    device : who asked, as entries of that device say in ``device``
    cars : by job, the name of the car that is to stand from now on; "" or left out for none
    """
    groups: dict[str, str] = {}
    done = []
    names = car_names.of_jobs(db, jobs)
    for job in jobs:
        found = look(db, job)
        if found is None:
            continue
        last = latest(db, job)
        if last is not None and not found.entries and cars.get(job, "") == found.car:
            entry = (log.find(db, last) or (0, {}))[1]
        else:
            key = found.car_key if is_number_of_a_car(found.car_key) else ids.new()
            if found.car_key:
                key = groups.setdefault(found.car_key, key)
            entry = _erase(db, job, device=device, count=found.entries, car=cars.get(job, ""), key=key)
        done.append(told(entry))
    car_names.take(db, names, without=jobs, numbers=groups, device=device)
    return done


def _erase(db: Database, job: str, *, device: str, count: int, car: str, key: str) -> dict[str, Any]:
    (newest,) = db.execute("SELECT max(id) FROM entries").fetchone()
    name = ids.new(after=newest)
    envelope = {"job": job, "device": device, "at": log.now(), "schema": 1}
    entry = {"id": name, **envelope, "kind": ERASE, "body": {"entries": count}}
    card = {"id": ids.new(after=name), **envelope, "kind": "job", "erasure": name}
    card["body"] = {"car_id": key, "by_name": False, **({"car": car, "title": car} if car else {})}
    log.append(db, [entry, card])
    return entry


def told(entry: dict[str, Any]) -> Done:
    """What an erasure's record says."""
    count = entry["body"].get("entries")
    return Done(
        id=entry["id"],
        job=entry["job"],
        at=entry["at"],
        device=entry["device"],
        entries=int(count) if isinstance(count, (int, float)) else 0,
    )


def since(db: Database, after: str, limit: int) -> list[Done]:
    """Erasures in order of their ids, after one of them."""
    query = (
        f"SELECT {COLUMNS} FROM entries WHERE kind = '{ERASE}' AND body ->> '$.only' IS NULL AND id > ?"
        " ORDER BY id LIMIT ?"
    )
    return [told(entry_of(row)) for row in db.execute(query, [after, limit]).fetchall()]


def records(db: Database) -> list[dict[str, Any]]:
    """Every erasure's record, each followed by the card that was written with it."""
    out = []
    for row in db.execute(f"SELECT {COLUMNS} FROM entries WHERE kind = '{ERASE}' ORDER BY id").fetchall():
        entry = entry_of(row)
        card = db.execute(
            f"SELECT {COLUMNS} FROM entries WHERE job = ? AND kind = 'job' AND device = ? AND id > ?"
            " AND extra ->> '$.erasure' = ? ORDER BY id LIMIT 1",
            [entry["job"], entry["device"], entry["id"], entry["id"]],
        ).fetchone()
        out += [entry, entry_of(card)] if card else [entry]
    return out


def bring(db: Database, folder: Path, *, more: list[dict[str, Any]] | None = None) -> None:
    """Make the book and the list beside it one: what either lacks it gets. ``more`` is known from elsewhere.

    A list that cannot be written is tried again when the book is opened next.
    """
    listed = [*read(folder), *(more or [])]
    there = {entry["id"] for entry in records(db)}
    if lacking := [entry for entry in listed if entry["id"] not in there]:
        log.append(db, lacking)
    every = records(db)
    if {entry["id"] for entry in every} - {entry["id"] for entry in listed}:
        try:
            _write(folder, every)
        except OSError as error:
            LOG.error("the list of erasures %s cannot be written: %s", folder / FILE, error)


def read(folder: Path) -> list[dict[str, Any]]:
    """The records of the list beside a book; none where there is no list."""
    try:
        lines = (folder / FILE).read_bytes().splitlines()
    except OSError:
        return []
    out = []
    for line in lines:
        try:
            entry = msgspec.json.decode(line, type=dict[str, Any])
            out.append({name: entry[name] for name in (*NEEDED, *(n for n in entry if n not in NEEDED))})
        except (msgspec.DecodeError, msgspec.ValidationError, KeyError):
            LOG.error("a line of %s is not understood and left out", folder / FILE)
    return out


def _write(folder: Path, every: list[dict[str, Any]]) -> None:
    part = folder / f"{FILE}.part"
    with part.open("wb") as file:
        for entry in every:
            file.write(msgspec.json.encode(entry) + b"\n")
        file.flush()
        os.fsync(file.fileno())
    part.replace(folder / FILE)
