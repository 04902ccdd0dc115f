"""A plan begins while the thumb is on its way to Next, and is never worked out twice."""

from typing import Any

import pytest
from browser.hand import Hand
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

SOLVED = "() => probes.solved.length"
"""How often the model on the phone was asked to solve."""
LONGER = "() => new Promise((done) => setTimeout(done, 200))"
"""Longer than a figure must stand to be asked about: were it asked, it would count."""
ENTRIES = "async job => (await (await import('/book/log.js')).entries(job)).length"


def write(hand: Hand, figure: str) -> None:
    """The whole figure at once, as from a keyboard."""
    hand.page.locator(".figure").last.fill(figure)


def drawn(hand: Hand) -> str | None:
    """Both heights of the plan, as its drawing says them."""
    return hand.page.get_by_role("img", name="The car from behind").get_attribute("aria-label")


@pytest.fixture
def typing(phone: Hand) -> Any:
    """(hand, job) at one more height of a job that has a plan.

    The page stands and keeps its answers, so each test types figures of its own.
    """
    job = phone.job()
    phone.go(job, "read/body-height/left")
    settled(phone)
    return phone, job


def settled(hand: Hand) -> None:
    """Wait until the running line has its chance: what was asked for it is not counted."""
    hand.page.locator("a.run[aria-busy=false]").wait_for()
    hand.page.evaluate("() => { probes.solved.length = 0; }")


def test_a_figure_that_stands_is_worked_out_before_next_and_kept_by_nobody(typing: Any) -> None:
    hand, job = typing
    before = hand.page.evaluate(ENTRIES, job)
    asked: list[str] = []
    hand.page.on("request", lambda request: asked.append(request.url))
    write(hand, "216")
    hand.page.wait_for_function("() => probes.solved.length === 1")
    assert hand.page.evaluate(ENTRIES, job) == before
    hand.next()
    hand.plan()
    assert hand.page.evaluate(ENTRIES, job) == before + 1
    # The check at Next, and the plan after it, are that very answer.
    assert hand.page.evaluate(SOLVED) == 1
    assert [url for url in asked if "/api/solve" in url] == []
    assert hand.page.locator(".source").get_attribute("data-where") == "phone"


def test_the_plan_is_of_the_figure_that_was_kept_and_not_of_one_that_stood_before(typing: Any) -> None:
    hand, _ = typing
    write(hand, "219")
    hand.page.wait_for_function("() => probes.solved.length === 1")
    write(hand, "213")
    hand.next()
    hand.plan()
    kept = drawn(hand)
    # The same log planned afresh, on a page that has foreseen nothing.
    hand.page.reload()
    hand.page.locator(".source").wait_for()
    assert drawn(hand) == kept


def test_a_figure_still_without_its_way_is_not_worked_out(typing: Any) -> None:
    hand, job = typing
    hand.go(job, "read/riding-angle/left")
    settled(hand)
    write(hand, "8.1")
    hand.page.evaluate(LONGER)
    assert hand.page.evaluate(SOLVED) == 0
    hand.way("arm up")
    hand.page.wait_for_function("() => probes.solved.length === 1")
    # Nor is anything asked when it is left.
    hand.go(job, "list")
    expect(hand.page.locator("h1")).to_have_text("Log")
    assert hand.page.evaluate(SOLVED) == 1


def test_the_first_digits_of_a_height_are_no_height_yet(typing: Any) -> None:
    hand, _ = typing
    for digits in ("2", "21"):
        write(hand, digits)
        hand.page.evaluate(LONGER)
    write(hand, "214")
    hand.page.wait_for_function("() => probes.solved.length > 0")
    hand.next()
    hand.plan()
    assert hand.page.evaluate(SOLVED) == 1


def test_a_plan_seen_before_stands_again_without_being_asked_for(typing: Any) -> None:
    hand, job = typing
    write(hand, "215")
    hand.next()
    hand.plan()
    before = hand.page.evaluate(SOLVED)
    hand.go(job, "list")
    hand.page.evaluate(
        """() => {
          window.waited = false;
          new MutationObserver(() => {
            if (document.querySelector('.working')?.textContent) window.waited = true;
          }).observe(document, { subtree: true, childList: true, characterData: true });
        }"""
    )
    hand.go(job, "plan")
    assert hand.page.evaluate(SOLVED) == before
    assert hand.page.evaluate("() => window.waited") is False
