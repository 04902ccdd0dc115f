"""Ten years of a busy shop, for benchmarks: the demo season again and again, each time for other customers.

The newest season is as it is, its open jobs too; of older ones only what was handed over is taken. Ids, dates and
names of owners differ from one to the next, so every job is one of its own and every car comes as often as in the
season. Nothing of it is random.
"""

from collections.abc import Iterator
from typing import Any

import msgspec

from bothends.book import folded, log, season, simulated
from bothends.book.store import Store

__all__ = ["fill", "years"]

SPAN_MS = 10 * 365 * 24 * 60 * 60 * 1000
"""Older seasons begin evenly spread over so long."""


def years(count: int) -> Iterator[list[dict[str, Any]]]:
    """So many jobs, newest season first, as the entries of each; the season has 42."""
    head, *jobs = (msgspec.json.decode(line) for line in season.FILE.read_bytes().splitlines())
    closed = [n for n, job in enumerate(jobs) if any(kind == "close" for _, _, kind, _ in job["entries"])]
    made = 0
    seasons = 1 + -(-max(0, count - len(jobs)) // len(closed))
    for again in range(seasons):
        # An hour more, so that no two are stamped alike.
        shift = again * (SPAN_MS // seasons) + again * 3_600_000
        moved = [{**job, "begun": job["begun"] - shift} for job in jobs]
        for number in closed if again else range(len(jobs)):
            if made == count:
                return
            made += 1
            entries = season.expanded(moved, number, head["devices"])
            for entry in entries if again else ():
                if "owner" in entry["body"]:
                    entry["body"]["owner"] += f" {again}"
            yield entries


def fill(store: Store, count: int, *, fold: bool = True) -> int:
    """Put so many jobs into an empty book, and fold them unless told not to; how many entries that is."""
    store.write(simulated.mark)
    total, batch = 0, list[dict[str, Any]]()
    for entries in years(count):
        batch += entries
        total += len(entries)
        if len(batch) > 5000:
            store.write(lambda db, rows=batch: log.append(db, rows))
            batch = []
    store.write(lambda db: log.append(db, batch))
    if fold:
        folded.catch_up(store.read, store.write)
    return total
