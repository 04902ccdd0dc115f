"""Writes a picture of every screen, phone and PC, bright and dark, to /pictures (git-ignored), to be looked at.

Run with ``PYTHONPATH=tests python -m browser.pictures [folder]`` from the top of the repository.
"""

import re
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from browser.conftest import ARGS, PC, PHONE
from browser.hand import DOUBTED, Hand
from browser.server import running
from browser.walk_jobs import walk_jobs
from browser.walk_work import walk_work
from playwright.sync_api import sync_playwright
from tools import WHOLE

SIZES: dict[str, dict[str, Any]] = {
    "phone": {**PHONE, "color_scheme": "light"},
    "phone-dark": {**PHONE, "color_scheme": "dark"},
    "phone-low": {**PHONE, "viewport": {"width": 412, "height": 760}, "color_scheme": "light"},
    "phone-small": {**PHONE, "viewport": {"width": 360, "height": 640}, "color_scheme": "light"},
    "phone-across": {**PHONE, "viewport": {"width": 915, "height": 412}, "color_scheme": "light"},
    "pc-small": {**PC, "viewport": {"width": 1024, "height": 768}, "color_scheme": "light"},
    "pc": {**PC, "color_scheme": "light"},
    "pc-dark": {**PC, "color_scheme": "dark"},
}


def walk(hand: Hand, shot: Callable[..., None]) -> None:
    """Every screen once, in the order of the work, with a wrong sign on the way."""
    page = hand.page
    hand.open()
    page.get_by_text("Slipway Garage").wait_for()
    shot("start")
    hand.whole_job(seen=shot)
    shot("plan of a closed car", whole=True)
    job = hand.job(DOUBTED)

    def go(words: str) -> None:
        page.goto(f"{hand.address}/#/{job}/{words}")

    go("plan")
    page.locator(".source").wait_for()
    shot("plan with a doubt", whole=True)
    hand.hit(page.get_by_role("button", name="Use the suggestion"))
    page.locator(".doubt-list").wait_for(state="detached")
    page.locator(".source").wait_for()
    shot("plan")
    hand.hit(page.locator("[data-fold=ways] summary"))
    shot("plan, other ways")
    go("list")
    shot("list", whole=True)
    go("add")
    shot("add", whole=True)
    go("pose/board/right")
    shot("board")
    hand.next()
    hand.digits("241")
    shot("board, height left")
    hand.next()
    hand.digits("246")
    shot("board, height right")
    go("pose/ballast/both")
    shot("ballast")
    go("read/hub-to-body/right?hanging=1")
    hand.digits("188")
    shot("hub to body, hanging")
    go("read/riding-angle/left?hanging=1")
    hand.gauge("Body, then arm")
    hand.digits("2.1")
    hand.way("arm up")
    shot("arm angle, hanging, datum")
    go("read/wheel-load/left")
    hand.digits("243")
    shot("wheel load")
    go("ask/car.bar.bore_mm?from=list")
    hand.digits("30")
    shot("bore")
    hand.next()
    go("plan")
    page.locator(".error:not(:empty)").wait_for()
    shot("refused at its field")
    # A PC has no pad: its keyboard types.
    page.locator(".figure").fill("")
    hand.next()
    page.locator(".source").wait_for()
    hand.hit(page.get_by_role("link", name="Enter teeth already turned"))
    shot("move", whole=True)
    hand.hit(page.get_by_role("button", name=re.compile("^(These|Save) teeth")))
    page.wait_for_function("() => !location.hash.includes('/move')")
    shot("after the teardown")
    go("ask/car.limits.stop_deg?from=list")
    hand.digits("2.5")
    hand.way("arm up")
    shot("stop")
    go("plan")
    page.locator(".source").wait_for()
    shot("plan after the teardown", whole=True)
    hand.open()
    shot("start, with a job")


def main() -> None:
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "pictures")
    only = sys.argv[2:] or list(SIZES)
    with (
        tempfile.TemporaryDirectory() as data,
        running(Path(data)) as address,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=WHOLE, args=ARGS)
        for size in only:
            place = folder / size
            place.mkdir(parents=True, exist_ok=True)
            context = browser.new_context(**SIZES[size], reduced_motion="reduce")
            context.set_default_timeout(10_000)
            hand = Hand(context.new_page(), address, touch=bool(SIZES[size].get("has_touch")))
            count = 0

            def shot(name: str, *, whole: bool = False, hand: Hand = hand, place: Path = place) -> None:
                nonlocal count
                count += 1
                hand.page.screenshot(path=place / f"{count:02} {name}.png", full_page=whole)

            walk(hand, shot)
            walk_work(hand, shot)
            walk_jobs(hand, shot)
            context.close()
        browser.close()


if __name__ == "__main__":
    main()
