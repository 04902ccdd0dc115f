"""A book of ten years: the demo season's jobs over and over with new ids, the older copies handed over.

Owns how a season is repeated. Written straight into a book; the HTTP would take an hour.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
from sqlite_utils import Database

from bothends.book import log, season
from bothends.book.store import Store

__all__ = ["fill", "jobs"]

BATCH = 5000
FIELDS = ("id", "job")


def _renamed(text: str, copy: int) -> str:
    """The JSON of a job's entries with every id of the copy's own: its last group but six digits is the copy's."""
    found = set(_ids(msgspec.json.decode(text)))
    for name in found:
        text = text.replace(name, f"{name[:24]}{copy:06x}{name[-6:]}")
    return text


def _ids(entries: list[dict[str, Any]]) -> Iterator[str]:
    for entry in entries:
        for name in FIELDS:
            yield entry[name]


def jobs(count: int) -> Iterator[list[dict[str, Any]]]:
    """So many jobs as lists of entries, the oldest first; all but those of the last season were handed over."""
    by_job: dict[str, list[dict[str, Any]]] = {}
    for entry in season.entries():
        by_job.setdefault(entry["job"], []).append(
            {name: value for name, value in entry.items() if name != "simulated"}
        )
    texts = [json.dumps(entries) for entries in by_job.values()]
    for number in range(count):
        left = count - number
        entries = json.loads(_renamed(texts[(len(texts) - left) % len(texts)], left // len(texts)))
        if left > len(texts) and not any(entry["kind"] == "close" for entry in entries):
            last = entries[-1]
            entries.append(
                {
                    **{name: last[name] for name in ("job", "device", "at", "schema")},
                    "id": f"{last['id'][:14]}7fff{last['id'][18:]}"[:36],
                    "kind": "close",
                    "body": {},
                }
            )
        yield entries


def fill(folder: Path, count: int) -> int:
    """Write so many jobs into the book of a data folder, unfolded, as an import does; how many entries."""
    written = 0
    with Store(folder) as store:
        batch: list[dict[str, Any]] = []

        def keep(db: Database) -> None:
            for taken in log.append(db, batch):
                assert taken.status == "stored", taken

        for entries in jobs(count):
            batch += entries
            written += len(entries)
            if len(batch) >= BATCH:
                store.write(keep)
                batch = []
        store.write(keep)
    return written
