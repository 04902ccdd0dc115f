"""Paired by the picture that the shop's PC shows, over HTTPS; and what a phone does whose access was ended."""

from collections.abc import Callable

import pytest
from browser.conftest import PC
from browser.scanned import codes
from browser.secure.conftest import NAME, Shop
from browser.secure.test_trust import ACCESS, COUNTS, IDS, READ, SYNC, opened, paired
from playwright.sync_api import Page, expect


def test_a_phone_is_paired_by_the_pictures_on_the_pcs_screen_trust_first_and_its_readings_arrive(
    shop_of_all: Shop, phone_of: Callable[..., Page]
) -> None:
    pc = paired(phone_of(shop_of_all, **PC, is_mobile=False, has_touch=False), shop_of_all)
    pc.evaluate("location.hash = '#/devices'")
    pc.get_by_role("button", name="Show a code for a new device").click()
    pc.wait_for_function(
        "() => [...document.querySelectorAll('img.qr')].filter((one) => one.naturalWidth > 0).length === 2"
    )
    first, address = sorted(codes(pc.screenshot()))
    # A new phone trusts the shop first, or it meets a warning in place of the app.
    assert first == f"{shop_of_all.help}/"
    expect(pc.get_by_role("heading", name="First: trust this shop")).to_be_visible()
    # The name, and not whatever number the machine has today: what is entered there stays with that address.
    assert address.startswith(f"https://{NAME}:{shop_of_all.port}/#pair=")
    phone = opened(phone_of(shop_of_all), address)
    secret = address.partition("#pair=")[2]
    expect(phone.get_by_label("Pairing code")).to_have_value(secret)
    assert secret not in phone.url
    phone.get_by_label("Name of this").fill("Tove’s phone")
    phone.get_by_role("button", name="Pair", exact=True).tap()
    phone.get_by_role("heading", name="Paired").wait_for()
    expect(pc.get_by_role("row").filter(has_text="Tove’s phone")).to_be_visible()
    phone.evaluate(READ, 214)
    phone.evaluate(SYNC)
    expected = phone.evaluate(IDS)
    assert len(expected) == 2
    pc.evaluate(SYNC)
    assert pc.evaluate(IDS) == expected


@pytest.mark.long("the same over plain http: offline/test_bench_phone.py and test_sync.py")
def test_a_phone_whose_access_was_ended_says_so_keeps_everything_and_is_paired_again(
    shop: Shop, phone_of: Callable[..., Page]
) -> None:
    page = paired(phone_of(shop), shop)
    page.evaluate(READ, 214)
    page.evaluate(SYNC)
    assert page.evaluate(COUNTS) == {"waiting": 0, "shop": 2, "refused": 0}
    shop.end_access(page.evaluate(ACCESS)["id"])
    page.evaluate(READ, 216)
    page.evaluate(SYNC)
    kept = page.evaluate(IDS)
    page.evaluate("location.hash = '#/settings'")
    expect(page.locator("main .shop")).to_contain_text("no longer accepts the key of this phone")
    expect(page.locator("main .shop")).to_contain_text("everything is kept here")
    page.reload()
    page.locator("main h1").wait_for()
    assert page.evaluate(IDS) == kept
    assert page.evaluate(COUNTS) == {"waiting": 2, "shop": 2, "refused": 0}
    page.get_by_role("link", name="Pair again", exact=True).tap()
    page.get_by_label("Pairing code").fill(shop.new_code())
    page.get_by_role("button", name="Pair", exact=True).tap()
    page.get_by_role("heading", name="Paired").wait_for()
    page.evaluate(SYNC)
    assert page.evaluate(IDS) == kept
    assert page.evaluate(COUNTS) == {"waiting": 0, "shop": 4, "refused": 0}


@pytest.mark.long("the step of trust beside the code of a new device")
def test_the_step_of_trust_stands_beside_the_code_of_a_short_link_too(
    shop_of_all: Shop, phone_of: Callable[..., Page]
) -> None:
    page = paired(phone_of(shop_of_all), shop_of_all)
    begin = "async () => (await (await import('/book/log.js')).begin([['job', {title: 'Knot, Runa'}]])).job"
    job = page.evaluate(begin)
    page.evaluate(SYNC)
    page.evaluate("(job) => { location.hash = `#/${job}/share`; }", job)
    page.get_by_role("button", name="Make a short link").tap()
    page.wait_for_function(
        "() => [...document.querySelectorAll('img.qr')].filter((one) => one.naturalWidth > 0).length === 2"
    )
    # The link's own picture is what comes into sight; the step stands above it.
    code, trust = page.locator(".made > img.qr"), page.locator(".trust img.qr")
    expect(code).to_be_in_viewport(ratio=1)
    assert page.get_by_label("The short link").input_value() in codes(page.screenshot())
    trust.scroll_into_view_if_needed()
    assert f"{shop_of_all.help}/" in codes(page.screenshot())


def test_a_link_to_a_job_leads_to_the_pcs_own_log_at_whichever_loopback_address_it_is_opened(
    shop_of_all: Shop, phone_of: Callable[..., Page], long: bool
) -> None:
    page = phone_of(shop_of_all, **PC, is_mobile=False, has_touch=False)
    page.goto(f"{shop_of_all.local}/")
    page.locator("main h1").wait_for()
    begin = "async () => (await (await import('/book/log.js')).begin([['job', {title: 'Plover, Tove'}]])).job"
    job = page.evaluate(begin)
    port = shop_of_all.local.rpartition(":")[2]
    own = f"{shop_of_all.local}/#/{job}/list"
    # Of another origin in every way is the first; the rest share its name or its number with the PC's own.
    others = (
        f"https://localhost:{shop_of_all.port}",
        f"http://localhost:{port}",
        f"https://127.0.0.1:{shop_of_all.port}",
    )
    for other in others if long else others[:1]:
        page.goto("about:blank")
        page.goto(f"{other}/#/{job}/list")
        page.wait_for_url(own)
        expect(page.locator(".car-bar .car")).to_have_text("Plover, Tove")


@pytest.mark.long(
    "that a job which is not here is fetched: offline/test_some.py; a link to one that is nowhere"
)
def test_a_link_to_a_job_that_a_paired_device_has_not_fetched_yet_fetches_it(
    shop_of_all: Shop, phone_of: Callable[..., Page]
) -> None:
    one = paired(phone_of(shop_of_all), shop_of_all)
    other = paired(phone_of(shop_of_all), shop_of_all)
    begin = "async () => (await (await import('/book/log.js')).begin([['job', {title: 'Knot, Runa'}]])).job"
    job = one.evaluate(begin)
    one.evaluate(SYNC)
    other.evaluate("(job) => { location.hash = `#/${job}/list`; }", job)
    expect(other.locator(".car-bar .car")).to_have_text("Knot, Runa")
