"""Paired by the picture that the shop's PC shows, over HTTPS; and what a phone does whose access was ended."""

from collections.abc import Callable

from browser.conftest import PC
from browser.scanned import codes
from browser.secure.conftest import NAME, Shop
from browser.secure.test_trust import ACCESS, COUNTS, IDS, READ, SYNC, opened, paired
from playwright.sync_api import Page, expect


def test_a_phone_is_paired_by_the_picture_on_the_pcs_screen_and_its_readings_arrive(
    shop_of_all: Shop, phone_of: Callable[..., Page]
) -> None:
    pc = paired(phone_of(shop_of_all, **PC, is_mobile=False, has_touch=False), shop_of_all)
    pc.evaluate("location.hash = '#/devices'")
    pc.get_by_role("button", name="Show a code for a new device").click()
    pc.wait_for_function("() => document.querySelector('img.qr')?.naturalWidth > 0")
    (address,) = codes(pc.screenshot())
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
    expect(page.locator("main .shop")).to_contain_text("no longer accepts this phone's key")
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
