"""Books for the shop PC's pages: a served data folder with a paired device, filled by the API or by rows."""

import json
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from book.pages import Page as Writer
from book.pages import an_id
from browser.hand import Hand
from browser.server import running

from bothends.book import devices
from bothends.book.store import Store

__all__ = ["Book", "book", "job", "thousands"]

TARGET = {"left_mm": 250.0, "right_mm": 250.0, "tolerance_mm": 5.0, "lean_mm": 5.0}
CARS = ("Gannet roadster", "Plover utility", "Knot camper")
OWNERS = ("Maren", "Tove", "Jonas", "Inge", "Runa")
NO_STREAM = """
{
  const asked = globalThis.LockManager?.prototype.request;
  if (asked)
    LockManager.prototype.request = function (name, ...given) {
      return name === "bothends-news" ? new Promise(() => {}) : asked.call(this, name, ...given);
    };
}
"""
"""A page that never gets the lock of the stream."""
OWN = urllib.request.build_opener(urllib.request.ProxyHandler({}))


class Book:
    """A served book; ``access`` is what a paired page keeps."""

    def __init__(self, address: str, access: dict[str, str]) -> None:
        self.address = address
        self.access = access

    def ask(self, method: str, path: str, body: Any = None) -> Any:
        """One request as a paired device; the JSON of the answer."""
        request = urllib.request.Request(
            self.address + path,
            method=method,
            data=None if body is None else json.dumps(body).encode(),
            headers={"Authorization": f"Bearer {self.access['key']}", "Content-Type": "application/json"},
        )
        with OWN.open(request, timeout=20) as reply:
            return json.loads(reply.read())

    def push(self, *writers: Writer) -> None:
        """Send every entry of these jobs."""
        self.send([entry for writer in writers for entry in writer.entries])

    def send(self, rows: list[dict[str, Any]]) -> None:
        """Send entries as a phone would, in batches."""
        for start in range(0, len(rows), 400):
            told = self.ask("POST", "/api/entries", {"entries": rows[start : start + 400]})
            assert {row["status"] for row in told["rows"]} == {"stored"}, told

    def pair(self, hand: Hand) -> None:
        """Give the page this device's key, unless it has it; the page is at the address afterwards.

        All pages get the one key, and a device has one stream of news: so these have none, and are in step when a
        test says so. ``test_step`` has pages with keys of their own.
        """
        hand.address = self.address
        if hand.standing and hand.device == self.access["id"]:
            return hand.open()
        # Of the whole profile: what a test puts before one page's scripts ends that page (``standing``).
        hand.page.context.add_init_script(NO_STREAM)
        # Any page of the address can keep it; a file is one that costs nothing to load.
        hand.page.goto(f"{self.address}/book/device.js")
        hand.standing = False
        hand.device = self.access["id"]
        hand.page.evaluate(
            "async (access) => (await import('/book/device.js')).setAccess(access)", self.access
        )
        return hand.open()


@contextmanager
def book(folder: Path, *, before: Any = None) -> Iterator[Book]:
    """Serve an empty book with one device paired; ``before`` may write into its store first."""
    with Store(folder / "data") as store:
        code, _ = store.write(devices.new_code)
        made = store.write(lambda db: devices.pair(db, code, "shop PC"))
        assert made is not None
        if before is not None:
            before(store)
    with running(folder, demo=False) as address:
        yield Book(address, {"id": made[0]["id"], "key": made[1], "name": "shop PC"})


def job(number: int, *, state: str = "checked", heights: tuple[float, float] = (251.0, 250.0)) -> Writer:
    """A job of a season: every fourth car comes again, its owner with it."""
    writer = Writer(job=an_id(number), first=1000 * number)
    car = CARS[number % 3]
    owner = OWNERS[number % 5]
    writer.write(
        "job", {"title": f"{car}, {owner}", "car": car, "owner": owner, "wish": f"level it, job {number}"}
    )
    writer.write("target", dict(TARGET))
    writer.heights(214.0 + number % 7, 210.0)
    for side, value in (("left", 3.1), ("right", 5.2)):
        writer.reading(value, what="hanging-angle", side=side)
    if state == "measuring":
        return dated(writer, number)
    if number % 2:
        writer.reading(231.0, pose={"board_left_mm": 50})
    writer.plan(
        1, round(0.55 + 0.04 * (number % 11), 2), (-3, 4), heights=(250.4, 249.7), target=dict(TARGET)
    )
    if state == "planned":
        return dated(writer, number)
    writer.move(1, (-3, 4))
    for side, value in (("left", 8.8), ("right", 5.3)):
        writer.reading(value, what="hanging-angle", side=side, teardown=1)
    writer.heights(*heights, teardown=1)
    if state == "in dispute":
        writer.device = "phone-b"
        writer.move(1, (-3, 5))
    if state == "closed":
        writer.write("close", {})
    return dated(writer, number)


def dated(writer: Writer, number: int) -> Writer:
    """Entries on a day of their own."""
    for entry in writer.entries:
        entry["at"] = f"2026-{1 + number % 9:02d}-{1 + number % 27:02d}T10:00:00+02:00"
    return writer


def thousands(store: Store, count: int) -> None:
    """Rows of the list without entries behind them, as many as a shop has in decades."""
    learned = json.dumps({"covariance": [[1.0 / 3] * 12] * 12})
    states = ("measuring", "planned", "torn down", "checked", "closed")

    def rows() -> Iterator[tuple[Any, ...]]:
        for n in range(1, count + 1):
            car, owner = f"{CARS[n % 3]} {n % 2500}", OWNERS[n % 5]
            at = f"20{10 + n % 16}-{1 + n % 12:02d}-{1 + n % 28:02d}T10:00:00Z"
            text = f"{car}, {owner} {car} {owner} level it {n}".casefold()
            key = f"{car} / {owner}".casefold()
            name = an_id(n % 4096, 1_700_000_000_000 + n)
            heights = 200.0 + n % 80, 210.0 + n % 70, (n % 100) / 100
            card = f"{car}, {owner}", owner, f"level it {n}", car, key, text
            yield (
                name,
                n,
                n,
                *card,
                states[n % 5],
                n % 3,
                40,
                int(n % 97 == 0),
                0,
                at,
                at,
                *heights,
                learned,
            )

    names = (
        "job, last_seq, folded_seq, title, owner, wish, car, car_key, search, state, teardowns, entries, conflicts,"
        " puzzles, first_at, last_at, left_mm, right_mm, odds, posterior"
    )
    marks = ", ".join("?" for _ in names.split(","))

    def keep(db: Any) -> None:
        db.conn.executemany(f"INSERT INTO job_sheets ({names}) VALUES ({marks})", rows())
        db.execute("INSERT INTO job_numbers (job) SELECT job FROM job_sheets ORDER BY last_seq")

    store.write(keep)
