"""The service worker: whole versions only, changed with consent and never over something typed.

Two phones stand through most of it, one that goes from version to version and one with the first it ever had.
"""

import contextlib
import itertools
from collections.abc import Iterator
from functools import partial
from typing import Any

import pytest
from browser.conftest import PATIENCE_MS, PHONE, UNHURRIED
from browser.hand import until
from browser.offline import versions
from browser.offline.conftest import HERE, Phone
from browser.offline.gate import Gate
from browser.offline.shop import Shop
from playwright.sync_api import Browser, expect

serve = partial(versions.serve, whole=False)

AT_REST = """async () => {
  const found = await navigator.serviceWorker.getRegistration();
  return !found.installing && !found.waiting;
}"""
APP = "/bench.html?app"
BENCH = (HERE / "bench.html").read_bytes()
NUMBERS = itertools.count(1)


def version(name: str) -> dict[str, bytes]:
    """What is changed in a version: its page says its name."""
    return {"/bench.html": BENCH.replace(b'id="version">A', f'id="version">{name}'.encode())}


@contextlib.contextmanager
def installed(chromium: Browser, shop: Shop, script: str = "", **listed: Any) -> Iterator[tuple[Phone, Gate]]:
    """A phone with a first version of the app, of which this is listed too, and its gate, for tests in a row."""
    gate = Gate(shop.address, shop.web)
    serve(gate, version("A"), **listed)
    context = chromium.new_context(**PHONE)
    context.set_default_timeout(PATIENCE_MS)
    context.add_init_script(UNHURRIED + script)
    complaints: list[str] = []
    phone = Phone(context, gate, complaints)
    phone.page.goto(gate.address + APP)
    phone.page.wait_for_function("() => navigator.serviceWorker.controller")
    yield phone, gate
    context.close()
    gate.down()
    assert complaints == []


@pytest.fixture(scope="module")
def through_all(chromium, shop_of_all):
    """A phone that goes from version to version."""
    with installed(chromium, shop_of_all) as made:
        yield made


@pytest.fixture
def gate(through_all):
    """The gate of that phone, open, with the version that it has: whatever an earlier test did there."""
    phone, gate = through_all
    if not gate.is_up:
        gate.up()
    serve(gate, version(version_of(phone.page)))
    return gate


@pytest.fixture
def ready(through_all, gate):
    """That phone with one page, nothing typed there, and its worker in charge."""
    phone, _ = through_all
    for page in phone.context.pages[1:]:
        page.close()
    phone.page.goto(gate.address + APP)
    expect(phone.page.locator("#app")).to_contain_text("ready:")
    return phone


def another(gate: Gate, **options: Any) -> tuple[str, str]:
    """Serve a version that no phone has seen; its name and its hash."""
    name = f"B{next(NUMBERS)}"
    return name, serve(gate, version(name), **options)


def look(page):
    """Ask for an update now, as a page does when it comes into view."""
    page.evaluate("() => bench.update.lookForUpdate().then(() => null)")


def caches_of(page) -> list[str]:
    return page.evaluate("() => caches.keys()")


def version_of(page) -> str:
    return page.locator("#version").inner_text()


def test_the_worker_and_its_list_are_never_taken_from_the_http_cache(ready, gate):
    told = ready.page.evaluate("""async () => {
        const found = await navigator.serviceWorker.getRegistration();
        const asked = (path) => fetch(path).then((reply) => reply.headers.get("Cache-Control"));
        return [found.updateViaCache, await asked("/sw.js"), await asked("/assets.js")];
    }""")
    assert told == ["none", "no-cache", "no-cache"]
    gate.seen.clear()
    look(ready.page)
    assert {path for _, path in gate.seen} >= {"/sw.js"}


def test_a_new_version_waits_until_the_user_agrees_and_the_outbox_is_intact_after_it(ready, gate):
    page = ready.page
    shown, before, waiting = version_of(page), ready.ids(), ready.counts()["waiting"]
    made = ready.readings(1, 2)
    first = caches_of(page)
    name, second = another(gate)
    gate.seen.clear()
    look(page)
    page.get_by_role("button", name="Update").wait_for()
    # Only what has changed was fetched.
    assert {path for _, path in gate.seen} - {"/sw.js", "/assets.js"} == {"/bench.html"}
    # Until then every page, a new one too, is the old version.
    page.reload()
    page.locator("body[data-ready=yes]").wait_for()
    assert version_of(page) == shown
    page.get_by_role("button", name="Update").click()
    expect(page.locator("#version")).to_have_text(name)
    page.locator("body[data-ready=yes]").wait_for()
    assert ready.ids() == sorted([*before, *(e["id"] for e in made)])
    assert ready.counts() == {"waiting": waiting + 2, "shop": 0, "refused": 0}
    expect(page.locator("#app")).to_contain_text("ready:")
    assert caches_of(page) == [f"bothends-{second}"] != first


def test_unsaved_input_holds_the_update_and_says_so(ready, gate):
    page = ready.page
    shown = version_of(page)
    name, _ = another(gate)
    look(page)
    page.locator("#typed").fill("214")
    page.get_by_role("button", name="Update").click()
    page.get_by_text("is not saved").wait_for()
    assert version_of(page) == shown
    assert page.locator("#typed").input_value() == "214"
    page.get_by_role("button", name="Save").click()
    page.get_by_text("Saved on this phone.").wait_for()
    page.get_by_role("button", name="Update").click()
    expect(page.locator("#version")).to_have_text(name)


def test_input_in_another_tab_holds_the_update_as_well(ready, gate):
    other = ready.open(APP)
    other.locator("#typed").fill("215")
    name, _ = another(gate)
    look(ready.page)
    ready.page.get_by_role("button", name="Update").click()
    ready.page.get_by_text("is not saved").wait_for()
    other.locator("#typed").fill("")
    ready.page.get_by_role("button", name="Update").click()
    for page in (ready.page, other):
        expect(page.locator("#version")).to_have_text(name)


def test_a_page_that_is_typed_in_while_another_changes_the_version_reloads_only_when_that_is_saved(
    ready, gate
):
    other = ready.open(APP)
    shown = version_of(other)
    name, _ = another(gate)
    look(ready.page)
    ready.page.get_by_role("button", name="Update").wait_for()
    other.evaluate(
        "() => bench.tabs.listen((m) => m.what === 'unsaved?' && (document.querySelector('#typed').value = '7'))"
    )
    # Asked before the typing, answered no: the other listener was first.
    ready.page.get_by_role("button", name="Update").click()
    expect(ready.page.locator("#version")).to_have_text(name)
    other.get_by_text("is not saved").wait_for()
    assert version_of(other) == shown
    assert other.locator("#typed").input_value() == "7"
    other.get_by_role("button", name="Save").click()
    expect(other.locator("#version")).to_have_text(name)


@pytest.mark.parametrize("how", ["a file is missing", "a file is not the one listed", "the worker is broken"])
def test_a_broken_new_version_leaves_the_old_one_working(ready, gate, how):
    page = ready.page
    shown, before = version_of(page), caches_of(page)
    another(gate, lies=["/bench.js"] if "not the one" in how else [])
    if "missing" in how:
        gate.files["/bench.html"] = None
    if "broken" in how:
        gate.files["/assets.js"] = b"self.ASSETS = {"
    page.evaluate("() => bench.update.lookForUpdate()?.then(() => null)")
    until(lambda: page.evaluate(AT_REST), page)
    gate.down()
    page.reload()
    page.locator("body[data-ready=yes]").wait_for()
    assert version_of(page) == shown
    assert page.get_by_role("button", name="Update").count() == 0
    ready.readings(1)
    assert caches_of(page) == before


def test_answers_of_the_shop_are_never_kept_by_the_worker(ready, gate):
    page = ready.page
    assert page.evaluate("() => fetch('/api/health').then((reply) => reply.status)") == 200
    kept = page.evaluate("""async () => {
        const out = [];
        for (const name of await caches.keys()) {
            for (const { url } of await (await caches.open(name)).keys()) out.push(url);
        }
        return out;
    }""")
    assert [url for url in kept if "/api/" in url or url.endswith(("/sw.js", "/assets.js"))] == []
    gate.down()
    assert (
        page.evaluate("() => fetch('/api/health').then((reply) => reply.status, () => 'no answer')")
        == "no answer"
    )


def test_an_address_of_the_shop_opened_as_a_page_is_the_shops_answer_and_not_the_app(ready, gate):
    ready.page.goto(f"{gate.address}/api/health")
    assert '"status":"ok"' in ready.page.locator("body").inner_text()


PAGES = {f"/screens/shop/{name}.js": b"export const proof = 1;" for name in ("wanted", "kept")}
SCREEN = {"/screens/proof.js": b"export const proof = 1;"}
FETCH = "(path) => fetch(path).then((reply) => reply.text(), (error) => error.name)"
NOTED = """
sessionStorage.loads = Number(sessionStorage.loads || 0) + 1;
document.addEventListener("DOMContentLoaded", () => (document.querySelector("#typed").value = "214"));
"""
"""Counts loads, and types before any worker can have come."""


@pytest.fixture(scope="module")
def with_first(chromium, shop_of_all):
    """A phone with the first version it ever had: a screen is kept soon, pages of the shop's PC later."""
    with installed(chromium, shop_of_all, NOTED, soon=SCREEN, later=PAGES) as made:
        yield made


@pytest.fixture
def first(with_first):
    """That phone and its gate, which is open."""
    phone, gate = with_first
    if not gate.is_up:
        gate.up()
    return phone, gate


def test_the_first_worker_takes_charge_without_reloading_the_page(first):
    page = first[0].page
    page.evaluate("() => new Promise((done) => setTimeout(done, 0))")
    # The bench without the app, which the phone had opened before, and this one.
    assert page.evaluate("() => sessionStorage.loads") == "2"
    assert page.locator("#typed").input_value() == "214"


def test_a_page_of_the_shops_pc_is_fetched_when_first_wanted_and_kept_from_then_on(first):
    phone, gate = first
    wanted = "/screens/shop/wanted.js"
    assert wanted not in {path for _, path in gate.seen}
    got = phone.page.evaluate(FETCH, wanted)
    gate.down()
    assert got == phone.page.evaluate(FETCH, wanted) == "export const proof = 1;"


def test_a_phone_that_belongs_to_a_shop_keeps_the_shops_pages_unasked(first):
    page = first[0].page
    page.evaluate("() => bench.update.keepShopPages()")
    page.wait_for_function("() => caches.match('/screens/shop/kept.js')")


def test_a_screen_after_the_first_plan_is_kept_before_the_app_says_that_it_works_offline(first):
    phone, gate = first
    expect(phone.page.locator("#app")).to_contain_text("ready: Works offline.")
    gate.down()
    assert phone.page.evaluate(FETCH, "/screens/proof.js") == "export const proof = 1;"


def test_a_new_version_has_every_screen_before_it_is_offered(first):
    phone, gate = first
    page = phone.page
    expect(page.locator("#app")).to_contain_text("ready:")
    # Nothing typed holds it up.
    page.locator("#typed").fill("")
    serve(gate, soon={"/screens/proof.js": b"export const proof = 2;"})
    look(page)
    button = page.get_by_role("button", name="Update")
    button.wait_for()
    gate.down()
    button.tap()
    expect(button).to_be_hidden()
    expect(page.locator("#app")).to_contain_text("ready:")
    assert page.evaluate(FETCH, "/screens/proof.js") == "export const proof = 2;"


def test_an_app_that_lacks_a_screen_does_not_say_that_it_works_offline_and_shows_no_file_of_another_version(
    chromium, shop_of_all
):
    lies = [*SCREEN, "/screens/shop/wanted.js"]
    with installed(chromium, shop_of_all, soon=SCREEN, later=PAGES, lies=lies) as (phone, _):
        page = phone.page
        expect(page.locator("#app")).to_contain_text("not every screen is here yet")
        assert page.evaluate(FETCH, "/screens/shop/wanted.js") == "TypeError"
        # Nor at the next start.
        page.reload()
        expect(page.locator("#app")).to_contain_text("partly:")
