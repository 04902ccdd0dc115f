"""The screens over the phone's log: a whole job without a server, then with it; links, files, pages, updates."""

import json
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.conftest import PATIENCE_MS, PHONE, UNHURRIED, watched
from browser.hand import PLAIN, Hand
from browser.offline.gate import Gate
from browser.offline.shop import Shop
from browser.offline.versions import serve
from playwright.sync_api import Browser, BrowserContext, expect

UNREACHED = (
    "net::ERR",
    "status of 4",
    "status of 5",
    "Failed to load resource",
    # Where the server goes while the interpreter, or a newer worker, is still on its way.
    "wasm streaming compile failed",
    "falling back to ArrayBuffer",
    "when fetching the script",
)
"""What the browser itself notes of a server that is away."""
STATE = ".shop-line"
"""The line of the first screen that says what is where."""
ENTRIES = "() => import('/book/log.js').then(({ everything }) => everything())"


class Handset(Hand):
    """A hand on a browser profile of its own, at a gate."""

    def __init__(self, context: BrowserContext, gate: Gate, complaints: list[str]) -> None:
        super().__init__(watched(context, complaints), gate.address)
        self.context = context
        self.complaints = complaints

    def page_more(self) -> Hand:
        """Another page of the same browser."""
        return Hand(watched(self.context, self.complaints), self.address)

    def ready(self) -> None:
        """Open the app and wait until it would open without the server, which takes a busy machine its time."""
        self.open()
        self.page.wait_for_function("() => navigator.serviceWorker.controller", timeout=60_000)

    def pair(self, code: str, name: str = "Tove's phone") -> None:
        """Type the shop's code on the pairing screen."""
        self.place("pair")
        self.page.get_by_label("Pairing code").fill(code)
        self.page.get_by_label("Name of this phone").fill(name)
        self.hit(self.page.get_by_role("button", name="Pair", exact=True))
        self.page.get_by_text(f"At the shop this phone is called “{name}”.").wait_for()

    def entries(self) -> list[dict[str, Any]]:
        """All entries on this phone."""
        return list(self.page.evaluate(ENTRIES))

    def link(self, job: str) -> str:
        """The job's link, as its screen shows it."""
        self.go(job, "share")
        return self.page.get_by_label("The link").input_value()


@pytest.fixture
def handset(chromium: Browser, gate_to: Callable[..., Gate]) -> Iterator[Callable[..., Handset]]:
    """Makes handsets; at the end none may have complained of anything but a server that is away.

    With ``worker`` the app installs itself on the phone, which costs most of a second. ``gate_to`` is asked for so
    that gates are shut after the pages behind them: what is still on its way when a test ends is no complaint.
    """
    contexts: list[BrowserContext] = []
    complaints: list[str] = []

    def make(gate: Gate, *, worker: bool = False, **options: Any) -> Handset:
        context = chromium.new_context(**PHONE, **options, service_workers="allow" if worker else "block")
        context.set_default_timeout(PATIENCE_MS)
        if not worker:
            # Without one a page loaded anew would ask for a hundred files again.
            gate.lasting = True
            context.add_init_script(UNHURRIED)
        contexts.append(context)
        return Handset(context, gate, complaints)

    yield make
    for context in contexts:
        context.close()
    assert [text for text in complaints if not any(known in text for known in UNREACHED)] == []


def after_teardown(hand: Handset, job: str, angles: tuple[str, str], heights: tuple[str, str]) -> None:
    """Hanging angles and heights after the first teardown, left and right."""
    for side, angle in zip(("left", "right"), angles, strict=True):
        hand.go(job, f"read/hanging-angle/{side}?after=1")
        hand.angle(angle, "arm down")
    for side, height in zip(("left", "right"), heights, strict=True):
        hand.go(job, f"read/body-height/{side}?after=1")
        hand.figure(height)


def away(handset: Callable[..., Handset], gate: Gate, shop: Shop) -> Handset:
    """A paired phone with the app installed, started from nothing since its shop is gone."""
    serve(gate)
    hand = handset(gate, worker=True)
    hand.ready()
    hand.pair(shop.code())
    # Screens after the first plan are kept once the page stands, not before.
    hand.place("settings")
    expect(hand.page.get_by_text("Works offline.")).to_be_visible(timeout=60_000)
    gate.down()
    hand.open()
    return hand


def back(hand: Handset, gate: Gate, shop: Shop) -> None:
    """The shop is there again, and all that was entered comes to it."""
    page = hand.page
    hand.open()
    expect(page.locator(".job")).to_contain_text("not synced")
    made = hand.entries()
    assert shop.ids() == []
    gate.up()
    hand.hit(page.get_by_role("button", name="Sync now"))
    expect(page.locator(STATE)).to_contain_text("Synced")
    expect(page.locator(".job")).not_to_contain_text("not synced")
    assert sorted(shop.ids()) == sorted(entry["id"] for entry in made)


def test_the_whole_job_without_the_server_and_then_every_entry_is_at_the_shop(
    handset: Callable[..., Handset], gate_to: Callable[..., Gate], shop: Shop
) -> None:
    gate = gate_to(shop)
    hand = away(handset, gate, shop)
    page = hand.page
    hand.whole_job()
    job = page.url.split("#/")[1].split("/")[0]
    # The teeth are counted once the arm hangs free; the plan then says how many to turn.
    for end, teeth in (("inner", "40"), ("outer", "44")):
        hand.go(job, f"ask/car.bar.{end}_teeth?from=plan")
        hand.figure(teeth)
    hand.go(job, "plan")
    expect(page.locator(".source")).to_contain_text("Worked out on this phone")
    hand.hit(page.get_by_role("link", name="Enter teeth already turned"))
    hand.hit(page.get_by_role("button", name=re.compile("^(These|Save) teeth")))
    page.wait_for_function("() => !location.hash.includes('/move')")
    after_teardown(hand, job, ("8.8", "9.3"), ("250", "251"))
    hand.go(job, "close")
    hand.hit(page.get_by_text("Before and after, teeth, predicted"))
    expect(page.get_by_role("row", name="Ride height, left")).to_contain_text("214 mm")
    expect(page.get_by_role("row", name="Ride height, left")).to_contain_text("250 mm")
    expect(page.get_by_role("row", name=re.compile("^Teardown 1"))).to_contain_text("On target")
    hand.hit(page.get_by_role("checkbox", name="Headlamps aimed"))
    expect(page.get_by_role("checkbox", name="Headlamps aimed")).to_be_checked()
    hand.hit(page.get_by_role("button", name="Hand over", exact=True))
    hand.hit(page.get_by_role("button", name="Hand over anyway"))
    page.get_by_text("Handed over on").wait_for()
    back(hand, gate, shop)
    sheet = shop.ask("GET", f"/api/jobs/{job}")
    assert json.dumps(sheet).count('"closed"') >= 1
    (close,) = [e for e in shop.entries() if e["kind"] == "close"]
    assert close["body"]["posterior"]["names"]


def test_two_pages_draw_what_the_other_enters_and_a_figure_half_typed_stays(
    handset: Callable[..., Handset], gate: Gate
) -> None:
    one = handset(gate)
    job = one.job()
    one.go(job, "list")
    two = one.page_more()
    two.go(job, "read/body-height/left")
    two.digits("21")
    one.hit(one.page.get_by_role("link", name=re.compile("Read again: right.*Ride height")))
    one.figure("225")
    expect(one.page.get_by_role("link", name="225 mm")).to_be_visible()
    expect(two.page.locator(".figure")).to_have_value("21")
    two.digits("9")
    two.next()
    two.go(job, "list")
    expect(two.page.get_by_role("link", name="225 mm")).to_be_visible()
    expect(one.page.get_by_role("link", name="219 mm")).to_be_visible()
    three = one.page_more()
    three.open()
    expect(three.page.locator(".job")).to_have_count(1)
    one.job(title="Plover, Ben")
    expect(three.page.locator(".job")).to_have_count(2)


@pytest.fixture
def version_gate(gate_to: Callable[..., Gate], shop_of_all: Shop) -> Gate:
    """A gate that serves version A; its worker has few files to install, for there is a server all the time."""
    gate = gate_to(shop_of_all)
    serve(gate, whole=False)
    return gate


def test_an_update_asks_and_waits_as_long_as_something_typed_is_not_saved(
    handset: Callable[..., Handset], version_gate: Gate
) -> None:
    hand = handset(version_gate, worker=True)
    page = hand.page
    hand.ready()
    job = hand.job()
    hand.go(job, "ask/car.limits.bump_mm?from=list")
    hand.digits("6")
    page.evaluate("() => { window.sameLoad = true; }")
    serve(version_gate, {"/bench.html": b"<!doctype html><title>B</title>"}, whole=False)
    page.evaluate("() => import('/book/update.js').then(({ lookForUpdate }) => lookForUpdate())")
    prompt = page.locator("#notices .update")
    expect(prompt).to_contain_text("new version")
    hand.hit(prompt.get_by_role("button", name="Update now"))
    expect(prompt).to_contain_text("is not saved")
    expect(page.locator(".figure")).to_have_value("6")
    assert page.evaluate("() => window.sameLoad")
    hand.digits("5")
    hand.next()
    hand.hit(prompt.get_by_role("button", name="Update now"))
    page.wait_for_function("() => !window.sameLoad && document.body.dataset.at === location.hash")
    expect(page.get_by_role("link", name="Travel up to the bump stop")).to_contain_text("65 mm")
    expect(prompt).to_be_hidden()


@pytest.mark.long("an app without a worker for plain http, which says so: test_offline.py")
def test_without_a_worker_the_app_runs_and_says_so(handset: Callable[..., Handset], gate: Gate) -> None:
    hand = handset(gate)
    hand.context.add_init_script("delete Navigator.prototype.serviceWorker;")
    job = hand.job()
    hand.go(job, "read/body-height/left")
    hand.figure("214")
    hand.place("settings")
    expect(hand.page.locator("main")).to_contain_text("cannot open the app offline")


@pytest.mark.long(
    "the same by the phone's modules: test_link.py; to a stranger by way of a public copy: test_public_copy.py"
)
def test_a_job_goes_by_link_and_the_readings_come_back_the_same_way(
    handset: Callable[..., Handset], gate: Gate
) -> None:
    shop_phone = handset(gate)
    home = handset(gate)
    job = shop_phone.job()
    link = shop_phone.link(job)
    # Handed on by the phone's own means.
    shop_phone.page.evaluate("() => { navigator.share = async (given) => { window.given = given; }; }")
    shop_phone.go(job, "list")
    shop_phone.go(job, "share")
    shop_phone.hit(shop_phone.page.get_by_role("button", name="Send the link"))
    shop_phone.page.get_by_text("Passed to the app").wait_for()
    assert shop_phone.page.evaluate("() => window.given.url") == link
    home.page.goto(link)
    home.stands()
    offer = home.page.locator(".mine")
    expect(offer).to_contain_text("Gannet, Maren")
    expect(offer).to_contain_text("1 job is not on this phone yet.")
    assert home.entries() == []
    home.hit(home.page.get_by_role("button", name="Keep this job"))
    home.page.get_by_role("heading", name="Log").wait_for()
    assert "#job=" not in home.page.url
    home.hit(home.page.get_by_role("link", name=re.compile("Read again: left.*Ride height")))
    home.figure("216")
    back = home.link(job)
    # The other phone pastes it: an installed app is not opened by a link.
    shop_phone.place("open")
    shop_phone.page.get_by_label("Link", exact=True).fill(back)
    shop_phone.hit(shop_phone.page.get_by_role("button", name="Open the link"))
    expect(shop_phone.page.locator(".mine")).to_contain_text("1 record is new")
    shop_phone.hit(shop_phone.page.get_by_role("button", name="Add to the job here"))
    expect(shop_phone.page.get_by_role("link", name="216 mm")).to_be_visible()
    shop_phone.page.goto(back)
    expect(shop_phone.page.locator(".mine")).to_contain_text("This job is on this phone already.")


@pytest.mark.long("that a spoilt link is refused in words: test_link.py, tests/node/carry.test.mjs")
def test_a_spoilt_link_is_said_in_clear_words_and_nothing_is_kept(
    handset: Callable[..., Handset], gate: Gate
) -> None:
    hand = handset(gate)
    link = hand.link(hand.job())
    other = handset(gate)
    for spoilt, words in ((link[:-20], "cut off"), (link[:-9] + "AAAAAAAAA", "changed on its way")):
        other.page.goto(spoilt)
        expect(other.page.get_by_role("alert").filter(has_text=words)).to_be_visible()
        assert other.entries() == []
    other.page.get_by_label("Another link").fill(link)
    other.hit(other.page.get_by_role("button", name="Open the link"))
    other.hit(other.page.get_by_role("button", name="Keep this job"))
    other.page.get_by_role("heading", name="Log").wait_for()


@pytest.mark.long("that the screen has the link: test_public_copy.py")
def test_the_link_is_copied(handset: Callable[..., Handset], gate: Gate) -> None:
    hand = handset(gate, permissions=["clipboard-write"])
    job = hand.job()
    link = hand.link(job)
    # The page may not read the clipboard, so what it writes is noted on the way.
    hand.page.evaluate(
        """() => {
          const write = navigator.clipboard.writeText.bind(navigator.clipboard);
          navigator.clipboard.writeText = (text) => write((window.copied = text));
        }"""
    )
    hand.hit(hand.page.get_by_role("button", name="Copy the link"))
    hand.page.get_by_text("Link copied").wait_for()
    assert hand.page.evaluate("() => window.copied") == link


@pytest.mark.long("the same by the phone's own modules: test_link.py")
def test_the_exported_log_is_imported_elsewhere_once(
    handset: Callable[..., Handset], gate: Gate, tmp_path: Any
) -> None:
    hand = handset(gate)
    hand.job()
    hand.place("settings")
    with hand.page.expect_download() as waiting:
        hand.hit(hand.page.get_by_role("button", name="Export", exact=True))
    path = tmp_path / waiting.value.suggested_filename
    waiting.value.save_as(path)
    other = handset(gate)
    other.place("settings")
    for before, after in (
        ("9 records are new.", "9 records new."),
        ("Nothing new: all of it is here already.", "Nothing new, 9 known already."),
    ):
        other.page.locator("#log-file").set_input_files(path)
        expect(other.page.locator(".incoming")).to_contain_text(before)
        other.hit(other.page.get_by_role("button", name="Import this file"))
        other.page.get_by_text(after, exact=True).wait_for()
    bad = tmp_path / "photo.json"
    bad.write_text("[]")
    other.page.locator("#log-file").set_input_files(bad)
    expect(other.page.get_by_role("alert").filter(has_text="holds no data of this app")).to_be_visible()
    other.open()
    expect(other.page.locator(".job")).to_contain_text("Gannet, Maren")


def test_a_job_that_is_not_here_a_wrong_code_an_ended_key_and_a_refused_reading_are_said_with_what_to_do(
    handset: Callable[..., Handset], gate: Gate, shop_of_all: Shop
) -> None:
    hand = handset(gate)
    page = hand.page
    page.goto(f"{hand.address}/#/0198c000-0000-7000-8000-0000000000aa/plan")
    expect(page.get_by_role("alert").filter(has_text="That job is not on this phone")).to_be_visible()
    hand.place("")
    expect(page.locator(STATE)).to_contain_text("Not paired with a shop")
    hand.hit(page.get_by_role("link", name="Pair with a shop"))
    page.get_by_label("Pairing code").fill("WRONG-CODE")
    hand.hit(page.get_by_role("button", name="Pair", exact=True))
    expect(page.locator(".error")).to_contain_text("Make a new one on the shop's PC")
    name = "a phone to be ended"
    hand.pair(shop_of_all.code(), name)
    (device,) = [d for d in shop_of_all.ask("GET", "/api/devices?limit=50")["devices"] if d["name"] == name]
    shop_of_all.revoke(device["id"])
    hand.job()
    hand.open()
    expect(page.locator(STATE)).to_contain_text("Pair it again; everything is kept here.")
    hand.hit(page.get_by_role("link", name="Pair again"))
    hand.pair(shop_of_all.code(), "paired anew")
    hand.open()
    expect(page.locator(STATE)).to_contain_text("Synced")
    # Others may have left jobs in this shop.
    expect(page.locator(".job", has_text="Gannet, Maren")).not_to_contain_text("not synced")
    # A slip of a figure, which no pad lets through.
    reading = {"kind": "reading", "what": "body-height", "side": "left", "value": 99999.0}
    job = hand.job({**PLAIN, "log": [*PLAIN["log"], reading]}, "a slip")
    hand.open()
    card = page.locator(f'[data-job="{job}"]')
    expect(card).to_contain_text("1 change refused by the shop")
    hand.hit(page.get_by_role("link", name="See 1 refused change"))
    # The screen is fetched when it is wanted; until then the cards of the first one stand.
    page.wait_for_function("() => document.body.dataset.at === '#/refused'")
    expect(page.locator("main li")).to_contain_text("value")
    with page.expect_download() as waiting:
        hand.hit(page.get_by_role("button", name="Export", exact=True))
    log = json.loads(waiting.value.path().read_text(encoding="utf-8"))
    assert [entry["body"]["value"] for entry in log["entries"]] == [99999.0]
    assert log["refused"][0]["code"]
    assert re.fullmatch(r"bothends-refused-\d{4}-\d\d-\d\d\.json", waiting.value.suggested_filename)


@pytest.mark.long("a code that comes by the picture on the PC's screen: secure/test_pairing.py")
def test_a_code_in_an_address_is_filled_in(
    handset: Callable[..., Handset], gate: Gate, shop_of_all: Shop
) -> None:
    hand = handset(gate)
    code = shop_of_all.code()
    hand.page.goto(f"{hand.address}/#pair={code}")
    expect(hand.page.get_by_label("Pairing code")).to_have_value(code)


@pytest.mark.long("the note, the order and that all is taken, by the phone's own modules: test_sync.py")
def test_a_clock_a_year_ahead_is_noted_and_nothing_refused(
    handset: Callable[..., Handset], gate: Gate, shop_of_all: Shop
) -> None:
    hand = handset(gate)
    hand.context.add_init_script("const now = Date.now; Date.now = () => now() + 365 * 24 * 3600 * 1000;")
    hand.open()
    hand.pair(shop_of_all.code(), "a phone from next year")
    job = hand.job()
    hand.open()
    expect(hand.page.locator(STATE)).to_contain_text("is 365 days ahead of the shop's")
    expect(hand.page.locator(f'[data-job="{job}"]')).not_to_contain_text("not synced")
    sent = {entry["id"] for entry in hand.entries() if entry["job"] == job}
    assert len(sent) == 9
    assert sent <= set(shop_of_all.ids())


@pytest.mark.long("that both corrections reach both phones and are told: test_sync.py")
def test_two_corrections_of_one_reading_are_both_shown_until_a_person_picks(
    handset: Callable[..., Handset], gate: Gate
) -> None:
    one = handset(gate)
    two = handset(gate)
    job = one.job()
    two.page.goto(one.link(job))
    two.hit(two.page.get_by_role("button", name="Keep this job"))
    two.page.get_by_role("heading", name="Log").wait_for()
    for hand, last in ((one, "6"), (two, "8")):
        hand.go(job, "list")
        hand.hit(hand.page.get_by_role("link", name="214 mm"))
        hand.hit(hand.key("delete"))
        hand.digits(last)
        hand.next()
    one.page.goto(two.link(job))
    one.hit(one.page.get_by_role("button", name="Add to the job here"))
    conflict = one.page.locator("main .doubts")
    expect(conflict).to_contain_text("216 mm")
    expect(conflict).to_contain_text("218 mm")
    one.hit(conflict.get_by_role("button", name="216 mm"))
    expect(conflict).to_have_count(0)
    expect(one.page.get_by_role("link", name="216 mm")).to_be_visible()
