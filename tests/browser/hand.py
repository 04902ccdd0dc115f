"""A mechanic's hand on the page: taps, keys, figures. Knows the page's words, nothing of its inside."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page

__all__ = ["CAR", "DOUBTED", "HEIGHTS", "PLACES", "PLAIN", "SCREENS", "Hand"]

CAR = ("22", "600", "40", "44", "415")
"""The demo roadster's bar and arm, in the order they are asked: mm, mm, teeth, teeth, mm."""
HEIGHTS = ("214", "222")
"""Body heights left and right, mm."""

PLAIN: dict[str, Any] = json.loads((Path(__file__).parent / "cases" / "plain.json").read_text())
"""A request with which a plan can be made."""
DOUBTED: dict[str, Any] = json.loads((Path(__file__).parent / "cases" / "sign-flipped.json").read_text())
"""The same with one sign the wrong way."""
SCREENS = (
    "ask/car.bar.diameter_mm",
    "ask/car.bar.bore_mm?from=list",
    "ask/target.left_mm",
    "ask/car.limits.stop_deg?from=list",
    "read/body-height/left",
    "read/riding-angle/right",
    "read/hanging-angle/left",
    "read/hub-to-body/right?hanging=1",
    "read/wheel-load/left",
    "pose/board/right",
    "pose/ballast/both",
    "list",
    "add",
    "move?li=-3&lo=4&ri=5&ro=-5",
    "plan",
    "about",
    "share",
    "close",
    "whatif",
)
"""Every screen of a job, as the words of its address."""
PLACES = ("new", "settings", "pair", "refused", "open", "devices", "moved", "export", "desk")
"""Every screen without a job."""


class Hand:
    """Works a page by touch (``tap``) or by mouse."""

    def __init__(self, page: Page, address: str, *, touch: bool = True) -> None:
        self.page = page
        self.address = address
        self.touch = touch

    def open(self, place: str = "/") -> None:
        """Go to an address of the page and wait until it stands."""
        self.page.goto(self.address + place)
        self.page.locator("main h1").wait_for()

    def job(self, request: dict[str, Any] | None = None, title: str = "Gannet, Maren") -> str:
        """Put a job into the page's logbook through its own modules; returns its id."""
        self.open()
        made = self.page.evaluate(
            """
            async ([request, title]) => {
              const { begin } = await import('/book/log.js');
              const { itemsOf } = await import('/book/request.js');
              return (await begin(itemsOf(request, title))).job;
            }
            """,
            [PLAIN if request is None else request, title],
        )
        return str(made)

    def go(self, job: str, words: str) -> None:
        """Go to a screen of a job; a plan is waited for."""
        self.page.goto(f"{self.address}/#/{job}/{words}")
        self.stands()
        if words.startswith("plan"):
            self.page.locator(".source").wait_for()

    def place(self, words: str) -> None:
        """Go to a screen without a job."""
        self.page.goto(f"{self.address}/#/{words}")
        self.stands()

    def stands(self) -> None:
        """Wait until the address is drawn: a job's entries are folded first."""
        self.page.wait_for_function("() => document.body.dataset.at === location.hash")

    def hit(self, what: Locator) -> None:
        """Tap or click."""
        if self.touch:
            what.tap()
        else:
            what.click()

    def key(self, press: str) -> Locator:
        """A key of the pad by what it stands for."""
        return self.page.locator(f'key-pad [data-press="{press}"]')

    def digits(self, figure: str) -> None:
        """Type a figure on the pad, digit by digit."""
        for digit in figure:
            self.hit(self.key(digit))

    def way(self, word: str) -> None:
        """Choose "tail down" or "tail up"."""
        self.hit(self.page.get_by_role("radio", name=word, exact=True))

    def next(self) -> None:
        """The pad's Next, and wait until the screen has changed."""
        before = self.page.url
        self.hit(self.key("next"))
        self.page.wait_for_function("before => location.href !== before", arg=before)

    def question(self) -> str:
        """The heading of the screen."""
        return self.page.locator("main h1").inner_text()

    def figure(self, figure: str) -> None:
        """Type a figure and go on."""
        self.digits(figure)
        self.next()

    def angle(self, figure: str, word: str) -> None:
        """Type an angle, choose its way, go on."""
        self.digits(figure)
        self.way(word)
        self.next()

    def gauge(self, label: str) -> None:
        """Say how the gauge is used: "Datum first", "Zeroed on it" or "No datum"."""
        self.hit(self.page.locator(".how-key"))
        self.hit(self.page.get_by_role("dialog").get_by_role("button", name=label))
        self.page.get_by_role("dialog").wait_for(state="detached")

    def new_car(self, title: str = "Gannet, Maren") -> None:
        """Open a new job from the first screen."""
        car, _, owner = title.partition(", ")
        self.hit(self.page.get_by_role("link", name="New job"))
        self.page.get_by_label("Car", exact=True).fill(car)
        self.page.get_by_label("first name").fill(owner)
        self.hit(self.page.get_by_role("button", name="Level it"))
        self.hit(self.page.get_by_role("button", name="Begin"))
        self.page.locator("key-pad").wait_for()

    def whole_job(
        self, *, riding: tuple[str, str] = ("tail up", "tail up"), seen: Callable[[str], Any] = str
    ) -> None:
        """From nothing to a plan; ``seen`` is told the question each time a figure stands, before Next."""
        page = self.page
        self.new_car()
        for figure in (*CAR, "250", "", *HEIGHTS):
            self.digits(figure)
            seen(self.question())
            self.next()
        for figure, word in zip(("8.4", "7.2"), riding, strict=True):
            self.digits("1.2")
            self.way("tail down")
            seen(self.question() + ", datum")
            self.hit(self.key("next"))
            self.digits(figure)
            seen(self.question() + ", way not chosen")
            self.way(word)
            seen(self.question())
            self.next()
        self.gauge("Zeroed on it")
        for figure in ("3.1", "5.2"):
            self.digits(figure)
            self.way("tail down")
            seen(self.question())
            self.next()
        page.locator(".source").wait_for()
