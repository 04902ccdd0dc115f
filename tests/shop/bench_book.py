"""How fast the book is: against a bare sqlite3 loop with the same pragmas, and large against small.

Run on demand; prints ratios measured in one run, both sides interleaved so that whatever else the machine does
meets both. `python tests/shop/bench_book.py --entries 200000`
"""

import argparse
import json
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from book.pages import Page, an_id

from bothends.book import entries, folded, history, jobs, log
from bothends.book.sheet.outcome import timeline
from bothends.book.sheet.request import request
from bothends.book.store import Store

BARE = """CREATE TABLE entries (seq INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, job TEXT NOT NULL,
    device TEXT NOT NULL, at TEXT NOT NULL, kind TEXT NOT NULL, body TEXT NOT NULL)"""
INSERT = "INSERT INTO entries (id, job, device, at, kind, body) VALUES (?, ?, ?, ?, ?, ?)"
TARGET = {"left_mm": 250.0, "right_mm": 250.0}
PER_JOB = 100


def readings(count: int, first: int) -> list[bytes]:
    """Readings as they come from a phone."""
    page = Page(job=an_id(first), first=first)
    for value in range(count):
        page.reading(200.0 + value % 50)
    return [json.dumps(entry).encode() for entry in page.entries]


def bare(folder: Path) -> sqlite3.Connection:
    """The loop to compare with: the same pragmas, one table, nothing else."""
    db = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
    db.execute("PRAGMA journal_mode = WAL")
    db.execute("PRAGMA synchronous = FULL")
    db.execute(BARE)
    return db


def _plain(raw: bytes) -> tuple[Any, ...]:
    entry = json.loads(raw)
    return (*(entry[name] for name in ("id", "job", "device", "at", "kind")), json.dumps(entry["body"]))


def _bare_take(db: sqlite3.Connection, rows: list[bytes]) -> None:
    db.execute("BEGIN")
    db.executemany(INSERT, [_plain(raw) for raw in rows])
    db.execute("COMMIT")


def _take(store: Store, rows: list[bytes]) -> None:
    checked = [entries.read(raw) for raw in rows]
    store.write(lambda db: log.append(db, checked))


def clock(work: Callable[[], Any]) -> float:
    """Seconds that a call takes."""
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


def durable(folder: Path, *, at_once: int, rounds: int) -> None:
    """Entries per second that are on the disk, ours and the bare loop's, turn by turn."""
    ours, theirs = [], []
    db = bare(folder)
    with Store(folder / "ours") as store:
        for turn in range(rounds):
            rows = readings(at_once, 1 + turn * (at_once + 1))
            pair = [(theirs, lambda r=rows: _bare_take(db, r)), (ours, lambda r=rows: _take(store, r))]
            for kept, work in pair if turn % 2 else reversed(pair):
                kept.append(clock(work))
    db.close()
    fast, slow = statistics.median(ours), statistics.median(theirs)
    print(
        f"durable, {at_once:3d} at once: ours {at_once / fast:8.0f}/s, bare loop {at_once / slow:8.0f}/s,"
        f" ours/bare {slow / fast:.2f}"
    )


def _job(number: int) -> Page:
    page = Page(job=an_id(number % 4096, 1_700_000_000_000 + number), first=(number % 40) * 100)
    page.write("job", {"title": f"job {number}", "car": f"Gannet {number // 4}", "owner": "Maren"}, ms=number)
    page.write("target", TARGET)
    page.plan(1, 0.8, (-3, 4), target=TARGET)
    page.move(1, (-3, 4))
    while len(page.entries) < PER_JOB:
        value = 214.0 + len(page.entries) % 7
        page.reading(
            value, side=("left", "right")[len(page.entries) % 2], teardown=len(page.entries) % 3 // 2
        )
    for place, entry in enumerate(page.entries):
        entry["id"] = an_id(place, 1_700_000_000_000 + number * 1000)
        entry["at"] = f"20{10 + number % 16}-{1 + number % 12:02d}-{1 + number % 28:02d}T10:00:00Z"
    return page


def fill(store: Store, count: int) -> list[str]:
    """Write a book of that many entries; its jobs."""
    found = []
    for start in range(0, count // PER_JOB, 50):
        pages = [_job(n) for n in range(start, min(start + 50, count // PER_JOB))]
        store.write(lambda db, p=pages: log.append(db, [e for page in p for e in page.entries]))
        found += [page.job for page in pages]
    folded.catch_up(store.read, store.write)
    return found


def grown(folder: Path, *, large: int, small: int, rounds: int) -> None:
    """The same questions to a small and to a large book, turn by turn."""
    with Store(folder / "small") as little, Store(folder / "large") as big:
        known = {id(store): fill(store, count) for store, count in ((little, small), (big, large))}
        times: dict[str, dict[int, list[float]]] = {}
        for turn in range(rounds):
            for store in (little, big):
                all_jobs = known[id(store)]
                job = all_jobs[(turn * 7919) % len(all_jobs)]
                last = store.read(log.last)
                after = (turn * 104_729) % max(1, last - 500)
                car = f"gannet {turn % 5} / maren"
                day = f"20{10 + turn % 16}-01-01"
                questions: dict[str, Callable[[Any], Any]] = {
                    "feed page": lambda db, a=after: log.since(db, a, 200),
                    "job sheet": lambda db, j=job: request(jobs.find(db, j) or {}),
                    "job history": lambda db, j=job: timeline(jobs.find(db, j) or {}),
                    "history page": lambda db, d=day: history.page(db, since=d, limit=20),
                    "history of a car": lambda db, c=car: history.page(db, car=c, limit=20),
                    "jobs page": lambda db: jobs.listed(db, limit=20),
                }
                for name, ask in questions.items():
                    taken = clock(lambda a=ask, s=store: s.read(a))
                    times.setdefault(name, {}).setdefault(id(store), []).append(taken)
        for name, by_store in times.items():
            one, other = (statistics.median(by_store[id(store)]) for store in (little, big))
            print(
                f"{name:16s}: {small} entries {1e3 * one:6.2f} ms, {large} entries {1e3 * other:6.2f} ms,"
                f" large/small {other / one:.2f}"
            )


def main() -> None:
    """Run everything."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--entries", type=int, default=200_000, help="entries of the large book")
    options.add_argument("--rounds", type=int, default=200)
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for at_once, rounds in ((1, 5 * given.rounds), (500, max(20, given.rounds // 5))):
            place = Path(folder, str(at_once))
            place.mkdir()
            durable(place, at_once=at_once, rounds=rounds)
        grown(Path(folder), large=given.entries, small=2_000, rounds=given.rounds)


if __name__ == "__main__":
    main()
