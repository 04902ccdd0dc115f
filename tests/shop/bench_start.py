"""How a shop that grows feels: a phone's start page, a new phone's first sync, a question after an import.

    PYTHONPATH=tests python -m shop.bench_start [--jobs 10000]

Run on demand; prints, asserts nothing. The same is done with one season's jobs and with many times as many; ratios
say what growth costs on whatever machine this runs. The page is slowed four times (Chromium's CPU throttling, which
hardly touches workers).
"""

import argparse
import json
import tempfile
import time
from pathlib import Path
from statistics import median
from typing import Any

from browser.books import Book
from browser.conftest import ARGS, PHONE
from browser.hand import Hand
from browser.offline.versions import READY
from browser.server import running
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from tools import WHOLE

from bothends.book import devices
from bothends.book.store import Store
from shop.years import fill

SLOWDOWN = 4
SEASON = 42
OPENED = 7
"""How often the start page is opened; the median counts."""
LOOKED_MS = 1500
"""How long somebody looks at it: what the page does once it stands is not part of the next start."""
PATIENCE_MS = 1_200_000
CARDS = """(() => {
  const at = (window.cardsAt = { first: null, all: null });
  const look = () => {
    const cards = document.querySelectorAll(".cards > li > .job .stands").length;
    if (cards && at.first === null) at.first = performance.now();
    // Not those of the page as it was drawn last (web/visit.js): the jobs as they are.
    const read = document.querySelector("main > :not([data-last]) .mine");
    if (cards && read && !document.querySelector(".mine > .working")) at.all ??= performance.now();
    if (at.all === null) requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
})()"""
HELD = """async () => {
  const { transact } = await import("/book/base.js");
  const rows = await transact(["jobs"], "readonly", (tx) => tx.store.getAll());
  const wanted = rows.filter((row) => row.wanted).length;
  const [open] = rows.filter((row) => row.whole && row.shelf === "open" && row.card);
  return { rows: rows.length, whole: rows.filter(({ whole }) => whole).length, wanted, ready: Boolean(open) };
}"""
SYNC = """() => {
  const go = async () => {
    const { syncNow } = await import("/shop/pace.js");
    while (!(await syncNow()));
    window.done = true;
  };
  go();
}"""
COPY = """async (times) => {
  const { transact } = await import("/book/base.js");
  const rows = await transact(["jobs"], "readonly", (tx) => tx.store.getAll());
  for (let copy = 1; copy <= times; copy += 1)
    await transact(["jobs"], "readwrite", async ({ store }) => {
      for (const row of rows) {
        const job = row.job.slice(0, 24) + copy.toString(16).padStart(6, "0") + row.job.slice(-6);
        const last = "0" + row.last.slice(1);
        await store.put({ ...row, job, last, shelf: "closed", asks: undefined, due: undefined });
      }
    });
}"""
"""More jobs of a phone that holds all, handed over long ago: what its list reads of them is their rows."""


def asked(book: Book) -> tuple[float, int]:
    """One question to the list of jobs: how long it took, [ms], and how many jobs were still to be read."""
    begin = time.perf_counter()
    found = book.ask("GET", "/api/jobs?limit=50")
    return 1e3 * (time.perf_counter() - begin), int(found["unread"])


def kept(context: BrowserContext, address: str) -> str:
    """Have a phone keep the app, as it does at a first visit; what its worker says then ("ready")."""
    page = context.new_page()
    page.goto(address)
    said: str = page.evaluate(READY)
    page.close()
    return said


def opened(context: BrowserContext, address: str) -> dict[str, float]:
    """The start page of a phone that keeps the app: first card and all open ones, [ms]."""
    page = context.new_page()
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
    page.add_init_script(CARDS)
    page.goto(address)
    page.wait_for_function("() => window.cardsAt.all !== null", timeout=PATIENCE_MS)
    found: dict[str, float] = page.evaluate("() => window.cardsAt")
    page.wait_for_timeout(LOOKED_MS)
    page.close()
    return found


def synced(page: Page, book: Book, key: dict[str, str]) -> tuple[float, float, dict[str, Any]]:
    """A new phone's first sync: until an open job is here with its card, and until nothing is wanted, [s]."""
    Book(book.address, key).pair(Hand(page, book.address))
    begin = time.perf_counter()
    ready = 0.0
    page.evaluate(SYNC)
    while True:
        # First whether it has ended, then what is here: the other way round says what was here before the end.
        ended = page.evaluate("() => Boolean(window.done)")
        held = page.evaluate(HELD)
        if held["ready"] and not ready:
            ready = time.perf_counter() - begin
        if ended and ready and not held["wanted"]:
            return ready, time.perf_counter() - begin, held
        page.wait_for_timeout(50)


def measured(browser: Browser, folder: Path, jobs: int) -> dict[str, float]:
    """All of it for a book of so many jobs."""
    data = folder / "data"
    begin = time.perf_counter()
    with Store(data) as store:
        entries = fill(store, jobs, fold=False)
        print(f"{jobs} jobs, {entries} entries: written in {time.perf_counter() - begin:.0f} s")
        code, _ = store.write(devices.new_code)
        made = store.write(lambda db: devices.pair(db, code, "phone"))
    assert made is not None
    key = {"id": made[0]["id"], "key": made[1], "name": "phone"}
    told: dict[str, float] = {}
    with running(folder, demo=False) as address:
        book = Book(address, key)
        begin = time.perf_counter()
        told["first question, ms"], unread = asked(book)
        print(f"  first question after the import: {told['first question, ms']:.0f} ms, {unread} jobs unread")
        while unread:
            time.sleep(1)
            _, unread = asked(book)
        print(f"  all read after {time.perf_counter() - begin:.0f} s")
        context = browser.new_context(**PHONE)
        page = context.new_page()
        page.goto(f"{address}/book/device.js")
        told["ready for work, s"], told["first sync, s"], held = synced(page, book, key)
        print(f"  new phone: {json.dumps(held)}")
        page.wait_for_timeout(2000)
        if jobs > SEASON:
            page.evaluate(COPY, (jobs - held["rows"]) // max(1, held["rows"]))
        page.close()
        print(f"  the app on the phone: {kept(context, address)}")
        found = [opened(context, address) for _ in range(OPENED)]
        told["first card, ms"] = median(one["first"] for one in found)
        told["all open cards, ms"] = median(one["all"] for one in found)
        context.close()
    for name, value in told.items():
        print(f"  {name}: {value:.1f}")
    return told


def main() -> None:
    """Both, and what growth costs."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--jobs", type=int, default=10_000)
    given = options.parse_args()
    with sync_playwright() as driver, tempfile.TemporaryDirectory() as folder:
        browser = driver.chromium.launch(executable_path=WHOLE, args=ARGS)
        small = measured(browser, Path(folder) / "small", SEASON)
        large = measured(browser, Path(folder) / "large", given.jobs)
        browser.close()
    for name in small:
        print(f"{name}: {given.jobs} jobs against {SEASON}: {large[name] / max(small[name], 1e-9):.2f}")


if __name__ == "__main__":
    main()
