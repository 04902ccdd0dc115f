"""Pictures of the work at the car: the slider, the phone as gauge, a teardown, the propped view, on the ground."""

from collections.abc import Callable

from browser.hand import Hand
from browser.teardown import append, at_reading, deck, tick
from browser.test_gauge import Tilt
from browser.test_ground import TURNED

__all__ = ["walk_work"]


def walk_work(hand: Hand, shot: Callable[..., None]) -> None:
    """Every screen of the work once, with a tooth out and a disagreeing reading on the way."""
    page = hand.page
    job = hand.job()
    hand.go(job, "plan")
    for _ in range(3):
        hand.hit(page.get_by_role("button", name="one millimetre higher"))
    page.locator(".source[data-where=trial]").wait_for()
    shot("slider")
    page.locator(".corner.left").scroll_into_view_if_needed()
    shot("both sides to scale")
    hand.go(job, "read/riding-angle/left")
    hand.gauge("Zeroed on it")
    hand.digits("9.5")
    hand.way("tail down")
    hand.hit(hand.key("next"))
    page.get_by_role("dialog").wait_for()
    shot("a reading that does not fit")
    tilt = Tilt(hand)
    tilt.lay(top_up=8.7, gamma=80)
    hand.go(job, "gauge/riding-angle/right")
    page.locator(".gauge .which").wait_for()
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
    for at in (*range(14), 20):
        hand.go(job, f"propped/1?at={at}")
        shot(f"propped, step {at + 1}")
    hand.go(job, "teardown/1")
    shot("teardown", whole=True)
    hand.go(job, "propped/1")
    shot("what the gauge should read")
    for value, name in ((17.8, "a tooth out"), (8.9, "on target")):
        reading = {"what": "hanging-angle", "side": "left", "value": value, "sd": 0.2, "teardown": 1}
        append(hand, job, [["reading", reading]])
        page.reload()
        page.locator(".verdict-room[data-state]").wait_for()
        shot(name)
        if value > 10:
            hand.hit(deck(hand, "Read again"))
            page.wait_for_url("**/read/hanging-angle/**")
            hand.go(job, "propped/1")
    hand.go(job, "move?li=-3&lo=4&ri=5&ro=-5")
    shot("teeth by hand", whole=True)

    job = at_reading(hand)
    tick(hand, job, ("down", None), move=TURNED)
    hand.go(job, "ground")
    shot("ground", whole=True)
    for side, figure in (("left", "251"), ("right", "249")):
        hand.hit(page.locator(".ground").get_by_role("link", name=f"read: Body height, {side}"))
        page.locator("key-pad").wait_for()
        hand.figure(figure)
        page.locator(".ground").wait_for()
    shot("ground, right", whole=True)
