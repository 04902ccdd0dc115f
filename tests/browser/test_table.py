"""The jobs table: the server's rows in its order, worked by keys, windowed, honest about what is where."""

import re
from collections.abc import Callable, Iterator
from typing import Any
from urllib.parse import urlencode

import pytest
from browser.books import Book, book, job, thousands
from browser.conftest import PC, PHONE
from browser.hand import Hand
from browser.test_access import judged
from playwright.sync_api import Locator, Page, Route, expect

STATES = ("closed", "checked", "planned", "measuring", "in dispute")
pytestmark = pytest.mark.same_page

SIZES = pytest.mark.parametrize("size", [PHONE, PC], ids=["phone", "pc"])


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A season of twenty jobs in every state, sent through the API."""
    with book(tmp_path_factory.mktemp("table")) as opened:
        opened.push(*(job(n, state=STATES[n % 5]) for n in range(1, 21)))
        yield opened


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Ten thousand jobs, as rows of the list."""
    with book(tmp_path_factory.mktemp("large"), before=lambda store: thousands(store, 10_000)) as opened:
        yield opened


def opened(hand: Hand, words: str = "table") -> Page:
    """Go to the table and wait for its rows."""
    hand.place(words)
    # Without a shop the rows are folded here first, which a busy machine may take its time for.
    expect(hand.page.locator(".jobs-table[aria-rowcount]")).to_be_visible()
    return hand.page


def links(page: Page) -> Locator:
    return page.locator("a.opens")


def jobs_shown(page: Page) -> list[str]:
    return list(page.evaluate("() => [...document.querySelectorAll('a.opens')].map((a) => a.dataset.job)"))


def asked(shop: Book, **parameters: str) -> list[str]:
    found = shop.ask("GET", f"/api/jobs?{urlencode({'limit': 500, **parameters})}")
    return [row["job"] for row in found["jobs"]]


def field(page: Page, name: str) -> Locator:
    return page.locator(f"#find-{name}")


def test_every_column_sorts_as_the_server_does_and_says_so(paired: Callable[..., Hand], shop: Book) -> None:
    page = opened(paired(**PC))
    assert jobs_shown(page)[:10] == asked(shop)[:10]
    for heading, sort, first in (
        ("Car", "car", "up"),
        ("Owner", "owner", "up"),
        ("Status", "state", "up"),
        ("Now, mm", "left", "down"),
        ("Predicted chance", "odds", "down"),
        ("Last worked on", "worked", "down"),
        ("To do", "unsettled", "down"),
    ):
        head = page.get_by_role("columnheader", name=heading, exact=True)
        for order in (first, "down" if first == "up" else "up"):
            head.get_by_role("button").click()
            expect(head).to_have_attribute("aria-sort", "ascending" if order == "up" else "descending")
            wanted = asked(shop, sort=sort, order=order)[:10]
            page.wait_for_function(
                "(wanted) => [...document.querySelectorAll('a.opens')].slice(0, 10)"
                ".every((a, i) => a.dataset.job === wanted[i])",
                arg=wanted,
            )
    assert page.locator("th[aria-sort=ascending], th[aria-sort=descending]").count() == 1


def chip(page: Page, words: str) -> Locator:
    return page.locator(".chip", has_text=re.compile(f"^{words}( |$)"))


@pytest.mark.long("chips, counts and the address: tests/node/table-words.test.mjs; a search: by keys alone")
def test_chips_narrow_to_a_stage_with_counts_and_stay_in_the_address(
    paired: Callable[..., Hand], shop: Book
) -> None:
    page = opened(paired(**PC))
    counts = shop.ask("GET", "/api/jobs?limit=1")["by_state"]
    assert counts.pop("hidden") == 0
    assert sum(counts.values()) == 20
    names = {"torn down": "to be measured", "closed": "handed over"}
    for state, count in counts.items():
        expect(chip(page, names.get(state, state))).to_have_text(f"{names.get(state, state)} {count}")
    expect(chip(page, "open")).to_have_text(f"open {20 - counts['closed']}")
    chip(page, "handed over").click()
    expect(page.locator("#table-count")).to_contain_text(f"{counts['closed']} jobs")
    expect(chip(page, "handed over")).to_be_focused()
    expect(chip(page, "handed over")).to_have_attribute("aria-pressed", "true")
    # Counts are of what the search leaves, whatever stage is chosen.
    field(page, "query").fill("mar level")
    wanted = asked(shop, state="closed", query="mar level")
    expect(links(page)).to_have_count(len(wanted))
    assert jobs_shown(page) == wanted
    expect(chip(page, "all")).to_have_text(f"all {len(asked(shop, query='mar level'))}")
    page.reload()
    expect(links(page)).to_have_count(len(wanted))
    expect(field(page, "query")).to_have_value("mar level")
    expect(chip(page, "handed over")).to_have_attribute("aria-pressed", "true")
    chip(page, "all").click()
    expect(links(page)).to_have_count(len(asked(shop, query="mar level")))


@pytest.mark.long("what only a link narrows: tests/node/table-words.test.mjs")
def test_what_a_link_narrowed_the_table_to_is_a_chip_that_takes_it_off(
    paired: Callable[..., Hand], shop: Book
) -> None:
    page = opened(paired(**PC), "table?car=knot&since=2026-12-01")
    expect(page.locator("#table-count")).to_have_text("No jobs match.")
    page.get_by_role("button", name=re.compile("^Worked on from .*Show all again")).click()
    expect(links(page)).to_have_count(len(asked(shop, car="knot")))
    page.get_by_role("button", name="Car: knot. Show all again.").click()
    expect(page.locator("#table-count")).to_have_text("20 jobs.")
    assert page.url.endswith("#/table")


@pytest.mark.long("a phone’s cards; the same table at 1440 by 900")
def test_ten_jobs_are_in_sight_on_a_small_pc_with_every_column(
    paired: Callable[..., Hand], shop: Book
) -> None:
    page = opened(paired(viewport={"width": 1024, "height": 768}))
    page.wait_for_function(
        "() => [...document.querySelectorAll('.jobs-table thead th')].every((th) => th.offsetWidth > 20)"
    )
    numbers = [row["number"] for row in shop.ask("GET", "/api/jobs?limit=3")["jobs"]]
    expect(page.locator("tbody .col-number").first).to_have_text(str(numbers[0]))
    # Nobody has kept a plan of a planned job: its chance is worked out.
    chip(page, "planned").click()
    # Not before the table is narrowed: above the planned ones stood jobs with a chance that was kept. Those with a
    # number that is odd have a reading that does not fit, so that no plan of theirs is recommended.
    expect(links(page)).to_have_count(4)
    for row in page.locator("tbody tr:not(.gap)").all():
        odd = int(row.locator(".col-number").inner_text()) % 2
        expect(row.locator(".col-odds")).to_have_text("" if odd else re.compile(" in 100$"))
    chip(page, "all").click()
    expect(links(page)).to_have_count(20)
    # What stands above the rows, such as a line about the sync, may still be on its way out.
    page.wait_for_function(
        "() => [...document.querySelectorAll('.jobs-table tbody tr:not(.gap)')]"
        ".filter((row) => row.getBoundingClientRect().bottom <= innerHeight).length >= 10"
    )
    page.wait_for_function("() => probes.cut().length === 0")


def test_the_table_is_worked_by_keys_alone(paired: Callable[..., Hand]) -> None:
    page = opened(paired(**PC))
    page.keyboard.press("/")
    expect(field(page, "query")).to_be_focused()
    page.keyboard.type("gannet")
    expect(links(page)).to_have_count(6)
    page.keyboard.press("ArrowDown")
    expect(links(page).nth(0)).to_be_focused()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    expect(links(page).nth(2)).to_be_focused()
    page.keyboard.press("ArrowUp")
    expect(links(page).nth(1)).to_be_focused()
    page.keyboard.press("End")
    expect(links(page).nth(5)).to_be_focused()
    page.keyboard.press("Home")
    page.keyboard.press("ArrowDown")
    wanted, later = (links(page).nth(i).get_attribute("data-job") for i in (1, 4))
    # Of all rows only the one with the finger is in the order of Tab.
    assert page.locator("a.opens[tabindex='0']").count() == 1
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Visits of").nth(1)).to_be_focused()
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Enter")
    page.wait_for_function("(job) => document.body.dataset.at === `#/${job}/list`", arg=wanted)
    # Another job is worked on meanwhile and stands on top by now: the finger is on the job, not on its old place.
    with page.expect_response(lambda reply: reply.request.method == "POST" and "/api/entries" in reply.url):
        page.evaluate(
            "async (job) => (await import('/book/log.js')).append(job, [['note', { text: 'here' }]])", later
        )
    page.go_back()
    expect(page.locator(f"a.opens[data-job='{wanted}']")).to_be_focused()
    expect(field(page, "query")).to_have_value("gannet")
    assert jobs_shown(page)[0] == later


def test_an_answer_that_comes_late_leaves_the_finger_where_it_went(paired: Callable[..., Hand]) -> None:
    page = opened(paired(**PC))
    page.keyboard.press("/")
    page.keyboard.type("gannet")
    expect(links(page)).to_have_count(6)
    held: list[Route] = []
    page.route("**/api/jobs?*", lambda route: held.append(route))
    with page.expect_request(lambda request: "query=gannet+r" in request.url):
        page.keyboard.type(" r")
    for _ in range(3):
        page.keyboard.press("ArrowDown")
    expect(links(page).nth(2)).to_be_focused()
    page.evaluate("() => document.querySelectorAll('tbody tr').forEach((row) => (row.dataset.before = '1'))")
    for route in held:
        route.continue_()
    page.unroute("**/api/jobs?*")
    expect(page.locator("tr[data-before]:not(.gap)")).to_have_count(0)
    expect(links(page).nth(2)).to_be_focused()


@pytest.mark.long("that going back leaves it there")
def test_news_leaves_the_finger_on_its_job(paired: Callable[..., Hand], shop: Book) -> None:
    hand = paired(**PC)
    hand.page.locator(".shop-line", has_text="Synced").wait_for()
    page = opened(hand)
    links(page).nth(3).focus()
    held = links(page).nth(3).get_attribute("data-job")
    with page.expect_response(lambda reply: "/api/jobs?" in reply.url):
        page.evaluate(
            "async (job) => (await import('/book/log.js')).append(job, [['note', { text: 'here' }]])", held
        )
    # The job may have moved, since it arrived last now; Enter must still open this one.
    expect(page.locator(f"a.opens[data-job='{held}'][tabindex='0']")).to_be_focused()


def test_conflicts_are_said_in_words(paired: Callable[..., Hand], shop: Book) -> None:
    page = opened(paired(**PC))
    disputed = [row for row in shop.ask("GET", "/api/jobs?limit=500")["jobs"] if row["conflicts"]]
    assert len(disputed) == 4
    expect(page.locator(".mark")).to_have_text(["1 to resolve"] * 4)


@pytest.mark.long("what a row says of it: tests/node/table-words.test.mjs")
@pytest.mark.fresh_page
def test_a_job_that_has_not_reached_the_shop_stands_on_top_and_says_so(
    paired: Callable[..., Hand], shop: Book, complaints: list[str]
) -> None:
    hand = paired(**PC)
    page = hand.page
    page.locator(".shop-line", has_text="Synced").wait_for()
    page.route("**/api/entries", lambda route: route.abort())
    mine = hand.job(title="Heron, Ben")
    sent = asked(shop)[0]
    page.evaluate(
        "async (job) => (await import('/book/log.js')).append(job, [['note', { text: 'here' }]])", sent
    )
    opened(hand)
    first = page.locator("tr", has=page.locator(f"a.opens[data-job='{mine}']"))
    expect(first).to_contain_text("only on this PC")
    assert jobs_shown(page)[0] == mine
    assert page.locator(".jobs-table").get_attribute("aria-rowcount") == "22"
    expect(page.locator("#table-count")).to_contain_text("21 jobs, 1 of them only on this PC")
    other = page.locator("tr", has=page.locator(f"a.opens[data-job='{sent}']"))
    expect(other).to_contain_text("1 not synced")
    assert all("ERR_FAILED" in text for text in complaints)
    complaints.clear()


def test_without_a_shop_the_table_has_what_is_on_this_device(pc: Hand) -> None:
    pc.job(title="Gannet, Maren")
    pc.job({"car": {}, "target": {}, "log": []}, "Plover, Tove")
    page = opened(pc)
    expect(page.locator(".lack")).to_contain_text("not paired with a shop")
    expect(page.locator("#table-count")).to_have_text("2 jobs on this PC.")
    expect(links(page)).to_have_count(2)
    field(page, "query").fill("plover")
    expect(links(page)).to_have_count(1)
    page.get_by_role("link", name="Pair with the shop").click()
    expect(page.locator("h1")).to_have_text("Pair with a shop")


@pytest.mark.long("the table without a shop")
@pytest.mark.fresh_page
def test_a_shop_that_does_not_answer_is_asked_again(
    paired: Callable[..., Hand], complaints: list[str]
) -> None:
    hand = paired(**PC)
    hand.page.locator(".shop-line", has_text="Synced").wait_for()
    hand.page.route("**/api/jobs?*", lambda route: route.abort())
    page = opened(hand)
    expect(page.locator(".lack")).to_contain_text("cannot be reached")
    expect(page.locator("#table-count")).to_contain_text("on this PC")
    expect(links(page)).not_to_have_count(0)
    page.unroute("**/api/jobs?*")
    page.get_by_role("button", name="Try again").click()
    expect(page.locator("#table-count")).to_have_text("20 jobs.")
    expect(page.locator(".lack")).to_have_count(0)
    assert all("ERR_FAILED" in text for text in complaints)
    complaints.clear()


@pytest.mark.long("twenty jobs; pages of many: tests/book/test_finding.py")
@SIZES
def test_of_ten_thousand_jobs_only_those_in_sight_are_in_the_page(
    make_hand: Callable[..., Hand], large: Book, size: dict[str, Any]
) -> None:
    hand = make_hand(**size)
    large.pair(hand)
    page = opened(hand)
    table = page.locator(".jobs-table")
    assert table.get_attribute("aria-rowcount") == "10001"

    def rows() -> int:
        return page.locator(".jobs-table tbody tr:not(.gap)").count()

    assert 5 < rows() < 60
    links(page).first.focus()
    page.keyboard.press("End")
    last = page.locator("tr[aria-rowindex='10001'] a.opens")
    expect(last).to_be_focused()
    assert rows() < 60
    assert last.get_attribute("data-job") == large.ask("GET", "/api/jobs?skip=9999")["jobs"][0]["job"]
    page.evaluate("() => scrollTo(0, document.documentElement.scrollHeight / 2)")
    middle = large.ask("GET", "/api/jobs?skip=4999&limit=1")["jobs"][0]["job"]
    expect(page.locator(f"tr[aria-rowindex='5001'] a.opens[data-job='{middle}']")).to_have_count(1)
    assert rows() < 60
    # The finger of the keyboard has come along, and goes on from there.
    page.locator("a.opens[tabindex='0']").focus()
    before = page.evaluate("() => Number(document.activeElement.closest('tr').getAttribute('aria-rowindex'))")
    assert 4900 < before < 5100
    page.keyboard.press("PageDown")
    page.keyboard.press("ArrowDown")
    after = page.evaluate("() => Number(document.activeElement.closest('tr').getAttribute('aria-rowindex'))")
    assert before < after < before + 40
    expect(page.locator(f"tr[aria-rowindex='{after}']")).to_be_in_viewport()
    if size is PHONE:
        page.evaluate("() => scrollTo(0, 0)")
    field(page, "query").fill("plover utility 77")
    expect(page.locator("#table-count")).to_contain_text(
        f"{large.ask('GET', '/api/jobs?query=plover+utility+77')['total']} jobs"
    )


def test_a_phone_has_a_card_for_each_job_and_the_same_finding(
    paired: Callable[..., Hand], shop: Book
) -> None:
    hand = paired(**PHONE)
    page = opened(hand)
    assert page.evaluate("() => probes.cut()") == []
    field(page, "sort").select_option("odds down")
    wanted = asked(shop, sort="odds")
    expect(links(page).first).to_have_attribute("data-job", wanted[0])
    keys = [
        box
        for box in page.evaluate(
            "() => [...document.querySelectorAll('.finding :is(input, select)')]"
            ".map((e) => [e.id || e.textContent, e.getBoundingClientRect().height])"
        )
        if box[1] < 63.5
    ]
    assert keys == []
    hand.hit(page.locator("tr", has=links(page).first).locator("td").nth(2))
    page.wait_for_function("(job) => document.body.dataset.at === `#/${job}/list`", arg=wanted[0])


@pytest.mark.parametrize(
    ("size", "theme"),
    [
        pytest.param(PHONE, "dark", id="phone-dark"),
        pytest.param(PC, "light", id="pc-light", marks=pytest.mark.long("on a phone in dark")),
    ],
)
def test_axe_finds_nothing_on_the_table(
    paired: Callable[..., Hand], axe_source: str, theme: str, size: dict[str, Any]
) -> None:
    hand = paired(**size, color_scheme=theme)
    page = opened(hand)
    found = {"rows": judged(page, axe_source)}
    field(page, "query").fill("nobody")
    expect(page.locator("#table-count")).to_have_text("No jobs match.")
    found["nothing"] = judged(page, axe_source)
    page.evaluate("async () => (await import('/book/device.js')).setAccess(null)")
    page.locator(".lack").wait_for()
    found["no shop"] = judged(page, axe_source)
    assert {name: wrong for name, wrong in found.items() if wrong} == {}
    # Dense, but nothing is smaller than WCAG 2.5.8 asks.
    small = page.evaluate(
        "() => [...document.querySelectorAll('.jobs-page a, .jobs-page button')]"
        ".filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 24).map((e) => e.outerHTML)"
    )
    assert small == []
