"""A simulated season of Slipway Garage: a year of jobs, invented cars and owners, kept in one compact file.

Owns how the file's jobs become entries. Ids and dates are the file's own, the same every time, so that filling a
book twice changes nothing; the season runs from November 2025 to November 2026 and is not moved to today. The file
is written by tests/shop/make_demo_season.py with the simulated cars there, and every entry says that it is
simulated: the mark goes with it, wherever it is sent.

The file: a line with the names of the devices, then a line a job: when it was begun, [ms since 1970], and its
entries as [device, minutes since then, kind, body]. Where a body names another entry, "#7" is entry 7 of the same
job; where it names another job, "@3" is job 3 of the file.
"""

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import msgspec
from sqlite_utils import Database

from . import ids, letterhead, log, simulated
from .sheet.kinds import CARDS, schema_of

__all__ = ["FILE", "entries", "expanded", "fill", "job_id", "there"]

FILE = Path(__file__).resolve().parent.parent / "demo" / "season.jsonl"
NAMES = ("about", "corrects", "entry", "job", "plan")
"""Fields of a body that name an entry or a job."""
MINUTE_MS = 60_000
SHOP = letterhead.Letterhead(name="Slipway Garage", address="Slipway 4, Old Harbour", phone="042 4711")


def entries() -> list[dict[str, Any]]:
    """All entries of the season in the order they were written."""
    head, *jobs = (msgspec.json.decode(line) for line in FILE.read_bytes().splitlines())
    found = [one for number in range(len(jobs)) for one in expanded(jobs, number, head["devices"])]
    found.sort(key=lambda entry: entry["id"])
    counts: dict[str, int] = {}
    for entry in found:
        counts[entry["device"]] = entry["device_seq"] = counts.get(entry["device"], 0) + 1
    return found


def expanded(jobs: list[dict[str, Any]], number: int, devices: list[str]) -> list[dict[str, Any]]:
    """The entries of one job of the file, without the counts of their devices."""
    job = jobs[number]
    out = []
    latest: dict[str, str] = {}
    car = _car(jobs, number)
    for place, (device, minutes, kind, body) in enumerate(job["entries"]):
        if kind == "job":
            # What the app writes today: no name joins cars, and a car that came again has an id in common.
            body = {"by_name": False, **({} if car is None else {"car_id": car}), **body}
        entry = {"id": _entry_id(jobs, number, place), "job": job_id(jobs, number), "device": devices[device]}
        entry |= {"at": _at(_ms(job, minutes)), "kind": kind, "schema": schema_of(kind, body)}
        entry["simulated"] = True
        if kind in CARDS:
            entry["saw"] = [latest[kind]] if kind in latest else []
            latest[kind] = entry["id"]
        out.append({**entry, "body": {name: _named(jobs, number, name, body[name]) for name in body}})
    return out


def job_id(jobs: list[dict[str, Any]], number: int) -> str:
    """Id of a job of the file."""
    return ids.made(jobs[number]["begun"], 1000 * number)


def there(db: Database) -> bool:
    """Whether the book has the season already, all of it."""
    last = entries()[-1]["id"]
    return log.find(db, last) is not None


def fill(db: Database, found: list[dict[str, Any]]) -> None:
    """Put the season into a book, in one transaction, and mark the book as simulated."""
    simulated.mark(db)
    letterhead.enter(db, SHOP)
    log.append(db, found)


def _before(job: dict[str, Any]) -> int | None:
    """Number of the job from which one began, where its car had been here."""
    named = (body.get("job") for _, _, kind, body in job["entries"] if kind == "known")
    return next((int(name[1:]) for name in named if name), None)


def _car(jobs: list[dict[str, Any]], number: int) -> str | None:
    """What the visits of a car have in common: the id of the first of them; None for one that came once."""
    first = number
    while (before := _before(jobs[first])) is not None:
        first = before
    again = first != number or any(_before(job) == number for job in jobs)
    return job_id(jobs, first) if again else None


def _entry_id(jobs: list[dict[str, Any]], number: int, place: int) -> str:
    job = jobs[number]
    return ids.made(_ms(job, job["entries"][place][1]), 1000 * number + place + 1)


def _named(jobs: list[dict[str, Any]], number: int, name: str, value: Any) -> Any:
    if name not in NAMES or not isinstance(value, str):
        return value
    return _entry_id(jobs, number, int(value[1:])) if value[0] == "#" else job_id(jobs, int(value[1:]))


def _ms(job: dict[str, Any], minutes: float) -> int:
    return int(job["begun"] + round(minutes * MINUTE_MS))


def _at(ms: int) -> str:
    """The shop's clock: an hour ahead of UTC, two from April to October."""
    moment = datetime.fromtimestamp(ms / 1000, UTC)
    ahead = timezone(timedelta(hours=2 if 4 <= moment.month <= 10 else 1))
    return moment.astimezone(ahead).isoformat(timespec="seconds")
