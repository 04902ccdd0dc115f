"""The plan's slider: it plans again while it moves, with the figures that a fresh solve would give."""

from typing import Any

import pytest
from browser.hand import PLAIN, Hand
from playwright.sync_api import Page, expect

from bothends.model.solve import solve
from bothends.model.travel import CERTAIN

pytestmark = pytest.mark.same_page


def shown(page: Page) -> dict[str, Any]:
    """What the plan on the screen says."""
    return {
        "odds": page.locator(".chance-line b").inner_text(),
        "teeth": page.locator(".corner-card .turns b").all_inner_texts(),
        "heights": page.locator(".plan .rear text.large").all_text_contents(),
    }


def turned(side: dict[str, Any]) -> list[str]:
    """What a side turns, as its card says it."""
    if not side["inner"] and not side["outer"]:
        return ["Nothing to turn"]
    ways = [(side[end], "down" if side[end] > 0 else "up") for end in ("inner", "outer")]
    return [f"{abs(count)} arm {way}" if count else "no change" for count, way in ways]


def fresh(left: float, right: float) -> dict[str, Any]:
    """The same of a solve from the beginning."""
    option = solve({**PLAIN, "target": {**PLAIN["target"], "left_mm": left, "right_mm": right}})["options"][0]
    sides = (option["left"], option["right"])
    heights = [side["body_height_mm"] for side in sides]
    return {
        "odds": f"{round(100 * option['odds'])} in 100",
        "teeth": [text for side in sides for text in turned(side)],
        "heights": [f"{h['value']:.0f} ± {max(1, CERTAIN * h['sd']):.0f}" for h in heights],
    }


def opened(hand: Hand, job: str) -> None:
    """The plan of a job with its slider, which is fetched when its fold is opened."""
    hand.go(job, "plan")
    hand.hit(hand.page.get_by_text("Try another height"))
    hand.page.locator("#aim").wait_for()


def slide(page: Page, by: int) -> None:
    """The slider to so many millimetres, as a finger that has not been lifted."""
    page.evaluate(
        "by => { const aim = document.getElementById('aim'); aim.value = by;"
        " aim.dispatchEvent(new Event('input', { bubbles: true })); }",
        by,
    )


@pytest.mark.parametrize(
    "by", [31, *(pytest.param(by, marks=pytest.mark.long("31 mm higher")) for by in (-23, 7))]
)
def test_a_moved_target_gives_the_figures_of_a_fresh_solve(phone: Hand, by: int) -> None:
    opened(phone, phone.job())
    page = phone.page
    expected = fresh(250 + by, 250 + by)
    slide(page, by)
    # Written in over a few pictures; the twenty cars wait until the finger rests.
    expect(page.locator(".chance-line b")).to_have_text(expected["odds"])
    expect(page.locator(".corner-card .turns b")).to_have_text(expected["teeth"])
    expect(page.locator(".plan .rear text.large")).to_have_text(expected["heights"])
    expect(page.locator(".cars-part.stale")).to_have_count(1)
    expect(page.locator(".tried")).to_contain_text(expected["odds"])
    page.evaluate("document.getElementById('aim').dispatchEvent(new Event('change'))")
    expect(page.locator(".source")).to_have_attribute("data-where", "trial")
    assert shown(page) == expected
    expect(page.locator(".stale")).to_have_count(0)
    expect(page.locator(".aim output")).to_have_text(f"Trying both {250 + by} mm")


@pytest.mark.long("that the figures are those of a fresh solve")
def test_what_stands_is_written_anew_and_not_built_anew_while_it_moves(phone: Hand) -> None:
    opened(phone, phone.job())
    page = phone.page
    parts = ".corner-card, .chance, .picture, .deck, .fold"
    page.evaluate("parts => document.querySelectorAll(parts).forEach(e => { e.kept = true; })", parts)
    before = shown(page)
    slide(page, 20)
    expect(page.locator(".plan .rear text.large").first).not_to_have_text(before["heights"][0])
    assert page.evaluate("parts => [...document.querySelectorAll(parts)].every(e => e.kept)", parts)


def test_nothing_is_kept_until_it_is_asked_for(phone: Hand) -> None:
    job = phone.job()
    opened(phone, job)
    page = phone.page
    expect(page.get_by_role("button", name="Set target to both")).to_be_hidden()
    phone.hit(page.get_by_role("button", name="one millimetre higher"))
    expect(page.locator(".source")).to_have_attribute("data-where", "trial")
    targets = (
        "async job => (await (await import('/book/log.js')).entries(job)).filter(e => e.kind === 'target')"
    )
    assert len(page.evaluate(targets, job)) == 1
    phone.hit(page.get_by_role("button", name="Back to the target"))
    expect(page.locator(".aim output")).to_have_text("Target: both 250 mm")
    phone.hit(page.get_by_role("button", name="one millimetre higher"))
    phone.hit(page.get_by_role("button", name="Set target to both 251 mm"))
    page.locator("#aim").wait_for(state="detached")
    phone.hit(page.get_by_text("Try another height"))
    expect(page.locator(".target-line")).to_contain_text("left 251 mm, right 251 mm")
    assert page.evaluate(targets, job)[-1]["body"] == {"left_mm": 251, "right_mm": 251}


@pytest.mark.long("that a tried height is set as the target by its key")
def test_starting_by_a_tried_height_makes_it_the_target(phone: Hand) -> None:
    job = phone.job()
    opened(phone, job)
    page = phone.page
    slide(page, 9)
    page.evaluate("document.getElementById('aim').dispatchEvent(new Event('change'))")
    expect(page.locator(".source")).to_have_attribute("data-where", "trial")
    phone.hit(page.get_by_role("link", name="Start teardown 1"))
    page.wait_for_url("**/propped/1")
    sheet = page.evaluate("async job => (await import('/book/fold.js')).sheetOf(job)", job)["sheet"]
    assert sheet["target"]["left_mm"] == 259
    assert sheet["plans"][0]["target"]["left_mm"] == 259


@pytest.mark.long("by touch")
def test_the_keyboard_moves_it_and_it_says_the_heights(pc: Hand) -> None:
    opened(pc, pc.job())
    aim = pc.page.get_by_label("Both sides, higher or lower")
    aim.focus()
    pc.page.keyboard.press("ArrowLeft")
    expect(aim).to_have_attribute("aria-valuetext", "both 249 mm")
    expect(pc.page.locator(".source")).to_have_attribute("data-where", "trial")
    expect(aim).to_be_focused()
