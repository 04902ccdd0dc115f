"""The building blocks of every screen, drawn in a gallery of their own: rows, deck, pad, warning, plates."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from browser.hand import Hand
from playwright.sync_api import Page, expect

HERE = Path(__file__).parent
WEB = HERE.parents[1] / "web"
NAMES = ("height", "angle", "inches", "two", "step", "long", "good", "wrong", "target", "home", "assumed")
TYPED = ("height", "angle", "inches", "two")
pytestmark = pytest.mark.same_page

SIZES = ((360, 640), (412, 915), (915, 412))
PC_SIZES = ((1024, 768), (1440, 900))
USUAL = 16
"""Pixels of a browser's text where nobody chose another."""
LEAST_KEY = 48
"""Height of a key of the pad, px (design: 360 by 640 has the least)."""
LEAST_PICTURE = 110
"""Height below which a drawing is not drawn smaller, px."""


def gallery(page: Page, address: str) -> None:
    """Let the page of the gallery be found beside the app's own files."""
    html = (WEB / "index.html").read_text(encoding="utf-8").replace("/app.js", "/gallery/parts.js")
    # The app has the sheets that its first screen does without later; here all are there from the start.
    html = html.replace('rel="later"', 'rel="stylesheet"')
    page.route("**/gallery.html", lambda route: route.fulfill(body=html, content_type="text/html"))
    page.route(
        "**/gallery/parts.js",
        lambda route: route.fulfill(path=HERE / "gallery" / "parts.js", content_type="text/javascript"),
    )
    # A page that stands at it already is not loaded anew: each screen is drawn anew with what it told.
    page.goto(f"{address}/gallery.html#home")
    page.locator("body[data-drawn='#home']").wait_for()


def drawn(page: Page, name: str) -> None:
    """Draw one screen of the gallery."""
    page.evaluate("name => { location.hash = name }", name)
    page.locator(f"body[data-drawn='#{name}']").wait_for()


def frame(page: Page) -> None:
    """Wait until sizes and sights were told."""
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")


OUTSIDE = """() => {
  const key = document.querySelector("[data-deck=main]").getBoundingClientRect();
  const out = [];
  if (key.bottom > innerHeight || key.top < 0 || key.right > innerWidth || key.left < 0)
    out.push(`main key ${key.top} to ${key.bottom} of ${innerHeight}`);
  const at = document.elementFromPoint(key.x + key.width / 2, key.y + key.height / 2);
  if (!at?.closest("[data-deck=main]")) out.push(`over the main key: ${at?.className}`);
  if (document.scrollingElement.scrollHeight > innerHeight) out.push("the window itself scrolls");
  return out;
}"""
KEYS = """() => [...document.querySelectorAll(".pad .key, .value-row .key")].filter((key) => key.checkVisibility())
  .map((key) => { const box = key.getBoundingClientRect(); return [box.width, box.height]; })"""
UNSEEN_KEYS = """() => [...document.querySelectorAll(".pad .key")].filter((key) => {
  const box = key.getBoundingClientRect();
  const deck = document.querySelector(".deck").getBoundingClientRect();
  const over = box.bottom > deck.top && box.right > deck.left && box.top < deck.bottom && box.left < deck.right;
  return over || box.bottom > innerHeight;
}).length"""


def faults(page: Page, name: str, axe_source: str | None) -> list[str]:
    """What is wrong with a screen of the gallery as it stands."""
    found = list(page.evaluate(OUTSIDE)) + list(page.evaluate("() => probes.cut()"))
    sizes = page.evaluate(KEYS)
    found += [f"key {wide} by {high}" for wide, high in sizes if high < LEAST_KEY - 0.5 or wide < LEAST_KEY]
    if name in TYPED:
        hidden = page.evaluate(UNSEEN_KEYS)
        found += [f"{hidden} keys of the pad are not in the window"] if hidden else []
        picture = page.locator(".picture").bounding_box()
        assert picture is not None
        found += [f"drawing {picture['height']}"] if picture["height"] < LEAST_PICTURE - 0.5 else []
    if axe_source:
        if not page.evaluate("() => 'axe' in globalThis"):
            page.evaluate(axe_source)
        found += page.evaluate("() => probes.axe()")
    return found


LONG = pytest.mark.long("at the usual size of letters in light, on phones")


@pytest.mark.parametrize(
    ("letters", "theme"),
    # Larger letters are measured and not judged by axe: colours alter nothing there.
    [
        pytest.param(USUAL, "light", id="100-light"),
        pytest.param(USUAL, "dark", id="100-dark", marks=LONG),
        pytest.param(21, "light", id="130-light", marks=LONG),
        pytest.param(21, "dark", id="130-dark", marks=LONG),
        pytest.param(2 * USUAL, "light", id="200-light", marks=LONG),
        pytest.param(2 * USUAL, "dark", id="200-dark", marks=LONG),
    ],
)
def test_the_main_key_is_in_every_window_pads_keep_their_size_and_axe_finds_nothing(
    in_letters_of: Callable[..., Hand], axe_source: str, letters: int, theme: str, long: bool
) -> None:
    sizes = SIZES[:2] if not long else SIZES if letters > USUAL else (*SIZES, *PC_SIZES)
    hand = in_letters_of(letters, sizes, color_scheme=theme, reduced_motion="reduce")
    page = hand.page
    gallery(page, hand.address)
    found: dict[str, Any] = {}
    for wide, high in sizes:
        page.set_viewport_size({"width": wide, "height": high})
        for name in NAMES:
            drawn(page, name)
            frame(page)
            # Axe sees what is on the screen, which the width decides.
            judged = letters == USUAL and (long or (wide, high) == sizes[-1])
            wrong = faults(page, name, axe_source if judged else None)
            if wrong:
                found[f"{name} {wide} by {high}"] = wrong
    assert found == {}


@pytest.fixture
def parts(make_hand: Callable[..., Hand]) -> Hand:
    """The gallery on a small phone, by touch."""
    hand = make_hand(viewport={"width": 360, "height": 640}, has_touch=True, reduced_motion="reduce")
    gallery(hand.page, hand.address)
    return hand


def log(page: Page) -> list[Any]:
    """What the screen of the gallery told."""
    return list(page.evaluate("() => gallery.log"))


def test_a_warning_longer_than_its_room_holds_the_main_key_until_its_end_was_seen(parts: Hand) -> None:
    page = parts.page
    drawn(page, "long")
    key = page.locator("[data-deck=main]")
    expect(key).to_have_text("Read on")
    for _ in range(12):
        if key.text_content() == "Done":
            break
        key.tap()
        frame(page)
    expect(key).to_have_text("Done")
    expect(page.locator(".warn p").last).to_be_in_viewport()
    assert "done" not in log(page)
    # What was tapped while the end came up counts as reading; a tap after it is an answer.
    page.wait_for_timeout(600)
    key.tap()
    assert log(page) == ["done"]
    page.locator("[data-deck=quiet]").tap()
    assert log(page) == ["done", "back"]


@pytest.mark.long("by touch")
def test_a_warning_is_read_to_its_end_by_keyboard_too(parts: Hand) -> None:
    page = parts.page
    drawn(page, "long")
    key = page.locator("[data-deck=main]")
    key.focus()
    for _ in range(12):
        if key.text_content() == "Done":
            break
        page.keyboard.press("Enter")
        frame(page)
    expect(key).to_have_text("Done")
    expect(key).to_be_focused()
    assert log(page) == []


def test_a_warning_that_fits_never_asks_to_read_on(parts: Hand) -> None:
    page = parts.page
    page.set_viewport_size({"width": 412, "height": 915})
    drawn(page, "step")
    expect(page.locator("[data-deck=main]")).to_have_text("Done")
    page.locator("[data-deck=main]").tap()
    assert log(page) == ["done"]


def test_the_first_digit_takes_the_place_of_a_prefilled_figure(parts: Hand) -> None:
    page = parts.page
    drawn(page, "height")
    figure = page.locator(".figure")
    expect(figure).to_have_value("214")
    page.locator("[data-press='2']").tap()
    expect(figure).to_have_value("2")
    page.locator("[data-press='0']").tap()
    expect(figure).to_have_value("20")
    drawn(page, "angle")
    page.locator("[data-press='delete']").tap()
    expect(figure).to_have_value("9.")


def test_a_keyboard_too_types_over_a_prefilled_figure(parts: Hand) -> None:
    page = parts.page
    drawn(page, "height")
    page.keyboard.type("198")
    expect(page.locator(".figure")).to_have_value("198")
    page.keyboard.press("Enter")
    assert log(page)[-1] == "next"


def test_minus_and_plus_move_the_figure_that_is_shown_and_go_on_while_held(parts: Hand) -> None:
    page = parts.page
    drawn(page, "angle")
    page.locator("[data-press=more]").tap()
    expect(page.locator(".figure")).to_have_value("9.7")
    page.locator("[data-press=less]").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".figure")).to_have_value("9.6")
    box = page.locator("[data-press=less]").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.wait_for_function("() => Number(document.querySelector('.figure').value) < 9.2")
    page.mouse.up()
    assert page.evaluate("() => gallery.fields[0].value()") < 0


def test_the_ways_of_an_arm_stand_up_above_down_and_a_digit_changes_none(parts: Hand) -> None:
    page = parts.page
    drawn(page, "angle")
    up, down = (page.get_by_role("radio", name=f"arm {way}") for way in ("up", "down"))
    expect(up).to_be_checked()
    tops = [box["y"] for one in (up, down) if (box := one.bounding_box())]
    assert tops == sorted(tops)
    down.tap()
    page.locator("[data-press='1']").tap()
    assert page.evaluate("() => gallery.fields[0].value()") == pytest.approx(9.61)


def test_parts_of_an_inch_add_up_to_any_sixteenth(parts: Hand) -> None:
    page = parts.page
    drawn(page, "inches")
    for key in ("8", "1/8", "1/16"):
        page.locator(f"[data-press='{key}']").tap()
    expect(page.locator(".figure")).to_have_value("8 3/16")
    assert page.evaluate("() => gallery.fields[0].value()") == pytest.approx(8.1875 * 25.4, abs=0.005)


def test_for_a_left_hand_the_deck_is_mirrored(parts: Hand) -> None:
    page = parts.page
    for name, order in (("angle", 1), ("angle/left-hand", -1)):
        drawn(page, name)
        quiet, main = (page.locator(f"[data-deck={one}]").bounding_box() for one in ("quiet", "main"))
        assert quiet is not None
        assert main is not None
        assert (main["x"] - quiet["x"]) * order > 0


def test_with_a_mouse_on_a_wide_window_digits_come_from_the_keyboard(pc: Hand) -> None:
    gallery(pc.page, pc.address)
    drawn(pc.page, "angle")
    expect(pc.page.locator(".digits")).to_be_hidden()
    expect(pc.page.get_by_role("radio", name="arm up")).to_be_checked()
    pc.page.keyboard.press("ControlOrMeta+a")
    pc.page.keyboard.type("7,5+")
    assert pc.page.evaluate("() => gallery.fields[0].value()") == pytest.approx(7.5)


def test_printed_a_screen_flows_and_shows_all_of_itself(pc: Hand) -> None:
    gallery(pc.page, pc.address)
    drawn(pc.page, "long")
    pc.page.emulate_media(media="print")
    expect(pc.page.locator(".deck")).to_be_hidden()
    assert pc.page.evaluate("() => getComputedStyle(document.querySelector('.stage')).overflowY") == "visible"
