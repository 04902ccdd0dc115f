"""The pictures of the README's tour, taken from the demo season: phone and PC, as WebP in tests/tour.

Run with ``PYTHONPATH=tests python -m browser.tour [name ...]`` from the top of the repository; then look at them.
They live among the tests because nothing there is served or goes into the wheel. A page that is not built is left
out and named; the README shows what there is.
"""

import base64
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from browser.books import Book, book
from browser.conftest import ARGS, PC, PHONE
from browser.hand import Hand
from playwright.sync_api import Browser, Error, Page, expect, sync_playwright
from tools import WHOLE

from bothends.book import folded, season
from bothends.book.store import Store

__all__ = ["FOLDER", "MOST_BYTES", "PICTURES", "main"]

FOLDER = Path(__file__).parents[1] / "tour"
MOST_BYTES = 400_000
"""All pictures together, [bytes]."""
PHONES_PX, PC_PX = 1320, 1200
"""Widths of the finished pictures: four phones side by side, one window of a PC."""
QUALITY = 0.64

JOIN = """
async ([shots, width, quality]) => {
  const images = await Promise.all(shots.map(async (shot) => createImageBitmap(await (await fetch(shot)).blob())));
  const gap = shots.length > 1 ? 24 : 0;
  const whole = images.reduce((sum, image) => sum + image.width, gap * (images.length - 1));
  const scale = width / whole;
  const canvas = new OffscreenCanvas(width, Math.round(scale * Math.max(...images.map((image) => image.height))));
  const pen = canvas.getContext("2d");
  pen.imageSmoothingQuality = "high";
  let x = 0;
  for (const image of images) {
    pen.drawImage(image, x * scale, 0, image.width * scale, image.height * scale);
    x += image.width + gap;
  }
  const blob = await canvas.convertToBlob({ type: "image/webp", quality });
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = "";
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text);
}
"""


class Tourist:
    """Takes pictures of a served season; one browser profile a picture."""

    def __init__(self, browser: Browser, shop: Book) -> None:
        self._browser = browser
        self._shop = shop
        found = shop.ask("GET", "/api/jobs?state=open&limit=50")["jobs"]
        self._jobs = [row for row in found if not row["conflicts"]]

    def job(self, state: str, most: str = "entries") -> str:
        """The open job of a state with the most entries."""
        return str(
            max((row for row in self._jobs if row["state"] == state), key=lambda row: row[most])["job"]
        )

    def closed(self) -> str:
        """A job that was handed over after two teardowns."""
        rows = self._shop.ask("GET", "/api/jobs?state=closed&sort=teardowns&limit=1")["jobs"]
        return str(rows[0]["job"])

    def untouched(self) -> str:
        """A job that was handed over as it came: its bars could not carry what was wanted."""
        rows = self._shop.ask("GET", "/api/jobs?state=closed&sort=teardowns&order=up&limit=1")["jobs"]
        return str(rows[0]["job"])

    def car(self) -> str:
        """Key of the car that was here most often."""
        rows = self._shop.ask("GET", "/api/cars?limit=100")["cars"]
        return str(max(rows, key=lambda row: row["visits"])["car_key"])

    def page(self, **options: Any) -> Hand:
        """A page that is paired and has the whole book."""
        context = self._browser.new_context(**options, reduced_motion="reduce", service_workers="block")
        context.set_default_timeout(30_000)
        hand = Hand(context.new_page(), self._shop.address, touch=bool(options.get("has_touch")))
        self._shop.pair(hand)
        hand.page.evaluate("async () => { await (await import('/shop/sync.js')).round(); }")
        hand.page.reload()
        hand.page.locator("body[data-simulated]").wait_for()
        return hand


def shot(
    hand: Hand, words: str, *, wait: str = "main h1", act: Callable[[Hand], None] | None = None
) -> bytes:
    """One screen as PNG.

    Raises
    ------
    LookupError
        If there is no such page.
    """
    page = hand.page
    page.goto(f"{hand.address}/#/{words}")
    hand.stands()
    try:
        page.locator(wait).first.wait_for(timeout=15_000)
    except Error as error:
        raise LookupError(f"#/{words} is not there") from error
    if act is not None:
        act(hand)
    page.evaluate("() => document.fonts.ready")
    picture = page.screenshot()
    page.context.close()
    return picture


def reading(hand: Hand) -> None:
    """A figure on its way, its arm on the drawing."""
    hand.gauge("Zeroed on the body")
    hand.digits("8.5")
    hand.way("arm up")


def phones(tour: Tourist) -> list[bytes]:
    """A reading, a plan, a step of a teardown, the heights that came."""
    bright, dark = (
        {**PHONE, "color_scheme": scheme, "device_scale_factor": 1.5} for scheme in ("light", "dark")
    )
    planned, under_way = tour.job("planned", "teardowns"), tour.job("planned")
    return [
        shot(tour.page(**bright), f"{tour.job('measuring')}/read/riding-angle/right", act=reading),
        shot(tour.page(**bright), f"{planned}/plan", wait=".source"),
        shot(tour.page(**dark), f"{under_way}/propped/1?at=5"),
        shot(tour.page(**bright), f"{tour.job('checked')}/close", wait=".verdict-plate"),
    ]


def papers(tour: Tourist) -> list[bytes]:
    """Front and back of a hand-over sheet."""
    hand = tour.page(**PC, color_scheme="light")
    taken: list[bytes] = []

    def each(hand: Hand) -> None:
        taken.extend(paper.screenshot() for paper in hand.page.locator(".papers .paper").all())

    shot(hand, f"{tour.closed()}/sheet", wait=".papers[data-ready]", act=each)
    return taken


def thicker(hand: Hand) -> None:
    """Thicker bars tried, and what they would do."""
    hand.page.get_by_label("Bar diameter, trial A").fill("27")
    hand.page.locator(".source[data-where]").wait_for()
    expect(hand.page.locator(".results")).to_contain_text("set to")


def _pc(
    words: Callable[[Tourist], str], wait: str, act: Callable[[Hand], None] | None = None
) -> Callable[[Tourist], list[bytes]]:
    return lambda tour: [shot(tour.page(**PC, color_scheme="light"), words(tour), wait=wait, act=act)]


PICTURES: dict[str, tuple[int, Callable[[Tourist], list[bytes]]]] = {
    "phone": (PHONES_PX, phones),
    "table": (PC_PX, _pc(lambda _: "table", "main a.opens")),
    "car": (PC_PX, _pc(lambda tour: f"car?key={tour.car()}", ".constants .values")),
    "shop": (PC_PX, _pc(lambda _: "shop", ".plot canvas")),
    "what-if": (PC_PX, _pc(lambda tour: f"{tour.untouched()}/whatif", ".bench table", thicker)),
    "sheet": (PC_PX, papers),
}
"""Every picture: its width, and how its shots are taken."""


def joined(page: Page, shots: list[bytes], width: int) -> bytes:
    """Shots side by side, as WebP; the browser does the work, so that no picture library is needed."""
    addresses = ["data:image/png;base64," + base64.b64encode(one).decode() for one in shots]
    return base64.b64decode(page.evaluate(JOIN, [addresses, width, QUALITY]))


def fill(store: Store) -> None:
    """The season, folded."""
    store.write(lambda db: season.fill(db, season.entries()))
    folded.catch_up(store.read, store.write)


def main() -> None:
    """Take the pictures named, or all."""
    FOLDER.mkdir(exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as data,
        book(Path(data), before=fill) as shop,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=WHOLE, args=ARGS)
        tour = Tourist(browser, shop)
        bench = browser.new_page()
        for name in sys.argv[1:] or list(PICTURES):
            width, take = PICTURES[name]
            try:
                picture = joined(bench, take(tour), width)
            except LookupError as error:
                print(f"{name}: left out, {error}")
                continue
            (FOLDER / f"{name}.webp").write_bytes(picture)
            print(f"{name}.webp: {len(picture) / 1000:.0f} kB")
        browser.close()
    whole = sum(path.stat().st_size for path in FOLDER.glob("*.webp"))
    print(f"all together {whole / 1000:.0f} kB of {MOST_BYTES / 1000:.0f} kB")


if __name__ == "__main__":
    main()
