"""Pictures of the work at the car: the slider, the phone as gauge, a teardown, the propped view, on the ground."""

from collections.abc import Callable

from browser.grounds import TURNED
from browser.hand import Hand
from browser.teardown import at_reading, tick
from browser.test_gauge import Tilt

__all__ = ["walk_work"]


def walk_work(hand: Hand, shot: Callable[..., None]) -> None:
    """Every screen of the work once, with a tooth out and a disagreeing reading on the way."""
    page = hand.page
    job = hand.job()
    hand.go(job, "plan")
    hand.hit(page.get_by_text("Try another height"))
    for _ in range(3):
        hand.hit(page.get_by_role("button", name="one millimetre higher"))
    page.locator(".source[data-where=trial]").wait_for()
    shot("slider")
    hand.go(job, "read/riding-angle/left")
    hand.gauge("Zeroed on the body")
    hand.digits("9.5")
    hand.way("arm down")
    hand.hit(hand.key("next"))
    page.get_by_role("dialog").wait_for()
    shot("a reading that does not fit")
    tilt = Tilt(hand)
    tilt.lay(top_up=8.7, gamma=80)
    hand.go(job, "gauge/riding-angle/right")
    page.locator(".by-phone .which").wait_for()
    shot("gauge, datum")
    hand.hit(page.get_by_role("button", name="It lies still"))
    page.get_by_role("button", name="Skip the turns").wait_for()
    shot("gauge, turned")
    hand.hit(page.get_by_role("button", name="Skip the turns"))
    tilt.lay(top_up=-2.1, gamma=80)
    page.wait_for_function("() => document.querySelector('.hold-ring .angle').textContent.startsWith('2')")
    shot("gauge, arm")
    hand.hit(page.get_by_role("button", name="It lies still"))
    page.locator(".net").wait_for()
    shot("gauge, what came of it")

    job = at_reading(hand)
    shot("teardown", whole=True)
    for at in (0, 4, 6, 8, 9):
        hand.go(job, f"propped/1?at={at}")
        shot(f"propped, step {at + 1}")
    hand.go(job, "read/hanging-angle/left?after=1&from=teardown")
    hand.gauge("Body, then arm")
    hand.digits("1.2")
    hand.way("arm down")
    shot("what the gauge should read")
    hand.gauge("Zeroed on the body")
    hand.angle("17.8", "arm down")
    page.locator(".verdict.tooth").wait_for()
    page.locator(".step.now").scroll_into_view_if_needed()
    shot("a tooth out")
    hand.go(job, "propped/1")
    page.locator(".verdict.tooth").wait_for()
    shot("a tooth out, propped")
    hand.hit(page.get_by_role("button", name="Read again"))
    page.locator(".pad").wait_for()
    hand.gauge("Zeroed on the body")
    hand.angle("8.9", "arm down")
    page.locator(".verdict.right").wait_for()
    shot("right, propped")

    job = at_reading(hand)
    tick(hand, job, ("down", None), move=TURNED)
    hand.go(job, "ground")
    shot("ground", whole=True)
    for side, figure in (("left", "251"), ("right", "249")):
        hand.hit(page.get_by_role("link", name=f"Read {side}"))
        page.get_by_role("textbox").first.fill(figure)
        page.keyboard.press("Enter")
        page.locator("body[data-screen=ground]").wait_for()
    page.get_by_role("heading", name="On target").wait_for()
    shot("verdict", whole=True)
