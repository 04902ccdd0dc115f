"""What a car's page and joining two cars cost in a small book and in a large one.

    PYTHONPATH=tests python -m shop.bench_cars

Run on demand; prints, asserts nothing. Processor time of this process, medians of rounds that go turn by turn;
the ratio says what the other jobs of the book cost. Cars come for ten visits each, and two of them are joined and
parted again: ten records, ten jobs folded.
"""

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from book.pages import Page, an_id

from bothends.book import cars, folded, log
from bothends.book.store import Store

VISITS = 10
STAMP_MS = 1_700_000_000_000


def fill(store: Store, jobs: int) -> list[Page]:
    """So many jobs, ten visits a car, each car's plate its own."""
    pages = []
    for n in range(jobs):
        page = Page(job=an_id(n, STAMP_MS + n), first=20 * n)
        car = n // VISITS
        page.write("job", {"car": f"Gannet {car}", "owner": "Maren", "plate": f"SL {car}", "by_name": False})
        page.heights(214.0, 210.0)
        pages.append(page)
    for at in range(0, jobs, 500):
        rows = [entry for page in pages[at : at + 500] for entry in page.entries]
        store.write(lambda db, rows=rows: log.append(db, rows))
    folded.catch_up(store.read, store.write)
    return pages


def look(store: Store, pages: list[Page]) -> None:
    """The page of the first car."""
    store.read(lambda db: cars.page(db, pages[0].job))


def join(store: Store, pages: list[Page]) -> None:
    """Join the second car with the first, and take it back."""
    for page in pages[VISITS : 2 * VISITS]:
        page.write("job", {"car_id": pages[0].job})
    _keep(store, pages)
    for page in pages[VISITS : 2 * VISITS]:
        page.strike(page.entries[-1]["id"])
    _keep(store, pages)


def _keep(store: Store, pages: list[Page]) -> None:
    rows = [page.entries[-1] for page in pages[VISITS : 2 * VISITS]]
    store.write(lambda db: log.append(db, rows))
    folded.catch_up(store.read, store.write)


def spent(work: Callable[[Store, list[Page]], None], store: Store, pages: list[Page]) -> float:
    """Processor time, [ms]."""
    start = time.process_time()
    work(store, pages)
    return (time.process_time() - start) * 1e3


def main() -> None:
    """Both questions of both books."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--jobs", type=int, default=10_000)
    parser.add_argument("--rounds", type=int, default=15)
    given = parser.parse_args()
    with (
        tempfile.TemporaryDirectory() as folder,
        Store(Path(folder) / "a") as small,
        Store(Path(folder) / "b") as large,
    ):
        books = [(store, fill(store, jobs)) for store, jobs in ((small, 42), (large, given.jobs))]
        for name, work in (("car's page", look), ("join and undo", join)):
            times = [[spent(work, *book) for book in books] for _ in range(given.rounds)]
            one, many = (statistics.median(row[i] for row in times) for i in (0, 1))
            print(
                f"{name:15} 42 jobs {one:7.1f} ms, {given.jobs} jobs {many:7.1f} ms, ratio {many / one:.2f}"
            )


if __name__ == "__main__":
    main()
