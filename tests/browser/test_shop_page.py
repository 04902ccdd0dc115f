"""The shop's page: every figure and mark is the API's, and says how many it rests on."""

import re
from collections.abc import Callable, Iterator
from typing import Any
from urllib.parse import quote

import pytest
from browser.books import Book, book, job
from browser.conftest import PC, PHONE
from browser.hand import Hand
from browser.test_access import judged
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.same_page

ON_A_PHONE = pytest.mark.long("on a phone")
SIZES = pytest.mark.parametrize(
    "size", [pytest.param(PHONE, id="phone"), pytest.param(PC, id="pc", marks=ON_A_PHONE)]
)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Thirty jobs whose heights came out in every way."""
    with book(tmp_path_factory.mktemp("season")) as opened:
        opened.push(
            *(
                job(
                    n,
                    state="closed" if n % 3 else "checked",
                    heights=(251.0 + n % 5 * 1.3, 250.0 - n % 4 * 1.1),
                )
                for n in range(1, 31)
            )
        )
        yield opened


def opened(hand: Hand) -> Page:
    """Go to the page and wait for its three plots."""
    hand.place("shop")
    hand.page.locator(".plot canvas").nth(2).wait_for()
    return hand.page


@SIZES
def test_the_plots_hold_the_values_of_the_api(
    paired: Callable[..., Hand], shop: Book, size: dict[str, Any]
) -> None:
    page = opened(paired(**size))
    found = shop.ask("GET", "/api/history/calibration")
    odds, per_job, misses = page.evaluate(
        "() => [...document.querySelectorAll('.plot')].map((e) => e.plot.data.map((s) => [...s]))"
    )
    # Tenths with few teardowns stand together: over all bands the counts and the mean are the API's.
    groups = page.evaluate(
        "async (bins) => (await import('/work/pc/reliability.js')).groupsOf(bins).reverse()", found["bins"]
    )
    assert sum(g["count"] for g in groups) == found["all"]["count"]
    assert min(g["count"] for g in groups) >= 10
    mean = sum(g["promised"] * g["count"] for g in groups) / found["all"]["count"]
    assert mean == pytest.approx(found["all"]["promised"], rel=1e-12)
    assert odds[0] == pytest.approx([100 * g["promised"] for g in groups], rel=1e-12)
    assert odds[1] == pytest.approx([100 * g["landed"] / g["count"] for g in groups], rel=1e-12)
    per = found["teardowns_per_job"]
    assert per_job == [[r["teardowns"] for r in per], [r["handed_over"] for r in per]]
    errors = found["height_error"]["bins"]
    assert misses == [[(b["low_mm"] + b["high_mm"]) / 2 for b in errors], [b["count"] for b in errors]]


@pytest.mark.long("the plots, with the values of the API")
def test_the_tables_under_the_plots_say_the_same(paired: Callable[..., Hand], shop: Book) -> None:
    page = opened(paired(**PC))
    found = shop.ask("GET", "/api/history/calibration")
    for summary in page.get_by_text("The same as a table").all():
        summary.focus()
        page.keyboard.press("Enter")
    tables = page.locator(".figure-plot table")
    lines = tables.nth(0).locator("tbody tr")
    for line, one in zip(lines.all(), found["bins"], strict=True):
        cells = line.locator("td").all_inner_texts()
        assert cells[1] == f"{one['landed']} of {one['count']}"
        if one["count"]:
            assert cells[0] == f"{100 * one['promised']:.1f}"
            assert cells[3] == f"{round(100 * one['share_low'])} to {round(100 * one['share_high'])}"
    per = [[str(r["handed_over"]), str(r["in_hand"])] for r in found["teardowns_per_job"]]
    assert [r.locator("td").all_inner_texts() for r in tables.nth(1).locator("tbody tr").all()] == per
    counts = [[str(b["count"])] for b in found["height_error"]["bins"]]
    assert [r.locator("td").all_inner_texts() for r in tables.nth(2).locator("tbody tr").all()] == counts


def test_the_figures_say_what_they_rest_on(paired: Callable[..., Hand], shop: Book) -> None:
    page = opened(paired(**PC))
    found = shop.ask("GET", "/api/history/calibration")
    first = found["first_teardown"]
    section = page.locator(".head-figure", has_text="On target first time")
    expect(section.locator("strong")).to_have_text(f"{round(100 * first['share'])} in 100")
    expect(section).to_contain_text(f"{first['landed']} of {first['count']} jobs")
    expect(section).to_contain_text(
        f"{round(100 * first['share_low'])} to {round(100 * first['share_high'])}"
    )
    whole = found["all"]
    verdict = page.locator(".reliable .verdict-plate")
    expect(verdict).to_contain_text(
        f"Predicted {round(100 * whole['promised'])} in 100, actual {round(100 * whole['share'])}: "
    )
    # Two tests, each of which may err 25 times in 1,000.
    within = min(whole["by_chance"], whole["single_by_chance"]) >= 0.025
    expect(verdict).to_have_class(re.compile("good" if within else "wrong"))
    boards = next(row for row in found["helped"] if row["test"] == "boards")
    row = page.locator(".helped tbody tr", has_text="a board test")
    expect(row.locator(".forest-line")).to_have_count(2)
    expect(row).to_contain_text(f"{boards['with_it']['landed']} of {boards['with_it']['count']}")
    expect(row).to_contain_text(f"{boards['without']['landed']} of {boards['without']['count']}")
    few = page.locator(".helped .fold")
    expect(few.locator("li", has_text="a droop test")).to_be_hidden()
    few.locator("summary").click()
    expect(few.locator("li", has_text="a droop test")).to_be_visible()


@pytest.mark.long("in millimetres; figures in inches: tests/node/units.test.mjs")
def test_the_shops_page_has_no_metric_unit_where_the_shop_measures_in_inches(
    paired: Callable[..., Hand], shop: Book
) -> None:
    hand = paired(**PC)
    hand.open()
    hand.in_inches()
    page = opened(hand)
    assert hand.metric() == []
    expect(page.locator("main")).to_contain_text("Off by, in")


@pytest.mark.long("a shop with outcomes; a page that is not paired: test_table")
def test_a_shop_without_outcomes_says_so_and_one_that_is_not_paired_names_the_way(
    make_hand: Callable[..., Hand], tmp_path: Any, pc: Hand
) -> None:
    pc.open()
    pc.place("shop")
    expect(pc.page.locator(".lack")).to_contain_text("not paired with a shop")
    expect(pc.page.get_by_role("link", name="Pair with the shop")).to_be_visible()
    with book(tmp_path) as empty:
        hand = make_hand(**PC)
        empty.pair(hand)
        hand.place("shop")
        expect(hand.page.locator(".head-figure strong")).to_have_text(["none yet"] * 3)
        expect(hand.page.locator(".figure-plot.empty p")).to_have_text([re.compile("^Empty: ")] * 3)
        hand.page.close()


@pytest.mark.long(
    "whole; what they are narrowed to: tests/node/reliability.test.mjs, tests/book/test_history.py"
)
def test_the_figures_are_narrowed_by_period_person_and_car_and_a_plot_says_why_it_is_empty(
    paired: Callable[..., Hand], shop: Book
) -> None:
    page = opened(paired(**PC))
    whole = shop.ask("GET", "/api/history/calibration")
    car = whole["choices"]["cars"][-1]
    some = shop.ask("GET", f"/api/history/calibration?car={quote(car)}")
    assert 0 < some["first_teardown"]["count"] < whole["first_teardown"]["count"]
    page.get_by_label("Car", exact=True).select_option(car)
    first = page.locator(".head-figure", has_text="On target first time")
    expect(first).to_contain_text(
        f"{some['first_teardown']['landed']} of {some['first_teardown']['count']} jobs"
    )
    expect(page.locator(".narrowing [role=status]")).to_have_text(f"Only teardowns of a {car}.")
    page.get_by_label("Until").fill("2001-01-01")
    page.get_by_label("Until").blur()
    expect(page.locator(".figure-plot.empty")).to_have_count(3)
    expect(page.locator(".reliable")).to_contain_text("Too few to tell")
    # Going back leads to the same figures.
    page.reload()
    expect(page.get_by_label("Until")).to_have_value("2001-01-01")
    page.get_by_role("button", name="Show all").click()
    expect(page.locator(".plot canvas")).to_have_count(3)
    expect(page.get_by_label("Entered by")).to_have_value("")
    assert page.url.endswith("#/shop")


@pytest.mark.long("by their addresses")
def test_the_pages_are_reached_from_the_top_and_from_the_start(paired: Callable[..., Hand]) -> None:
    hand = paired(**PC)
    page = hand.page
    ways = page.get_by_role("navigation", name="Pages", exact=True)
    ways.get_by_role("link", name="Shop statistics", exact=True).click()
    expect(page.locator("h1")).to_have_text("Shop statistics")
    expect(ways.get_by_role("link", name="Shop statistics", exact=True)).to_have_attribute(
        "aria-current", "page"
    )
    ways.get_by_role("link", name="Jobs", exact=True).click()
    expect(page.locator("h1")).to_have_text("Jobs")
    phone = paired(**PHONE)
    expect(phone.page.get_by_role("navigation", name="Pages", exact=True)).to_be_hidden()
    phone.hit(phone.page.get_by_role("link", name="Jobs table"))
    expect(phone.page.locator("h1")).to_have_text("Jobs")


@pytest.mark.parametrize(
    ("size", "theme"),
    [
        pytest.param(PHONE, "dark", id="phone-dark"),
        pytest.param(PC, "light", id="pc-light", marks=pytest.mark.long("on a phone in dark")),
    ],
)
def test_axe_finds_nothing_on_the_shop(
    paired: Callable[..., Hand], axe_source: str, theme: str, size: dict[str, Any]
) -> None:
    page = opened(paired(**size, color_scheme=theme))
    page.evaluate("() => document.querySelectorAll('main details').forEach((e) => (e.open = true))")
    assert judged(page, axe_source) == []
    assert page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")
