"""A recheck whole: how far it was driven, both heights, and what they tell; the job stays closed."""

from typing import Any

import pytest
from browser.grounds import after, heights, job
from browser.hand import Hand
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

CLOSED = [*after(251, 249, checks=True), ["close", {}]]


def folded(hand: Hand, made: str) -> dict[str, Any]:
    """What the job comes to."""
    found = hand.page.evaluate("async job => (await import('/book/snapshot.js')).look(job)", made)
    return dict(found)


def put(hand: Hand, figure: str) -> None:
    """Type a figure on the pad, in place of what is offered, and go on."""
    page = hand.page
    for digit in figure:
        hand.hit(page.get_by_role("button", name=digit, exact=True))
    expect(page.get_by_role("textbox")).to_have_value(figure)
    hand.hit(page.get_by_role("button", name="Next"))


def test_the_whole_recheck_from_hand_over_to_its_verdict(phone: Hand) -> None:
    made = job(phone, CLOSED)
    phone.go(made, "close")
    page = phone.page
    title = page.get_by_role("heading", level=1)
    phone.hit(page.get_by_role("link", name="Recheck after some km"))
    expect(title).to_have_text("How far since hand-over?")
    expect(page.get_by_role("textbox")).to_have_value("300")
    put(phone, "450")
    expect(page.get_by_text("LEFT", exact=True)).to_be_visible()
    put(phone, "249")
    expect(page.get_by_text("RIGHT", exact=True)).to_be_visible()
    put(phone, "248")
    expect(title).to_have_text("On target after 450 km")
    main = page.locator("main")
    expect(main).to_contain_text("Nothing to do.")
    expect(main).to_contain_text("Against hand-over: left 2 mm lower, right 1 mm lower. Expected: −1 ± 7 mm")
    found = folded(phone, made)
    assert found["sheet"]["closed"]
    assert [(s["teardown"], s["after_km"]) for s in found["stages"]] == [(0, None), (1, None), (1, 450)]
    assert found["stages"][1]["hit"] is True
    schemas = [e["schema"] for e in found["entries"] if e["body"].get("after_km")]
    assert schemas == [2, 2]
    phone.hit(page.get_by_role("link", name="Done"))
    expect(page.get_by_role("heading", name="On target after 450 km")).to_be_visible()
    phone.hit(page.get_by_role("link", name="Recheck", exact=True))
    expect(title).to_have_text("On target after 450 km")


@pytest.mark.long("a recheck side by side; half of one: tests/node/verdict.test.mjs")
def test_half_a_recheck_goes_on_at_the_side_that_lacks(phone: Hand) -> None:
    phone.go(job(phone, [*CLOSED, *heights(249, None, after_km=300)]), "recheck")
    expect(phone.page.get_by_text("RIGHT", exact=True)).to_be_visible()


@pytest.mark.long("one on target; the verdict and the new job: tests/node/verdict.test.mjs")
def test_a_car_that_settled_out_of_its_target_leads_to_a_new_job_from_there(phone: Hand) -> None:
    closed = [*after(246, 248, checks=True), ["close", {}]]
    made = job(phone, [*closed, *heights(243.5, 247, after_km=300)])
    phone.go(made, "recheck")
    page = phone.page
    expect(page.get_by_role("heading", level=1)).to_have_text("Off target: left 6.5 mm low, after 300 km")
    expect(page.locator("main")).to_contain_text("The car settled as cars do.")
    phone.hit(page.get_by_role("button", name="New job from these readings"))
    expect(page.locator("body")).to_have_attribute("data-screen", "plan")
    other = page.url.split("#/")[1].split("/")[0]
    assert other != made
    sheet = folded(phone, other)["sheet"]
    assert (sheet["target"]["left_mm"], sheet["target"]["right_mm"]) == (250, 250)
    assert [(r["side"], r["value"], r["teardown"]) for r in sheet["readings"]] == [
        ("left", 243.5, 0),
        ("right", 247, 0),
    ]


@pytest.mark.long("one on target; the verdict: tests/node/verdict.test.mjs")
@pytest.mark.parametrize(("left", "right"), [(236, 248), (251, 263)])
def test_more_than_settling_is_said_and_read_again_first(phone: Hand, left: float, right: float) -> None:
    phone.go(job(phone, [*CLOSED, *heights(left, right, after_km=300)]), "recheck")
    page = phone.page
    expect(page.get_by_role("heading", level=1)).to_contain_text("More than settling:")
    expect(page.locator("main")).to_contain_text("Check tyres, load and place, read again.")
    phone.hit(page.get_by_role("link", name="Read again"))
    expect(page.get_by_text("LEFT", exact=True)).to_be_visible()


@pytest.mark.long("the same of other figures: test_phone")
def test_what_is_typed_is_kept_and_a_figure_out_of_bounds_is_told(phone: Hand) -> None:
    made = job(phone, CLOSED)
    phone.go(made, "recheck")
    page = phone.page
    page.get_by_role("textbox").fill("0")
    phone.hit(page.get_by_role("button", name="Next"))
    expect(page.get_by_role("alert").filter(has_text="0.1")).to_be_visible()
    phone.go(made, "recheck/300/left")
    phone.hit(page.get_by_role("button", name="Next"))
    expect(page.get_by_role("alert").filter(has_text="Enter the reading.")).to_be_visible()
    page.get_by_role("textbox").fill("249")
    page.reload()
    expect(page.get_by_role("textbox")).to_have_value("249")


def test_a_job_that_is_not_handed_over_is_handed_over_first(phone: Hand) -> None:
    phone.go(job(phone, after(251, 249)), "recheck")
    expect(phone.page.locator("main")).to_contain_text("not handed over yet")
    phone.hit(phone.page.get_by_role("link", name="Hand-over"))
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Hand-over")


@pytest.mark.long("in millimetres; a verdict in inches: tests/node/verdict.test.mjs")
def test_inches_are_said_throughout(phone: Hand) -> None:
    phone.open()
    phone.page.evaluate("async () => (await import('/book/lengths.js')).setLengths('in')")
    phone.go(job(phone, [*CLOSED, *heights(243, 248, after_km=300)]), "recheck")
    main = phone.page.locator("main")
    expect(main).to_contain_text("Off target: left 0.28 in low")
    expect(main).not_to_contain_text("mm")
