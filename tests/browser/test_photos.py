"""Photos of a job: taken without a network, kept over a closed page, sent behind the readings and in parts, seen on
other devices. Real pages of a real shop in this process."""

import base64
import io
import random
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.conftest import PC, PHONE
from browser.hand import Hand, until
from browser.offline.shop import Shop
from browser.teardown import APART, append, chosen, done
from PIL import Image
from playwright.sync_api import Page, expect

from bothends.book import photos
from bothends.service.site import places

SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
SEND = "async () => (await import('/shop/photos.js')).sendPhotos()"
PAIR = "async ([code, name]) => (await (await import('/shop/pairing.js')).pair(code, name)).id"
ROWS = "async () => (await import('/book/photos.js')).keptPhotos()"
BYTES = """
async (sum) => {
  const { photoBytes } = await import('/book/photos.js');
  let text = '';
  for (const byte of await photoBytes(sum)) text += String.fromCharCode(byte);
  return btoa(text);
}
"""
"""A kept photo in base64."""
EXPORTED = (
    "async (job) => (await (await import('/book/file.js')).exported(job, undefined, { photos: true })).text"
)
GPS, ORIENTATION, TURNED = 0x8825, 0x0112, 6


def camera() -> bytes:
    """A picture as a camera writes it: too large, lying on its side, with the place where it was taken."""
    small = Image.frombytes("RGB", (240, 180), random.Random(7).randbytes(240 * 180 * 3))
    image = small.resize((2000, 1500))
    exif = image.getexif()
    exif[ORIENTATION] = TURNED
    exif.get_ifd(GPS).update({1: "N", 2: (53.0, 33.0, 12.0), 3: "E", 4: (9.0, 59.0, 41.0)})
    out = io.BytesIO()
    image.save(out, "JPEG", quality=90, exif=exif)
    assert b"Exif" in out.getvalue()
    return out.getvalue()


@pytest.fixture
def shop(tmp_path) -> Iterator[Shop]:
    opened = Shop(tmp_path / "shop", places.web())
    yield opened
    opened.stop()


@pytest.fixture
def device(shop, make_hand: Callable[..., Hand]) -> Callable[..., Hand]:
    """Makes paired devices of the shop."""

    def make(name: str, **options: Any) -> Hand:
        hand = make_hand(**options)
        hand.address = shop.address
        hand.open()
        hand.page.evaluate(PAIR, [shop.code(), name])
        return hand

    return make


def at_marks(hand: Hand) -> str:
    """A teardown at the step where marks are painted."""
    job = chosen(hand)
    before = APART[: APART.index("cover-off")]
    append(hand, job, done(("stands", None), ("eyes", None), *[(step, "left") for step in before]))
    return job


def take(hand: Hand, file: bytes) -> None:
    """Take a photo as the system's camera hands it over."""
    files = {"name": "IMG_0001.jpg", "mimeType": "image/jpeg", "buffer": file}
    hand.page.get_by_label("Take a photo").set_input_files(files)


def test_a_photo_taken_without_a_network_goes_to_the_shop_later_behind_the_readings_and_on_after_a_break(
    shop, device, make_hand, complaints, long
):
    one = device("phone", **PHONE)
    other = device("other phone", **PHONE) if long else one
    job = at_marks(one)
    one.page.evaluate(SYNC)
    network = {"there": False, "parts": 0}
    asked: list[str] = []

    def through(route: Any) -> None:
        request = route.request
        part = request.method == "PUT" and "/api/photos/" in request.url
        network["parts"] += part
        if not network["there"] or (part and network["parts"] == 2):
            return route.abort()
        asked.append(f"{request.method} {request.url.removeprefix(shop.address).split('?')[0]}")
        return route.continue_()

    one.page.context.route("**/api/**", through)
    one.go(job, "propped/1")
    take(one, camera())
    expect(one.page.locator(".photo-thumb img")).to_have_js_property("complete", True)
    (row,) = one.page.evaluate(ROWS)
    kept = base64.b64decode(one.page.evaluate(BYTES, row["sha256"]))
    assert row["state"] == "waiting"
    assert len(kept) == row["size"] < 330_000
    assert row["size"] > photos.PART * 2
    for trace in (b"Exif", b"GPS", b"http://ns.adobe.com", (53).to_bytes(4, "big") + (1).to_bytes(4, "big")):
        assert trace not in kept

    # Closed and opened again: the photo and its record are still there, and a reading is entered after it.
    page = one.page.context.new_page()
    one.page.close()
    one = Hand(page, shop.address)
    one.go(job, "propped/1")
    expect(page.locator(".photo-thumb img")).to_be_visible()
    body = {"what": "body-height", "side": "left", "value": 187.0}
    append(one, job, [["reading", body]])
    network["there"] = True
    page.evaluate(SEND)
    assert not [line for line in asked if line.startswith("PUT")], "readings go first"
    page.evaluate(SYNC)

    if long:
        other.page.evaluate(SYNC)
        other.go(job, "list")
        other.page.locator(".photo-thumb").scroll_into_view_if_needed()
        expect(other.page.locator(".photo-thumb")).to_have_text("Photo not here yet")

    def whole() -> bool:
        page.evaluate(SEND)
        return page.evaluate(ROWS)[0]["state"] == "shop"

    until(whole, page)
    lines = [line for line in asked if "photos" in line or line.startswith("POST /api/entries")]
    assert lines[0] == "POST /api/entries"
    assert network["parts"] == 1 + -(-row["size"] // photos.PART), "only the part that was cut off went twice"
    assert sum(line.endswith("/held") for line in lines) >= 2, "what is there is asked for after the break"
    (name, kind, said), *rest = shop.app.state.book._store.read(lambda db: list(photos.names(db)))
    assert (name, kind, rest) == (row["sha256"], "image/jpeg", [])
    assert (said["width"] / said["height"], said["shows"], said["side"]) == (0.75, "marks", "left")

    if long:
        seen_elsewhere(job, said, one, other, device("PC", **PC), make_hand(**PHONE))

    # What the page's network was refused, it says on its console.
    complaints[:] = [line for line in complaints if "ERR_FAILED" not in line]


def seen_elsewhere(job: str, said: Any, one: Hand, other: Hand, pc: Hand, third: Hand) -> None:
    """On another phone, on the PC's paper, and in the file of the job on a device without a shop."""
    other.page.reload()
    other.stands()
    other.page.locator(".photo-thumb").scroll_into_view_if_needed()
    seen = other.page.locator(".photo-thumb img")
    expect(seen).to_be_visible()
    assert seen.evaluate("image => [image.naturalWidth, image.naturalHeight]") == [
        said["width"],
        said["height"],
    ]
    # On the PC's sheet for the next mechanic.
    pc.page.evaluate(SYNC)
    pc.go(job, "sheet")
    paper = pc.page.locator(".sheet-photos figure")
    expect(paper).to_contain_text("Paint marks, left, teardown 1")
    expect(paper.locator("img")).to_be_visible()
    assert paper.locator("img").evaluate("image => image.naturalHeight") == said["height"]

    # In the file of the job, which another device without a shop opens; removed, it is on neither any more.
    text = one.page.evaluate(EXPORTED, job)
    third.open()
    third.page.evaluate("async (text) => (await import('/book/file.js')).imported(text)", text)
    third.go(job, "list")
    third.page.locator(".photo-thumb").scroll_into_view_if_needed()
    third.hit(third.page.locator(".photo-thumb"))
    expect(third.page.get_by_role("dialog").locator("img")).to_be_visible()
    third.hit(third.page.get_by_role("button", name="Remove photo"))
    expect(third.page.locator(".photo-thumb")).to_have_count(0)
    assert third.page.evaluate(ROWS)[0]["state"] == "removed"


@pytest.mark.long("photos on a full disk: offline/test_full; a reading that finds no room: test_phone")
def test_a_photo_that_finds_no_room_says_so_on_the_screen_and_a_reading_is_kept(shop, make_hand):
    one = make_hand(**PHONE)
    one.address = shop.address
    one.open()
    job = at_marks(one)
    # A disk that is really full is tried in offline/test_full; here only what the screen makes of it.
    one.page.context.add_init_script(
        """
        const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (value, ...key) {
          if (value instanceof ArrayBuffer) throw new DOMException("full", "QuotaExceededError");
          return put.call(this, value, ...key);
        };
        """
    )
    one.page.reload()
    one.go(job, "propped/1")
    take(one, camera())
    expect(one.page.locator(".kept")).to_have_text(
        "This phone has no room left for a photo. Readings go on. Free some storage, or sync so that photos can"
        " make room."
    )
    expect(one.page.locator(".photo-thumb")).to_have_count(0)
    assert one.page.evaluate(ROWS) == []
    append(one, job, [["reading", {"what": "body-height", "side": "left", "value": 187.0}]])


WINDOWS = ((360, 640), (640, 360), (412, 915), (915, 412), (1440, 900))
UNREACHED = """
() => [...document.querySelectorAll('.photo-place label')].flatMap((key) => {
  const { left, right, top, bottom } = key.getBoundingClientRect();
  const spots = [[left + 3, top + 3], [right - 3, top + 3], [left + 3, bottom - 3], [right - 3, bottom - 3]];
  return spots.filter(([x, y]) => !key.contains(document.elementFromPoint(x, y)));
})
"""
"""Corners of keys for a photo that a finger does not find: out of the window, or below something else."""
COVERED = """
() => {
  const box = (node) => {
    const words = document.createRange();
    words.selectNodeContents(node);
    return words.getBoundingClientRect();
  };
  const photo = box(document.querySelector('.photo-place label > span'));
  const others = [...document.querySelectorAll('.how-fold, .picture svg text, .picture .facing')];
  return others.filter((node) => node.checkVisibility()).filter((node) => {
    const { left, right, top, bottom } = box(node);
    return left < photo.right && right > photo.left && top < photo.bottom && bottom > photo.top;
  }).map((node) => node.textContent);
}
"""
"""Words that stand where the key's word does."""


def in_reach(page: Page) -> None:
    """Wait until the screen has settled in its window with every key for a photo in reach."""
    page.wait_for_function(f"() => !({UNREACHED})().length")


@pytest.mark.same_page
def test_the_key_for_a_photo_is_in_reach_on_every_step_that_offers_one_however_low_the_window(phone, long):
    windows = WINDOWS if long else WINDOWS[:2]
    job = chosen(phone)
    page = phone.page
    offered = set()
    phone.go(job, "propped/1?at=0")
    steps = int(page.locator(".car-bar .car").inner_text().split(" of ")[1])
    for at in range(steps) if long else (4, 10):
        phone.go(job, f"propped/1?at={at}")
        if not page.locator(".photo-place").count():
            continue
        page.locator(".photo-place:not([hidden])").wait_for()
        offered.add(page.locator("main h1").inner_text())
        for width, height in windows:
            page.set_viewport_size({"width": width, "height": height})
            in_reach(page)
            assert page.evaluate(COVERED) == [], (at, width, height)
    assert len(offered) >= (8 if long else 1)
    # And where an angle is read.
    for side in ("left", "right") if long else ("left",):
        phone.go(job, f"read/riding-angle/{side}")
        page.locator(".photo-place:not([hidden])").wait_for()
        for width, height in windows:
            page.set_viewport_size({"width": width, "height": height})
            in_reach(page)
