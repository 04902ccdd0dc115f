"""The first screen: there before any script, for nobody but somebody new, and after few requests."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PHONE
from browser.hand import Hand
from playwright.sync_api import Page, expect
from shop.first_load import MODULES

APP = "**/app.js"
WORDS = ("No open jobs", "Set ride height in as few teardowns as possible.", "New job", "Open a link")
SPOTS = """() => ["main h1", "main .how", ".deck .quiet", ".deck .main", ".car-bar .car span", ".car-bar .to"].map(
  (where) => {
    const found = document.querySelector(where);
    const { x, y, width, height } = found.getBoundingClientRect();
    return [where, found.textContent, found.getAttribute("href"), x, y, width, height];
  },
)"""
REQUESTED = """(() => {
  const look = (_, watch) => {
    if (!document.querySelector("[data-deck=main]")) return;
    watch.disconnect();
    const until = performance.now();
    const asked = () => performance.getEntriesByType("resource").filter(({ startTime }) => startTime <= until);
    // A request stands there once it has been answered.
    addEventListener("load", () => setTimeout(() => (window.requested = asked().map(({ name }) => name))));
  };
  new MutationObserver(look).observe(document, { subtree: true, childList: true });
})()"""


def bare(page: Page, address: str, complaints: list[str]) -> None:
    """Open an address whose app does not come."""
    page.route(APP, lambda route: route.abort())
    page.goto(address)
    page.unroute(APP)
    complaints.clear()


AT_ONE_SIZE = pytest.mark.long("at 412 by 915")


@pytest.mark.parametrize(
    "size",
    [
        (412, 915),
        *(
            pytest.param(size, marks=AT_ONE_SIZE)
            for size in ((360, 640), (915, 412), (1024, 768), (1440, 900))
        ),
    ],
)
def test_somebody_new_reads_the_first_screen_before_any_script_and_nothing_moves_as_the_app_takes_over(
    make_hand: Callable[..., Hand], complaints: list[str], size: tuple[int, int]
) -> None:
    wide, high = size
    hand = make_hand(viewport={"width": wide, "height": high})
    bare(hand.page, hand.address, complaints)
    for words in WORDS:
        expect(hand.page.get_by_text(words, exact=True)).to_be_visible()
    expect(hand.page.get_by_role("link", name="New job")).to_have_attribute("href", "#/new")
    expect(hand.page.get_by_text("Open", exact=True)).to_be_hidden()
    before = hand.page.evaluate(SPOTS)
    hand.page.evaluate("() => localStorage.clear()")
    hand.page.reload()
    expect(hand.page.locator(".foot-of-jobs")).to_be_visible()
    assert hand.page.evaluate(SPOTS) == before


@pytest.mark.long("where the key leads, before any script")
def test_a_key_tapped_before_the_app_is_there_leads_where_it_says(phone: Hand) -> None:
    page = phone.page
    held: list[Any] = []
    page.route(APP, lambda route: held.append(route))
    page.goto(phone.address, wait_until="commit")
    phone.hit(page.get_by_role("link", name="New job"))
    page.wait_for_function("() => location.hash === '#/new'")
    held[0].continue_()
    phone.stands()
    expect(page.get_by_role("radio").first).to_be_attached()


OTHER_PLACE = pytest.mark.long("at the settings")


@pytest.mark.parametrize(
    "place", ["/#/settings", *(pytest.param(place, marks=OTHER_PLACE) for place in ("/#/new", "/#here=abc"))]
)
def test_who_means_another_address_sees_none_of_it(phone: Hand, complaints: list[str], place: str) -> None:
    bare(phone.page, phone.address + place, complaints)
    expect(phone.page.get_by_text("Open", exact=True)).to_be_visible()
    for words in WORDS:
        expect(phone.page.get_by_text(words, exact=True)).to_be_hidden()


@pytest.mark.long("that who means another address sees none of it")
def test_who_was_here_before_and_may_have_jobs_sees_none_of_it(phone: Hand, complaints: list[str]) -> None:
    phone.job()
    bare(phone.page, phone.address, complaints)
    expect(phone.page.get_by_text("Open", exact=True)).to_be_visible()
    for words in WORDS:
        expect(phone.page.get_by_text(words, exact=True)).to_be_hidden()
    phone.open()
    expect(phone.page.locator(".job .stands")).to_be_visible()
    expect(phone.page.get_by_role("heading", name="Open", exact=True)).to_be_visible()


STOOD = """() => [...document.querySelectorAll(
  "main h1, .new input, .mine .cards > li *, .shell > .deck *, .car-bar .car",
)].map((found) => {
  const { x, y, width, height } = found.getBoundingClientRect();
  return [found.localName, found.textContent, found.getAttribute("href"), x, y, width, height];
}).filter(([, , , , , width]) => width)"""
"""What is seen of jobs on the start page, and where."""
KEPT = "() => localStorage.getItem('bothends/start')"


def test_who_has_jobs_sees_and_uses_them_before_the_app_has_come_and_nothing_moves_as_it_takes_over(
    phone: Hand,
) -> None:
    page = phone.page
    for number in range(6):
        phone.job(title=f"Plover {number}")
    phone.job()
    phone.open()
    expect(page.locator(".cards > li .stands")).to_have_count(7)
    expect(page.get_by_role("searchbox")).to_be_visible()
    page.wait_for_function(KEPT)
    before = page.evaluate(STOOD)
    held: list[Any] = []
    page.route(APP, lambda route: held.append(route))
    page.reload(wait_until="commit")
    expect(page.locator("[data-last] .cards > li .stands")).to_have_count(7)
    # Nothing is painted before these have come.
    page.wait_for_function(
        "() => [...document.querySelectorAll('link[data-cards]')].every(({ sheet }) => sheet)"
    )
    assert page.evaluate(STOOD) == before
    held.pop().continue_()
    expect(page.locator("[data-last]")).to_have_count(0)
    expect(page.locator(".foot-of-jobs")).to_be_visible()
    assert page.evaluate(STOOD) == before
    page.reload(wait_until="commit")
    phone.hit(page.locator("[data-last] .cards > li", has_text="Gannet").get_by_role("link"))
    page.wait_for_function("() => location.hash.length > 30")
    held.pop().continue_()
    phone.stands()
    expect(page.locator(".car-bar .car")).to_have_text("Gannet, Maren")


def test_a_job_that_changes_on_its_own_screens_stands_so_at_the_next_start(phone: Hand) -> None:
    page = phone.page
    # What comes ahead once the page stands does so at once.
    page.add_init_script("window.requestIdleCallback = (work) => setTimeout(work);")
    phone.open()
    phone.new_job()
    phone.place("")
    page.wait_for_function(KEPT)
    before = page.evaluate(KEPT)
    phone.next()
    phone.figure("214")
    page.wait_for_function(f"(before) => ({KEPT})() !== before", arg=before)
    page.route(APP, lambda route: None)
    page.goto(phone.address, wait_until="commit")
    expect(page.locator("[data-last] .cards > li")).to_have_count(1)
    expect(page.locator("[data-last] .deck")).to_contain_text("Go on")


@pytest.mark.long("what the page names: tests/service/test_first_load.py")
def test_before_the_first_screen_stands_the_page_asks_for_the_modules_that_it_names_and_no_more(
    make_hand: Callable[..., Hand],
) -> None:
    hand = make_hand(**PHONE)
    hand.page.add_init_script(REQUESTED)
    hand.page.goto(hand.address)
    hand.page.wait_for_function("() => window.requested")
    asked = [name.removeprefix(hand.address) for name in hand.page.evaluate("() => window.requested")]
    modules = {name for name in asked if name.endswith((".js", ".mjs"))} - {"/visit.js"}
    html = hand.page.request.get(hand.address).text()
    assert modules == set(re.findall(r'rel="modules" href="([^"]+)"', html)) | {"/app.js"}
    assert len(modules) <= MODULES


@pytest.mark.long("screens without a server: offline/test_offline, test_bench_phone")
def test_the_next_screens_come_while_nobody_waits_and_open_without_a_server(
    phone: Hand, complaints: list[str]
) -> None:
    page = phone.page
    page.goto(phone.address)
    # What is fetched after them; a test's page waits some seconds before it begins.
    page.wait_for_function(
        """() => performance.getEntriesByType("resource").some(({ name }) => name.endsWith("/screens/zero.js"))"""
    )
    page.context.set_offline(True)
    phone.hit(page.get_by_role("link", name="New job"))
    phone.stands()
    expect(page.get_by_role("radio").first).to_be_attached()
    # What the shop is still asked has no network; after this nothing is asked any more.
    page.close()
    assert all("ERR_INTERNET_DISCONNECTED" in said for said in complaints)
    complaints.clear()
