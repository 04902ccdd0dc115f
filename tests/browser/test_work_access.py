"""The screens for work at the car: axe in both themes, keys for gloves, large text, keyboard, less motion."""

from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PHONE
from browser.grounds import TURNED
from browser.hand import Hand
from browser.teardown import append, at_reading, chosen, deck, done
from browser.test_access import PCS, PHONES, faults
from browser.test_gauge import Tilt
from playwright.sync_api import expect
from tools import WHOLE

pytestmark = pytest.mark.same_page

SCREENS = (
    "teardown/1",
    "propped/1",
    "propped/1?at=3",
    "propped/1?at=5",
    "propped/1?at=9",
    "propped/1?at=10",
    "propped/1?at=20",
    "move?li=-3&lo=4&ri=5&ro=-5",
    "ground/1",
    "gauge/riding-angle/left",
    "read/hanging-angle/left?after=1",
)


def everything(hand: Hand, look: Callable[[], Any]) -> dict[str, Any]:
    """What ``look`` finds on every screen for work at the car, in the order of the work."""
    job = at_reading(hand)
    tilt = Tilt(hand)
    tilt.lay(top_up=3)
    found = {}
    for words in SCREENS:
        hand.go(job, words)
        if words.startswith("gauge"):
            hand.page.locator(".by-phone .which").wait_for()
        found[words] = look()
    out = {"what": "hanging-angle", "side": "left", "value": 17.8, "sd": 0.2, "teardown": 1}
    append(hand, job, [["reading", out]])
    hand.page.reload()
    hand.go(job, "propped/1")
    hand.page.locator(".verdict-room[data-state=tooth]").wait_for()
    found["a tooth out"] = look()
    hand.hit(hand.page.get_by_role("button", name="Keep 2 teeth arm up"))
    hand.page.locator(".verdict-room[data-state=right]").wait_for()
    found["kept"] = look()
    heights = [
        ["reading", {"what": "body-height", "side": side, "value": value, "teardown": 1}]
        for side, value in (("left", 251), ("right", 262))
    ]
    hand.page.evaluate(
        "async ([job, items]) => (await import('/book/log.js')).append(job, items)", [job, heights]
    )
    hand.page.reload()
    hand.go(job, "ground/1")
    hand.page.get_by_role("heading", name="Off target").wait_for()
    found["off"] = look()
    return found


OTHER_WALK = pytest.mark.long("on a phone in dark, at the usual size of letters")


@pytest.mark.parametrize(
    ("letters", "theme", "sizes"),
    [
        pytest.param(16, "dark", PHONES, id="phone-dark"),
        pytest.param(16, "light", PCS, id="pc-light", marks=OTHER_WALK),
        pytest.param(32, "light", PHONES, id="phone-text-doubled", marks=OTHER_WALK),
    ],
)
def test_on_every_screen_for_work_axe_finds_nothing_nothing_is_cut_off_and_keys_are_large_and_apart(
    in_letters_of: Callable[..., Hand],
    axe_source: str,
    letters: int,
    theme: str,
    sizes: tuple[tuple[int, int], ...],
) -> None:
    # The browser with a tilt sensor.
    hand = in_letters_of(letters, sizes, WHOLE, color_scheme=theme)
    found = everything(hand, lambda: faults(hand, axe_source, letters, sizes))
    assert {name: wrong for name, wrong in found.items() if wrong} == {}


def test_a_teardown_can_be_worked_with_the_keyboard_alone(pc: Hand) -> None:
    job = chosen(pc)
    pc.go(job, "propped/1")
    heading = pc.page.get_by_role("heading", level=1)
    expect(heading).to_be_focused()
    back = pc.page.get_by_role("button", name="Back, undo, more")
    for _ in range(8):
        pc.page.keyboard.press("Tab")
        if back.evaluate("key => key === document.activeElement"):
            break
    expect(back).to_be_focused()
    pc.page.keyboard.press("Tab")
    expect(deck(pc, "Done")).to_be_focused()
    pc.page.keyboard.press("Enter")
    expect(heading).to_have_text("Eye protection on")
    expect(heading).to_be_focused()
    back.focus()
    pc.page.keyboard.press("Enter")
    pc.page.get_by_role("dialog").get_by_role("button", name="Step before").press("Enter")
    expect(heading).to_have_text("Body on axle stands")


def test_nothing_for_work_moves_for_those_who_asked_for_less_motion(make_hand: Callable[..., Hand]) -> None:
    hand = make_hand(**PHONE, reduced_motion="reduce")
    job = at_reading(hand)
    append(hand, job, done(("down", None), move=TURNED))
    for words in ("teardown/1", "propped/1", "ground/1"):
        hand.go(job, words)
        assert hand.page.evaluate("() => probes.moving()") == 0
