"""Everyone can work it: WCAG by axe in both themes, keyboard alone, large text, keys for gloves, less motion."""

from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PHONE
from browser.hand import DOUBTED, PLACES, SCREENS, Hand
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.same_page


def judged(page: Page, axe_source: str) -> list[str]:
    """What axe holds against the screen as it stands."""
    if not page.evaluate("() => 'axe' in globalThis"):
        page.evaluate(axe_source)
    return list(page.evaluate("() => probes.axe()"))


SETTLED = """() => ![...document.querySelectorAll('.working, [aria-busy=true]')]
  .some((e) => e.checkVisibility() && e.textContent.trim() !== '')"""
"""Whether nothing of the screen says that it is still being looked for or worked out."""


def everywhere(hand: Hand, look: Callable[[], Any]) -> tuple[str, dict[str, Any]]:
    """The job, and what ``look`` finds on the start and on every screen, once all of it stands."""

    def seen() -> Any:
        hand.page.wait_for_function(SETTLED)
        return look()

    job = hand.job(DOUBTED)
    hand.page.reload()
    hand.page.get_by_text("Slipway Garage").wait_for()
    found = {"start": seen()}
    for words in SCREENS:
        hand.go(job, words)
        found[words] = seen()
    for words in PLACES:
        hand.place(words)
        found[words] = seen()
    return job, found


def cut_at(page: Page, *sizes: tuple[int, int]) -> list[str]:
    """Whatever is cut off at any of these sizes of the window; it is left at the first."""
    found = []
    for wide, high in (*sizes[1:], sizes[0]):
        page.set_viewport_size({"width": wide, "height": high})
        found += [f"{wide} by {high}: {cut}" for cut in page.evaluate("() => probes.cut()")]
    return found


PHONES, PCS = ((412, 915), (360, 740)), ((1440, 900),)
WALKS = pytest.mark.parametrize(
    ("letters", "theme", "sizes"),
    [
        (16, "dark", PHONES),
        pytest.param(16, "light", PCS, marks=pytest.mark.long("on a phone in dark")),
        pytest.param(32, "light", PHONES, marks=pytest.mark.long("at the usual size of letters")),
        pytest.param(32, "light", PCS, marks=pytest.mark.long("on a phone, at the usual size")),
    ],
    ids=["phone-dark", "pc-light", "phone-text-doubled", "pc-text-doubled"],
)
"""Both themes, both devices, and the browser's own text size doubled (WCAG 2.2, 1.4.4)."""


def faults(hand: Hand, axe_source: str, letters: int, sizes: tuple[tuple[int, int], ...]) -> list[str]:
    """What is wrong with the screen as it stands: by axe, cut off at any of the sizes, keys too small or close.

    Axe judges at the usual text size, keys are measured there and for a glove: on a phone.
    """
    page, found = hand.page, []
    if letters == 16:
        found += judged(page, axe_source)
        if hand.touch:
            count, wrong = page.evaluate("() => probes.keys()")
            found += wrong if count > 2 else [f"only {count} keys found", *wrong]
    return found + cut_at(page, *sizes)


@pytest.mark.empty_page
@WALKS
def test_on_every_screen_axe_finds_nothing_nothing_is_cut_off_and_keys_are_large_and_apart(
    in_letters_of: Callable[..., Hand],
    axe_source: str,
    letters: int,
    theme: str,
    sizes: tuple[tuple[int, int], ...],
) -> None:
    hand = in_letters_of(letters, sizes, color_scheme=theme)
    job, found = everywhere(hand, lambda: faults(hand, axe_source, letters, sizes))
    hand.go(job, "read/hanging-angle/right")
    hand.hit(hand.page.get_by_role("link", name="Gauge:"))
    found["dialog"] = judged(hand.page, axe_source)
    hand.page.keyboard.press("Escape")
    hand.gauge("Body, then arm")
    hand.hit(hand.key("next"))
    found["error"] = judged(hand.page, axe_source)
    assert {name: wrong for name, wrong in found.items() if wrong} == {}


def test_the_pad_is_within_reach_without_scrolling(phone: Hand) -> None:
    job = phone.job()
    for words in (
        "ask/car.bar.diameter_mm",
        "read/riding-angle/left",
        "read/body-height/right",
        "pose/board/left",
    ):
        phone.go(job, words)
        box = phone.key("next").bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= 915
        drawing = phone.page.locator(".picture").bounding_box()
        assert drawing is not None
        # Before a test that can hurt, its warning takes room from the drawing.
        assert drawing["height"] >= (110 if words.startswith("pose") else 190), words


@pytest.mark.empty_page
def test_a_whole_job_by_keyboard_alone(pc: Hand) -> None:
    page = pc.page
    pc.open()
    page.get_by_role("link", name="New job").focus()
    page.keyboard.press("Enter")
    title = page.locator("main h1")
    expect(title).to_have_text("What is the target?")
    page.get_by_role("radio", name="To a height").focus()
    page.keyboard.press("Space")
    page.get_by_role("link", name="Next").focus()
    page.keyboard.press("Enter")
    for figure in ("250", "214", "222", "415"):
        expect(page.locator(".figure").first).to_be_focused()
        before = pc.question()
        page.keyboard.type(figure)
        page.keyboard.press("Enter")
        expect(title).not_to_have_text(before)
    expect(title).to_have_text("How do you use the gauge?")
    page.get_by_role("radio", name="Body, then arm").focus()
    page.keyboard.press("Space")
    pc.key("next").focus()
    page.keyboard.press("Enter")
    for side, figure in (("left", "8,4"), ("right", "7.2")):
        expect(title).to_have_text(f"Riding angle, {side}")
        expect(page.get_by_label("Body", exact=True)).to_be_focused()
        page.keyboard.type("1.2+")
        page.keyboard.press("Enter")
        expect(page.get_by_label("Arm", exact=True)).to_be_focused()
        page.keyboard.type(f"-{figure}")
        expect(page.get_by_role("radio", name="arm up")).to_be_checked()
        page.keyboard.press("Enter")
    expect(title).to_have_text("Board under tyre, left")
    page.locator("a.run").focus()
    page.keyboard.press("Enter")
    page.locator(".source").wait_for()
    expect(title).to_be_focused()
    expect(page.locator("#said")).to_contain_text("in 100")


def test_tab_goes_from_the_figure_to_the_pad_and_its_ways_to_next(make_hand: Callable[..., Hand]) -> None:
    # A touch screen with a keyboard: there the pad is drawn.
    hand = make_hand(**PHONE)
    page = hand.page
    job = hand.job()
    hand.go(job, "read/riding-angle/left")
    hand.gauge("Zeroed on the body")
    expect(page.get_by_label("Arm", exact=True)).to_be_focused()
    seen = []
    for _ in range(40):
        page.keyboard.press("Tab")
        seen.append(
            page.evaluate(
                "() => { const e = document.activeElement;"
                " return e.dataset.press ?? e.dataset.deck ?? e.closest('label')?.textContent.trim() ?? ''; }"
            )
        )
        if seen[-1] == "1":
            outline = hand.key("1").evaluate(
                "key => getComputedStyle(key).outlineStyle + getComputedStyle(key).outlineWidth"
            )
            assert outline == "solid3px"
        if seen[-1] == "main":
            break
    assert seen[-2:] == ["quiet", "main"]
    assert set("1234567890") <= set(seen)
    page.get_by_role("radio", name="arm down").focus()
    page.keyboard.press("Space")
    expect(page.get_by_role("radio", name="arm down")).to_be_checked()
    page.keyboard.press("ArrowUp")
    expect(page.get_by_role("radio", name="arm up")).to_be_checked()


def test_a_new_screen_has_the_focus_at_its_question_and_a_link_leads_back_there(pc: Hand) -> None:
    job = pc.job()
    pc.go(job, "list")
    expect(pc.page.locator("h1")).to_be_focused()
    skip = pc.page.get_by_role("link", name="To the question")
    skip.focus()
    expect(skip).to_be_in_viewport()
    pc.page.keyboard.press("Enter")
    expect(pc.page.locator("main")).to_be_focused()


JUMPS = """() => new Promise((done) => {
  let sum = 0;
  new PerformanceObserver((list, observer) => {
    for (const entry of list.getEntries()) sum += entry.value;
    observer.disconnect();
    done(sum);
  }).observe({ type: "layout-shift", buffered: true });
  // Where nothing ever jumped nobody is called; what did jump is told within a frame.
  requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => done(sum), 100)));
})"""


@pytest.mark.fresh_page
def test_nothing_jumps_under_a_finger_as_the_first_screen_comes(phone: Hand) -> None:
    phone.open()
    phone.page.get_by_text("Slipway Garage").wait_for()
    phone.page.get_by_role("link", name="Pair with a shop").wait_for()
    # Cumulative layout shift (https://web.dev/articles/cls calls up to 0.1 good).
    assert phone.page.evaluate(JUMPS) < 0.02


def test_nothing_moves_for_those_who_asked_for_less_motion(make_hand: Callable[..., Hand]) -> None:
    hand = make_hand(**PHONE, reduced_motion="reduce")
    job = hand.job()
    hand.go(job, "read/hanging-angle/left")
    moving = hand.page.evaluate("() => probes.moving()")
    assert moving == 0


def test_the_page_says_a_figure_that_was_tapped(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "ask/car.limits.bump_mm")
    phone.digits("65")
    expect(phone.page.locator("#said")).to_have_text("65 mm")
