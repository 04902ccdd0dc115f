"""A short link and the service worker: nothing of it is kept, and an ended one is gone at once."""

from typing import Any

import pytest
from browser.offline.conftest import Phone
from browser.offline.versions import READY, serve
from playwright.sync_api import expect

KEPT = """
async () => {
  const names = await caches.keys();
  const all = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
  return all.flat().map(({ url }) => url);
}
"""


@pytest.fixture
def home(phones: Any, gate: Any) -> Phone:
    """A home builder's phone with the worker in charge, and every screen kept."""
    serve(gate)
    phone: Phone = phones(gate, hurried=True)
    phone.page.goto(gate.address)
    phone.page.wait_for_function("() => navigator.serviceWorker.controller")
    assert phone.page.evaluate(READY) == "ready"
    return phone


@pytest.fixture
def link(phones: Any, gate: Any, shop_of_all: Any) -> dict[str, Any]:
    """A short link to a job with one reading."""
    phone = phones(gate)
    phone.pair(shop_of_all)
    (made,) = phone.readings(214)
    phone.sync()
    found: dict[str, Any] = shop_of_all.ask("POST", "/api/links", {"job": made["job"]})
    return found


def test_the_worker_and_the_browser_keep_nothing_of_a_link(
    home: Phone, link: dict[str, Any], gate: Any, shop_of_all: Any
) -> None:
    answers: list[Any] = []
    home.page.on("response", lambda reply: "/api/links/" in reply.url and answers.append(reply))
    address = f"{gate.address}/#link={link['token']}"
    home.page.goto(address)
    expect(home.page.get_by_role("button", name="Keep a copy")).to_be_visible()
    assert answers[0].headers["cache-control"] == "no-store"
    assert not answers[0].from_service_worker
    kept = home.page.evaluate(KEPT)
    assert kept
    assert not [url for url in kept if "/api/" in url or link["token"] in url]
    # The page itself opens without the shop; the job does not.
    gate.down()
    home.page.reload()
    expect(home.page.get_by_role("alert").filter(has_text="cannot be reached")).to_be_visible()
    expect(home.page.get_by_role("button", name="Keep a copy")).to_have_count(0)
    gate.up()
    home.page.get_by_role("button", name="Try again").tap()
    expect(home.page.get_by_role("button", name="Keep a copy")).to_be_visible()
    shop_of_all.ask("DELETE", f"/api/links/{link['id']}")
    home.page.reload()
    expect(home.page.get_by_role("alert").filter(has_text="has expired or was ended")).to_be_visible()
    expect(home.page.get_by_role("button", name="Keep a copy")).to_have_count(0)
