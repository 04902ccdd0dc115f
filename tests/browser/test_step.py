"""In step: what is entered on one device is seen on the others without a reload, by one stream for each browser.

Devices are browsers with keys of their own, on the real app; the shop runs in this process, so that its streams can
be counted where they are.
"""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.conftest import PC, PHONE
from browser.hand import Hand, until
from browser.offline.shop import Shop
from playwright.sync_api import expect

from bothends.service.site import places

IN_LINE = """
async () => (await navigator.locks.query()).pending.some((lock) => lock.name === "bothends-news")
"""
"""Whether a page waits for the stream, as the browser itself says."""
SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
PAIR = "async ([code, name]) => (await (await import('/shop/pairing.js')).pair(code, name)).id"
APPEND = """
async ([job, value]) => {
  const body = { what: "body-height", side: "left", value };
  await (await import('/book/log.js')).append(job, [["reading", body]]);
}
"""
HIDE = """
(hidden) => {
  Object.defineProperty(document, "hidden", { configurable: true, get: () => hidden });
  document.dispatchEvent(new Event("visibilitychange"));
}
"""


@pytest.fixture
def shops(tmp_path) -> Iterator[Callable[..., Shop]]:
    """Makes shops, each with an empty book."""
    made: list[Shop] = []

    def make(**settings: Any) -> Shop:
        made.append(Shop(tmp_path / str(len(made)), places.web(), **settings))
        return made[-1]

    yield make
    for shop in made:
        shop.stop()


@pytest.fixture
def devices(make_hand: Callable[..., Hand]) -> Callable[..., Hand]:
    """Makes paired devices of a shop; ``device`` is its id there."""

    def make(shop: Shop, name: str, **options: Any) -> Any:
        hand: Any = make_hand(**options)
        hand.address = shop.address
        hand.open()
        hand.device = hand.page.evaluate(PAIR, [shop.code(), name])
        return hand

    return make


def read(hand: Hand, job: str, value: float) -> None:
    """Enter a ride height through the page's own log."""
    hand.page.evaluate(APPEND, [job, value])


def shown_on(hand: Hand, job: str) -> None:
    """Open the job's list and fetch the job first, as a device does when it comes."""
    hand.page.evaluate(SYNC)
    hand.go(job, "list")


def test_what_one_device_enters_is_seen_on_phone_and_pc_without_a_reload(shops, devices, long):
    shop = shops()
    one = devices(shop, "phone", **PHONE)
    others = [devices(shop, "PC", **PC)]
    if long:
        others.insert(0, devices(shop, "other phone", **PHONE))
    job = one.job()
    one.page.evaluate(SYNC)
    for hand in others:
        shown_on(hand, job)
        hand.page.evaluate("() => (window.stayed = true)")
    one.go(job, "list")
    until(lambda: shop.streams() == 1 + len(others), one.page)
    for value in (187.0, 188.0):
        read(one, job, value)
        for hand in others:
            expect(hand.page.locator("main").get_by_text(f"{value:.0f}").first).to_be_visible()
    # And the other way round, from a page where nothing is typed.
    read(others[-1], job, 189.0)
    for hand in (one, *others[:-1]):
        expect(hand.page.locator("main").get_by_text("189").first).to_be_visible()
    assert all(hand.page.evaluate("() => window.stayed") for hand in others)


@pytest.mark.long("one stream for each device; streams that end: tests/service/test_news.py")
def test_many_pages_of_a_browser_have_one_stream_and_none_is_left_behind_when_one_goes(shops, devices):
    shop = shops()
    one = devices(shop, "phone", **PHONE)
    other = devices(shop, "other phone", **PHONE)
    job = one.job()
    one.page.evaluate(SYNC)
    one.go(job, "list")
    until(lambda: shop.streams() == 1, one.page)
    asked: list[str] = []
    pages = [one.page.context.new_page() for _ in range(3)]
    for page in pages:
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{shop.address}/#/{job}/list")
        page.wait_for_function("() => document.body.dataset.at === location.hash")
        until(lambda page=page: page.evaluate(IN_LINE), page)
    assert shop.streams() == 1
    assert not [url for url in asked if url.endswith("/api/news")]
    other.page.evaluate(SYNC)
    read(other, job, 187.0)
    for page in (one.page, *pages):
        expect(page.locator("main").get_by_text("187").first).to_be_visible()
    # The one that has it goes: the next in line takes over.
    one.page.close()
    until(lambda: [url for url in asked if url.endswith("/api/news")] != [], pages[0])
    until(lambda: shop.streams() == 1, pages[0])
    read(other, job, 188.0)
    for page in pages:
        expect(page.locator("main").get_by_text("188").first).to_be_visible()


@pytest.mark.long("that a page with a job has one")
def test_a_page_that_is_hidden_or_shows_no_job_has_no_stream(shops, devices):
    shop = shops()
    one = devices(shop, "phone", **PHONE)
    job = one.job()
    one.place("settings")
    one.page.evaluate(SYNC)
    assert shop.streams() == 0
    one.go(job, "list")
    until(lambda: shop.streams() == 1, one.page)
    one.page.evaluate(HIDE, True)
    until(lambda: shop.streams() == 0, one.page)
    one.page.evaluate(HIDE, False)
    until(lambda: shop.streams() == 1, one.page)
    one.place("")
    until(lambda: shop.streams() == 0, one.page)


def test_access_that_ends_while_somebody_reads_is_said_on_that_screen_and_mended_from_there(
    shops, devices, complaints
):
    shop = shops()
    one = devices(shop, "phone", **PHONE)
    job = one.job()
    one.page.evaluate(SYNC)
    one.go(job, "read/body-height/left")
    until(lambda: shop.streams() == 1, one.page)
    mark = one.page.locator(".car-bar .shop-mark")
    expect(mark).to_be_hidden()
    shop.revoke(one.device)
    expect(mark).to_have_text("Access ended: pair again")
    expect(one.page.locator("#said")).to_contain_text("Everything entered is kept here.")
    until(lambda: shop.streams() == 0, one.page)
    read(one, job, 187.0)
    expect(mark).to_have_accessible_name(r"Access ended. Pair this phone again on the shop’s code. "
                                         "Everything entered is kept here. 1 not synced.")  # fmt: skip
    one.hit(mark)
    one.page.get_by_label("Pairing code").fill(shop.code())
    one.hit(one.page.get_by_role("button", name="Pair", exact=True))
    one.page.get_by_text("At the shop this phone is called").wait_for()
    one.go(job, "list")
    until(lambda: shop.streams() == 1, one.page)
    until(lambda: 187.0 in [e["body"].get("value") for e in shop.entries()], one.page)
    expect(mark).to_be_hidden()
    # The browser itself says that an answer was a refusal.
    assert all("401" in said for said in complaints)
    complaints.clear()


@pytest.mark.long("what is counted and said: tests/node/shop-mark.test.mjs; queues: offline/test_sync")
def test_what_has_not_reached_the_shop_is_counted_on_every_work_screen_and_goes_when_it_is_back(
    shops, devices, complaints
):
    shop = shops()
    one = devices(shop, "phone", **PHONE)
    job = one.job()
    one.page.evaluate(SYNC)
    mark = one.page.locator(".car-bar .shop-mark")
    # Each is here before the network goes, as it is where a worker keeps them.
    screens = ("list", "read/body-height/left", "plan", "about")
    for words in screens:
        one.go(job, words)
    one.page.context.set_offline(True)
    read(one, job, 187.0)
    read(one, job, 188.0)
    for words in screens:
        one.go(job, words)
        expect(mark).to_have_text("2 not synced")
    one.page.context.set_offline(False)
    expect(mark).to_be_hidden()
    until(lambda: 188.0 in [e["body"].get("value") for e in shop.entries()], one.page)
    # The browser itself says of each try that there is no network.
    complaints.clear()


@pytest.mark.long("rounds: offline/test_sync; a stream that is refused: tests/service/test_news.py")
def test_where_the_stream_is_refused_rounds_bring_everything_as_they_do_without(shops, devices, complaints):
    shop = shops(listeners=0)
    one, other = devices(shop, "phone", **PHONE), devices(shop, "PC", **PC)
    job = one.job()
    one.page.evaluate(SYNC)
    shown_on(other, job)
    with one.page.expect_response(lambda reply: reply.url.endswith("/api/news")) as refused:
        one.go(job, "list")
    assert refused.value.status == 503
    read(other, job, 187.0)
    until(lambda: 187.0 in [e["body"].get("value") for e in shop.entries()], other.page)
    # What the clock does once a minute.
    one.page.evaluate(SYNC)
    expect(one.page.locator("main").get_by_text("187").first).to_be_visible()
    expect(one.page.locator(".car-bar .shop-mark")).to_be_hidden()
    # The browser itself says that an answer was a refusal.
    assert all("503" in said for said in complaints)
    complaints.clear()
