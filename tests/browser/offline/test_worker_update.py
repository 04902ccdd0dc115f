"""The service worker: whole versions only, changed with consent and never over something typed."""

from functools import partial

import pytest
from browser.hand import until
from browser.offline import versions
from browser.offline.conftest import HERE
from playwright.sync_api import expect

serve = partial(versions.serve, whole=False)

AT_REST = """async () => {
  const found = await navigator.serviceWorker.getRegistration();
  return !found.installing && !found.waiting;
}"""
APP = "/bench.html?app"
BENCH = (HERE / "bench.html").read_bytes()
B = {"/bench.html": BENCH.replace(b'id="version">A', b'id="version">B')}


@pytest.fixture
def ready(phones, gate):
    """A phone on version A whose worker is in charge."""
    serve(gate)
    phone = phones(gate)
    phone.page.goto(gate.address + APP)
    expect(phone.page.locator("#app")).to_contain_text("ready:")
    phone.page.wait_for_function("() => navigator.serviceWorker.controller")
    return phone


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
    made = ready.readings(1, 2)
    first = caches_of(page)
    second = serve(gate, B)
    gate.seen.clear()
    look(page)
    page.get_by_role("button", name="Update").wait_for()
    # Only what has changed was fetched.
    assert {path for _, path in gate.seen} - {"/sw.js", "/assets.js"} == {"/bench.html"}
    # Until then every page, a new one too, is the old version.
    page.reload()
    page.locator("body[data-ready=yes]").wait_for()
    assert version_of(page) == "A"
    page.get_by_role("button", name="Update").click()
    expect(page.locator("#version")).to_have_text("B")
    page.locator("body[data-ready=yes]").wait_for()
    assert ready.ids() == sorted(e["id"] for e in made)
    assert ready.counts() == {"waiting": 2, "shop": 0, "refused": 0}
    expect(page.locator("#app")).to_contain_text("ready:")
    assert caches_of(page) == [f"bothends-{second}"] != first


def test_unsaved_input_holds_the_update_and_says_so(ready, gate):
    page = ready.page
    serve(gate, B)
    look(page)
    page.locator("#typed").fill("214")
    page.get_by_role("button", name="Update").click()
    page.get_by_text("is not saved").wait_for()
    assert version_of(page) == "A"
    assert page.locator("#typed").input_value() == "214"
    page.get_by_role("button", name="Save").click()
    page.get_by_text("Saved on this phone.").wait_for()
    page.get_by_role("button", name="Update").click()
    expect(page.locator("#version")).to_have_text("B")


def test_input_in_another_tab_holds_the_update_as_well(ready, gate):
    other = ready.open(APP)
    other.locator("#typed").fill("215")
    serve(gate, B)
    look(ready.page)
    ready.page.get_by_role("button", name="Update").click()
    ready.page.get_by_text("is not saved").wait_for()
    other.locator("#typed").fill("")
    ready.page.get_by_role("button", name="Update").click()
    for page in (ready.page, other):
        expect(page.locator("#version")).to_have_text("B")


def test_a_page_that_is_typed_in_while_another_changes_the_version_reloads_only_when_that_is_saved(
    ready, gate
):
    other = ready.open(APP)
    serve(gate, B)
    look(ready.page)
    ready.page.get_by_role("button", name="Update").wait_for()
    other.evaluate(
        "() => bench.tabs.listen((m) => m.what === 'unsaved?' && (document.querySelector('#typed').value = '7'))"
    )
    # Asked before the typing, answered no: the other listener was first.
    ready.page.get_by_role("button", name="Update").click()
    expect(ready.page.locator("#version")).to_have_text("B")
    other.get_by_text("is not saved").wait_for()
    assert version_of(other) == "A"
    assert other.locator("#typed").input_value() == "7"
    other.get_by_role("button", name="Save").click()
    expect(other.locator("#version")).to_have_text("B")


@pytest.mark.parametrize("how", ["a file is missing", "a file is not the one listed", "the worker is broken"])
def test_a_broken_new_version_leaves_the_old_one_working(ready, gate, how):
    page = ready.page
    before = caches_of(page)
    serve(gate, B, lie="/bench.js" if "not the one" in how else None)
    if "missing" in how:
        gate.files["/bench.html"] = None
    if "broken" in how:
        gate.files["/assets.js"] = b"self.ASSETS = {"
    page.evaluate("() => bench.update.lookForUpdate()?.then(() => null)")
    until(lambda: page.evaluate(AT_REST), page)
    gate.down()
    page.reload()
    page.locator("body[data-ready=yes]").wait_for()
    assert version_of(page) == "A"
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


def test_the_first_worker_takes_charge_without_reloading_the_page(phones, gate):
    serve(gate)
    phone = phones(gate)
    phone.page.add_init_script("sessionStorage.loads = Number(sessionStorage.loads || 0) + 1")
    phone.page.goto(gate.address + APP)
    phone.page.wait_for_function("() => navigator.serviceWorker.controller")
    phone.page.locator("#typed").fill("214")
    phone.page.evaluate("() => new Promise((done) => setTimeout(done, 0))")
    assert phone.page.evaluate("() => sessionStorage.loads") == "1"
    assert phone.page.locator("#typed").input_value() == "214"


PAGE = {"/screens/shop/proof.js": b"export const proof = 1;"}
FETCH = "(path) => fetch(path).then((reply) => reply.text(), (error) => error.name)"


def test_a_page_of_the_shops_pc_is_fetched_when_first_wanted_and_kept_from_then_on(phones, gate):
    serve(gate, later=PAGE)
    phone = phones(gate)
    phone.page.goto(gate.address + APP)
    phone.page.wait_for_function("() => navigator.serviceWorker.controller")
    assert not {path for _, path in gate.seen} & set(PAGE)
    first = phone.page.evaluate(FETCH, "/screens/shop/proof.js")
    gate.down()
    assert first == phone.page.evaluate(FETCH, "/screens/shop/proof.js") == "export const proof = 1;"


def test_a_phone_that_belongs_to_a_shop_keeps_the_shops_pages_unasked(phones, gate):
    serve(gate, later=PAGE)
    phone = phones(gate)
    phone.page.goto(gate.address + APP)
    phone.page.wait_for_function("() => navigator.serviceWorker.controller")
    phone.page.evaluate("() => bench.update.keepShopPages()")
    phone.page.wait_for_function("() => caches.match('/screens/shop/proof.js')")


def test_a_page_that_is_not_of_this_version_is_an_error_and_not_shown(phones, gate):
    serve(gate, later=PAGE, lie="/screens/shop/proof.js")
    phone = phones(gate)
    phone.page.goto(gate.address + APP)
    phone.page.wait_for_function("() => navigator.serviceWorker.controller")
    assert phone.page.evaluate(FETCH, "/screens/shop/proof.js") == "TypeError"


SCREEN = {"/screens/proof.js": b"export const proof = 1;"}


def test_a_screen_after_the_first_plan_is_kept_before_the_app_says_that_it_works_offline(phones, gate):
    serve(gate, soon=SCREEN)
    phone = phones(gate)
    phone.page.goto(gate.address + APP)
    expect(phone.page.locator("#app")).to_contain_text("ready: Works offline.")
    gate.down()
    assert phone.page.evaluate(FETCH, "/screens/proof.js") == "export const proof = 1;"


def test_an_app_that_lacks_a_screen_does_not_say_that_it_works_offline(phones, gate):
    serve(gate, soon=SCREEN, lie="/screens/proof.js")
    phone = phones(gate)
    phone.page.goto(gate.address + APP)
    expect(phone.page.locator("#app")).to_contain_text("not every screen is here yet")
    # Nor at the next start.
    phone.page.reload()
    expect(phone.page.locator("#app")).to_contain_text("partly:")


def test_a_new_version_has_every_screen_before_it_is_offered(phones, gate):
    serve(gate, soon=SCREEN)
    phone = phones(gate)
    phone.page.goto(gate.address + APP)
    expect(phone.page.locator("#app")).to_contain_text("ready:")
    serve(gate, soon={"/screens/proof.js": b"export const proof = 2;"})
    look(phone.page)
    button = phone.page.get_by_role("button", name="Update")
    button.wait_for()
    gate.down()
    button.tap()
    expect(button).to_be_hidden()
    expect(phone.page.locator("#app")).to_contain_text("ready:")
    assert phone.page.evaluate(FETCH, "/screens/proof.js") == "export const proof = 2;"
