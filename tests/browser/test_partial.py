"""A shop's book that is larger than a phone wants, through the screens: what a phone holds of it, how the rest is
found and fetched, what is said of it without a network, and that a PC with nothing else to do fetches all of it."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.books import Book, book
from browser.conftest import PC, PHONE
from browser.hand import Hand, until
from playwright.sync_api import expect
from shop.years import fill

JOBS = 120
"""So many have more entries than a new device reads through."""
SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
WHOLE = """async () => {
  const { transact } = await import('/book/base.js');
  const rows = await transact(['jobs'], 'readonly', (tx) => tx.store.getAll());
  return rows.filter(({ whole }) => whole).map(({ job }) => job);
}"""
WANTED = """async () => {
  const { recall, transact } = await import('/book/base.js');
  if (!(await recall('sync'))?.after) return null;
  return transact(['jobs'], 'readonly', (tx) => tx.store.index('wanted').count());
}"""
FOLDED_MS = 120_000
"""What folding all jobs of a phone may take on a busy machine."""
IDLE = "window.requestIdleCallback = (work) => setTimeout(work, 20);"
"""A page that has nothing to do."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Years of jobs."""
    with book(tmp_path_factory.mktemp("years"), before=lambda store: fill(store, JOBS)) as opened:
        yield opened


def synced(hand: Hand) -> list[str]:
    """The jobs that a device holds once its first round has ended."""

    def ended() -> bool:
        hand.page.evaluate(SYNC)
        return bool(hand.page.evaluate(WANTED) == 0)

    until(ended, hand.page)
    found: list[str] = hand.page.evaluate(WHOLE)
    return found


def at_shop_only(shop: Book, here: list[str]) -> list[dict[str, Any]]:
    """Lines of jobs that a device does not hold, each of an owner of its own."""
    lines = [line for n in (0, 100) for line in shop.ask("GET", f"/api/jobs?limit=100&skip={n}")["jobs"]]
    assert len({line["job"] for line in lines}) == JOBS
    owners = [line["owner"] for line in lines]
    return [line for line in lines if line["job"] not in here and owners.count(line["owner"]) == 1]


def search(hand: Hand, words: str) -> None:
    """Type into the search of the list of jobs."""
    hand.place("")
    hand.page.locator("#search").fill(words)


def test_a_phone_holds_some_jobs_finds_the_others_at_the_shop_and_says_so_without_a_network(
    shop: Book, make_hand: Callable[..., Hand], complaints: list[str], long: bool
) -> None:
    phone = make_hand(**PHONE)
    page = phone.page
    shop.pair(phone)
    here = synced(phone)
    assert 40 <= len(here) < JOBS
    first, second = at_shop_only(shop, here)[:2]
    phone.open()
    part = (
        f"This phone holds {len(here)} of {JOBS} jobs. Any other is at the shop and comes when it is opened."
    )
    expect(page.locator(".foot-of-jobs .holding")).to_contain_text(part)
    # What is not here is found at the shop, under its own heading, and comes whole when it is opened.
    search(phone, first["owner"])
    expect(page.get_by_role("heading", name="At the shop")).to_be_visible()
    card = page.locator(f'.job[data-job="{first["job"]}"]')
    expect(card).to_contain_text("At the shop")
    phone.hit(card)
    page.wait_for_function("job => document.body.dataset.at.includes(job)", arg=first["job"])
    assert first["job"] in page.evaluate(WHOLE)

    page.context.route("**/api/**", lambda route: route.abort())
    page.reload()
    phone.stands()
    phone.go(first["job"], "list")
    expect(page.locator(".car-bar .car")).to_contain_text(first["car"])
    # The other one is only at the shop: said, and how it comes here.
    search(phone, second["owner"])
    expect(page.locator(".mine")).to_contain_text("This phone holds some of the shop’s jobs.")
    expect(page.locator(".mine")).to_contain_text("Search again where it can, and open the job")
    page.goto(f"{phone.address}/#/{second['job']}/list")
    alert = "This job is at the shop, not on this phone. Open it again where the shop can be reached"
    expect(page.get_by_role("alert").filter(has_text=alert)).to_be_visible()
    if not long:
        # It goes on trying to reach the shop as long as it stands.
        page.goto("about:blank")
        complaints.clear()
        return
    # No list of what is here passes for all there is.
    told = f"of the shop’s jobs ({JOBS} when it was last asked)"
    lacks = f"This phone holds {len(here) + 1} {told}. The others are at the shop"
    phone.place("table")
    expect(page.locator(".lack")).to_contain_text(lacks, timeout=FOLDED_MS)
    phone.place("again")
    expect(page.locator(".lacks")).to_contain_text(lacks, timeout=FOLDED_MS)
    phone.place("desk")
    expect(page.locator(".lack")).to_contain_text(lacks, timeout=FOLDED_MS)
    phone.place("settings")
    export = f"{told} are on this phone; the shop’s export has all."
    expect(page.get_by_text(export)).to_be_visible()

    # It did not fetch the rest by itself, and does not once the shop is back.
    page.context.unroute_all()
    complaints.clear()
    phone.open("/?back")
    page.evaluate(SYNC)
    expect(page.locator(".foot-of-jobs .holding")).to_contain_text(f"holds {len(here) + 1} of {JOBS} jobs.")
    expect(page.get_by_role("button", name="Fetch all")).to_be_visible()
    search(phone, second["owner"])
    phone.hit(page.locator(f'.job[data-job="{second["job"]}"]'))
    page.wait_for_function("job => document.body.dataset.at.includes(job)", arg=second["job"])
    complaints.clear()


@pytest.mark.long("a device that is to hold all: offline/test_some")
def test_a_pc_with_nothing_to_do_fetches_the_rest_by_itself(
    shop: Book, make_hand: Callable[..., Hand]
) -> None:
    pc = make_hand(**PC)
    pc.page.add_init_script(IDLE)
    shop.pair(pc)
    until(lambda: len(pc.page.evaluate(WHOLE)) == JOBS, pc.page)
    some = "async () => Boolean((await (await import('/book/base.js')).recall('sync'))?.some)"
    until(lambda: not pc.page.evaluate(some), pc.page)
    pc.open("/?again")
    expect(pc.page.locator(".foot-of-jobs .small-print")).to_be_visible()
    expect(pc.page.locator(".foot-of-jobs .holding")).to_be_hidden()
    # It goes on so without the shop, and its table is then all there is.
    pc.place("table")
    expect(pc.page.locator("#table-count")).to_have_text(f"{JOBS} jobs.")
