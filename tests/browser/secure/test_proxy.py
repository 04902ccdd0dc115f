"""A shop behind a real proxy: phones come by HTTPS and HTTP/2, work without the network, and are in step."""

from collections.abc import Callable
from pathlib import Path

import pytest
from browser.conftest import UNHURRIED
from browser.hand import until
from browser.secure.conftest import NAME
from browser.secure.test_trust import READ, SYNC, opened
from playwright.sync_api import Browser, Page
from service.proxy import AUTHORITY, behind_proxy

from bothends.book import devices
from bothends.book.store import visit

pytestmark = pytest.mark.slow(seconds=15)

PAIR = "async ([code, name]) => { await (await import('/shop/pairing.js')).pair(code, name); }"
PROTOCOLS = "() => performance.getEntriesByType('resource').map((one) => one.nextHopProtocol)"
HEIGHTS = """
async () => (await (await import('/book/log.js')).everything())
  .filter(({ kind }) => kind === "reading").map(({ job, body }) => [job, body.value])
"""
APPEND = """
async ([job, value]) =>
  (await import('/book/log.js')).append(job, [["reading", { what: "body-height", side: "left", value }]])
"""


def test_phones_pair_sync_are_in_step_and_start_without_the_network_behind_a_proxy(
    browsers: Callable[..., Browser], tmp_path: Path
) -> None:
    with behind_proxy(tmp_path, (NAME,)) as (shop,):
        browser = browsers(tmp_path / AUTHORITY)

        def phone(name: str, *, keeps: bool = False) -> Page:
            context = browser.new_context(service_workers="allow" if keeps else "block")
            if not keeps:
                context.add_init_script(UNHURRIED)
            page = opened(context.new_page(), f"{shop.address}/", keeps=keeps)
            page.evaluate(PAIR, [visit(shop.data, devices.new_code)[0], name])
            return page

        writer, other = phone("Tove’s phone"), phone("Maren’s phone", keeps=True)
        assert "h2" in writer.evaluate(PROTOCOLS)
        writer.evaluate(READ, 214)
        writer.evaluate(SYNC)
        other.evaluate(SYNC)
        ((job, value),) = other.evaluate(HEIGHTS)
        assert value == 214
        # With the job on the screen of the other nothing is asked for: what is entered comes by the stream.
        other.evaluate("(job) => (location.hash = `#/${job}/list`)", job)
        other.get_by_text("214").first.wait_for()
        writer.evaluate(APPEND, [job, 226])
        until(lambda: [job, 226] in other.evaluate(HEIGHTS), other)
    # Proxy and shop are gone.
    other.reload()
    other.locator("main h1").wait_for()
    assert [job, 226] in other.evaluate(HEIGHTS)
