"""Pictures of the work at the car: the slider, the phone as gauge, a teardown, the propped view, on the ground."""

from collections.abc import Callable
from typing import Any

from browser import grounds
from browser.grounds import TURNED, after, plan
from browser.hand import Hand
from browser.test_gauge import Tilt

__all__ = ["walk_work"]

STEPS = ("wheel-off", "bolts-out", "arm-down", "cover-off", "turn-inner", "turn-outer")
FREE: list[Any] = [
    *(["step", {"step": key, "done": True, "teardown": 1}] for key in ("stands", "eyes")),
    *(["step", {"step": key, "done": True, "teardown": 1, "side": "left"}] for key in STEPS),
    ["move", {"teardown": 1, "left": TURNED["left"]}],
]
"""A teardown by its plan up to the arm that hangs free, its teeth turned."""


def hanging(value: float) -> list[Any]:
    """A reading of the left arm as it hangs."""
    return [
        "reading",
        {"what": "hanging-angle", "side": "left", "value": value, "sd": 0.2, "teardown": 1},
    ]


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

    job = grounds.job(hand, [plan(), *FREE])
    hand.go(job, "teardown/1")
    shot("teardown", whole=True)
    for at in range(12):
        hand.go(job, f"propped/1?at={at}")
        shot(f"teardown, step {at + 1}")
    for value, name in ((17.8, "a tooth out"), (8.5, "as it should be")):
        grounds.append(hand, job, [hanging(value)])
        page.reload()
        hand.stands()
        hand.go(job, "propped/1")
        shot(f"teardown, {name}")
    hand.go(job, "move?li=-3&lo=4&ri=5&ro=-5")
    shot("teeth by hand", whole=True)

    job = grounds.job(hand, after())
    hand.go(job, "ground")
    shot("ground", whole=True)
    for side, figure in (("left", "251"), ("right", "249")):
        hand.hit(page.get_by_role("link", name=f"Read {side}"))
        page.get_by_role("textbox").first.fill(figure)
        page.keyboard.press("Enter")
        page.locator("body[data-screen=ground]").wait_for()
    page.get_by_role("heading", name="On target").wait_for()
    shot("verdict", whole=True)
