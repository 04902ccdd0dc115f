"""A link that opens anywhere: at a public copy on a static host, for somebody who knows nothing of the shop.

The copy is written by the command and served by a plain static server in a folder of its own. The stranger's phone
is a browser profile of its own, and every request that it makes is looked at.
"""

import functools
import re
import threading
from collections.abc import Callable, Iterator
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from browser.books import Book, book
from browser.conftest import PATIENCE_MS, PC, PHONE, watched
from browser.hand import Hand
from playwright.sync_api import Browser, Page, Route, expect

from bothends.service.command import main

pytestmark = pytest.mark.same_page

SHOP = "https://bothends-quay.local:8622/"
"""Where the shop says that devices reach it: the stranger's never does."""
KB = 1000
"""Most of a page that is sent as a file: 300 of these."""


class Static:
    """A plain static server of a folder, with the copy below it."""

    def __init__(self, root: Path) -> None:
        self.methods: set[str] = set()
        self.open_to_pages = False
        """Whether it lets pages from elsewhere look at its files (CORS)."""
        host = self

        class Handler(SimpleHTTPRequestHandler):
            def log_message(self, *_: Any) -> None:
                host.methods.add(self.command)

            def end_headers(self) -> None:
                if host.open_to_pages:
                    self.send_header("Access-Control-Allow-Origin", "*")
                super().end_headers()

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Handler, directory=str(root)))
        threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True).start()
        self.address = f"http://127.0.0.1:{self._server.server_port}/any/where/"

    def down(self) -> None:
        """No longer answer."""
        self._server.shutdown()
        self._server.server_close()


@pytest.fixture(scope="module")
def copy_files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the host serves: the copy in a folder below its root."""
    root = tmp_path_factory.mktemp("host")
    assert main(["site", str(root / "any" / "where")]) == 0
    return root


@pytest.fixture
def static(copy_files: Path) -> Iterator[Static]:
    """The host."""
    host = Static(copy_files)
    yield host
    host.down()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A served book with the shop's PC paired."""
    with book(tmp_path_factory.mktemp("copy")) as served:
        yield served


@pytest.fixture
def pc(make_hand: Callable[..., Hand], shop: Book) -> Hand:
    """The shop's PC, paired; its server knows where devices reach it."""
    hand = make_hand(shop.access["id"], **PC)

    def told(route: Route) -> None:
        reply = route.fetch()
        route.fulfill(response=reply, json={**reply.json(), "address": SHOP})

    hand.page.route("**/api/health", told)
    # Other tests have told the shop of copies that are gone by now.
    shop.ask("PUT", "/api/public-copy", {"address": None})
    shop.pair(hand)
    hand.page.evaluate("async () => (await import('/book/base.js')).remember('public_copy', null)")
    return hand


class Stranger:
    """A phone with a worker of its own; ``asked`` is every address that it asked for."""

    def __init__(self, page: Page, address: str) -> None:
        self.asked: list[str] = []
        page.context.on("request", lambda request: self.asked.append(request.url))
        self.hand = Hand(page, address.removesuffix("/"))


@pytest.fixture
def stranger(chromium: Browser, static: Static, complaints: list[str]) -> Iterator[Stranger]:
    """A phone that was never in the shop."""
    context = chromium.new_context(**PHONE)
    context.set_default_timeout(PATIENCE_MS)
    yield Stranger(watched(context, complaints), static.address)
    context.close()
    assert complaints == []


def link_for_anybody(pc: Hand, shop: Book, static: Static) -> str:
    """A link to a job that leads to the shop's public copy, as the screen that sends it has it."""
    assert shop.ask("PUT", "/api/public-copy", {"address": static.address}) == {"address": static.address}
    pc.open()
    job = pc.job(title="Gannet, Maren")
    # As the page hears it from its server, once it stands.
    hear = "async (address) => (await import('/book/base.js')).remember('public_copy', address)"
    pc.page.evaluate(hear, static.address)
    pc.go(job, "share")
    expect(pc.page.get_by_label("The link")).to_have_value(re.compile(f"^{static.address}#job="))
    return pc.page.get_by_label("The link").input_value()


def test_a_stranger_reads_a_job_without_a_network_keeps_it_reads_a_height_and_sends_it_back(
    pc: Hand, shop: Book, static: Static, stranger: Stranger
) -> None:
    link = link_for_anybody(pc, shop, static)
    hand, page = stranger.hand, stranger.hand.page
    main = page.locator("main")
    # The link itself is opened for the first time where there is no network.
    hand.open("/")
    hand.place("settings")
    expect(main.get_by_text("Works offline.")).to_be_visible()
    static.down()
    page.context.set_offline(True)
    page.goto("about:blank")
    page.goto(link)

    expect(main.get_by_text("It says that it comes from shop PC.")).to_be_visible()
    expect(main.get_by_text("Its shop: bothends-quay.local:8622.")).to_be_visible()
    expect(main.get_by_role("heading", name="Steps of teardown 1")).to_be_visible()
    parts = main.locator(".reader h2").all_inner_texts()
    order = ["Who sent it", "What this is", "The danger first", "How the car stands", "What will be done"]
    assert parts[:5] == order
    expect(main.locator(".reader .warn").first).to_contain_text("A loaded torsion bar can throw the arm")

    hand.hit(page.get_by_role("button", name="Keep this job"))
    expect(page.locator("h1")).to_have_text("Log")
    job = page.url.rpartition("#/")[2].split("/")[0]
    hand.go(job, "read/body-height/left")
    hand.figure("216")
    hand.go(job, "share")
    expect(page.get_by_role("radio", name="Back to bothends-quay.local:8622")).to_be_checked()
    field = page.get_by_label("The link")
    expect(field).to_have_value(re.compile(f"^{SHOP}#job="))
    back = field.input_value()

    pc.place("open")
    pc.page.get_by_label("Link", exact=True).fill(back)
    pc.hit(pc.page.get_by_role("button", name="Open the link"))
    expect(pc.page.locator("main")).to_contain_text("1 record is new")
    pc.hit(pc.page.get_by_role("button", name="Add to the job here"))
    expect(pc.page.get_by_role("link", name="216 mm")).to_be_visible()
    assert [url for url in stranger.asked if not url.startswith((static.address, "about:"))] == []
    assert static.methods == {"GET"}


@pytest.mark.long("that a copy asks nobody but its host, also on a phone that keeps a job and sends it back")
def test_a_copy_has_no_shop_to_pair_with_or_to_wait_for(static: Static, stranger: Stranger) -> None:
    hand, page = stranger.hand, stranger.hand.page
    hand.open("/")
    expect(page.get_by_text("A public copy of the app, with no shop behind it.")).to_be_visible()
    hand.place("settings")
    expect(page.get_by_text("A public copy of the app, with no shop behind it.")).to_be_visible()
    expect(page.get_by_text("Works offline.")).to_be_visible()
    expect(page.get_by_role("link", name=re.compile("Pair"))).to_have_count(0)
    hand.place("pair")
    expect(page.get_by_text("That address leads nowhere.")).to_be_visible()
    hand.place("open")
    page.get_by_label("Link", exact=True).fill(f"{SHOP}#link=0123456789ab.{'a' * 32}")
    hand.hit(page.get_by_role("button", name="Open the link"))
    expect(page.get_by_role("alert").filter(has_text="This is a short link.")).to_be_visible()
    assert [url for url in stranger.asked if not url.startswith(static.address)] == []
    assert [url for url in stranger.asked if "/api/" in url] == []


@pytest.mark.long("that the shop keeps it and refuses a bad one: tests/service/test_logbook_access.py")
def test_the_address_of_the_copy_is_entered_once_and_looked_at(
    pc: Hand, static: Static, complaints: list[str]
) -> None:
    pc.place("settings")
    field = pc.page.get_by_label("Its address")
    told = pc.page.locator(".public-copy")
    save = pc.page.get_by_role("button", name="Save and check")
    field.fill("http://host.example/")
    pc.hit(save)
    expect(told.get_by_role("alert")).to_contain_text("It must begin with https.")
    # This host lets no page from elsewhere look at its files.
    field.fill(f"{static.address}index.html")
    pc.hit(save)
    expect(told).to_contain_text("does not let this page look at it")
    expect(field).to_have_value(static.address)
    static.open_to_pages = True
    pc.hit(save)
    expect(told).to_contain_text("A public copy of this very version")
    field.fill(static.address.removesuffix("where/"))
    pc.hit(save)
    expect(told).to_contain_text("it is no public copy of this app")
    # What the browser itself says of the host that kept it out.
    assert all("CORS" in one or "404" in one or "ERR_FAILED" in one for one in complaints), complaints
    complaints.clear()


def test_a_job_sent_as_a_page_opens_from_a_stick_without_network_and_scripts_and_is_imported(
    pc: Hand, make_hand: Callable[..., Hand], chromium: Browser, tmp_path: Path, long: bool
) -> None:
    job = pc.job(title="Gannet <b>, Maren")
    pc.go(job, "share")
    with pc.page.expect_download() as waiting:
        pc.hit(pc.page.get_by_role("button", name="Send as a page"))
    assert waiting.value.suggested_filename.endswith(".html")
    file = tmp_path / "job.html"
    waiting.value.save_as(file)
    assert file.stat().st_size < 300 * KB
    for scripts in (False, True) if long else (False,):
        context = chromium.new_context(**PHONE, offline=True, java_script_enabled=scripts)
        page = context.new_page()
        asked: list[str] = []
        page.on("request", lambda request, asked=asked: asked.append(request.url))
        page.goto(file.as_uri())
        expect(page.get_by_role("heading", name="Gannet <b>, Maren")).to_be_visible()
        expect(page.get_by_role("heading", name="Steps of teardown 1")).to_be_visible()
        expect(page.get_by_text("Never go under a car on a jack").first).to_be_visible()
        expect(page.locator("svg").first).to_be_visible()
        assert asked == [file.as_uri()]
        context.close()
    other = make_hand(**PHONE)
    other.place("open")
    other.page.locator("#job-file").set_input_files(file)
    expect(other.page.locator("main")).to_contain_text("Gannet <b>, Maren")
    expect(other.page.locator("main")).to_contain_text("It says that it comes from shop PC.")
    other.hit(other.page.get_by_role("button", name="Keep this job"))
    expect(other.page.locator("h1")).to_have_text("Log")
    kept = "async (job) => (await (await import('/book/log.js')).entries(job)).length"
    assert other.page.evaluate(kept, job) == pc.page.evaluate(kept, job)


@pytest.mark.long("that a link shows plan and dangers, the danger first")
def test_what_shows_plan_and_dangers_is_asked_for_again_where_it_has_not_come(
    pc: Hand, make_hand: Callable[..., Hand], complaints: list[str]
) -> None:
    job = pc.job()
    pc.go(job, "share")
    link = pc.page.get_by_label("The link").input_value()
    other = make_hand(**PHONE)
    other.page.route("**/parts/job-reader.js", lambda route: route.abort())
    # Where the shop says that devices reach it nobody answers here.
    other.page.goto(f"{other.address}/{link[link.index('#') :]}")
    expect(other.page.get_by_role("alert").filter(has_text="Turn nothing before")).to_be_visible()
    other.page.unroute("**/parts/job-reader.js")
    other.hit(other.page.get_by_role("button", name="Try again"))
    expect(other.page.get_by_role("heading", name="The danger first")).to_be_visible()
    complaints.clear()
