"""A car's page: its plots hold the API's values, its constants name their visit, and a new job begins with them."""

import re
from collections.abc import Callable, Iterator
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from book.pages import Page as Writer
from browser.books import Book, book, job
from browser.conftest import PC, PHONE
from browser.hand import Hand, until
from browser.test_access import judged
from playwright.sync_api import Locator, Page, expect

from bothends.book import demo
from bothends.model.travel import CERTAIN

KEY = "gannet roadster / maren"
WEIGHED = "plover utility / runa"
ADDRESS = f"car?key={quote(KEY, safe='')}"
HEIGHTS = ("body_height_left_mm", "promised_left_mm", "body_height_right_mm", "promised_right_mm")
ANGLES = tuple(f"{what}_angle_{side}_deg" for what in ("hanging", "riding") for side in ("left", "right"))
pytestmark = pytest.mark.same_page

SMALL = {"viewport": PHONE["viewport"]}
"""The window of a phone, worked by a mouse: so the PC's page goes on in it."""
SIZES = pytest.mark.parametrize(
    "size", [pytest.param(PHONE, marks=pytest.mark.long("on a PC")), PC], ids=["phone", "pc"]
)


def weighed(writer: Writer) -> Writer:
    """All four wheels weighed before and after."""
    at = writer.entries[0]["at"]
    for teardown, rear in ((0, 300.0), (1, 306.0)):
        for axle, left, right in (("front", 340.0, 350.0), (None, rear, 310.0)):
            said = {"axle": axle} if axle else {}
            writer.reading(left, what="wheel-load", teardown=teardown, **said)
            writer.reading(right, what="wheel-load", side="right", teardown=teardown, **said)
    for entry in writer.entries:
        entry["at"] = at
    return writer


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Slipway Garage's own jobs, whose roadster comes twice and leaves what was learned, and a third visit."""
    with book(tmp_path_factory.mktemp("car")) as opened:
        opened.send(demo.entries())
        opened.push(job(15, state="checked"), weighed(job(19)))
        yield opened


def opened(hand: Hand) -> Page:
    """Go to the car, open what is folded and wait for its plots."""
    hand.place(ADDRESS)
    fold(hand.page, "Heights, cross-weight and angles over time").click()
    hand.page.locator(".plot canvas").nth(1).wait_for()
    return hand.page


def fold(page: Page, title: str) -> Locator:
    return page.locator(".fold > summary", has_text=title)


def drawn(page: Page) -> list[list[list[float | None]]]:
    """What each plot was given: its places and then each series."""
    return list(
        page.evaluate(
            "() => [...document.querySelectorAll('.plot')].map((e) => e.plot.data.map((s) => [...s]))"
        )
    )


def test_a_cars_page_says_its_cross_weight_before_and_after_or_why_there_is_none(
    paired: Callable[..., Hand], shop: Book
) -> None:
    hand = paired(**PC)
    page = opened(hand)
    expect(page.locator(".plots > p")).to_contain_text("No cross-weight yet")
    expect(page.locator(".crossed")).to_have_count(0)
    rows = shop.ask("GET", f"/api/history?{urlencode({'car': WEIGHED})}")["teardowns"]
    assert [row["cross_kg"] for row in rows] == [0.0, 6.0]
    hand.place(f"car?key={quote(WEIGHED, safe='')}")
    said = page.locator(".crossed")
    expect(said).to_contain_text(
        re.compile(r"Cross-weight \(RF \+ LR\): 50\.0 ± 0\.\d %, 0 ± \d+ kg against LF \+ RR → 50\.2 ±")
    )
    fold(page, "Heights, cross-weight and angles over time").click()
    figure = page.locator(".figure-plot", has_text="Cross-weight over time")
    figure.locator("summary").click()
    expect(figure.locator("tbody tr")).to_have_count(2)


@SIZES
def test_the_plots_hold_the_values_of_the_api(
    paired: Callable[..., Hand], shop: Book, size: dict[str, Any]
) -> None:
    page = opened(paired(**size))
    rows = shop.ask("GET", f"/api/history?{urlencode({'car': KEY})}")["teardowns"]
    assert len(rows) == 5
    # Between two visits stands an empty place, so that no line joins them.
    steps: list[dict[str, Any] | None] = []
    for before, row in zip([None, *rows], rows, strict=False):
        if before is not None and before["job"] != row["job"]:
            steps.append(None)
        steps.append(row)
    for names, (places, *series) in zip((HEIGHTS, ANGLES), drawn(page), strict=True):
        assert places == list(range(len(steps)))
        assert series == [[row and row[name] for row in steps] for name in names]
    whiskers = [row for row in rows if row["promised_left_sd_mm"]]
    assert whiskers
    page.locator(".figure-plot summary").first.click()
    table = page.locator(".figure-plot").first.locator("tbody tr")
    expect(table).to_have_count(len(rows))
    for row, line in zip(rows, table.all(), strict=True):
        cells = line.locator("td").all_inner_texts()
        assert cells[:2] == [f"{row['body_height_left_mm']:.1f}", f"{row['body_height_right_mm']:.1f}"]
        if row["promised_left_mm"] is not None:
            assert cells[2] == f"{row['promised_left_mm']:.1f} ± {CERTAIN * row['promised_left_sd_mm']:.1f}"


def test_a_constant_names_the_visit_that_taught_it(paired: Callable[..., Hand], shop: Book) -> None:
    page = opened(paired(**PC))
    found = shop.ask("GET", f"/api/cars/page?{urlencode({'key': KEY})}")
    taught = {row["name"]: row for row in found["constants"]}
    bar = page.locator(".constants tr", has_text="Bar")
    expect(bar.first).to_contain_text(
        f"{taught['bar_nm_per_deg']['value']:.1f} ± {CERTAIN * taught['bar_nm_per_deg']['sd']:.1f} N·m per degree"
    )
    # Its boards told about the roll support; of the bar it says hardly more than the caliper did.
    first = next(v for v in found["visits"] if v["taught"])
    assert taught["roll_support_n_per_mm"]["from_job"] == first["job"]
    roll = page.locator(".constants tr", has_text="Roll stiffness")
    expect(roll.get_by_role("link")).to_have_attribute("href", f"#/{first['job']}/list")
    assert taught["tyre_n_per_mm"]["from_job"] is None
    tyre = page.locator(".constants .fold tr", has_text="Tyre")
    expect(tyre).to_be_hidden()
    fold(page, "Default, not measured").click()
    expect(tyre).to_be_visible()


@pytest.mark.long("what a constant costs is reckoned right: tests/node/car.test.mjs")
def test_constants_stand_by_what_they_cost_the_chance(paired: Callable[..., Hand], shop: Book) -> None:
    page = opened(paired(**PC))
    # The same question as the page asks, in another language: each constant known as good as exactly.
    found = shop.ask("GET", f"/api/cars/page?{urlencode({'key': KEY})}")
    known = found["again"]["known"]["posterior"]
    read = next(v for v in found["visits"] if v["left_mm"] is not None)

    def chance(posterior: dict[str, Any]) -> float:
        log = [
            {"kind": "reading", "what": "body-height", "side": side, "value": read[f"{side}_mm"]}
            for side in ("left", "right")
        ]
        asked = {
            "car": {**found["again"]["car"], "known": posterior},
            "target": {"as": "level", "at": "higher", "rise_mm": 25},
            "log": log,
        }
        return float(shop.ask("POST", "/api/solve", asked)["options"][0]["odds"])

    def exact(name: str) -> dict[str, Any]:
        at, rows = known["names"].index(name), known["covariance"]
        share = (1 - 1e-4) / rows[at][at]
        return {
            **known,
            "covariance": [
                [v - share * row[at] * w for v, w in zip(row, rows[at], strict=True)] for row in rows
            ],
        }

    now = chance(known)
    expect(page.locator(".constants")).to_contain_text(f"has a chance of {round(100 * now)} in 100")
    costs = {
        "Bar": chance(exact("ln_rate")) - now,
        "Roll stiffness, rest of car": chance(exact("ln_roll")) - now,
        "Arm": chance(exact("arm")) - now,
    }
    rows = page.locator(".constants-rows > .values tbody th").all_inner_texts()
    shown = [name for name in rows if name in costs]
    assert len(shown) > 1
    assert shown == sorted(shown, key=lambda name: -costs[name])


def test_the_page_begins_with_how_the_visits_went(paired: Callable[..., Hand], shop: Book) -> None:
    hand = paired(**PC)
    hand.place(ADDRESS)
    page = hand.page
    found = shop.ask("GET", f"/api/cars/page?{urlencode({'key': KEY})}")
    first = [row["hit"] for row in found["teardowns"] if row["teardown"] == 1 and row["hit"] is not None]
    said = page.locator(".headline")
    assert found["visit_count"] == 3
    expect(said).to_contain_text("3 visits")
    expect(said).to_contain_text(f"{sum(first)} of {len(first)}")
    cards = page.locator(".visit-card")
    expect(cards).to_have_count(3)
    for card, visit in zip(cards.all(), found["visits"], strict=True):
        expect(card.get_by_role("link")).to_have_attribute("href", f"#/{visit['job']}/list")
        expect(card.get_by_role("img")).to_have_attribute(
            "aria-label", re.compile("^From behind: read left ")
        )
    expect(cards.filter(has_text="started from an earlier visit")).not_to_have_count(0)


def test_promised_stands_against_reached_for_every_teardown(paired: Callable[..., Hand]) -> None:
    page = opened(paired(**PC))
    fold(page, "Predicted and measured").click()
    table = page.get_by_role("table", name="Predicted and measured, step by step")
    expect(table.locator("tbody tr")).to_have_count(2)
    expect(table).to_contain_text("on target")


@pytest.mark.long("units follow the choice: tests/node/units.test.mjs; a plan: test_plan")
def test_a_cars_page_has_no_metric_unit_where_the_shop_measures_in_inches(
    paired: Callable[..., Hand], shop: Book
) -> None:
    hand = paired(**PC)
    hand.open()
    hand.in_inches()
    page = opened(hand)
    expect(page.locator(".constants tr", has_text="Bar").first).to_contain_text("lbf·ft per degree")
    assert hand.metric() == []


def begun(page: Page) -> tuple[str, dict[str, Any]]:
    """The job that has just begun, and the bodies of its entries by kind."""
    expect(page.locator("h1")).to_have_text("What is the target?")
    made = page.url.split("/")[-2]
    kept = page.evaluate(
        "async (job) => (await (await import('/book/log.js')).entries(job)).map(({ kind, body }) => [kind, body])",
        made,
    )
    return made, dict(kept)


def test_a_new_job_begins_with_what_is_known(paired: Callable[..., Hand], shop: Book) -> None:
    page = opened(paired(**PC))
    found = shop.ask("GET", f"/api/cars/page?{urlencode({'key': KEY})}")
    again = found["again"]
    page.get_by_role("link", name="New job for this car").focus()
    page.keyboard.press("Enter")
    page.get_by_label("Customer’s request").fill("20 mm up")
    for box in page.get_by_role("checkbox").all():
        expect(box).to_be_checked()
    page.keyboard.press("Enter")
    _, bodies = begun(page)
    assert sorted(bodies) == ["car", "job", "known"]
    # Its visits have an id in common from now on, whoever owns it.
    assert bodies["job"] == {
        "title": "Gannet roadster, Maren",
        "wish": "20 mm up",
        **again["job"],
        "car_id": KEY,
        # A name alone would not have made it one.
        "by_name": False,
    }
    assert bodies["car"] == again["car"]
    assert bodies["known"] == {
        **again["known"],
        "at": found["visits"][0]["last_at"],
        "car": again["car"],
    }
    assert "posterior" in bodies["known"]


@pytest.mark.long("a car that returns; who is asked about: tests/node/car.test.mjs")
def test_a_job_under_way_is_told_that_its_car_was_here(paired: Callable[..., Hand], shop: Book) -> None:
    hand = paired(**PHONE)
    page = hand.page
    made = hand.job({"target": {"as": "level", "at": "higher"}, "log": []}, title="")
    hand.go(made, "about")
    page.get_by_label("Car", exact=True).fill("gannet")
    page.get_by_label("Owner’s first name").fill("maren")
    asked = page.locator(".same-car", has_text="Is this the same car as Gannet roadster, Maren of")
    hand.hit(asked.first.locator("button", has_text="Same car"))
    hand.hit(page.get_by_role("button", name="Use these"))
    expect(page.locator("h1")).to_have_text("Log")
    sheet = page.evaluate("async (job) => (await (await import('/book/snapshot.js')).look(job)).sheet", made)
    again = shop.ask("GET", f"/api/cars/page?{urlencode({'key': KEY, 'without': made})}")["again"]
    assert sheet["car"]["bar"] == again["car"]["bar"]
    assert sheet["known"]["use"] is True
    assert sheet["about"]["car_id"] == KEY


@pytest.mark.long("a car found on this device: tests/node/car.test.mjs, and one that returns")
def test_without_a_shop_the_visits_on_this_device_are_shown(
    paired: Callable[..., Hand], shop: Book, complaints: list[str]
) -> None:
    hand = paired(**PC)
    hand.page.locator(".shop", has_text="Synced").wait_for()
    with_shop = drawn(opened(hand))
    hand.open()
    hand.page.evaluate("async () => (await import('/book/device.js')).setAccess(null)")
    page = opened(hand)
    expect(page.locator(".lack")).to_contain_text("not paired with a shop")
    assert drawn(page) == with_shop
    hand.place("car?key=nobody")
    expect(page.locator(".lack")).to_contain_text("No visits of this car on this PC.")


def test_a_car_that_was_never_here_is_said_so(paired: Callable[..., Hand], complaints: list[str]) -> None:
    hand = paired(**PC)
    hand.place("car?key=nobody")
    expect(hand.page.locator("main")).to_contain_text("Car not found.")
    assert all("404" in text for text in complaints)
    complaints.clear()


@pytest.mark.long("at the size it was opened in")
def test_the_plots_follow_the_window_and_the_theme(paired: Callable[..., Hand]) -> None:
    page = opened(paired(**PC))
    wide = page.evaluate("() => document.querySelector('.plot').plot.width")

    def pixels() -> str:
        return str(page.evaluate("() => document.querySelector('.plot canvas').toDataURL()"))

    before = pixels()
    page.emulate_media(color_scheme="dark")
    page.wait_for_function(
        "(before) => document.querySelector('.plot canvas').toDataURL() !== before", arg=before
    )
    page.set_viewport_size({"width": 700, "height": 900})
    page.wait_for_function("(wide) => document.querySelector('.plot').plot.width !== wide", arg=wide)
    assert page.evaluate("() => probes.cut()") == []


@pytest.mark.parametrize(
    ("size", "theme"),
    [(SMALL, "dark"), pytest.param(PC, "light", marks=pytest.mark.long("on a phone in dark"))],
    ids=["phone-dark", "pc-light"],
)
def test_axe_finds_nothing_on_a_car(
    paired: Callable[..., Hand], axe_source: str, theme: str, size: dict[str, Any]
) -> None:
    page = opened(paired(**size, color_scheme=theme))
    page.locator(".constants .values").first.wait_for()
    page.evaluate("() => document.querySelectorAll('main details').forEach((e) => (e.open = true))")
    assert judged(page, axe_source) == []
    assert page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.parametrize(
    "with_shop",
    [pytest.param(True, marks=pytest.mark.long("by what is on the device")), False],
    ids=["shop", "device"],
)
def test_a_car_that_returns_is_found_by_its_plate_and_each_piece_can_be_refused_and_taken_up_later(
    paired: Callable[..., Hand], shop: Book, with_shop: bool
) -> None:
    hand = paired(**SMALL)
    page = hand.page
    plate, owner = ("SL 042", "Piet") if with_shop else ("SL 043", "Runa")
    visit = job(30 + with_shop, state="checked")
    visit.write("job", {"plate": plate, "car": "Knot camper", "owner": owner})
    visit.write("car", {"arm_mm": 431.5, "bar": {"diameter_mm": 23.0}})
    shop.push(visit)
    page.locator(".shop", has_text="Synced").wait_for()
    page.evaluate("async () => (await import('/shop/pace.js')).syncNow()")
    about = "async (job) => (await (await import('/book/snapshot.js')).look(job)).sheet.about"
    until(lambda: page.evaluate(about, visit.job).get("plate") == plate, page)
    if not with_shop:
        page.evaluate("async () => (await import('/book/device.js')).setAccess(null)")
    hand.place("new")
    hand.hit(page.get_by_role("link", name="Car was here before"))
    page.get_by_label("Name, owner or plate").fill(plate.replace(" ", "").lower())
    line = page.locator(".key-rows a")
    expect(line).to_have_count(1)
    expect(line).to_contain_text(f"Knot camper, {owner}; 1 visit")
    hand.hit(line)
    arm = page.locator(".tick-row", has_text="Arm length by tape: 431.5 mm")
    hand.hit(arm)
    hand.hit(page.get_by_role("button", name="Start job"))
    made, bodies = begun(page)
    assert bodies["job"]["plate"] == plate
    assert "arm_mm" not in bodies["car"]
    assert bodies["car"]["bar"]
    hand.go(made, "list")
    hand.hit(page.get_by_role("link", name="From an earlier visit"))
    expect(arm.get_by_role("checkbox")).not_to_be_checked()
    hand.hit(arm)
    hand.hit(page.locator(".tick-row", has_text="Torsion bars"))
    hand.hit(page.get_by_role("button", name="Save"))
    expect(page.locator("h1")).to_have_text("Log")
    sheet = page.evaluate("async (job) => (await (await import('/book/snapshot.js')).look(job)).sheet", made)
    assert sheet["car"]["arm_mm"] == 431.5
    assert not sheet["car"].get("bar")
    assert sheet["known"]["job"] == visit.job
    # With other bars, what was learned of them is put aside too.
    assert sheet["known"]["use"] is False
