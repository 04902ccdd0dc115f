"""The drawings tell the truth: which way the arm swings, on which side, and which way a tooth is turned."""

from typing import Any

import pytest
from browser.hand import Hand
from playwright.sync_api import Page

STILL = "() => probes.still()"


def hub(page: Page) -> tuple[float, float]:
    """Where the wheel's centre is from the bar's, right and down positive, px."""
    page.wait_for_function(STILL)
    right, down = page.evaluate("() => probes.hub()")
    return right, down


@pytest.mark.parametrize("what", ["hanging-angle", "riding-angle"])
@pytest.mark.parametrize(("side", "tail"), [("left", 1), ("right", -1)])
def test_the_arm_points_to_the_tail_and_a_wrong_way_is_seen(
    phone: Hand, what: str, side: str, tail: int
) -> None:
    job = phone.job()
    phone.go(job, f"read/{what}/{side}")
    phone.gauge("Zeroed on the body")
    phone.digits("9.6")
    phone.way("arm down")
    right, down = hub(phone.page)
    assert right * tail > 50
    assert down > 10
    phone.way("arm up")
    right, up = hub(phone.page)
    assert right * tail > 50
    assert up == pytest.approx(-down, abs=1.5)


def test_the_arm_moves_with_every_digit(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "read/hanging-angle/left")
    phone.gauge("Zeroed on the body")
    phone.way("arm down")
    seen = []
    for digit in "19":
        phone.digits(digit)
        seen.append(hub(phone.page)[1])
    assert 0 < seen[0] < seen[1]


@pytest.mark.parametrize(("side", "left_edge"), [("left", True), ("right", False)])
def test_the_front_of_the_car_is_named_on_the_proper_edge(phone: Hand, side: str, left_edge: bool) -> None:
    job = phone.job()
    phone.go(job, f"read/body-height/{side}")
    front = phone.page.locator("side-view .front").bounding_box()
    assert front is not None
    assert (front["x"] < 206) is left_edge


def test_a_higher_body_is_drawn_higher(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "read/body-height/left")
    mark = phone.page.locator(".body .mark")
    heights = []
    for figure in ("214", "260"):
        for _ in range(3):
            phone.hit(phone.key("delete"))
        phone.digits(figure)
        phone.page.wait_for_function(STILL)
        box = mark.bounding_box()
        assert box is not None
        heights.append(box["y"])
    assert heights[1] < heights[0] - 5


@pytest.mark.parametrize("screen", ["move?li=-3&lo=4&ri=5&ro=-5"])
def test_arrows_turn_the_tail_the_way_the_words_say_on_both_sides(phone: Hand, screen: str) -> None:
    job = phone.job()
    phone.go(job, screen)
    for side, tail in (("left", 1), ("right", -1)):
        found: list[dict[str, Any]] = phone.page.evaluate("s => probes.dials(s)", f".corner.{side} .dial")
        assert len(found) == 2
        for dial in found:
            assert dial["stub"] * tail > 5, "the arm on the dial points to the tail"
            assert dial["down"] * dial["teeth"] > 5, "the arrow ends below for arm down, above for arm up"
        words = phone.page.locator(f".corner.{side} .end strong").all_inner_texts()
        assert [("arm down" in text) for text in words] == [dial["teeth"] > 0 for dial in found]


@pytest.mark.parametrize(("side", "tail"), [("left", 1), ("right", -1)])
def test_the_keys_for_tail_down_and_tail_up_carry_arrows_of_that_side(
    phone: Hand, side: str, tail: int
) -> None:
    job = phone.job()
    phone.go(job, f"read/riding-angle/{side}")
    for way, sign in (("down", 1), ("up", -1)):
        found = phone.page.evaluate("way => probes.swing(way)", way)
        assert found[0] * tail > 0
        assert found[1] * sign > 0
