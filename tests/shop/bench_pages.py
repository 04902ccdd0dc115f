"""How what the PC's pages ask bears ten years of a busy shop: one season's book beside a large one.

    PYTHONPATH=tests uv run python -m shop.bench_pages --jobs 10000

Run on demand; prints, asserts nothing. Both books stand behind the real command, everything in them folded; each
question is asked of the one and of the other in turn, so that whatever else the machine does meets both. Times are
medians.
"""

import argparse
import statistics
import tempfile
import time
import urllib.parse
import urllib.request
from contextlib import ExitStack
from pathlib import Path

from browser.books import OWN, Book, book

from shop.years import fill

SEASON = 42
"""Jobs of the demo season."""
ROUNDS = 9


def addresses(served: Book) -> dict[str, str]:
    """What pages ask, of a book's own jobs and cars."""
    rows = served.ask("GET", "/api/jobs?state=closed")["jobs"]
    job, key = rows[0]["job"], rows[0]["car_key"]
    car = urllib.parse.quote(key, safe="")
    return {
        "table, first page": "/api/jobs",
        "table, open jobs": "/api/jobs?state=planned",
        "table, a search": "/api/jobs?query=gannet%20maren",
        "one job": f"/api/jobs/{job}",
        "its history": f"/api/jobs/{job}/history",
        "cars that match a name": "/api/cars?query=gannet",
        "car's page": f"/api/cars/page?key={car}",
        "shop's statistics": "/api/history/calibration",
        "history, one year": "/api/history?since=2026-01-01",
        "records, first page": "/api/entries",
        "export: teardowns": "/api/export/teardowns",
        "export: whole book": "/api/export/book",
    }


def fetched(served: Book, path: str) -> tuple[float, int]:
    """Time until the whole answer is here, [s], and its size, [bytes]."""
    request = urllib.request.Request(
        served.address + path, headers={"Authorization": f"Bearer {served.access['key']}"}
    )
    began = time.perf_counter()
    with OWN.open(request, timeout=600) as reply:
        size = len(reply.read())
    return time.perf_counter() - began, size


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    options.add_argument("--jobs", type=int, default=10_000, help="of the large book")
    large = options.parse_args().jobs
    with tempfile.TemporaryDirectory() as folder, ExitStack() as held:
        shops, counts = [], []
        for count in (SEASON, large):
            at = Path(folder) / str(count)
            at.mkdir()
            shops.append(
                held.enter_context(book(at, before=lambda store, n=count: counts.append(fill(store, n))))
            )
        print(f"{SEASON} jobs with {counts[0]} records, {large} jobs with {counts[1]} records")
        print(f"{'':26}{'small ms':>10}{'large ms':>10}{'ratio':>8}{'small kB':>10}{'large kB':>10}")
        asked = [addresses(shop) for shop in shops]
        for name in asked[0]:
            rounds = ROUNDS if "export" not in name else 3
            took: list[list[float]] = [[], []]
            sizes = [0, 0]
            for _ in range(rounds):
                for which, shop in enumerate(shops):
                    seconds, sizes[which] = fetched(shop, asked[which][name])
                    took[which].append(1000 * seconds)
            small, big = map(statistics.median, took)
            print(
                f"{name:26}{small:10.1f}{big:10.1f}{big / small:8.1f}{sizes[0] / 1000:10.0f}{sizes[1] / 1000:10.0f}"
            )


if __name__ == "__main__":
    main()
