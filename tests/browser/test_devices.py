"""Devices of the shop and links to its jobs, as people see them: paired, ended, paired again; sent, read, kept."""

import json
import re
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from browser.books import OWN, Book, book
from browser.conftest import PC, PHONE
from browser.hand import Hand
from browser.scanned import codes
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.same_page

ENTRIES = "async () => (await import('/book/log.js')).everything()"
WHO = "async () => (await import('/book/device.js')).deviceId()"
COUNTS = "async () => (await import('/book/outbox.js')).counts()"
SYNC = "async () => (await import('/shop/pace.js')).syncNow()"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A served book with the shop's PC paired."""
    with book(tmp_path_factory.mktemp("devices")) as served:
        yield served


@pytest.fixture
def pc(make_hand: Callable[..., Hand], shop: Book) -> Hand:
    """The shop's PC, paired."""
    hand = make_hand(shop.access["id"], **PC)
    shop.pair(hand)
    return hand


@pytest.fixture
def phones(make_hand: Callable[..., Hand], shop: Book) -> Callable[..., Hand]:
    """Phones that know nothing of the shop yet."""

    def make(**options: Any) -> Hand:
        hand = make_hand(**{**PHONE, **options})
        hand.address = shop.address
        return hand

    return make


def code(shop: Book) -> str:
    """A fresh pairing code."""
    return str(shop.ask("POST", "/api/pairing")["code"])


def pair(hand: Hand, address: str, name: str) -> None:
    """Open a pairing address, as a scanner does, and say the phone's name."""
    hand.page.goto(address)
    hand.page.get_by_label("Name of this").fill(name)
    hand.hit(hand.page.get_by_role("button", name="Pair", exact=True))
    hand.page.get_by_text(f"At the shop this phone is called “{name}”.").wait_for()


def visited(page: Page) -> str:
    """Every address that the page's history leads back to."""
    session = page.context.new_cdp_session(page)
    found = session.send("Page.getNavigationHistory")
    session.detach()
    return " ".join([*(entry["url"] for entry in found["entries"]), page.url])


def ids(hand: Hand) -> list[str]:
    """Ids of the entries on this device, sorted."""
    return sorted(entry["id"] for entry in hand.page.evaluate(ENTRIES))


def read(hand: Hand, job: str, value: float) -> None:
    """Enter a body height, as its screen saves it."""
    hand.page.evaluate(
        """
        async ([job, value]) => {
          const { append } = await import('/book/log.js');
          await append(job, [['reading', {what: 'body-height', side: 'left', value, teardown: 0}]]);
        }
        """,
        [job, value],
    )


def sent_job(hand: Hand, title: str = "Gannet, Maren") -> str:
    """A job that has reached the shop."""
    job = hand.job(title=title)
    hand.page.evaluate(SYNC)
    return job


def short_link(hand: Hand, job: str) -> str:
    """Make a short link on the job's screen; what a scanner reads from the picture there."""
    hand.go(job, "share")
    hand.hit(hand.page.get_by_role("button", name="Make a short link"))
    hand.page.locator("img.qr").wait_for()
    field = hand.page.get_by_label("The short link").input_value()
    hand.page.wait_for_function("() => document.querySelector('img.qr').naturalWidth > 0")
    expect(hand.page.locator("img.qr")).to_be_in_viewport(ratio=1)
    assert codes(hand.page.screenshot()) == [field]
    return field


def test_a_phone_is_paired_by_scanning_the_pcs_screen_and_the_pc_says_so(
    make_hand: Callable[..., Hand], phones: Callable[..., Hand], shop: Book, complaints: list[str]
) -> None:
    pc = make_hand(shop.access["id"], **PC, color_scheme="dark")
    shop.pair(pc)
    pc.place("devices")
    pc.hit(pc.page.get_by_role("button", name="Show a code for a new device"))
    pc.page.wait_for_function("() => document.querySelector('img.qr')?.naturalWidth > 0")
    (address,) = codes(pc.page.screenshot())
    secret = address.partition("#pair=")[2]
    expect(pc.page.locator(".made")).to_contain_text(f"{secret[:4]}-{secret[4:]}")
    expect(pc.page.locator(".made")).to_contain_text("Use once, within 10 minutes")
    phone = phones()
    name = "Tove’s phone"
    pair(phone, address, name)
    expect(phone.page.get_by_role("heading", name="Install the app")).to_be_visible()
    expect(pc.page.get_by_text(f"“{name}” is paired. The code is used.")).to_be_visible()
    expect(pc.page.locator("img.qr")).to_have_count(0)
    row = pc.page.get_by_role("row").filter(has_text=name)
    expect(row.get_by_role("button", name="End access")).to_be_visible()
    mine = pc.page.get_by_role("row").filter(has_text="(this PC)")
    expect(mine).to_have_count(1)
    expect(mine.get_by_role("button")).to_have_count(0)
    # A phone that is paired stays so, whatever it scans.
    phone.page.goto(address)
    phone.hit(phone.page.get_by_role("button", name="Pair", exact=True))
    expect(phone.page.locator("#pair-error")).to_contain_text("stays paired")
    assert all("403" in complaint for complaint in complaints)
    complaints.clear()


def test_a_code_leaves_the_address_as_it_is_read_and_a_used_a_mistyped_and_no_code_are_told_without_loss(
    phones: Callable[..., Hand], shop: Book, complaints: list[str]
) -> None:
    phone = phones()
    job = phone.job()
    before = ids(phone)
    secret = code(shop)
    address = f"{shop.address}/#pair={secret}"
    phone.page.goto(address)
    field = phone.page.get_by_label("Pairing code")
    expect(field).to_have_value(secret)
    assert phone.page.url == f"{shop.address}/#/pair"
    assert secret not in visited(phone.page)
    phone.page.go_back()
    phone.page.go_forward()
    assert secret not in visited(phone.page)
    shop.ask("POST", "/api/devices", {"code": secret, "name": "the first to scan"})
    for typed, told in ((secret, "used already"), ("MISTYPED", "mistyped"), ("", "Enter the code")):
        phone.page.goto(address)
        field.fill(typed)
        phone.hit(phone.page.get_by_role("button", name="Pair", exact=True))
        expect(phone.page.locator("#pair-error")).to_contain_text(told)
        expect(field).to_have_value(typed)
    expect(phone.page.locator("#pair-error")).not_to_contain_text("stays paired")
    assert ids(phone) == before
    phone.go(job, "list")
    assert all("403" in complaint for complaint in complaints)
    complaints.clear()


@pytest.mark.fresh_page
@pytest.mark.long("that a code holds ten minutes, and is told so: tests/book/test_access.py")
def test_a_code_ends_on_the_screen_by_itself(pc: Hand) -> None:
    pc.page.clock.install()
    pc.place("devices")
    pc.hit(pc.page.get_by_role("button", name="Show a code for a new device"))
    left = pc.page.locator(".made")
    expect(left).to_contain_text("10 minutes")
    pc.page.clock.fast_forward("09:20")
    expect(left).to_contain_text("40 seconds")
    pc.page.clock.fast_forward("00:41")
    expect(pc.page.get_by_text("The code has expired.")).to_be_visible()
    expect(pc.page.locator("img.qr")).to_have_count(0)


def test_an_ended_phone_keeps_its_log_says_why_and_is_paired_again_without_loss(
    pc: Hand, phones: Callable[..., Hand], shop: Book, complaints: list[str]
) -> None:
    phone = phones()
    pair(phone, f"{shop.address}/#pair={code(shop)}", "a phone left on a bench")
    job = sent_job(phone)
    device, kept = phone.page.evaluate(WHO), ids(phone)
    pc.place("devices")
    pc.hit(pc.page.get_by_role("button", name="End access of a phone left on a bench"))
    pc.hit(pc.page.get_by_role("dialog").get_by_role("button", name="Cancel"))
    expect(pc.page.get_by_role("button", name="End access of a phone left on a bench")).to_be_visible()
    pc.hit(pc.page.get_by_role("button", name="End access of a phone left on a bench"))
    pc.hit(pc.page.get_by_role("dialog").get_by_role("button", name=re.compile("^End its access For")))
    ended = pc.page.get_by_role("table", name="Ended").get_by_role("row")
    expect(ended.filter(has_text="a phone left on a bench")).to_be_visible()

    read(phone, job, 216)
    phone.page.evaluate(SYNC)
    phone.open()
    expect(phone.page.locator(".shop-line")).to_contain_text("no longer accepts the key of this phone")
    expect(phone.page.locator(".job")).to_contain_text("1 change not synced")
    assert phone.page.evaluate(COUNTS) == {"waiting": 1, "shop": len(kept), "refused": 0}
    phone.hit(phone.page.get_by_role("link", name="Pair again"))
    phone.page.get_by_label("Pairing code").fill(code(shop))
    phone.hit(phone.page.get_by_role("button", name="Pair", exact=True))
    phone.page.get_by_role("heading", name="Paired").wait_for()
    phone.page.evaluate(SYNC)
    assert phone.page.evaluate(WHO) == device
    assert phone.page.evaluate(COUNTS) == {"waiting": 0, "shop": len(kept) + 1, "refused": 0}
    mine = [row for row in phone.page.evaluate(ENTRIES) if row["job"] == job]
    assert sorted(row["device_seq"] for row in mine) == list(range(1, len(mine) + 1))
    assert {row["device"] for row in mine} == {device}
    at_shop = [row for row in all_entries(shop) if row["job"] == job]
    assert sorted(row["id"] for row in at_shop) == sorted(row["id"] for row in mine)
    assert all("401" in complaint for complaint in complaints)
    complaints.clear()


def all_entries(shop: Book) -> list[dict[str, Any]]:
    """The shop's whole book."""
    found: list[dict[str, Any]] = []
    after = 0
    while page := shop.ask("GET", f"/api/entries?after={after}&limit=500")["entries"]:
        found += page
        after = shop.ask("GET", f"/api/entries?after={after}&limit=500")["next"]
    return found


def test_the_app_is_offered_where_the_browser_can_install_it(phone: Hand) -> None:
    phone.open()
    phone.page.evaluate(
        """
        () => {
          const event = new Event('beforeinstallprompt', {cancelable: true});
          globalThis.asked = 0;
          event.prompt = async () => { asked += 1; dispatchEvent(new Event('appinstalled')); };
          event.userChoice = Promise.resolve({outcome: 'accepted'});
          dispatchEvent(event);
        }
        """
    )
    phone.hit(phone.page.get_by_role("link", name="Settings"))
    phone.hit(phone.page.get_by_role("button", name="Install the app"))
    expect(phone.page.locator(".install")).to_contain_text("Open it from the home screen")
    assert phone.page.evaluate("() => asked") == 1


@pytest.mark.long("a code typed, mistyped and scanned, in the browser it was opened in")
def test_on_an_iphone_the_code_is_shown_to_be_typed_in_the_installed_app(
    phones: Callable[..., Hand], shop: Book
) -> None:
    secret = code(shop)
    phone = phones(user_agent="Mozilla/5.0 (iPhone; CPU iPhone OS 19_0 like Mac OS X) Mobile Safari")
    phone.page.goto(f"{shop.address}/#pair={secret}")
    expect(phone.page.locator("main")).to_contain_text("keeps data of its own")
    expect(phone.page.locator("main .code")).to_have_text(f"{secret[:4]}-{secret[4:]}")
    app = phones()
    app.place("pair")
    app.page.get_by_label("Pairing code").fill(phone.page.locator("main .code").inner_text())
    app.hit(app.page.get_by_role("button", name="Pair", exact=True))
    expect(app.page.get_by_role("heading", name="Paired")).to_be_visible()


def test_a_short_link_is_scanned_read_kept_and_its_readings_come_back(
    pc: Hand, phones: Callable[..., Hand], shop: Book
) -> None:
    job = sent_job(pc, "Plover, Ben")
    link = short_link(pc, job)
    token = link.partition("#link=")[2]
    home = phones()
    home.page.goto(link)
    main = home.page.locator("main")
    expect(main).to_contain_text("Plover, Ben")
    assert home.page.url == f"{shop.address}/#/link"
    assert token not in visited(home.page)
    # The job, its plan, its steps and cautions, to read; nothing is on this phone yet.
    expect(main.get_by_role("heading", name="Plan:")).to_be_visible()
    expect(main.get_by_role("heading", name="Steps of teardown 1")).to_be_visible()
    expect(main).to_contain_text("Never go under a car on a jack")
    expect(main).to_contain_text("A loaded torsion bar can throw the arm and break bones")
    expect(main.get_by_role("textbox")).to_have_count(2)
    assert ids(home) == []
    home.hit(home.page.get_by_role("button", name="Keep a copy"))
    expect(home.page.locator("h1")).to_have_text("Log")
    assert ids(home) == sorted(row["id"] for row in all_entries(shop) if row["job"] == job)
    read(home, job, 217)
    home.go(job, "share")
    expect(home.page.get_by_role("heading", name="A short link through the shop")).to_have_count(0)
    back = home.page.get_by_label("The link").input_value()
    pc.page.goto(back)
    expect(pc.page.locator("main")).to_contain_text("1 record is new")
    pc.hit(pc.page.get_by_role("button", name="Add to the job here"))
    pc.page.evaluate(SYNC)
    assert sorted(row["id"] for row in all_entries(shop) if row["job"] == job) == ids(home)


@pytest.mark.long("the screen of an ended link in the walk of axe; tests/book/test_access.py")
def test_an_ended_link_opens_nothing_and_what_was_kept_stays_and_can_be_exported(
    pc: Hand, phones: Callable[..., Hand], shop: Book, complaints: list[str]
) -> None:
    job = sent_job(pc, "Knot, Maren")
    link = short_link(pc, job)
    home, other = phones(), phones()
    home.page.goto(link)
    home.hit(home.page.get_by_role("button", name="Keep a copy"))
    expect(home.page.locator("h1")).to_have_text("Log")
    kept = ids(home)
    other.page.goto(link)
    expect(other.page.get_by_role("button", name="Keep a copy")).to_be_visible()

    pc.hit(pc.page.get_by_role("button", name="End it"))
    pc.hit(pc.page.get_by_role("dialog").get_by_role("button", name="End it"))
    expect(pc.page.locator(".one-link")).to_contain_text("Ended on")
    expect(pc.page.locator("img.qr")).to_have_count(0)

    # Loaded again, the page asks again.
    other.page.reload()
    expect(other.page.get_by_role("alert").filter(has_text="has expired or was ended")).to_be_visible()
    expect(other.page.get_by_role("button", name="Keep a copy")).to_have_count(0)
    assert ids(other) == []
    home.page.goto(link)
    expect(home.page.get_by_role("alert").filter(has_text="has expired or was ended")).to_be_visible()
    expect(home.page.locator("main")).to_contain_text("Your copy is still here")
    with home.page.expect_download() as waiting:
        home.hit(home.page.get_by_role("button", name="Export"))
    log = json.loads(Path(waiting.value.path()).read_text(encoding="utf-8"))
    assert sorted(entry["id"] for entry in log["entries"]) == kept == ids(home)
    home.hit(home.page.get_by_role("link", name="Open the job"))
    expect(home.page.locator("h1")).to_have_text("Log")
    assert all("410" in complaint for complaint in complaints)
    complaints.clear()


def shop_revoke(shop: Book, link: str) -> None:
    """End a link from elsewhere."""
    request = urllib.request.Request(
        f"{shop.address}/api/links/{link}",
        method="DELETE",
        headers={"Authorization": f"Bearer {shop.access['key']}"},
    )
    OWN.open(request, timeout=20).close()


@pytest.mark.long("one that sends back; any order of merging: tests/book/test_fold.py")
def test_two_browsers_with_one_link_end_with_the_same_job(
    pc: Hand, phones: Callable[..., Hand], shop: Book
) -> None:
    job = sent_job(pc)
    link = short_link(pc, job)
    one, two = phones(), phones()
    for hand, value in ((one, 218), (two, 219)):
        hand.page.goto(link)
        hand.hit(hand.page.get_by_role("button", name="Keep a copy"))
        expect(hand.page.locator("h1")).to_have_text("Log")
        read(hand, job, value)
    for sender, taker in ((one, two), (two, one)):
        sender.go(job, "share")
        taker.page.goto(sender.page.get_by_label("The link").input_value())
        taker.hit(taker.page.get_by_role("button", name="Add to the job here"))
        expect(taker.page.locator("h1")).to_have_text("Log")
    assert ids(one) == ids(two)
    sheets = [
        hand.page.evaluate(
            "async (job) => (await import('/book/fold.js')).sheetOf(job)"
            ".then(({ sheet }) => sheet.readings.map(({ value }) => value).sort())",
            job,
        )
        for hand in (one, two)
    ]
    assert sheets[0] == sheets[1]
    assert {218, 219} <= set(sheets[0])


@pytest.mark.long("a short link scanned; a spoilt link: tests/node/carry.test.mjs")
def test_a_short_link_can_be_pasted_and_a_spoilt_or_foreign_one_is_told(
    pc: Hand, phones: Callable[..., Hand], shop: Book
) -> None:
    link = short_link(pc, sent_job(pc))
    home = phones()
    home.place("open")
    field = home.page.get_by_label("Link", exact=True)
    for text, told in (
        (link[:-5], "incomplete"),
        (link.replace(shop.address, "https://elsewhere.example"), "belongs to elsewhere.example"),
    ):
        field.fill(text)
        home.hit(home.page.get_by_role("button", name="Open the link"))
        expect(home.page.locator(".error")).to_contain_text(told)
    field.fill(f"Here it is: {link}.")
    home.hit(home.page.get_by_role("button", name="Open the link"))
    expect(home.page.get_by_role("button", name="Keep a copy")).to_be_visible()


def test_a_job_that_has_not_reached_the_shop_gets_no_short_link_and_says_why(
    pc: Hand, complaints: list[str]
) -> None:
    pc.page.route("**/api/entries*", lambda route: route.abort())
    job = pc.job()
    pc.go(job, "share")
    expect(pc.page.locator(".short-links")).to_contain_text("records have not reached the shop yet")
    pc.hit(pc.page.get_by_role("button", name="Make a short link"))
    expect(pc.page.locator(".short-links .error")).to_contain_text("is not synced yet")
    complaints.clear()


def test_without_the_shop_the_devices_page_says_so_and_asks_again(pc: Hand, complaints: list[str]) -> None:
    pc.page.route("**/api/devices*", lambda route: route.abort())
    pc.place("devices")
    expect(pc.page.locator(".lack")).to_contain_text("cannot be reached")
    pc.page.unroute("**/api/devices*")
    pc.hit(pc.page.get_by_role("button", name="Try again"))
    expect(pc.page.get_by_role("table", name="With access")).to_be_visible()
    complaints.clear()


@pytest.mark.parametrize(
    ("size", "theme"),
    [(PHONE, "dark"), pytest.param(PC, "light", marks=pytest.mark.long("on a phone in dark"))],
    ids=["phone", "pc"],
)
def test_axe_finds_nothing_on_these_screens(
    make_hand: Callable[..., Hand], shop: Book, axe_source: str, theme: str, size: dict[str, Any],
    complaints: list[str],
) -> None:  # fmt: skip
    hand = make_hand(**size, color_scheme=theme)
    hand.address = shop.address
    page = hand.page
    found: dict[str, list[str]] = {}

    def judge(name: str) -> None:
        if not page.evaluate("() => 'axe' in globalThis"):
            page.evaluate(axe_source)
        found[name] = [*page.evaluate("() => probes.axe()"), *page.evaluate("() => probes.cut()")]
        if size is PHONE:
            found[name] += page.evaluate("() => probes.keys()")[1]

    hand.open()
    hand.place("devices")
    page.get_by_text("not paired").first.wait_for()
    judge("devices, not paired")
    page.goto(f"{shop.address}/#pair={code(shop)}")
    page.get_by_label("Name of this").fill(f"judged, {theme}, {'phone' if size is PHONE else 'PC'}")
    judge("pairing by an address")
    hand.hit(page.get_by_role("button", name="Pair", exact=True))
    page.get_by_role("heading", name="Install the app").wait_for()
    judge("paired")
    shop.ask("POST", "/api/devices", {"code": code(shop), "name": "lost"})
    hand.place("devices?new=1")
    page.locator("img.qr").wait_for()
    hand.hit(page.get_by_role("button", name="End access of lost").first)
    hand.hit(page.get_by_role("dialog").get_by_role("button", name=re.compile("^End its access For")))
    page.get_by_role("table", name="Ended").wait_for()
    judge("devices with a code")
    link = short_link(hand, sent_job(hand))
    judge("a short link made")
    with_job = make_hand(**size, color_scheme=theme)
    with_job.address = shop.address
    page = with_job.page
    page.goto(link)
    page.get_by_role("heading", name="Steps of teardown 1").wait_for()
    judge("a job to read")
    with_job.hit(page.get_by_role("button", name="Keep a copy"))
    page.get_by_role("heading", name="Log").wait_for()
    shop_revoke(shop, link.partition("#link=")[2].split(".")[0])
    page.goto(link)
    page.get_by_text("Your copy is still here").wait_for()
    judge("an ended link")
    with_job.place("moved")
    judge("a log from another address")
    complaints.clear()
    assert {name: wrong for name, wrong in found.items() if wrong} == {}
