"""The book as files, on the page: downloads with the key in a header, and a file taken in with a report."""

import csv
import gzip
import io
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from browser.books import Book, book, job
from browser.conftest import PC, PHONE
from browser.hand import Hand
from browser.test_access import judged
from playwright.sync_api import Page, expect

from bothends.book import season
from bothends.book.store import Store

pytestmark = pytest.mark.same_page

SIZES = pytest.mark.parametrize(
    "size", [PHONE, pytest.param(PC, marks=pytest.mark.long("on a phone"))], ids=["phone", "pc"]
)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Three jobs; no test adds to them."""
    with book(tmp_path_factory.mktemp("shop")) as opened:
        opened.push(*(job(number, state="closed") for number in (1, 2, 3)))
        yield opened


@pytest.fixture(scope="module")
def other(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Another shop, to take files in."""
    with book(tmp_path_factory.mktemp("other")) as opened:
        yield opened


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A simulated book."""

    def fill(store: Store) -> None:
        store.write(lambda db: season.fill(db, season.entries()[:60]))

    with book(tmp_path_factory.mktemp("demo"), before=fill) as opened:
        yield opened


@pytest.fixture
def paired(make_hand: Callable[..., Hand]) -> Callable[..., Page]:
    """Makes a page that is paired with a shop, at the files."""

    def make(shop: Book, **options: Any) -> Page:
        hand = make_hand(shop.access["id"], **options)
        shop.pair(hand)
        hand.place("settings")
        hand.hit(hand.page.get_by_role("link", name="Shop database as files"))
        hand.page.get_by_role("heading", name="Export", exact=True).wait_for()
        return hand.page

    return make


def taken(page: Page) -> tuple[str, str]:
    """Write the chosen file; its name and text."""
    with page.expect_download() as found:
        page.get_by_role("button", name="Export").click()
    expect(page.get_by_role("status").first).to_contain_text("written")
    return found.value.suggested_filename, Path(found.value.path()).read_text(encoding="utf-8")


def give(page: Page, name: str, data: bytes) -> None:
    """Choose a file to take in."""
    page.locator("#book-file").set_input_files({"name": name, "mimeType": "", "buffer": data})


@SIZES
def test_tables_are_written_with_the_key_in_a_header_only(
    paired: Callable[..., Page], shop: Book, size: dict[str, Any]
) -> None:
    page = paired(shop, **size)
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    name, text = taken(page)
    assert name == "bothends-jobs.csv"
    assert [row["owner"] for row in csv.DictReader(io.StringIO(text))] == ["Tove", "Jonas", "Inge"]
    page.get_by_role("radio", name="Readings").check()
    page.get_by_role("radio", name="JSON").check()
    page.get_by_label("From day").fill("2026-03-01")
    name, text = taken(page)
    assert name == "bothends-readings-2026-03-01-to-last.json"
    found = json.loads(text)
    assert found["table"] == "readings"
    assert {row["at"][:7] for row in found["rows"]} == {"2026-03", "2026-04"}
    assert any("/api/export/readings?since=2026-03-01" in address for address in asked)
    assert not any(shop.access["key"] in address for address in asked)


def test_the_whole_book_goes_out_and_into_another_shop(
    paired: Callable[..., Page], shop: Book, other: Book
) -> None:
    page = paired(shop, **PHONE)
    page.get_by_role("radio", name="All data").check()
    expect(page.get_by_role("radio", name="CSV")).to_be_hidden()
    name, text = taken(page)
    assert name == "bothends-book.jsonl"
    _, *rows = text.splitlines()
    page = paired(other, **PHONE)
    give(page, "book.jsonl.gz", gzip.compress(text.encode()))
    report = page.locator("section", has_text="Import").get_by_role("status")
    expect(report).to_have_text(f"{len(rows)} records new, 0 known already, 0 refused.")
    give(page, name, text.encode())
    expect(report).to_have_text(f"0 records new, {len(rows)} known already, 0 refused.")
    ids = [entry["id"] for entry in other.ask("GET", "/api/entries?limit=500")["entries"]]
    assert {json.loads(row)["id"] for row in rows} <= set(ids)


def test_what_does_not_fit_is_named_by_line_and_the_rest_lands(
    paired: Callable[..., Page], other: Book
) -> None:
    head = {"format": "bothends-log", "version": 1, "lines": 6}
    rows: list[Any] = job(9, state="measuring").entries[:4]
    rows[1]["body"]["left_mm"] = 1e9
    lines = [json.dumps(head), *(json.dumps(row) for row in rows)]
    lines.insert(3, "no entry")
    page = paired(other, **PHONE)
    give(page, "book.jsonl", "\n".join(lines).encode())
    report = page.locator("section", has_text="Import").get_by_role("status")
    expect(report).to_have_text(
        "3 records new, 0 known already, 2 refused. The file is incomplete: 1 record is missing."
    )
    named = page.locator(".refusals li").all_inner_texts()
    assert named[0].startswith(f"Line 3, record {rows[1]['id']}: left_mm must be")
    assert named[1] == "Line 4: this line is not JSON"


@pytest.mark.long("what does not fit is named by its line")
def test_files_that_are_no_log_or_of_the_other_world_are_refused_whole(
    paired: Callable[..., Page], shop: Book
) -> None:
    page = paired(shop, **PHONE)
    wrong = page.locator("section", has_text="Import").get_by_role("alert")
    give(page, "list.csv", b"id,title")
    expect(wrong).to_contain_text("holds no data of this app")
    give(page, "book.gz", gzip.compress(bytes(range(256)))[:120])
    expect(wrong).to_contain_text("damaged or cut off")
    head = {"format": "bothends-log", "version": 1, "simulated": True, "lines": 0}
    give(page, "demo.jsonl", json.dumps(head).encode())
    expect(wrong).to_contain_text("kept apart")


def test_a_copy_is_made_when_asked_for_and_its_day_is_shown(paired: Callable[..., Page], other: Book) -> None:
    page = paired(other, **PHONE)
    section = page.locator(".exporting", has_text="Backup")
    expect(section).to_contain_text("No copy yet.")
    section.get_by_role("button", name="Back up now").click()
    expect(section).to_contain_text("Last good copy: ")
    expect(section.get_by_role("status")).to_have_text("Copy made and checked.")
    expect(section).to_contain_text("Keep a copy elsewhere too")


def test_a_page_without_a_key_leads_to_pairing(pc: Hand) -> None:
    pc.place("export")
    expect(pc.page.get_by_role("link", name="Pair with the shop")).to_be_visible()


@SIZES
def test_every_page_of_a_simulated_book_says_so_on_screen_on_paper_and_without_a_server(
    paired: Callable[..., Page], demo: Book, size: dict[str, Any]
) -> None:
    page = paired(demo, **size)
    mark = page.get_by_text("Simulated season:")
    expect(mark).to_be_visible()
    assert page.locator("body[data-simulated]").count() == 1
    box = page.locator(".simulated").bounding_box()
    assert box is not None
    assert box["y"] < 200
    name, text = taken(page)
    assert name == "bothends-simulated-jobs.csv"
    assert "(simulated)" in text
    page.route("**/api/health", lambda route: route.abort())
    # The driver notes that nobody answered; that is what is meant.
    page.evaluate("() => location.assign('#/new')")
    page.get_by_role("heading", level=1).wait_for()
    expect(mark).to_be_visible()
    page.emulate_media(media="print")
    expect(mark).to_be_visible()


def test_a_real_book_carries_no_such_mark(paired: Callable[..., Page], shop: Book) -> None:
    page = paired(shop, **PHONE)
    said = page.evaluate("async () => (await (await fetch('/api/health')).json()).simulated")
    assert said is False
    page.evaluate("async () => { await (await import('/shop/sync.js')).round(); }")
    expect(page.locator(".simulated")).to_be_hidden()


@SIZES
def test_the_page_can_be_worked_by_everybody(
    paired: Callable[..., Page], shop: Book, axe_source: str, size: dict[str, Any]
) -> None:
    page = paired(shop, **size)
    assert judged(page, axe_source) == []


def test_a_revoked_key_says_so_and_offers_the_way_back(
    paired: Callable[..., Page], shop: Book, complaints: list[str]
) -> None:
    page = paired(shop, **PHONE)
    page.evaluate(
        "async (access) => (await import('/book/device.js')).setAccess({...access, key: 'gone'})", shop.access
    )
    page.reload()
    page.get_by_role("button", name="Export").click()
    expect(page.get_by_role("link", name="Pair with the shop")).to_be_visible()
    # Nothing more is asked once the page is gone: a late 401 of the sync would be a complaint too.
    page.close()
    complaints[:] = [words for words in complaints if "401" not in words]
