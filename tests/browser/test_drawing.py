"""The drawings on their screens tell the truth: which way the arm swings on which side, and a tooth is turned."""

from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PHONE
from browser.hand import Hand
from playwright.sync_api import Page

pytestmark = pytest.mark.same_page

TURNED = """async (side) => {
  const { endPicture } = await import('/parts/draw/ends.js');
  const middle = (piece) => {
    const box = piece.getBoundingClientRect();
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  };
  const room = document.createElement('div');
  document.querySelector('main').replaceChildren(room);
  return ['inner', 'outer', 'arm'].flatMap((end) => ['down', 'up'].map((way) => {
    const picture = endPicture({ side, end, way, deg: 20, label: 'x' });
    room.replaceChildren(picture);
    const [was, arm, arrow] = ['.ghost', '.moving', '.arrow'].map((name) => middle(picture.querySelector(name)));
    const teeth = way === 'down' ? 1 : -1;
    const [down, pointed] = [arm.y - was.y, arrow.y - was.y];
    return { tail: arrow.x - middle(picture).x, down, teeth, same: down * pointed > 0 };
  }));
}"""
"""Every small drawing of a turned end of a side, both ways: its tail to the right, its turn downwards, px."""


@pytest.fixture
def phone(make_hand: Callable[..., Hand]) -> Hand:
    """A phone whose drawings stand where they belong at once."""
    return make_hand(**PHONE, reduced_motion="reduce")


def arm(page: Page) -> tuple[float, float]:
    """Where the arm's middle is from the bar's, right and down positive, px."""
    right, down = page.evaluate("() => probes.arm()")
    return right, down


EACH_SIDE = "each side, in one pose"


@pytest.mark.parametrize(
    ("what", "side", "tail"),
    [
        ("hanging-angle", "left", 1),
        ("riding-angle", "right", -1),
        pytest.param("hanging-angle", "right", -1, marks=pytest.mark.long(EACH_SIDE)),
        pytest.param("riding-angle", "left", 1, marks=pytest.mark.long(EACH_SIDE)),
    ],
)
def test_the_arm_points_to_the_tail_on_its_keys_too_and_a_wrong_way_is_seen(
    phone: Hand, what: str, side: str, tail: int
) -> None:
    job = phone.job()
    phone.go(job, f"read/{what}/{side}")
    phone.gauge("Zeroed on the body")
    for way, sign in (("down", 1), ("up", -1)):
        found = phone.page.evaluate("way => probes.swing(way)", way)
        assert found[0] * tail > 0
        assert found[1] * sign > 0
    phone.digits("9.6")
    phone.way("arm down")
    right, down = arm(phone.page)
    assert right * tail > 20
    assert down > 5
    phone.way("arm up")
    along, up = arm(phone.page)
    assert along * tail > 20
    # A key that names a likely slip may make the drawing smaller.
    assert up / along == pytest.approx(-down / right, abs=0.05)


def test_the_arm_moves_with_every_digit(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "read/hanging-angle/left")
    phone.gauge("Zeroed on the body")
    phone.way("arm down")
    seen = []
    for digit in "19":
        phone.digits(digit)
        seen.append(arm(phone.page)[1])
    assert 0 < seen[0] < seen[1]


@pytest.mark.parametrize(("side", "left_edge"), [("left", True), ("right", False)])
def test_the_front_of_the_car_is_named_on_the_proper_edge(phone: Hand, side: str, left_edge: bool) -> None:
    job = phone.job()
    phone.go(job, f"read/body-height/{side}")
    front = phone.page.locator(".picture").get_by_text("front", exact=True).bounding_box()
    assert front is not None
    assert (front["x"] < 206) is left_edge


def test_a_higher_body_is_drawn_higher(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "read/body-height/left")
    mark = phone.page.locator(".picture .diamond")
    heights = []
    for figure in ("214", "260"):
        for _ in range(3):
            phone.hit(phone.key("delete"))
        phone.digits(figure)
        box = mark.bounding_box()
        assert box is not None
        heights.append(box["y"])
    assert heights[1] < heights[0] - 5


@pytest.mark.parametrize(("side", "tail"), [("left", 1), ("right", -1)])
def test_arrows_turn_the_tail_the_way_the_words_say(phone: Hand, side: str, tail: int) -> None:
    phone.open()
    found: list[dict[str, Any]] = phone.page.evaluate(TURNED, side)
    assert len(found) == 6
    for end in found:
        assert end["tail"] * tail > 5, "the arm points to the tail"
        assert end["down"] * end["teeth"] > 0, "arrow and arm end below for arm down, above for arm up"
        assert end.get("same", True), "arm and arrow go the same way"
