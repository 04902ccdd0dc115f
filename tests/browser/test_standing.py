"""A page that stands: what tests leave to each other in it, and what screens leave behind for the next one."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from browser.books import Book, book
from browser.conftest import PC
from browser.hand import Hand
from browser.teardown import at_reading
from playwright.sync_api import BrowserContext, expect

pytestmark = pytest.mark.same_page

SHEETS = "web/style/shop"
SCREENS = (
    "ask/car.bar.diameter_mm",
    "target",
    "read/riding-angle/right",
    "list",
    "move?li=-3&lo=4&ri=5&ro=-5",
    "plan",
    "assumed",
    "share",
    "close",
    "whatif",
    "teardown/1",
    "propped/1",
    "propped/1?at=5",
    "ground/1",
)
"""A screen of each kind."""
SOME = ("read/riding-angle/right", "list", "plan", "propped/1?at=5")
"""What every run looks at: a figure typed, a list, a plan, a step."""
PLACES = """() => [...document.querySelectorAll('main *')]
  .filter((e) => e.checkVisibility() && !e.closest('svg'))
  .map((e) => {
    const { x, y, width, height } = e.getBoundingClientRect();
    const at = [x, y, width, height].map((figure) => Math.round(figure)).join(' ');
    return `${e.tagName}.${e.className} ${at} ${getComputedStyle(e).display}`;
  })"""
"""Where everything of the screen stands; what the frame says beside it may come and go."""
STYLE = "async (name) => (await import('/parts/style.js')).useStyle(name)"
LOOK = """async () => [
  (await import('/work/units.js')).lengths(),
  getComputedStyle(document.documentElement).fontSize,
  String(innerWidth),
]"""
TITLES = """async () => (await (await import('/book/log.js')).everything())
  .filter(({ kind }) => kind === 'job').map(({ body }) => body.title).sort()"""
LEFT: list[BrowserContext] = []
"""The profiles of the tests below, in their order."""


@pytest.fixture
def profile(phone: Hand) -> BrowserContext:
    """The profile of a phone whose test ends before it is given back."""
    LEFT.append(phone.page.context)
    return phone.page.context


def kept() -> bool:
    """Whether a test has the page of the one before."""
    return LEFT[-1] is LEFT[-2]


def test_a_page_is_left_with_a_job_in_it(phone: Hand, profile: BrowserContext) -> None:
    phone.go(phone.job(), "plan")


def test_the_next_goes_on_with_it_in_a_job_of_its_own_and_measures_in_inches(
    phone: Hand, profile: BrowserContext
) -> None:
    assert kept()
    job = phone.job(title="Plover, Tove")
    assert phone.page.evaluate("() => location.hash") == "#/"
    phone.in_inches()
    phone.page.set_viewport_size({"width": 360, "height": 640})
    phone.letters(32)
    phone.go(job, "list")
    expect(phone.page.locator("body")).to_contain_text("Plover")
    assert phone.page.evaluate(LOOK) == ["in", "32px", "360"]


def test_window_unit_and_size_of_the_text_are_as_usual_again(phone: Hand, profile: BrowserContext) -> None:
    assert kept()
    job = phone.job()
    phone.go(job, "list")
    assert phone.page.evaluate(LOOK) == ["mm", "16px", "412"]
    kept_by_name = set(phone.page.evaluate("() => Object.keys(localStorage)"))
    assert kept_by_name - {"bothends/start"} == {"bothends/been"}
    assert phone.page.evaluate(TITLES) == ["Gannet, Maren", "Gannet, Maren", "Plover, Tove"]


@pytest.mark.empty_page
def test_a_test_that_counts_jobs_goes_on_with_none_and_changes_a_setting(
    phone: Hand, profile: BrowserContext
) -> None:
    assert kept()
    phone.open()
    assert phone.page.evaluate(TITLES) == []
    expect(phone.page.locator(".job")).to_have_count(0)
    phone.job(title="Knot, Jonas")
    phone.open()
    expect(phone.page.locator(".job")).to_have_count(1)
    phone.page.evaluate("() => localStorage.setItem('bothends/shop-name', 'Slipway Garage')")


def test_a_page_with_a_setting_is_given_to_no_other_and_neither_is_one_with_a_script_before_its_own(
    phone: Hand, profile: BrowserContext
) -> None:
    assert not kept()
    phone.job()
    phone.page.add_init_script("window.mine = true;")


def test_a_page_that_complained_as_it_should_stands_and_its_complaints_are_its_tests(
    phone: Hand, profile: BrowserContext, complaints: list[str]
) -> None:
    assert not kept()
    phone.open()
    phone.page.evaluate("() => console.error('heard')")
    phone.page.evaluate("() => 1")
    assert complaints == ["console: heard"]
    complaints.clear()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A served book with a device paired."""
    with book(tmp_path_factory.mktemp("standing")) as served:
        yield served


@pytest.mark.parametrize("turn", ["first", "next"])
def test_a_page_that_is_paired_goes_on_with_the_same_devices_access(
    paired: Callable[..., Hand], turn: str
) -> None:
    hand = paired(**PC)
    LEFT.append(hand.page.context)
    assert kept() is (turn == "next")
    expect(hand.page.locator(".shop-line")).to_be_visible()


@pytest.mark.fresh_page
def test_a_test_marked_fresh_page_has_one_of_its_own(phone: Hand, profile: BrowserContext) -> None:
    assert not kept()
    assert phone.page.url == "about:blank"


def test_no_style_sheet_of_a_screen_that_was_seen_moves_anything_on_another(
    make_hand: Callable[..., Hand], repository: Path, long: bool
) -> None:
    hand = make_hand(viewport={"width": 360, "height": 740}, reduced_motion="reduce")
    job, screens = at_reading(hand), SCREENS if long else SOME

    def places(words: str) -> list[str]:
        hand.go(job, words)
        hand.page.wait_for_function("() => !document.querySelector('[aria-busy=true]')")
        if words == "whatif":
            expect(hand.page.locator(".results")).not_to_contain_text("…")
        if words.startswith("propped"):
            hand.page.locator(".warn, .expect").first.wait_for()
        return list(hand.page.evaluate(PLACES))

    def seen(words: str, like: list[str]) -> list[str]:
        # What a screen works out beside what it shows may come a moment later.
        for _ in range(5):
            found = places(words)
            if found == like:
                break
            if words not in before:
                like = found
        return found

    before: dict[str, list[str]] = {}
    # The first time a screen fetches what it needs by itself.
    first = {words: places(words) for words in screens}
    for words in screens:
        before[words] = seen(words, first[words])
    for sheet in (repository / SHEETS).glob("*.css"):
        hand.page.evaluate(STYLE, sheet.stem)
    moved = {}
    for words in screens:
        after = seen(words, before[words])
        if after != before[words]:
            moved[words] = [line for line in after if line not in before[words]][:6]
    assert moved == {}
