"""The help page as people see it: read on any device, in both themes, and the way from it to the trusted app."""

import hashlib
import ssl
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from browser.conftest import HERE, PC, PHONE
from browser.secure.conftest import Shop
from browser.secure.test_trust import opened
from playwright.sync_api import Browser, Page

SIZES = {"phone": PHONE, "pc": {**PC, "is_mobile": False, "has_touch": False}}


@pytest.fixture(scope="module")
def judge(chromium_told: Browser, axe_source: str) -> Iterator[Callable[..., tuple[Page, list[str]]]]:
    """Opens the help page as a device of that kind would; the page, and what axe holds against it."""
    made = []

    def look(address: str, **options: Any) -> tuple[Page, list[str]]:
        # The page's own policy lets no script in, the checker included; only here is that set aside.
        context = chromium_told.new_context(**options, bypass_csp=True)
        made.append(context)
        context.set_default_timeout(20_000)
        page = context.new_page()
        page.add_init_script(path=HERE / "probes.js")
        page.goto(address)
        page.evaluate("() => document.querySelectorAll('details').forEach((one) => (one.open = true))")
        page.evaluate(axe_source)
        return page, list(page.evaluate("() => probes.axe()"))

    yield look
    for context in made:
        context.close()


OTHERS = pytest.mark.long("a phone in the light, a PC in the dark")


@pytest.mark.parametrize(
    ("size", "theme"),
    [
        ("phone", "light"),
        ("pc", "dark"),
        pytest.param("phone", "dark", marks=OTHERS),
        pytest.param("pc", "light", marks=OTHERS),
    ],
)
def test_axe_finds_nothing_on_the_help_page_and_nothing_is_cut_off(
    shop_of_all: Shop, judge: Callable[..., tuple[Page, list[str]]], size: str, theme: str
) -> None:
    page, wrong = judge(f"{shop_of_all.help}/", **SIZES[size], color_scheme=theme)
    assert wrong == []
    assert page.evaluate("() => probes.cut()") == []
    assert page.evaluate("() => probes.keys()[1]") == []


def test_its_certificate_is_the_authoritys_and_its_fingerprint_stands_on_the_page(
    shop_of_all: Shop, phone_of: Callable[..., Page]
) -> None:
    page = phone_of()
    page.goto(f"{shop_of_all.help}/")
    der = ssl.PEM_cert_to_DER_cert(shop_of_all.authority.read_text())
    page.get_by_text("Linux").click()
    for name, ending, content in (
        ("1. Get the shop’s certificate", "crt", der),
        ("the certificate as text", "pem", shop_of_all.authority.read_bytes()),
    ):
        with page.expect_download() as download:
            page.get_by_role("link", name=name).click()
        assert download.value.suggested_filename == f"bothends-authority.{ending}"
        assert Path(download.value.path()).read_bytes() == content
    figures = hashlib.sha256(der).hexdigest().upper()
    assert ":".join(figures[at : at + 2] for at in range(0, 64, 2)) in page.locator("main").inner_text()


@pytest.mark.long(
    "that the picture for a new device leads there, and from there its code to the app: test_pairing.py"
)
def test_a_device_that_trusts_the_shop_gets_from_the_help_page_to_the_app(
    shop_of_all: Shop, phone_of: Callable[..., Page]
) -> None:
    page = phone_of(shop_of_all)
    page.goto(f"{shop_of_all.help}/")
    page.get_by_role("link", name="3. Go on to Bothends").tap()
    page.wait_for_url(f"{shop_of_all.address}/")
    page.locator("main h1").wait_for()
    # Whoever types or scans the plain address of anything else is sent on, a pairing code with it.
    opened(page, f"{shop_of_all.help}/index.html#pair=ABCDEFGH")
    assert page.url == f"{shop_of_all.address}/index.html#/pair"
    assert page.get_by_label("Pairing code").input_value() == "ABCDEFGH"
