"""The desk: entries that disagree, side by side, settled by a person with an entry, on a PC and on a phone."""

import copy
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from book.pages import START_MS, an_id
from book.pages import Page as Writer
from browser.books import Book, book
from browser.conftest import PC, PHONE
from browser.hand import PLAIN, Hand
from playwright.sync_api import Locator, expect

pytestmark = pytest.mark.same_page

SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
SHEET = "async (job) => (await (await import('/book/fold.js')).sheetOf(job)).sheet"
OPEN = "async () => (await (await import('/book/disputes.js')).openDisputes()).map(({ id }) => id)"
COUNTS = "async () => (await import('/book/outbox.js')).counts()"
MERGE = """
async ([rows, came]) => (await import('/book/log.js')).merge(rows, {came})
"""
APPEND = """
async ([job, items]) => (await import('/book/log.js')).append(job, items)
"""
numbers = iter(range(1, 4000))


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A served book with the shop's PC paired."""
    with book(tmp_path_factory.mktemp("desk")) as served:
        yield served


@pytest.fixture
def paired(make_hand: Callable[..., Hand], shop: Book) -> Callable[..., Hand]:
    """Devices of the shop, in step with it."""

    def make(**options: Any) -> Hand:
        hand = make_hand(shop.access["id"], **(options or PC))
        shop.pair(hand)
        hand.page.evaluate(SYNC)
        return hand

    return make


def a_job(title: str = "Gannet, Maren") -> Writer:
    """A job with which a plan can be made, written by phone a."""
    number = next(numbers)
    writer = Writer(job=an_id(number, START_MS - 5), first=1000 * number)
    car, _, owner = title.partition(", ")
    writer.write("job", {"title": title, "car": car, "owner": owner, "wish": "level it"})
    writer.write("car", PLAIN["car"])
    writer.write("target", PLAIN["target"])
    for reading in PLAIN["log"]:
        writer.write("reading", {name: value for name, value in reading.items() if name != "kind"})
    return writer


def height(writer: Writer) -> dict[str, Any]:
    """Its first body height, left."""
    return next(
        e
        for e in writer.entries
        if e["kind"] == "reading" and e["body"]["what"] == "body-height" and e["body"]["side"] == "left"
    )


def corrected_twice(title: str = "Gannet, Maren") -> Writer:
    """Two phones corrected one height in two ways."""
    writer = a_job(title)
    first = height(writer)
    for device, value in (("phone-a", 216.0), ("phone-b", 236.0)):
        writer.device = device
        writer.write("reading", {**first["body"], "value": value, "corrects": first["id"]})
    return writer


def torn_down_twice(title: str = "Plover, Tove") -> Writer:
    """Two phones entered teardown 1 with different teeth."""
    writer = a_job(title)
    for device, outer in (("phone-a", 4), ("phone-b", 5)):
        writer.device = device
        writer.move(1, (-3, outer))
    return writer


def struck_and_corrected(title: str = "Knot, Jonas") -> Writer:
    """One phone struck what another corrected."""
    writer = a_job(title)
    first = height(writer)
    writer.strike(first["id"], saw=[first["id"]], why="read at the wing")
    writer.device = "phone-b"
    writer.write("reading", {**first["body"], "value": 216.0, "corrects": first["id"]})
    return writer


def question(hand: Hand, writer: Writer) -> Locator:
    """Open the desk for a job and wait until everything there has been worked out."""
    hand.place(f"desk?job={writer.job}")
    card = hand.page.locator(".question").first
    expect(card).to_be_visible()
    worked_out(hand)
    return card


def worked_out(hand: Hand) -> None:
    """Wait until what each choice would change is said."""
    hand.page.locator(".count").wait_for()
    hand.page.wait_for_function("() => !document.querySelector('[aria-busy]')", timeout=60_000)


def heights(hand: Hand, writer: Writer) -> list[float]:
    """Left body heights on the job's sheet on this device."""
    sheet = hand.page.evaluate(SHEET, writer.job)
    return [r["value"] for r in sheet["readings"] if r["what"] == "body-height" and r["side"] == "left"]


def at_shop(shop: Book, writer: Writer) -> dict[str, Any]:
    """The job's sheet as the shop folds it."""
    return dict(shop.ask("GET", f"/api/jobs/{writer.job}")["sheet"])


@pytest.mark.parametrize(
    "size", [pytest.param(PC, marks=pytest.mark.long("on a phone")), PHONE], ids=["pc", "phone"]
)
def test_two_corrections_stand_side_by_side_with_who_when_and_what_each_changes(
    paired: Callable[..., Hand], shop: Book, size: dict[str, Any]
) -> None:
    writer = corrected_twice()
    shop.push(writer)
    hand = paired(**size)
    card = question(hand, writer)
    sides = card.locator(".side-by")
    # Two values, and as the third way to read again.
    assert sides.count() == 3
    for i, (value, who) in enumerate((("216 mm", "phone a"), ("236 mm", "phone b"))):
        expect(sides.nth(i)).to_contain_text(f"height, left, as found{value}")
        expect(sides.nth(i)).to_contain_text(f"{who}, 2026-09-21 10:00")
        expect(sides.nth(i)).to_contain_text(f"Heights as found: left {value}, right 222 mm")
        # In one line what it leads to: the chance and the teeth.
        expect(sides.nth(i).locator(".leads strong")).to_have_text(
            re.compile(r"^(under )?\d+ in 100: (L [\d↓↑ .°]+, R [\d↓↑ .°]+|no change)$")
        )
        expect(sides.nth(i).locator(".leads .unseen")).to_have_text(
            re.compile(r"^Next plan: (under )?\d+ in 100, (left .+; right .+|no change)$")
        )
        large = sides.nth(i).locator(".differs")
        assert large.evaluate("e => parseFloat(getComputedStyle(e).fontSize) / 16") == pytest.approx(2.7)
    again = card.get_by_role("link", name="Read again")
    expect(again).to_have_attribute("href", re.compile(f"#/{writer.job}/read/body-height/left"))
    hand.hit(sides.nth(1).get_by_role("button", name="Use this value"))
    expect(card.locator(".settled")).to_contain_text("236 mm")
    assert heights(hand, writer) == [236]
    undo = card.get_by_role("button", name="Undo")
    expect(undo).to_be_focused()
    hand.page.evaluate(SYNC)
    assert at_shop(shop, writer)["conflicts"] == []
    hand.hit(undo)
    expect(hand.page.locator(".count")).to_have_text("1 conflict to resolve.")
    hand.page.evaluate(SYNC)
    assert len(at_shop(shop, writer)["conflicts"]) == 1


@pytest.mark.long("two corrections: tests/browser; a strike: tests/book/test_settle.py")
def test_a_strike_against_a_correction_is_asked_about_and_either_can_hold(
    paired: Callable[..., Hand], shop: Book
) -> None:
    writer = struck_and_corrected()
    shop.push(writer)
    hand = paired()
    card = question(hand, writer)
    expect(card).to_contain_text("removed and corrected")
    expect(card).to_contain_text("read at the wing")
    assert heights(hand, writer) == []
    card.get_by_role("button", name="Use this value").click()
    expect(card.locator(".settled")).to_contain_text("216 mm")
    assert heights(hand, writer) == [216]
    card.get_by_role("button", name="Undo").click()
    card.get_by_role("button", name="Keep it removed").click()
    expect(card.locator(".settled")).to_contain_text("stays removed")
    assert heights(hand, writer) == []


@pytest.mark.long("two corrections here; two moves of a teardown: tests/book/test_heads.py")
def test_two_moves_of_a_teardown_are_settled_and_the_plan_goes_on(
    paired: Callable[..., Hand], shop: Book
) -> None:
    writer = torn_down_twice()
    shop.push(writer)
    hand = paired()
    card = question(hand, writer)
    expect(card).to_contain_text("outer 5 teeth arm down")
    card.get_by_role("button", name="Use this value").first.click()
    expect(card.locator(".settled")).to_contain_text("outer 4 teeth arm down")
    sheet = hand.page.evaluate(SHEET, writer.job)
    assert [m["left"]["outer"] for m in sheet["moves"]] == [4]
    hand.go(writer.job, "plan")


@pytest.mark.long("two that enter apart: test_later_change; asked again: tests/book/test_settle.py")
def test_two_devices_that_settle_differently_offline_are_asked_again_with_both_choices_named(
    paired: Callable[..., Hand], shop: Book, complaints: list[str]
) -> None:
    writer = corrected_twice()
    shop.push(writer)
    one, other = paired(), paired(**PHONE)
    for hand in (one, other):
        hand.page.route("**/api/entries*", lambda route: route.abort())
    for hand, pick in ((one, 0), (other, 1)):
        card = question(hand, writer)
        hand.hit(card.get_by_role("button", name="Use this value").nth(pick))
        card.locator(".settled").wait_for()
    for hand in (one, other, one):
        hand.page.unroute("**/api/entries*")
        hand.page.evaluate(SYNC)
    for hand in (one, other):
        card = question(hand, writer)
        expect(card).to_contain_text("resolved in two ways")
        expect(card).to_contain_text("chose ride height, left, as found: 216 mm")
        expect(card).to_contain_text("chose ride height, left, as found: 236 mm")
    one.hit(card_of(one).get_by_role("button", name="Use this value").first)
    card_of(one).locator(".settled").wait_for()
    for hand in (one, other):
        hand.page.evaluate(SYNC)
    assert heights(one, writer) == heights(other, writer) == [216]
    assert at_shop(shop, writer)["conflicts"] == []
    complaints.clear()


def card_of(hand: Hand) -> Locator:
    """The first question on the page."""
    return hand.page.locator(".question").first


@pytest.mark.parametrize(
    "keep", ["mine", pytest.param("theirs", marks=pytest.mark.long("that the device's own is chosen"))]
)
def test_one_id_with_two_contents_is_settled_by_a_new_entry_wherever_the_job_is(
    paired: Callable[..., Hand], shop: Book, keep: str, complaints: list[str]
) -> None:
    writer = a_job()
    ours = copy.deepcopy(writer.entries)
    spoilt = next(e for e in ours if e["id"] == height(writer)["id"])
    spoilt["body"]["value"] = 241.0
    shop.push(writer)
    hand = paired()
    # This device has had its own content first: it never came from the shop.
    hand.page.evaluate("async () => { (await import('/book/base.js')).remember('sync', null); }")
    other = paired(**PHONE)
    with_own = hand
    with_own.page.evaluate(
        """
        async ([entry]) => {
          const { transact } = await import('/book/base.js');
          await transact(['entries', 'marks'], 'readwrite', async (tx) => {
            await tx.objectStore('entries').put(entry);
            const mark = await tx.objectStore('marks').get(entry.id);
            await tx.objectStore('marks').put({ id: mark.id, job: mark.job, n: mark.n, state: 'waiting' });
          });
        }
        """,
        [spoilt],
    )
    hand.open()
    hand.page.evaluate(SYNC)
    assert hand.page.evaluate(COUNTS)["refused"] == 1
    hand.place("refused")
    hand.page.get_by_role("link", name="Choose which to use").click()
    card = card_of(hand)
    card.wait_for()
    worked_out(hand)
    expect(card).to_contain_text("Same record, different values")
    expect(card).to_contain_text("on this PC")
    expect(card).to_contain_text("at the shop")
    wanted = 241 if keep == "mine" else 214
    choice = card.locator(".side-by").filter(has_text=f"{wanted} mm")
    # The other device has heard of it: it shows both as long as nobody has chosen, and then no more.
    other.page.evaluate(SYNC)
    assert other.page.evaluate(OPEN) == [spoilt["id"]]
    choice.get_by_role("button", name="Use this value").click()
    card.locator(".settled").wait_for()
    hand.page.evaluate(SYNC)
    other.page.evaluate(SYNC)
    assert other.page.evaluate(OPEN) == []
    assert heights(hand, writer) == heights(other, writer) == [wanted]
    shown = [r for r in at_shop(shop, writer)["readings"] if r["what"] == "body-height"]
    assert [r["value"] for r in shown if r["side"] == "left"] == [wanted]
    assert hand.page.evaluate(COUNTS)["refused"] == 0
    # Nothing is erased: both contents are where they were.
    kept = hand.page.evaluate("async (job) => (await import('/book/log.js')).disputed(job)", writer.job)
    assert [(row["mine"]["body"]["value"], row["entry"]["body"]["value"]) for row in kept] == [(241, 214)]
    card.get_by_role("button", name="Undo").click()
    expect(hand.page.locator(".count")).to_have_text("1 conflict to resolve.")
    assert hand.page.evaluate(COUNTS)["refused"] == 1
    hand.page.evaluate(SYNC)
    other.page.evaluate(SYNC)
    assert other.page.evaluate(OPEN) == [spoilt["id"]]
    # Every device of this shop hears of it, so it is not left open for the next test.
    choice.get_by_role("button", name="Use this value").click()
    card.locator(".settled").wait_for()
    hand.page.evaluate(SYNC)
    complaints.clear()


@pytest.mark.long("a height with two contents")
def test_a_note_with_two_contents_is_struck_and_written_anew(paired: Callable[..., Hand], shop: Book) -> None:
    writer = a_job()
    note = writer.write("note", {"text": "left cover rusted in"})
    shop.push(writer)
    hand = paired()
    other = copy.deepcopy(note)
    other["body"]["text"] = "right cover rusted in"
    told = hand.page.evaluate(MERGE, [[other], "link"])
    assert told["disputed"] == [note["id"]]
    card = question(hand, writer)
    expect(card).to_contain_text("from a link")
    card.locator(".side-by").filter(has_text="right cover").get_by_role(
        "button", name="Use this value"
    ).click()
    card.locator(".settled").wait_for()
    hand.page.evaluate(SYNC)
    assert [n["text"] for n in at_shop(shop, writer)["notes"]] == ["right cover rusted in"]


@pytest.mark.long("a height with two contents, and one corrected twice")
def test_contents_that_were_corrected_since_need_no_choice(paired: Callable[..., Hand], shop: Book) -> None:
    writer = a_job()
    first = height(writer)
    shop.push(writer)
    hand = paired()
    other = copy.deepcopy(first)
    other["body"]["value"] = 300.0
    hand.page.evaluate(MERGE, [[other], "file"])
    hand.page.evaluate(
        APPEND, [writer.job, [["reading", {**first["body"], "value": 215, "corrects": first["id"]}]]]
    )
    card = question(hand, writer)
    expect(card).to_contain_text("corrected or removed since")
    card.get_by_role("button", name="Dismiss").click()
    expect(card.locator(".settled")).to_contain_text("Both stay in the history")
    assert heights(hand, writer) == [215]


def test_the_first_screen_and_the_frame_lead_to_the_desk_with_the_count(
    paired: Callable[..., Hand], shop: Book
) -> None:
    writer = corrected_twice()
    shop.push(writer)
    pc = paired()
    pc.open()
    way = pc.page.locator("a.unsettled")
    expect(way).to_contain_text("to resolve")
    expect(pc.page.locator(".ways [href='#/desk']")).to_contain_text("to resolve")
    pc.place("table")
    pc.page.locator(".ways [href='#/desk']").click()
    expect(pc.page.locator("h1")).to_have_text("Conflicts")
    pc.page.locator(".question").first.wait_for()


@pytest.mark.long("by touch")
def test_the_desk_is_worked_by_keys_alone(paired: Callable[..., Hand], shop: Book) -> None:
    writer = corrected_twice()
    shop.push(writer)
    pc = paired()
    card = question(pc, writer)
    page = pc.page
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("() => document.activeElement.classList.contains('keep')"):
            break
    page.keyboard.press("Enter")
    card.locator(".settled").wait_for()
    expect(card.get_by_role("button", name="Undo")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator(".keep").first).to_be_focused()
    worked_out(pc)


@pytest.mark.long("a choice undone at once")
def test_a_settlement_made_before_can_be_asked_again(paired: Callable[..., Hand], shop: Book) -> None:
    writer = corrected_twice()
    one, other = writer.entries[-2:]
    writer.write("settle", {"keeps": one["id"], "drops": [other["id"]]})
    shop.push(writer)
    pc = paired()
    pc.place(f"desk?job={writer.job}")
    pc.page.get_by_text("Resolved before: 1").click()
    pc.page.get_by_role("button", name="Ask again").click()
    expect(pc.page.locator(".count")).to_have_text("1 conflict to resolve.")
    worked_out(pc)


@pytest.mark.parametrize(
    ("size", "theme"),
    [(PHONE, "dark"), pytest.param(PC, "light", marks=pytest.mark.long("on a phone in dark"))],
    ids=["phone-dark", "pc-light"],
)
def test_without_the_shop_the_desk_shows_what_is_on_this_device_and_axe_finds_nothing(
    make_hand: Callable[..., Hand], axe_source: str, theme: str, size: dict[str, Any], complaints: list[str]
) -> None:
    hand = make_hand(**size, color_scheme=theme)
    hand.open()
    corrected = corrected_twice()
    for writer in (corrected, torn_down_twice(), struck_and_corrected()):
        hand.page.evaluate(MERGE, [writer.entries, "link"])
    hand.place("desk")
    hand.page.locator(".question").first.wait_for()
    worked_out(hand)
    page = hand.page
    expect(page.locator(".lack")).to_contain_text("not paired")
    page.evaluate(axe_source)
    found = [*page.evaluate("() => probes.axe()"), *page.evaluate("() => probes.cut()")]
    card = page.locator(".question").filter(has=page.locator(".side-by", has_text="236 mm")).first
    hand.hit(card.get_by_role("button", name="Use this value").first)
    page.locator(".question.done").wait_for()
    assert heights(hand, corrected) == [216]
    worked_out(hand)
    found += [*page.evaluate("() => probes.axe()"), *page.evaluate("() => probes.cut()")]
    if size is PHONE:
        found += page.evaluate("() => probes.keys()")[1]
    complaints.clear()
    assert found == []
