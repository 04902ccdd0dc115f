"""The page that erases a customer: shown first, done once the word is typed, and told afterwards."""

import json
from collections.abc import Callable, Iterator
from urllib.parse import quote

import pytest
from browser.books import Book, book
from browser.conftest import PC
from browser.hand import Hand, until
from playwright.sync_api import expect

from bothends.book import copies, demo

pytestmark = pytest.mark.same_page

KEY = "gannet roadster / maren"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Slipway Garage's own jobs, whose roadster comes twice."""
    with book(tmp_path_factory.mktemp("erase")) as opened:
        opened.send(demo.entries())
        yield opened


def sync(hand: Hand) -> None:
    hand.page.evaluate("async () => (await import('/shop/pace.js')).syncNow()")


def test_a_customer_is_erased_from_every_visit_of_the_car_and_the_phone_says_so(
    make_hand: Callable[..., Hand], shop: Book
) -> None:
    hand = make_hand(**PC)
    shop.pair(hand)
    sync(hand)
    page = hand.page
    jobs = [row["job"] for row in shop.ask("GET", f"/api/cars/page?key={quote(KEY)}")["visits"]]
    before = shop.ask("GET", f"/api/cars/page?key={quote(KEY)}")
    hand.place(f"car?key={quote(KEY, safe='')}")
    page.get_by_role("link", name="Erase customer…").click()
    expect(page.locator(".erase-form li")).to_have_count(len(jobs))
    expect(page.locator(".erase-form")).to_contain_text("Maren")
    expect(page.locator(".erase-parts")).to_contain_text(f"up to {copies.LONGEST_DAYS} days")
    expect(page.get_by_label("What the car is called from now on")).to_have_value("Gannet roadster")
    key = page.get_by_role("button", name="Erase customer")
    expect(key).to_be_disabled()
    page.get_by_label("Type “erase”").fill("erase")
    page.locator(".erase-form li").nth(0).get_by_role("checkbox").uncheck()
    expect(key).to_be_enabled()
    page.locator(".erase-form li").nth(0).get_by_role("checkbox").check()
    key.click()
    done = page.locator(".erase-done")
    expect(done.locator("li")).to_have_count(len(jobs))
    expect(done).to_contain_text("on shop PC")
    told = json.dumps(shop.ask("GET", "/api/entries?limit=500"), ensure_ascii=False)
    assert all(
        entry["body"].get("owner") is None for entry in json.loads(told)["entries"] if entry["job"] in jobs
    )
    key_now = shop.ask("GET", f"/api/jobs/{jobs[0]}")["sheet"]["about"]["car_id"]
    after = shop.ask("GET", f"/api/cars/page?key={key_now}")
    assert [row["body_height_left_mm"] for row in after["teardowns"]] == [
        row["body_height_left_mm"] for row in before["teardowns"]
    ]
    sync(hand)
    kept = "async (job) => JSON.stringify(await (await import('/book/log.js')).entries(job))"
    until(lambda: "Maren" not in page.evaluate(kept, jobs[0]), page)
    hand.go(jobs[0], "list")
    expect(page.locator(".was-erased")).to_contain_text("Customer erased on")
    hand.place("")
    expect(page.locator(f"[data-job='{jobs[0]}'] .was-erased")).to_contain_text("Customer erased on")
    hand.go(jobs[0], "sheet")
    expect(page.locator(".papers[data-ready]")).to_contain_text("Customer erased on")
    page.get_by_role("link", name="Erase customer…").click()
    expect(page.locator(".erase-form li").nth(0)).to_contain_text("nothing left to erase")
