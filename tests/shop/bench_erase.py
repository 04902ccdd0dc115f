"""What erasing a customer costs in a small book and in a large one.

``PYTHONPATH=tests uv run python -m shop.bench_erase`` prints it.

Processor time of this process, of one job of 400 records: the erasure itself, the file written anew (which grows
with the book), and a push while nothing is to be erased. Ratios are of the large book to the small one.
"""

import tempfile
import time
from pathlib import Path

from book.pages import Page, an_id

from bothends.book import erasing, erasures, folded, log
from bothends.book.store import Store

SIZES = (2_000, 200_000)
PER_JOB = 400


def filled(store: Store, count: int) -> list[str]:
    """Jobs of 400 records each; their ids."""
    jobs = []
    for number in range(count // PER_JOB):
        page = Page(job=an_id(number, 1_790_000_000_000 + number), first=PER_JOB * number)
        page.write("job", {"title": f"car {number}", "owner": f"owner {number}", "car": "Gannet"})
        for at in range(PER_JOB - 2):
            page.reading(200.0 + at, side="left" if at % 2 else "right")
        page.write("note", {"text": "ring first"})
        store.write(lambda db, page=page: log.append(db, page.entries))
        jobs.append(page.job)
    folded.catch_up(store.read, store.write)
    return jobs


def timed(work) -> float:
    """Processor time, [ms]."""
    begun = time.process_time()
    work()
    return 1000.0 * (time.process_time() - begun)


def measured(count: int) -> dict[str, float]:
    """Each figure for a book of so many records, [ms]."""
    with tempfile.TemporaryDirectory() as folder, Store(Path(folder)) as store:
        jobs = filled(store, count)
        page = Page(job=jobs[1], first=900_000)
        push = timed(lambda: store.write(lambda db: log.append(db, [page.reading(1.0)])))
        whole = timed(lambda: store.write(lambda db: erasures.erase(db, jobs[:1], device="pc", cars={})))
        anew = timed(lambda: store._writer.submit(erasing.scrub, store._db).result())
        return {"push of one record": push, "erase a job of 400": whole, "of that the file anew": anew}


def main() -> None:
    """Print the table."""
    small, large = (measured(count) for count in SIZES)
    print(f"{'ms of processor time':24}{SIZES[0]:>12,}{SIZES[1]:>12,}{'ratio':>8}")
    for name, value in small.items():
        print(f"{name:24}{value:12.1f}{large[name]:12.1f}{large[name] / max(value, 0.1):8.1f}")


if __name__ == "__main__":
    main()
