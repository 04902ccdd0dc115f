"""A phone that trusts the shop's authority keeps the app; one that does not is told why, and loses nothing."""

import shutil
import ssl
from collections.abc import Callable
from pathlib import Path

import pytest
from browser.secure.conftest import Shop, pairing
from playwright.sync_api import Error, Page, expect

COUNTS = "async () => (await import('/book/outbox.js')).counts()"
ACCESS = "async () => (await import('/book/device.js')).access()"
SYNC = "async () => (await import('/book/pace.js')).syncNow()"
READY = """async () => {
    const { watchApp } = await import('/book/update.js');
    return new Promise((done) => watchApp((state) => state.worker === "starting" || done(state.worker)));
}"""
READ = """async (value) => {
    const { append, begin, jobs } = await import('/book/log.js');
    const { job } = await begin([["job", { title: `Knot, ${value}` }]]);
    await append(job, [["reading", { what: "body-height", side: "left", value, teardown: 0 }]]);
}"""


def opened(page: Page, address: str) -> Page:
    """Go there and wait until the page stands and its worker is in charge."""
    page.goto(address)
    page.locator("main h1").wait_for()
    assert page.evaluate(READY) == "ready"
    page.wait_for_function("() => navigator.serviceWorker.controller")
    return page


def paired(page: Page, shop: Shop) -> Page:
    """Open the app and pair this phone by a code that came in the address."""
    opened(page, pairing(shop, shop.new_code()))
    page.get_by_role("button", name="Pair", exact=True).click()
    page.get_by_role("heading", name="Paired").wait_for()
    return page


def served_certificate(shop: Shop) -> bytes:
    """What the server shows, as it shows it."""
    return ssl.PEM_cert_to_DER_cert(ssl.get_server_certificate(("127.0.0.1", shop.port)))


def test_a_phone_that_trusts_the_authority_keeps_the_app_and_opens_it_without_the_server(
    shop: Shop, phone_of: Callable[..., Page]
) -> None:
    page = opened(phone_of(shop), f"{shop.address}/")
    assert page.evaluate("isSecureContext")
    # What only secure pages of a browser get, and the bench under a car needs.
    asked = "() => ['wakeLock', 'locks', 'storage', 'serviceWorker'].filter((name) => !(name in navigator))"
    assert page.evaluate(asked) == []
    shop.stop()
    page.reload()
    expect(page.locator("main h1")).to_be_visible()
    page.evaluate(READ, 214)
    assert page.evaluate(COUNTS) == {"waiting": 2, "shop": 0, "refused": 0}


def test_a_renewed_certificate_asks_nothing_of_a_phone(shop: Shop, phone_of: Callable[..., Page]) -> None:
    page = paired(phone_of(shop), shop)
    authority, first = shop.authority.read_bytes(), served_certificate(shop)
    shop.stop()
    (shop.data / "tls" / "server.pem").unlink()
    shop.start()
    assert shop.authority.read_bytes() == authority
    assert served_certificate(shop) != first
    page.reload()
    page.locator("main h1").wait_for()
    page.evaluate(READ, 221)
    page.evaluate(SYNC)
    assert page.evaluate(COUNTS) == {"waiting": 0, "shop": 2, "refused": 0}
    # A phone that was told of the authority and never saw the first certificate comes in as well.
    opened(phone_of(shop), f"{shop.address}/")


def test_where_the_certificate_is_no_longer_trusted_readings_go_on_and_the_phone_says_why_it_cannot_sync(
    shop: Shop, phone_of: Callable[..., Page], tmp_path: Path
) -> None:
    page = paired(phone_of(shop), shop)
    shop.stop()
    shutil.move(shop.data / "tls", tmp_path / "kept")
    shop.start()
    page.goto(f"{shop.address}/#/settings")
    page.reload()
    page.locator("main h1").wait_for()
    page.evaluate(READ, 208)
    page.evaluate(SYNC)
    expect(page.locator("main .shop")).to_contain_text("this phone does not trust its certificate")
    way = page.get_by_role("link", name="How to trust the certificate")
    expect(way).to_have_attribute("href", f"http://shop.test:{shop.port + 1}/")
    assert page.evaluate(COUNTS) == {"waiting": 2, "shop": 0, "refused": 0}
    # The authority comes back from a copy: what waited goes to the shop, and nobody did anything on the phone.
    shop.stop()
    shutil.rmtree(shop.data / "tls")
    shutil.move(tmp_path / "kept", shop.data / "tls")
    shop.start()
    page.evaluate(SYNC)
    assert page.evaluate(COUNTS) == {"waiting": 0, "shop": 2, "refused": 0}


def test_without_trust_no_page_is_shown(shop_of_all: Shop, phone_of: Callable[..., Page]) -> None:
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        phone_of().goto(f"{shop_of_all.address}/")


def test_the_browser_of_the_shops_pc_is_let_in_by_the_address_it_was_opened_at(
    shop_of_all: Shop, phone_of: Callable[..., Page]
) -> None:
    page = phone_of(shop_of_all, is_mobile=False, has_touch=False, viewport={"width": 1440, "height": 900})
    code = shop_of_all.new_code()
    page.goto(pairing(shop_of_all, code, "here"))
    page.locator("main h1").wait_for()
    assert code not in page.url
    page.evaluate("location.hash = '#/settings'")
    expect(page.locator("main .shop")).to_contain_text("In step with the shop")
    first = page.evaluate(ACCESS)
    assert first["name"] == "Shop PC"
    # The next start brings a code too; a browser that has a key keeps it, and the code is not used up.
    page.goto("about:blank")
    code = shop_of_all.new_code()
    page.goto(pairing(shop_of_all, code, "here"))
    page.locator("main h1").wait_for()
    page.evaluate(SYNC)
    assert page.evaluate(ACCESS) == first
    assert (
        page.evaluate("async (code) => (await (await import('/book/device.js')).pair(code, 'x')).name", code)
        == "x"
    )
