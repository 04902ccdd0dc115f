"""Two phones that change the same thing: who has seen what the other entered overrules it, whatever the clocks.

Who has not is asked about, and no teardown begins until somebody has chosen.
"""

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.books import Book, book
from browser.conftest import PC, PHONE
from browser.hand import Hand
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
SHEET = "async (job) => (await (await import('/book/fold.js')).sheetOf(job)).sheet"
APPEND = "async ([job, items]) => (await import('/book/log.js')).append(job, items)"
AHEAD = """
{
  const Real = Date;
  const ahead = 10 * 60 * 1000;
  globalThis.Date = class extends Real {
    constructor(...given) {
      if (given.length) super(...given);
      else super(Real.now() + ahead);
    }
    static now() {
      return Real.now() + ahead;
    }
  };
}
"""
"""A clock ten minutes ahead."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A served book."""
    with book(tmp_path_factory.mktemp("later")) as served:
        yield served


@pytest.fixture
def phones(make_hand: Callable[..., Hand], shop: Book) -> tuple[Hand, Hand]:
    """Two phones of the shop; the first one's clock is ten minutes ahead."""
    # Of another time zone, so that the page with that clock is never taken for the other's.
    device = shop.access["id"]
    hands = make_hand(device, **PHONE, timezone_id="Europe/Lisbon"), make_hand(device, **PHONE)
    if not hands[0].standing:
        hands[0].page.add_init_script(AHEAD)
    for hand in hands:
        # Two phones and a shop on a busy machine: what is waited for may take its time to come.
        hand.page.set_default_timeout(40_000)
        shop.pair(hand)
    there = [hand.page.evaluate("() => Date.now()") for hand in hands]
    assert there[0] - there[1] > 9 * 60 * 1000
    return hands


def sync(*hands: Hand) -> None:
    """A round with the shop, one after the other."""
    for hand in hands:
        hand.page.evaluate(SYNC)


def a_job(hands: tuple[Hand, Hand]) -> str:
    """A job with which a plan can be made, on both phones."""
    job = hands[0].job()
    sync(*hands)
    return job


def sheet(hand: Hand, job: str) -> dict[str, Any]:
    return dict(hand.page.evaluate(SHEET, job))


def change_target(hand: Hand, job: str, height: str) -> None:
    """Change the target to a height, as a person does."""
    hand.go(job, "target/amount?as=height")
    expect(hand.page.locator(".typed")).to_be_visible()
    for _ in range(6):
        hand.hit(hand.key("delete"))
    hand.digits(height)
    hand.next()


def write(hand: Hand, job: str, *items: tuple[str, dict[str, Any]]) -> list[dict[str, Any]]:
    """Enter through the page's own log."""
    return list(hand.page.evaluate(APPEND, [job, [list(item) for item in items]]))


def heights(hand: Hand, job: str) -> tuple[float, float]:
    target = sheet(hand, job)["target"]
    return target["left_mm"], target["right_mm"]


@pytest.mark.long("what an entry names as seen: tests/node/heads.test.mjs; two entered apart")
def test_who_has_seen_a_target_and_changes_it_is_not_overruled_by_a_clock_that_is_ahead(phones) -> None:
    ahead, right = phones
    job = a_job(phones)
    change_target(ahead, job, "260")
    sync(ahead, right)
    assert heights(right, job) == (260, 260)
    change_target(right, job, "270")
    sync(right, ahead)
    for hand in phones:
        assert heights(hand, job) == (270, 270)
        assert sheet(hand, job)["conflicts"] == []


def test_two_targets_entered_apart_are_shown_on_both_phones_and_one_tap_ends_it(phones, shop) -> None:
    ahead, right = phones
    job = a_job(phones)
    change_target(ahead, job, "260")
    change_target(right, job, "270")
    sync(ahead, right, ahead)
    for hand in phones:
        # The later id is the one of the clock that is ahead; it is used, and said so.
        assert heights(hand, job) == (260, 260)
        hand.go(job, "plan")
        block = hand.page.locator(".conflicts")
        expect(block).to_contain_text("Target: entered in two ways.")
        expect(block).to_contain_text("the later is used: left 260 mm, right 260 mm")
        expect(block).to_contain_text("No teardown begins before that.")
        expect(block.locator(".pick-this")).to_have_count(2)
        expect(hand.key("next")).to_have_text("Choose target")
        expect(hand.page.get_by_role("link", name="Start teardown 1")).to_have_count(0)
    hand = right
    expect(hand.page.locator(".pick-this").nth(1)).to_contain_text(
        re.compile(r"saved \d{4}-\d\d-\d\d \d\d:\d\d, ")
    )
    hand.hit(hand.page.get_by_role("button", name="Use: left 270 mm, right 270 mm"))
    expect(hand.page.locator(".conflicts")).to_have_count(0)
    expect(hand.page.get_by_role("link", name="Start teardown 1")).to_be_visible()
    sync(right, ahead)
    for each in phones:
        assert heights(each, job) == (270, 270)
        assert sheet(each, job)["conflicts"] == []
    assert shop.ask("GET", f"/api/jobs/{job}")["sheet"]["conflicts"] == []


def teeth_apart(phones: tuple[Hand, Hand], job: str) -> None:
    """Both count the teeth without having seen the other's count."""
    for hand, count in zip(phones, (40, 41), strict=True):
        write(hand, job, ("car", {"bar": {"inner_teeth": count}}))
    sync(*phones, *phones)


def test_no_teardown_begins_on_a_disputed_tooth_count_from_any_address(phones, axe_source) -> None:
    _, right = phones
    job = a_job(phones)
    # A plan was kept before the other count came: Start was tapped, and nothing done yet.
    right.go(job, "plan")
    right.hit(right.page.get_by_role("link", name="Start teardown 1"))
    expect(right.page.get_by_role("button", name="Done")).to_be_visible()
    teeth_apart(phones, job)
    for words in ("propped/1", "teardown/1"):
        right.go(job, words)
        expect(right.page.locator("main h1")).to_have_text("No teardown yet")
        expect(right.page.locator("main")).to_contain_text("Choose first: Teeth, inner end.")
        expect(right.page.locator("main")).to_contain_text("Teeth, inner end: entered in two ways.")
        expect(right.page.locator(".pick-this .device").first).not_to_be_empty()
        right.page.evaluate(axe_source)
        assert right.page.evaluate("() => probes.axe()") == []
        assert right.page.evaluate("() => probes.cut()") == []
    right.go(job, "plan")
    expect(right.key("next")).to_have_text("Choose teeth, inner end")
    right.hit(right.key("next"))
    expect(right.page.locator(".conflicts")).to_be_focused()
    right.go(job, "propped/1")
    right.hit(right.page.get_by_role("button", name="Use: 41"))
    expect(right.page.get_by_role("button", name="Done")).to_be_visible()
    assert sheet(right, job)["car"]["bar"]["inner_teeth"] == 41


@pytest.mark.long("one under way says that it goes on: tests/node/card-conflicts.test.mjs")
def test_a_teardown_under_way_goes_on_and_says_what_is_in_dispute(phones) -> None:
    _, right = phones
    job = a_job(phones)
    right.go(job, "plan")
    right.hit(right.page.get_by_role("link", name="Start teardown 1"))
    done = right.page.get_by_role("button", name="Done")
    right.hit(done)
    expect(right.page.locator(".meanwhile")).to_have_count(0)
    teeth_apart(phones, job)
    right.go(job, "propped/1")
    note = right.page.locator(".meanwhile")
    expect(note).to_contain_text("Teeth, inner end: entered in two ways. This teardown goes on by its plan.")
    expect(right.key("next")).to_be_visible()
    right.go(job, "teardown/1")
    expect(note).to_contain_text("entered in two ways")
    right.hit(note.get_by_role("link"))
    expect(right.page.locator(".conflicts")).to_contain_text("Teeth, inner end: entered in two ways.")


@pytest.mark.long("two corrections at the desk: test_desk")
def test_the_desk_shows_both_values_with_what_each_leads_to_and_a_choice_can_be_undone(
    phones, make_hand, shop
) -> None:
    job = a_job(phones)
    for hand, left in zip(phones, (260, 270), strict=True):
        write(hand, job, ("target", {"left_mm": left, "right_mm": left}))
    sync(*phones)
    pc = make_hand(**PC)
    pc.page.set_default_timeout(40_000)
    shop.pair(pc)
    sync(pc)
    pc.place(f"desk?job={job}")
    card = pc.page.locator(".question").first
    expect(card).to_contain_text("Target: entered in two ways.")
    for place, height in enumerate((270, 260)):
        side = card.locator(".side-by").nth(place)
        expect(side.locator(".differs")).to_contain_text(f"left {height} mm, right {height} mm")
        expect(side.locator(".leads")).to_contain_text("Next plan:")
    pc.hit(card.get_by_role("button", name="Use this value").first)
    expect(card.locator(".settled")).to_contain_text("Resolved: Target, left 270 mm, right 270 mm")
    assert heights(pc, job) == (270, 270)
    pc.hit(card.get_by_role("button", name="Undo"))
    expect(pc.page.locator(".count")).to_have_text("1 conflict to resolve.")
    assert heights(pc, job) == (260, 260)


@pytest.mark.long("the same at the desk: test_desk; any order: tests/book/test_settle.py")
def test_two_that_choose_differently_apart_are_asked_again_and_the_same_choice_is_none(
    phones, complaints: list[str]
) -> None:
    job = a_job(phones)
    for hand, left in zip(phones, (260, 270), strict=True):
        write(hand, job, ("target", {"left_mm": left, "right_mm": left}))
    sync(*phones, *phones)
    for hand, choice in zip(phones, ("260", "270"), strict=True):
        hand.go(job, "list")
        # What the other chooses must not come between.
        hand.page.context.set_offline(True)
        hand.hit(hand.page.get_by_role("button", name=f"Use: left {choice} mm"))
        expect(hand.page.locator(".conflicts")).to_have_count(0)
    for hand in phones:
        hand.page.context.set_offline(False)
    sync(*phones, *phones)
    complaints.clear()
    for hand in phones:
        assert len(sheet(hand, job)["conflicts"]) == 1
        hand.go(job, "list")
        hand.hit(hand.page.get_by_role("button", name="Use: left 270 mm"))
        expect(hand.page.locator(".conflicts")).to_have_count(0)
    sync(*phones, *phones)
    for hand in phones:
        assert sheet(hand, job)["conflicts"] == []
        assert heights(hand, job) == (270, 270)
