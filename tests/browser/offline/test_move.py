"""A page open at bare numbers: says so, and moves the log to the shop's lasting address, where it merges."""

import base64
import hashlib
import io
import json
import secrets
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.conftest import ARGS, HERE, PATIENCE_MS, PHONE, UNHURRIED
from browser.hand import PLAIN, Hand
from browser.offline.shop import Shop
from PIL import Image
from playwright.sync_api import Browser, Playwright, expect
from tools import CHROMIUM

BARE, NAME = "192.168.77.5", "shop.test"
ENTRIES = "async () => (await import('/book/log.js')).everything()"
NOTE = "an address that may change"


@pytest.fixture
def shop_by_name(tmp_path_factory: pytest.TempPathFactory, web: Any) -> Iterator[Shop]:
    """A shop that answers to its numbers and its name; what one test's phone sent would come to the next one's."""
    shop = Shop(tmp_path_factory.mktemp("named"), web, hosts=frozenset({BARE, NAME}))
    yield shop
    shop.stop()


@pytest.fixture(scope="module")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """A browser for which both lead to the shop."""
    rules = f"--host-resolver-rules=MAP {BARE} 127.0.0.1, MAP {NAME} 127.0.0.1"
    browser = playwright.chromium.launch(executable_path=CHROMIUM, args=[*ARGS, rules])
    yield browser
    browser.close()


@pytest.fixture
def at(browser: Browser, shop_by_name: Shop) -> Iterator[Callable[[str], Hand]]:
    """A phone at an address; its server says that the name is the lasting one."""
    contexts = []
    port = shop_by_name.address.rpartition(":")[2]

    def make(host: str) -> Hand:
        context = browser.new_context(**PHONE)
        context.set_default_timeout(PATIENCE_MS)
        context.add_init_script(UNHURRIED)
        contexts.append(context)
        told = {
            "status": "ok", "version": "0", "address": f"http://{NAME}:{port}/", "simulated": False,
        }  # fmt: skip
        context.route("**/api/health", lambda route: route.fulfill(json=told))
        return Hand(context.new_page(), f"http://{host}:{port}", touch=True)

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def old(at: Callable[[str], Hand], shop_by_name: Shop) -> Hand:
    """A paired phone at the numbers, with two jobs of which one has reached the shop."""
    hand = at(BARE)
    # Any page of the address can write them; a file is one that costs nothing to load.
    hand.page.goto(f"{hand.address}/book/device.js")
    hand.page.evaluate(BEFORE, [shop_by_name.code(), PLAIN])
    hand.open()
    return hand


BEFORE = """
async ([code, request]) => {
  await (await import('/shop/pairing.js')).pair(code, "Tove's phone");
  const { begin } = await import('/book/log.js');
  const { itemsOf } = await import('/book/request.js');
  await begin(itemsOf(request, 'Gannet, Maren'));
  await (await import('/shop/pace.js')).syncNow();
  await begin(itemsOf(request, 'Plover, Ben'));
}
"""


def ids(hand: Hand) -> list[str]:
    return sorted(entry["id"] for entry in hand.page.evaluate(ENTRIES))


def test_one_tap_moves_the_log_to_the_lasting_address_where_it_merges_and_is_paired(
    old: Hand, shop_by_name: Shop, long: bool
) -> None:
    kept = ids(old)
    note = old.page.get_by_role("region", name="The address of this page")
    expect(note).to_contain_text(NOTE)
    expect(note).to_contain_text("Photos come from the shop there")
    old.hit(note.get_by_role("button", name="Move to the new address"))
    page = old.page
    page.wait_for_url(f"http://{NAME}:*/#/moved")
    expect(page.locator("main")).to_contain_text(f"From {BARE}:")
    expect(page.locator("main")).to_contain_text(f"{len(kept)} records are new.")
    assert ids(old) == []
    old.hit(page.get_by_role("button", name="Import", exact=True))
    expect(page.locator("main")).to_contain_text("At the shop this page is now called “Tove's phone”")
    assert ids(old) == kept
    page.evaluate("async () => (await import('/shop/pace.js')).syncNow()")
    assert set(kept) <= set(shop_by_name.ids())
    old.open()
    page.goto(f"http://{NAME}:{page.url.split(':')[2].split('/')[0]}/")
    expect(page.get_by_text("Plover, Ben")).to_be_visible()
    expect(page.get_by_role("region", name="The address of this page")).to_have_count(0)
    # What was left behind is whole; with --long it is moved once more, which changes nothing.
    page.goto(f"{old.address}/book/device.js")
    assert ids(old) == kept
    if not long:
        return
    old.open()
    old.hit(page.get_by_role("button", name="Move to the new address"))
    expect(page.locator("main")).to_contain_text("Nothing new: all of it is here already.")
    old.hit(page.get_by_role("button", name="Import", exact=True))
    expect(page.locator("main")).to_contain_text("paired already")
    assert set(kept) <= set(ids(old))


@pytest.mark.long("that it is said on the first screen, and what one tap does")
def test_it_is_said_once_on_the_first_screen_and_stays_in_the_settings(old: Hand, axe_source: str) -> None:
    note = old.page.get_by_role("region", name="The address of this page")
    expect(note).to_contain_text(NOTE)
    old.page.evaluate(axe_source)
    old.page.evaluate((HERE / "probes.js").read_text(encoding="utf-8"))
    for theme in ("light", "dark"):
        old.page.emulate_media(color_scheme=theme)
        assert old.page.evaluate("() => probes.axe()") == []
    assert old.page.evaluate("() => [...probes.keys()[1], ...probes.cut()]") == []
    old.hit(note.get_by_role("button", name="Not now"))
    old.open("/?again")
    expect(old.page.locator(".job").first).to_be_visible()
    expect(old.page.get_by_role("link", name="Devices", exact=True).first).to_be_attached()
    expect(note).to_have_count(0)
    old.place("settings")
    expect(note).to_contain_text(NOTE)
    expect(note.get_by_role("button", name="Not now")).to_have_count(0)


@pytest.mark.long("a log that goes as a file since photos go along")
def test_a_log_too_large_for_an_address_goes_as_a_file(old: Hand) -> None:
    words = [secrets.token_hex(1000) for _ in range(400)]
    old.page.evaluate(
        """
        async (words) => {
          const { append, jobs } = await import('/book/log.js');
          const [job] = await jobs();
          await append(job, words.map((text) => ['note', { text }]));
        }
        """,
        words,
    )
    kept = ids(old)
    with old.page.expect_download() as waiting:
        old.hit(old.page.get_by_role("button", name="Move to the new address"))
    path = waiting.value.path()
    # More may have come from the shop meanwhile.
    assert set(kept) <= {entry["id"] for entry in json.loads(path.read_text(encoding="utf-8"))["entries"]}
    old.hit(old.page.get_by_role("link", name="open the new address"))
    old.page.wait_for_url(f"http://{NAME}:*/#/moved")
    old.page.locator("#moved-file").set_input_files(path)
    old.hit(old.page.get_by_role("button", name="Import", exact=True))
    expect(old.page.locator("main")).to_contain_text("At the shop this page is now called “Tove's phone”")
    assert set(kept) <= set(ids(old))


@pytest.mark.long("that a spoilt link is refused in words: test_link.py, tests/node/carry.test.mjs")
def test_a_spoilt_log_is_told_and_nothing_is_taken(at: Callable[[str], Hand]) -> None:
    hand = at(NAME)
    hand.open("/#log=1.00000000.4.AAAA")
    expect(hand.page.get_by_role("alert").filter(has_text="changed on its way")).to_be_visible()
    expect(hand.page.get_by_role("button", name="Import", exact=True)).to_have_count(0)
    assert ids(hand) == []


PHOTO = """
async ([sha256, bytes]) => {
  const { append, jobs } = await import('/book/log.js');
  const [job] = await jobs();
  const body = { sha256, shows: 'marks', bytes: bytes.length, width: 8, height: 8 };
  await append(job, [['photo', body]]);
  // Its name is worked out on trusted pages only, which this one is not.
  await (await import('/book/photos.js')).keptPhotos();
  const opened = indexedDB.open('bothends-photos');
  const db = await new Promise((done) => (opened.onsuccess = () => done(opened.result)));
  const work = db.transaction(['photos', 'bytes'], 'readwrite');
  work.objectStore('photos').put({ sha256, size: bytes.length, state: 'waiting', seen: 0 });
  work.objectStore('bytes').put(new Uint8Array(bytes).buffer, sha256);
  await new Promise((done) => (work.oncomplete = done));
  db.close();
}
"""
"""Keeps a photo that the shop lacks."""


def test_photos_that_the_shop_lacks_are_sent_first_or_go_along_in_a_file(old: Hand) -> None:
    picture = io.BytesIO()
    Image.new("RGB", (8, 8), "red").save(picture, "JPEG")
    bytes_ = picture.getvalue()
    sha256 = hashlib.sha256(bytes_).hexdigest()
    old.page.evaluate(PHOTO, [sha256, list(bytes_)])
    move = old.page.get_by_role("button", name="Move to the new address")
    old.page.context.route("**/api/photos/**", lambda route: route.abort())
    with old.page.expect_download() as waiting:
        old.hit(move)
    note = old.page.get_by_role("region", name="The address of this page")
    expect(note).to_contain_text("1 photo is not at the shop yet. It goes along in a file.")
    file = json.loads(waiting.value.path().read_text(encoding="utf-8"))
    assert [one["sha256"] for one in file["photos"]] == [sha256]
    assert base64.b64decode(file["photos"][0]["data"]) == bytes_
    kept, path = ids(old), waiting.value.path()
    old.hit(old.page.get_by_role("link", name="open the new address"))
    old.page.wait_for_url(f"http://{NAME}:*/#/moved")
    old.page.locator("#moved-file").set_input_files(path)
    old.hit(old.page.get_by_role("button", name="Import", exact=True))
    expect(old.page.locator("main")).to_contain_text("At the shop this page is now called “Tove's phone”")
    assert set(kept) <= set(ids(old))
    # Where the shop takes them, it has them before the log goes.
    old.open()
    old.page.context.unroute("**/api/photos/**")
    with old.page.expect_response(
        lambda answer: answer.request.method == "PUT" and sha256 in answer.url
    ) as sent:
        old.hit(move)
    assert sent.value.ok
    old.page.wait_for_url(f"http://{NAME}:*/#/moved")
