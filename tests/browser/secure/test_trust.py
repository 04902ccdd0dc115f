"""A phone that trusts the shop's authority keeps the app; one that does not is told why, and loses nothing."""

import contextlib
import datetime as dt
import http.server
import shutil
import ssl
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from browser.conftest import PATIENCE_MS, PC, PHONE
from browser.hand import Hand
from browser.secure.conftest import ELSEWHERE, NAME, Shop, pairing, trusting
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec
from playwright.sync_api import Error, Page, Playwright, expect

from bothends.service.lan import authority, certificate

COUNTS = "async () => (await import('/book/outbox.js')).counts()"
IDS = "async () => (await (await import('/book/log.js')).everything()).map((entry) => entry.id).sort()"
ACCESS = "async () => (await import('/book/device.js')).access()"
SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
READY = """async () => {
    const { watchApp } = await import('/book/update.js');
    const more = ["starting", "partly"];
    return new Promise((done) => watchApp((state) => more.includes(state.worker) || done(state.worker)));
}"""
READ = """async (value) => {
    const { append, begin, jobs } = await import('/book/log.js');
    const { job } = await begin([["job", { title: `Knot, ${value}` }]]);
    await append(job, [["reading", { what: "body-height", side: "left", value, teardown: 0 }]]);
}"""


def opened(page: Page, address: str, *, keeps: bool = False) -> Page:
    """Go there and wait until the page stands; with ``keeps`` until its worker is in charge too."""
    page.goto(address)
    page.locator("main h1").wait_for()
    if keeps:
        assert page.evaluate(READY) == "ready"
        page.wait_for_function("() => navigator.serviceWorker.controller")
    return page


def paired(page: Page, shop: Shop, *, keeps: bool = False) -> Page:
    """Open the app and pair this phone by a code that came in the address."""
    opened(page, pairing(shop, shop.new_code()), keeps=keeps)
    page.get_by_role("button", name="Pair", exact=True).click()
    page.get_by_role("heading", name="Paired").wait_for()
    return page


def served_certificate(shop: Shop) -> bytes:
    """What the server shows, as it shows it."""
    return ssl.PEM_cert_to_DER_cert(ssl.get_server_certificate(("127.0.0.1", shop.port)))


@pytest.fixture(scope="module")
def kept_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A shop whose server and certificates come and go; it runs at the end of every test."""
    made = Shop(tmp_path_factory.mktemp("kept"))
    yield made
    if made._process.returncode is None:
        made.stop()


@pytest.fixture(scope="module")
def kept(playwright: Playwright, kept_shop: Shop, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A phone that was paired with that shop and has the app installed: one, through all that happens to it."""
    browser = trusting(playwright, tmp_path_factory.mktemp("home"), kept_shop.authority)
    context = browser.new_context(**PHONE)
    context.set_default_timeout(PATIENCE_MS)
    yield paired(context.new_page(), kept_shop, keeps=True)
    browser.close()


def test_a_phone_that_trusts_the_authority_keeps_the_app_and_opens_it_without_the_server(
    kept_shop: Shop, kept: Page
) -> None:
    shop, page = kept_shop, kept
    assert page.evaluate("isSecureContext")
    # What only secure pages of a browser get, and the bench under a car needs.
    asked = "() => ['wakeLock', 'locks', 'storage', 'serviceWorker'].filter((name) => !(name in navigator))"
    assert page.evaluate(asked) == []
    shop.stop()
    page.reload()
    expect(page.locator("main h1")).to_be_visible()
    known = page.evaluate(COUNTS)["shop"]
    page.evaluate(READ, 214)
    assert page.evaluate(COUNTS) == {"waiting": 2, "shop": known, "refused": 0}
    shop.start()


@pytest.mark.long("a certificate that goes and comes back, which asks nothing either")
def test_a_renewed_certificate_asks_nothing_of_a_phone(kept_shop: Shop, kept: Page) -> None:
    shop, page = kept_shop, kept
    page.evaluate(READ, 219)
    page.evaluate(SYNC)
    log, who = page.evaluate(IDS), page.evaluate(ACCESS)
    assert page.evaluate(COUNTS) == {"waiting": 0, "shop": len(log), "refused": 0}
    before, first = shop.authority.read_bytes(), served_certificate(shop)
    shop.stop()
    (shop.data / "tls" / "server.pem").unlink()
    shop.start()
    assert shop.authority.read_bytes() == before
    assert served_certificate(shop) != first
    page.reload()
    page.locator("main h1").wait_for()
    assert page.evaluate("() => Boolean(navigator.serviceWorker.controller)")
    assert page.evaluate(READY) == "ready"
    assert (page.evaluate(IDS), page.evaluate(ACCESS)) == (log, who)
    page.evaluate(READ, 221)
    page.evaluate(SYNC)
    assert page.evaluate(COUNTS) == {"waiting": 0, "shop": len(log) + 2, "refused": 0}
    # A phone that was told of the authority and never saw the first certificate comes in as well.
    browser = page.context.browser
    assert browser is not None
    other = browser.new_context()
    assert other.new_page().goto(f"{shop.address}/api/health")
    other.close()


def test_where_the_certificate_is_no_longer_trusted_readings_go_on_and_the_phone_says_why_it_cannot_sync(
    kept_shop: Shop, kept: Page, tmp_path: Path
) -> None:
    shop, page = kept_shop, kept
    job = Hand(page, shop.address).job()
    page.evaluate(SYNC)
    known = page.evaluate(COUNTS)["shop"]
    shop.stop()
    shutil.move(shop.data / "tls", tmp_path / "kept")
    shop.start()
    other = page.context.new_page()
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        other.goto(f"{shop.address}/api/health")
    other.close()
    page.goto(f"{shop.address}/#/settings")
    page.reload()
    page.locator("main h1").wait_for()
    # A reading as a hand takes it, with the fold that is made of it.
    phone = Hand(page, shop.address)
    phone.go(job, "read/body-height/left")
    phone.figure("208")
    phone.place("settings")
    page.evaluate(SYNC)
    expect(page.locator("main .shop")).to_contain_text("this phone does not trust its certificate")
    expect(page.locator("main")).to_contain_text("1 change not synced")
    way = page.get_by_role("link", name="How to trust the certificate")
    expect(way).to_have_attribute("href", shop.help + "/")
    assert page.evaluate(COUNTS) == {"waiting": 1, "shop": known, "refused": 0}
    # The authority comes back from a copy: what waited goes to the shop, and nobody does anything on the phone; it
    # looks again by itself, at the latest when it is back in the shop's network.
    shop.stop()
    shutil.rmtree(shop.data / "tls")
    shutil.move(tmp_path / "kept", shop.data / "tls")
    shop.start()
    page.evaluate("() => dispatchEvent(new Event('online'))")
    expect(page.locator("main .shop")).to_contain_text("Synced")
    assert page.evaluate(COUNTS) == {"waiting": 0, "shop": known + 1, "refused": 0}


def test_without_trust_no_page_is_shown(shop_of_all: Shop, phone_of: Callable[..., Page]) -> None:
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        phone_of().goto(f"{shop_of_all.address}/")


def test_whoever_steals_the_authority_is_believed_by_no_browser_for_a_site_of_the_internet(
    shop_of_all: Shop, phone_of: Callable[..., Page], tmp_path: Path
) -> None:
    tls = tmp_path / "tls"
    tls.mkdir()
    signer = authority.load(shop_of_all.authority, shop_of_all.authority.with_suffix(".key"))
    key = ec.generate_private_key(ec.SECP256R1())
    page = phone_of(shop_of_all)
    for name, trusted in ((NAME, True), (ELSEWHERE, False)):
        forged = certificate._sign(signer, key, [name], dt.datetime.now(dt.UTC).replace(microsecond=0))
        pem = tls / f"{name}.pem"
        pem.write_bytes(
            authority.secret_text(key) + forged.public_bytes(serialization.Encoding.PEM) + signer.pem
        )
        with answering(pem) as port:
            if trusted:
                page.goto(f"https://{name}:{port}/")
                assert page.locator("body").inner_text() == "here"
            else:
                with pytest.raises(Error, match="ERR_CERT_"):
                    page.goto(f"https://{name}:{port}/")


@contextlib.contextmanager
def answering(pem: Path) -> Iterator[int]:
    """A server that shows this certificate and says one word; its port."""

    class Answer(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/plain")
            self.send_header("Content-Length", "4")
            self.end_headers()
            self.wfile.write(b"here")

        def log_message(self, *_: object) -> None:
            pass

    class Server(http.server.ThreadingHTTPServer):
        def handle_error(self, *_: object) -> None:
            # A handshake that the browser broke off is what is looked for.
            pass

    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(pem)
    with Server(("127.0.0.1", 0), Answer) as server:
        server.socket = context.wrap_socket(server.socket, server_side=True, do_handshake_on_connect=False)
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield server.server_port
        finally:
            server.shutdown()
            thread.join()


def test_the_pcs_own_browser_needs_to_trust_nobody_at_the_door_for_this_machine(
    shop_of_all: Shop, phone_of: Callable[..., Page]
) -> None:
    # That a page which is secure is kept is seen above, and on loopback addresses in offline/.
    page = phone_of(**PC, is_mobile=False, has_touch=False)
    opened(page, f"{shop_of_all.local}/#here={shop_of_all.new_code()}")
    assert page.evaluate("isSecureContext")
    page.evaluate("location.hash = '#/settings'")
    expect(page.locator("main .shop")).to_contain_text("Synced")
    assert page.evaluate(ACCESS)["name"] == "Shop PC"


@pytest.mark.long("the same at the door for this machine")
def test_the_browser_of_the_shops_pc_is_let_in_by_the_address_it_was_opened_at(
    shop_of_all: Shop, phone_of: Callable[..., Page]
) -> None:
    page = phone_of(shop_of_all, is_mobile=False, has_touch=False, viewport={"width": 1440, "height": 900})
    code = shop_of_all.new_code()
    page.goto(pairing(shop_of_all, code, "here"))
    page.locator("main h1").wait_for()
    assert code not in page.url
    page.evaluate("location.hash = '#/settings'")
    expect(page.locator("main .shop")).to_contain_text("Synced")
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
        page.evaluate("async (code) => (await (await import('/shop/pairing.js')).pair(code, 'x')).name", code)
        == "x"
    )
