"""How the jobs table bears a large book: the server's questions, and the page while somebody scrolls.

    PYTHONPATH=tests python -m shop.bench_table

Run on demand; prints, asserts nothing. Query times are of one read of the store, medians of rounds that ask a small
and a large book turn by turn. Frame times are those between two animation frames of a real browser while the page
moves down a screen at a time; an idle page on the same machine is printed beside them.
"""

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from browser.books import book, thousands
from browser.conftest import ARGS, PC, PHONE
from browser.hand import Hand
from playwright.sync_api import Page, sync_playwright
from tools import WHOLE

from bothends.book import jobs
from bothends.book.store import Store

FRAMES = """
async ([steps, by]) => {
  const times = [];
  let last = await new Promise(requestAnimationFrame);
  for (let i = 0; i < steps; i += 1) {
    scrollBy(0, by * innerHeight);
    const now = await new Promise(requestAnimationFrame);
    times.push(now - last);
    last = now;
  }
  return times;
}
"""


def questions() -> dict[str, Callable[[Any], Any]]:
    """What the table asks."""
    return {
        "first page": lambda db: jobs.listed(db, limit=100),
        "count of all": lambda db: jobs.count(db),
        "far page by car": lambda db: jobs.listed(db, sort="car", down=False, skip=9000, limit=100),
        "far page by odds": lambda db: jobs.listed(db, sort="odds", skip=9000, limit=100),
        "search, page": lambda db: jobs.listed(db, query="plover maren 77", limit=100),
        "search, count": lambda db: jobs.count(db, query="plover maren 77"),
        "state and days": lambda db: jobs.listed(
            db, state="closed", since="2015-01-01", until="2020-01-01", sort="worked", limit=100
        ),
    }


def asked(folder: Path, *, large: int, rounds: int) -> None:
    """The same questions to a book of a hundred jobs and to the large one."""
    with Store(folder / "small") as small, Store(folder / "large") as big:
        thousands(small, 100)
        thousands(big, large)
        for name, ask in questions().items():
            times: dict[int, list[float]] = {id(small): [], id(big): []}
            for _ in range(rounds):
                for store in (small, big):
                    begin = time.perf_counter()
                    store.read(ask)
                    times[id(store)].append(1e3 * (time.perf_counter() - begin))
            one, other = (statistics.median(times[id(store)]) for store in (small, big))
            print(f"{name:18s} 100 jobs {one:6.2f} ms, {large} jobs {other:6.2f} ms")


def frames(page: Page, by: float, steps: int = 120) -> str:
    """Frame times while the page moves so many screens a frame."""
    times = sorted(page.evaluate(FRAMES, [steps, by]))
    middle, bad = statistics.median(times), times[int(0.95 * len(times))]
    return f"median {middle:5.1f} ms, 95 % {bad:5.1f} ms, worst {times[-1]:5.1f} ms"


def scrolled(folder: Path, *, large: int) -> None:
    """The page of the large book while it scrolls, on a PC and on a phone."""
    with (
        book(folder, before=lambda store: thousands(store, large)) as served,
        sync_playwright() as driver,
    ):
        browser = driver.chromium.launch(executable_path=WHOLE, args=ARGS)
        for name, size in (("pc", PC), ("phone", PHONE)):
            context = browser.new_context(**size, service_workers="block")
            hand = Hand(context.new_page(), served.address, touch=False)
            served.pair(hand)
            hand.place("table")
            hand.page.locator("a.opens").first.wait_for()
            for text, by in (("idle", 0.0), ("a tenth of a screen a frame", 0.1), ("a screen a frame", 1.0)):
                print(f"{name}, {text}: {frames(hand.page, by)}")
            rows = hand.page.locator(".jobs-table tbody tr:not(.gap)").count()
            print(f"{name}: {rows} of {large} rows in the page")
            context.close()
        browser.close()


def main() -> None:
    """Run everything."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--jobs", type=int, default=10_000)
    options.add_argument("--rounds", type=int, default=30)
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        asked(Path(folder), large=given.jobs, rounds=given.rounds)
        scrolled(Path(folder) / "served", large=given.jobs)


if __name__ == "__main__":
    main()
