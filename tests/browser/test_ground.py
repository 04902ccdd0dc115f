"""Down on its wheels: settle, read, verdict against what was wanted, and the way on."""

import pytest
from browser.hand import PLAIN, Hand
from browser.test_teardown import begin, tick
from playwright.sync_api import expect

from bothends.model.solve import solve

TURNED = {"left": {"inner": -3, "outer": 4}, "right": {"inner": 5, "outer": -5}}


def down(hand: Hand) -> str:
    """A car whose teardown is done."""
    job = begin(hand)
    tick(hand, job, ("down", None), move=TURNED)
    hand.go(job, "ground")
    return job


def heights(hand: Hand, left: str, right: str) -> None:
    """Read both heights."""
    for side, figure in (("left", left), ("right", right)):
        hand.hit(hand.page.get_by_role("link", name=f"read: Body height, {side}"))
        hand.page.locator(".pad").wait_for()
        hand.figure(figure)
        hand.page.locator(".ground").wait_for()


def test_the_car_is_settled_before_it_is_read(phone: Hand) -> None:
    down(phone)
    page = phone.page
    expect(page.locator("main")).to_contain_text("Not settled yet")
    for check in ("ready", "rolled", "bounced"):
        key = page.locator(f'[data-check="{check}"]')
        phone.hit(key)
        expect(key).to_have_attribute("aria-pressed", "true")
    expect(page.locator("main")).not_to_contain_text("Not settled yet")
    page.reload()
    expect(page.locator('[data-check="bounced"]')).to_have_attribute("aria-pressed", "true")


def test_a_car_within_tolerance_is_right_and_leads_to_the_hand_over(phone: Hand) -> None:
    down(phone)
    expect(phone.page.locator("main")).to_contain_text("Read both heights")
    heights(phone, "251", "248")
    verdict = phone.page.locator(".verdict.right")
    expect(verdict).to_contain_text("It is right")
    expect(verdict).to_contain_text("251 mm: 1 mm above, 250 ± 5 mm wanted")
    expect(verdict).to_contain_text("lean 3 mm, left higher; 5 mm is allowed")
    promised = solve(PLAIN)["options"][0]["left"]["body_height_mm"]
    expect(verdict).to_contain_text(f"Promised: left {promised['value']:.0f} ± {promised['sd']:.0f} mm")
    link = phone.page.get_by_role("link", name="Hand over", exact=True)
    phone.hit(link)
    expect(phone.page.locator("body")).to_have_attribute("data-screen", "close")


@pytest.mark.parametrize(
    ("left", "right", "words"),
    [
        ("258", "256", ("left side 8 mm too high", "right side 6 mm too high")),
        ("247", "254", ("lean off by 7 mm",)),
        ("243.5", "247", ("left side 6.5 mm too low",)),
    ],
)
def test_a_car_that_is_out_says_where_and_plans_again(
    phone: Hand, left: str, right: str, words: tuple[str, ...]
) -> None:
    down(phone)
    heights(phone, left, right)
    verdict = phone.page.locator(".verdict.off")
    for each in words:
        expect(verdict).to_contain_text(each)
    phone.hit(phone.page.get_by_role("link", name="Plan again from what was learned"))
    phone.page.locator(".source").wait_for()
    expect(phone.page.locator("h1")).to_have_text("Plan after teardown 1")
