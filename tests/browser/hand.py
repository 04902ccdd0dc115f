"""A mechanic's hand on the page: taps, keys, figures. Knows the page's words, nothing of its inside."""

import json
import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page

__all__ = ["ARM", "DOUBTED", "HEIGHTS", "PLACES", "PLAIN", "SCREENS", "Hand", "until"]

ARM = "415"
"""The demo roadster's arm, mm."""
HEIGHTS = ("214", "222")
"""Ride heights left and right, mm."""

PLAIN: dict[str, Any] = json.loads((Path(__file__).parent / "cases" / "plain.json").read_text())
"""A request with which a plan can be made."""
DOUBTED: dict[str, Any] = json.loads((Path(__file__).parent / "cases" / "sign-flipped.json").read_text())
"""The same with one sign the wrong way."""
SCREENS = (
    "ask/car.bar.diameter_mm",
    "ask/car.bar.bore_mm?from=list",
    "target",
    "target/amount?as=raise",
    "target/amount?as=angle",
    "cross?as=cross",
    "target/amount?as=height&edit=ballast",
    "zero",
    "ask/car.limits.stop_deg?from=list",
    "read/body-height/left",
    "read/riding-angle/right",
    "read/riding-angle/left?zero=1",
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
    "known",
    "share",
    "close",
    "whatif",
)
"""Every screen of a job, as the words of its address."""
PLACES = (
    "new",
    "new/amount?as=lower",
    "cross?as=cross",
    "again",
    "settings",
    "pair",
    "refused",
    "open",
    "devices",
    "moved",
    "export",
    "desk",
)
"""Every screen without a job."""


def until(holds: Callable[[], bool], page: Page) -> None:
    """Wait until something holds, at the server or by a promise of the page, which goes on meanwhile.

    ``wait_for_function`` does not wait for a promise: to it, one is true at once.
    """
    ends = time.monotonic() + 40
    while not holds():
        assert time.monotonic() < ends
        page.wait_for_timeout(20)


class Hand:
    """Works a page by touch (``tap``) or by mouse."""

    def __init__(self, page: Page, address: str, *, touch: bool = True) -> None:
        self.page = page
        self.address = address
        self.touch = touch
        self.shared = False
        """In a test marked ``same_page`` a job is begun in the page as it stands, without loading it anew."""
        self.standing = False
        """Whether another test has left it: then it is opened at its start without being loaded anew, once."""
        self.device: str | None = None
        """As which device of a shop its page was paired, if it was."""
        self._letters: int | None = None

    def open(self, place: str = "/") -> None:
        """Go to an address of the page and wait until it stands."""
        if self.standing and place == "/":
            self.standing = False
            return self.place("")
        self.standing = False
        self.page.goto(self.address + place)
        # The start page as it was drawn last stands before the app does.
        return self.page.locator("main > :not([data-last]) h1").first.wait_for()

    def letters(self, pixels: int | None) -> None:
        """Have the browser show text at so many pixels where a page sets none; None is the usual 16."""
        if pixels == self._letters:
            return
        session = self.page.context.new_cdp_session(self.page)
        standard = pixels or 16
        sizes = {"standard": standard, "fixed": round(standard * 13 / 16)}
        session.send("Page.setFontSizes", {"fontSizes": sizes})
        session.detach()
        self._letters = pixels

    def job(self, request: dict[str, Any] | None = None, title: str = "Gannet, Maren") -> str:
        """Put a job into the page's logbook through its own modules; returns its id.

        The page goes to its start, and is loaded only where it does not stand at all.
        """
        here = self.page.url.startswith(f"{self.address}/")
        if here and self.page.evaluate("() => document.body?.dataset.at !== undefined"):
            self.standing = False
            self.place("")
        else:
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
        """A key by what it stands for: of the pad, "less" and "more" beside it, "next" and "later" below."""
        deck = {"next": "main", "later": "quiet"}
        if press in deck:
            return self.page.locator(f"[data-deck={deck[press]}]")
        return self.page.locator(f'.typed [data-press="{press}"]')

    def digits(self, figure: str) -> None:
        """Type a figure, digit by digit: on the pad, or by keyboard where there is none."""
        for digit in figure:
            if self.touch:
                self.hit(self.key(digit))
            else:
                self.page.keyboard.press(digit)

    def choose(self, words: str) -> None:
        """Choose one of several keys that belong together."""
        self.hit(self.page.get_by_role("radio", name=words))

    def way(self, word: str) -> None:
        """Choose "arm down" or "arm up"."""
        self.hit(self.page.get_by_role("radio", name=word, exact=True))

    def _moves(self, what: Locator) -> None:
        """Hit something that leads on, and wait until the next screen stands."""
        before = self.page.url
        self.hit(what)
        self.page.wait_for_function("before => location.href !== before", arg=before)
        self.stands()

    def next(self) -> None:
        """The main key, and wait until the screen has changed."""
        self._moves(self.key("next"))

    def later(self) -> None:
        """The quiet key, "Not now", and wait until the screen has changed."""
        self._moves(self.key("later"))

    def plan(self) -> None:
        """By the running line to the plan."""
        self._moves(self.page.locator("a.run"))
        self.page.locator(".source").wait_for()

    def question(self) -> str:
        """The title of the screen, its side in it."""
        return (self.page.locator("main h1").text_content() or "").strip()

    def figure(self, figure: str) -> None:
        """Type a figure and go on."""
        self.digits(figure)
        self.next()

    def angle(self, figure: str, word: str) -> None:
        """Type an angle, choose its way, go on."""
        self.digits(figure)
        self.way(word)
        self.next()

    def gauge(self, words: str) -> None:
        """Say how the gauge is used: "Zeroed on the body", "Body, then arm" or "Arm only", asked or not."""
        asked = self.page.get_by_role("radio", name="Zeroed on the body")
        if not asked.count():
            self._moves(self.page.get_by_role("link", name="Gauge:"))
        self.choose(words)
        self.hit(self.key("next"))
        asked.wait_for(state="detached")
        self.stands()

    def in_inches(self) -> None:
        """Have this page measure in inches and pounds."""
        self.page.evaluate("async () => (await import('/book/lengths.js')).setLengths('in')")

    def metric(self) -> list[str]:
        """Lines of the page, what is folded included, that have a metric unit."""
        self.page.evaluate("() => document.querySelectorAll('details').forEach((one) => (one.open = true))")
        return re.findall(r"[^\n]*\b(?:mm|N/mm|N·m|kg)\b[^\n]*", self.page.locator("main").inner_text())

    def new_job(self, aim: str = "To a height", figure: str = "250") -> None:
        """From the first screen to the first question of a new job."""
        self.hit(self.page.get_by_role("link", name="New job"))
        self.choose(aim)
        self.next()
        self.digits(figure)
        self.next()

    def whole_job(
        self, *, riding: tuple[str, str] = ("arm up", "arm up"), seen: Callable[[str], Any] = str
    ) -> None:
        """From nothing to a plan; ``seen`` is told the question each time a figure stands, before Next."""
        self.hit(self.page.get_by_role("link", name="New job"))
        self.choose("To a height")
        seen(self.question())
        self.next()
        for figure in ("250", *HEIGHTS, ARM):
            self.digits(figure)
            seen(self.question())
            self.next()
        self.choose("Zeroed on the body")
        seen(self.question())
        self.next()
        for figure, word in zip(("9.6", "8.4"), riding, strict=True):
            self.digits(figure)
            seen(self.question() + ", way not chosen")
            self.way(word)
            seen(self.question())
            self.next()
        self.plan()
