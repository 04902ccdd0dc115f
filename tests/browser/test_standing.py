"""A page that stands: what tests leave to each other in it, and what screens leave behind for the next one."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from browser.conftest import PHONE
from browser.hand import SCREENS, Hand
from browser.teardown import at_reading
from playwright.sync_api import BrowserContext, expect

pytestmark = pytest.mark.same_page

SHEETS = "web/style/shop"
PLACES = """() => [...document.querySelectorAll('main *')]
  .filter((e) => e.checkVisibility() && !e.closest('svg'))
  .map((e) => {
    const { x, y, width, height } = e.getBoundingClientRect();
    const at = [x, y, width, height].map((figure) => Math.round(figure)).join(' ');
    return `${e.tagName}.${e.className} ${at} ${getComputedStyle(e).display}`;
  })"""
"""Where everything of the screen stands; what the frame says beside it may come and go."""
STYLE = "async (name) => (await import('/parts/style.js')).useStyle(name)"
LEFT: list[BrowserContext] = []
"""The profiles of the tests below, in their order."""


@pytest.fixture
def profile(phone: Hand) -> BrowserContext:
    """The profile of a phone whose test ends before it is given back."""
    LEFT.append(phone.page.context)
    return phone.page.context


def kept() -> bool:
    """Whether a test has the page of the one before."""
    return LEFT[-1] is LEFT[-2]


def test_a_page_is_left_with_a_job_in_it(phone: Hand, profile: BrowserContext) -> None:
    phone.go(phone.job(), "plan")


def test_the_next_goes_on_with_it_in_a_job_of_its_own_and_writes_a_setting(
    phone: Hand, profile: BrowserContext
) -> None:
    assert kept()
    job = phone.job(title="Plover, Tove")
    assert phone.page.evaluate("() => location.hash") == "#/"
    phone.go(job, "list")
    expect(phone.page.locator("body")).to_contain_text("Plover")
    phone.page.evaluate("async () => (await import('/book/lengths.js')).setLengths('in')")


def test_a_page_with_a_setting_is_given_to_no_other_and_neither_is_one_of_another_size(
    phone: Hand, profile: BrowserContext
) -> None:
    assert not kept()
    phone.job()
    assert phone.page.evaluate("() => Object.keys(localStorage)") == ["bothends/been"]
    phone.page.set_viewport_size({"width": 360, "height": 640})


def test_a_page_that_complains_is_given_to_no_other(phone: Hand, profile: BrowserContext) -> None:
    assert not kept()
    assert phone.page.viewport_size == PHONE["viewport"]
    phone.job()


@pytest.mark.fresh_page
def test_a_test_marked_fresh_page_has_one_of_its_own(phone: Hand, profile: BrowserContext) -> None:
    assert not kept()
    assert phone.page.url == "about:blank"


def test_a_test_that_provokes_complaints_has_one_of_its_own(
    phone: Hand, profile: BrowserContext, complaints: list[str]
) -> None:
    assert LEFT[-1] not in LEFT[:-1]
    phone.open()
    phone.page.evaluate("() => console.error('heard')")
    phone.page.evaluate("() => 1")
    assert complaints == ["console: heard"]
    complaints.clear()


@pytest.mark.parametrize("width", [360, 1024])
def test_no_style_sheet_of_a_screen_that_was_seen_moves_anything_on_another(
    make_hand: Callable[..., Hand], repository: Path, width: int
) -> None:
    hand = make_hand(viewport={"width": width, "height": 768}, reduced_motion="reduce")
    job = at_reading(hand)
    screens = [*SCREENS, "teardown/1", "propped/1", "propped/1?at=5", "ground/1", "assumed"]

    def places() -> dict[str, Any]:
        found = {}
        for words in screens:
            hand.go(job, words)
            if words == "whatif":
                expect(hand.page.locator(".results")).not_to_contain_text("…")
            if words.startswith("propped"):
                hand.page.locator(".warn, .expect").first.wait_for()
            found[words] = hand.page.evaluate(PLACES)
        return found

    places()
    before = places()
    for sheet in (repository / SHEETS).glob("*.css"):
        hand.page.evaluate(STYLE, sheet.stem)
    after = places()
    moved = {
        words: [pair for pair in zip(before[words], after[words], strict=False) if pair[0] != pair[1]][:4]
        for words in screens
        if before[words] != after[words]
    }
    assert moved == {}
