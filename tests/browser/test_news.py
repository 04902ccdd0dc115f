"""What others add to a job is marked on each device until somebody has looked at it there; who read it is named."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.books import Book, book
from browser.conftest import PC, PHONE
from browser.hand import Hand
from playwright.sync_api import expect

SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
APPEND = "async ([job, items]) => (await import('/book/log.js')).append(job, items)"
SHEET = "async (job) => (await (await import('/book/fold.js')).sheetOf(job)).sheet"
LINK = """
async (job) => {
  const [{ entries }, { linkOf }] = await Promise.all([import('/book/log.js'), import('/book/carry.js')]);
  return linkOf(await entries(job));
}
"""

NOTED = """
async (job) => {
  const { recall } = await import('/book/base.js');
  for (;;) {
    const [looked, count] = await Promise.all([recall('looked'), recall('count')]);
    if (looked?.[job] >= count) return;
    await new Promise(requestAnimationFrame);
  }
}
"""
"""Resolves once it is noted that the Log was looked at."""
NAMELESS = """
async () => {
  const { writerName } = await import('/book/device.js');
  while ((await writerName()) !== '') await new Promise(requestAnimationFrame);
}
"""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A served book."""
    with book(tmp_path_factory.mktemp("news")) as served:
        yield served


@pytest.fixture
def hands(make_hand: Callable[..., Hand], shop: Book) -> Callable[..., Hand]:
    """Makes a device of the shop."""

    def paired(size: dict[str, Any]) -> Hand:
        hand = make_hand(**size)
        # Several devices and a shop on a busy machine: what is waited for may take its time to come.
        hand.page.set_default_timeout(40_000)
        shop.pair(hand)
        return hand

    return paired


def sync(*all_of_them: Hand) -> None:
    for hand in all_of_them:
        hand.page.evaluate(SYNC)


def height(value: float, side: str = "left", teardown: int = 0) -> list[Any]:
    body = {"what": "body-height", "side": side, "value": value, "teardown": teardown}
    return ["reading", body]


def looked(hand: Hand, job: str) -> None:
    """Look at the Log until that is noted, and leave it."""
    hand.go(job, "list")
    hand.page.evaluate(NOTED, job)
    # While the Log stands, what comes is seen as it comes.
    hand.place("settings")


def test_a_phone_and_the_pc_mark_what_another_device_added_until_each_has_looked(hands) -> None:
    phone, pc = hands(PHONE), hands(PC)
    job = phone.job()
    sync(phone, pc)
    for hand in (phone, pc):
        looked(hand, job)
    pc.page.evaluate(APPEND, [job, [height(215), height(223, "right")]])
    sync(pc, phone)
    # On the phone the card says how many, the Log which; the way to the Log says it on every screen of the job.
    phone.place("")
    expect(phone.page.locator(f'[data-job="{job}"] .new-mark')).to_have_text("2 new")
    phone.go(job, "plan")
    expect(phone.page.locator("#top .to .new-mark")).to_have_text("2 new")
    phone.go(job, "list")
    expect(phone.page.locator(".log-row .new-mark")).to_have_count(2)
    expect(phone.page.locator(".news")).to_contain_text("Ride height, left, as found: 215 mm")
    looked(phone, job)
    phone.go(job, "list")
    expect(phone.page.locator(".log-row").first).to_be_visible()
    expect(phone.page.locator(".new-mark")).to_have_count(0)
    phone.place("settings")
    # What was written on the PC is not new there; what the phone adds is, in its table and beside its questions.
    phone.page.evaluate(APPEND, [job, [height(216)]])
    sync(phone, pc)
    pc.place("table")
    row = pc.page.locator("tr", has=pc.page.locator(f'[data-job="{job}"]'))
    expect(row.locator(".mark").first).to_have_text("1 new")
    pc.go(job, "plan")
    expect(pc.page.locator("#rail .new-mark")).to_have_count(1)
    looked(pc, job)
    pc.place("table")
    expect(row).to_be_visible()
    expect(row.get_by_text("1 new")).to_have_count(0)


@pytest.mark.long("what comes back by a link: test_devices; whose it is: tests/book/test_unsure.py")
def test_a_reader_is_asked_once_for_a_name_which_stands_with_what_comes_back(hands, make_hand, shop) -> None:
    pc = hands(PC)
    job = pc.job()
    looked(pc, job)
    reader = make_hand(**PHONE)
    reader.address = shop.address
    reader.open()
    reader.page.goto(pc.page.evaluate(LINK, job))
    field = reader.page.get_by_label("Your name")
    field.fill("Ben")
    reader.hit(reader.page.get_by_role("button", name="Keep this job"))
    reader.page.get_by_role("heading", name="Log").wait_for()
    reader.page.evaluate(APPEND, [job, [height(215)]])
    # Nobody asks again, neither in the Log nor where it is sent.
    for words in ("list", "share"):
        reader.go(job, words)
        expect(reader.page.get_by_role("heading", level=1)).to_be_visible()
        expect(reader.page.locator(".name-ask")).to_have_count(0)
    back = reader.page.evaluate(LINK, job)
    pc.page.goto(back)
    expect(pc.page.locator(".change .who")).to_contain_text(", Ben")
    # At a shop devices have names of their own.
    expect(pc.page.get_by_label("Your name")).to_have_count(0)
    pc.hit(pc.page.get_by_role("button", name="Add to the job here"))
    pc.page.get_by_role("heading", name="Log").wait_for()
    expect(pc.page.locator(".news .who")).to_contain_text(", Ben")
    row = pc.page.locator(".log-row", has=pc.page.get_by_text("215 mm"))
    expect(row.locator(".who")).to_contain_text(", Ben")
    # Without a name it goes too.
    reader.place("settings")
    expect(reader.page.get_by_label("Your name")).to_have_value("Ben")
    reader.page.get_by_label("Your name").fill("")
    reader.page.get_by_label("Your name").press("Tab")
    reader.page.evaluate(NAMELESS)
    made = reader.page.evaluate(APPEND, [job, [height(216)]])
    assert made[0]["writer"] == ""


@pytest.mark.long("what is asked about, and until when: tests/book/test_unsure.py")
def test_readings_after_teeth_that_were_not_chosen_are_asked_about_at_the_desk(hands, axe_source) -> None:
    phone, pc = hands(PHONE), hands(PC)
    job = phone.job()
    sync(phone, pc)
    for hand, teeth, value in ((phone, 4, 250), (pc, 5, 256)):
        move = [
            "move",
            {"teardown": 1, "left": {"inner": -3, "outer": teeth}, "right": {"inner": -3, "outer": 4}},
        ]
        hanging = ["reading", {"what": "hanging-angle", "side": "left", "value": 8.8, "teardown": 1}]
        hand.page.evaluate(APPEND, [job, [move, hanging, height(value, teardown=1)]])
    sync(phone, pc, phone)
    pc.place(f"desk?job={job}")
    chosen = pc.page.locator(".side-by", has_text="left: inner 3 teeth arm up, outer 4 teeth arm down")
    pc.hit(chosen.get_by_role("button", name="Use this value"))
    block = pc.page.locator(".unsure")
    expect(block).to_contain_text("2 readings to look at again")
    expect(block).to_contain_text("was chosen. The device that read what follows had")
    # The height can be read again, the arm cannot: the car was read standing since.
    rows = block.locator("li")
    expect(rows.filter(has_text="256 mm").get_by_role("link")).to_have_text("Read again")
    hanging_row = rows.filter(has_text="8.8° arm down")
    expect(hanging_row.get_by_role("link")).to_have_text("Correct it")
    expect(hanging_row).to_contain_text("The bar is loaded again: it cannot be read again.")
    pc.page.evaluate(axe_source)
    assert pc.page.evaluate("() => probes.axe()") == []
    # Both devices ask; an answer on one ends it on both.
    sync(pc, phone)
    phone.go(job, "list")
    expect(phone.page.locator(".unsure li")).to_have_count(2)
    phone.hit(
        phone.page.locator(".unsure li").filter(has_text="256 mm").get_by_role("button", name="Remove it")
    )
    expect(phone.page.locator(".unsure li")).to_have_count(1)
    phone.hit(phone.page.locator(".unsure li").get_by_role("button", name="It holds"))
    expect(phone.page.locator(".unsure")).to_have_count(0)
    sync(phone, pc)
    assert pc.page.evaluate(SHEET, job)["unsure"] == []
