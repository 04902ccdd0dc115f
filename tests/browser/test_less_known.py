"""Jobs that came with less than the phone asks for, or more than it writes: the screens show them all the same."""

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PC, PHONE
from browser.hand import Hand
from browser.test_parity import CASES
from browser.test_plan import open_all
from playwright.sync_api import Page, expect

from bothends.model.solve import solve
from bothends.model.travel import CERTAIN

pytestmark = pytest.mark.same_page

HOLES = re.compile(r"\b(?:null|undefined|NaN)\b|\[object")
"""What a figure that is not there leaves on a screen that took it for one."""
SCREENS = ("plan", "assumed", "list", "whatif", "close", "sheet", "ground")
LAST = "async job => (await (await import('/book/log.js')).entries(job)).at(-1)"
LESS = (
    "two-heights",
    "nothing-known",
    "one-side",
    "hanging-wish",
    "hanging-wish-in-degrees",
    "hub-target",
    "forbidden",
    "after-km",
    "two-spots",
)
ALWAYS = ("nothing-known", "one-side")
"""What every run looks at: next to nothing is known, or of one side only."""


def holes(page: Page) -> list[str]:
    """Words and attributes on the screen that say a figure is not there."""
    attributes = page.evaluate(
        "() => [...document.querySelectorAll('main *')].flatMap(e => [...e.attributes].map(a => a.value))"
    )
    return [text for text in [page.locator("body").inner_text(), *attributes] if HOLES.search(text)]


def whole(hand: Hand, job: str, screen: str) -> None:
    """Go to a screen and wait until all of it is worked out."""
    hand.go(job, screen)
    if screen in ("plan", "assumed"):
        hand.page.locator("[data-deck=main]").wait_for()
        open_all(hand.page)
    if screen == "sheet":
        hand.page.locator(".papers[data-ready]").wait_for()
    if screen == "whatif":
        expect(hand.page.locator(".results")).not_to_contain_text("…")


@pytest.mark.parametrize(
    "size", [PHONE, pytest.param(PC, marks=pytest.mark.long("on a phone"))], ids=["phone", "pc"]
)
@pytest.mark.parametrize(
    "case",
    [
        *ALWAYS,
        *(
            pytest.param(case, marks=pytest.mark.long("the barest cases"))
            for case in LESS
            if case not in ALWAYS
        ),
    ],
)
def test_no_screen_has_a_hole_where_something_is_not_known(
    make_hand: Callable[..., Hand], case: str, size: dict[str, Any]
) -> None:
    hand = make_hand(**size)
    job = hand.job(CASES[case])
    for screen in SCREENS:
        whole(hand, job, screen)
        assert holes(hand.page) == [], screen
        assert hand.page.evaluate("() => probes.cut()") == [], screen


@pytest.mark.parametrize(
    "case",
    [
        "two-heights",
        *(
            pytest.param(case, marks=pytest.mark.long("two heights"))
            for case in ("nothing-known", "hanging-wish")
        ),
    ],
)
def test_a_plan_opens_with_the_models_own_sentence_and_says_what_it_assumed(phone: Hand, case: str) -> None:
    job = phone.job(CASES[case])
    phone.go(job, "plan")
    expect(phone.page.locator("h1")).to_have_text(solve(CASES[case])["headline"]["words"])
    phone.hit(phone.page.get_by_text("What is assumed"))
    told = phone.page.locator("[data-fold=assumed] li")
    expect(told.filter(has_text="Bump travel")).to_contain_text("60 ± 33 mm")
    phone.hit(phone.page.get_by_role("link", name="All of it, with what measures it"))
    phone.page.wait_for_url("**/assumed")


def test_a_plan_in_degrees_is_said_in_degrees_and_forces_as_a_range(phone: Hand) -> None:
    job = phone.job(CASES["two-heights"])
    phone.go(job, "plan")
    option = solve(CASES["two-heights"])["options"][0]
    for side in ("left", "right"):
        card = phone.page.get_by_role("region", name=f"{side} side")
        expect(card).to_contain_text(f"{option[side]['turn_deg']:.1f}° arm down")
    phone.hit(phone.page.get_by_text("Figures for engineers"))
    figures = phone.page.locator("[data-fold=engineers] dl")
    for place, side in ((1, "left"), (2, "right")):
        lift = option[side]["lift"]
        for end in ("low", "high"):
            expect(figures.nth(place)).to_contain_text(f"{lift[end]['force_n']:.0f}")
        expect(figures.nth(place)).to_contain_text("the bar was not measured")


@pytest.mark.long("heights expected, else the change: tests/node/plan.test.mjs")
def test_heights_that_were_not_read_are_said_as_a_rise(phone: Hand) -> None:
    job = phone.job(CASES["one-side"])
    phone.go(job, "plan")
    option = solve(CASES["one-side"])["options"][0]
    label = phone.page.get_by_role("img", name="The car from behind").get_attribute("aria-label")
    for side in ("left", "right"):
        rise = option[side]["rise_mm"]
        spread = max(1, CERTAIN * rise["sd"])
        assert f"{side} expected +{rise['value']:.0f} ± {spread:.0f} mm against now" in str(label)
    phone.hit(phone.page.get_by_text("Figures for engineers"))
    figures = phone.page.locator("[data-fold=engineers] dl")
    height = option["left"]["body_height_mm"]
    expect(figures.nth(1)).to_contain_text(f"{height['value']:.0f} ± {CERTAIN * height['sd']:.0f} mm")
    expect(figures.nth(2)).to_contain_text("not read")


def test_a_plan_in_degrees_is_kept_without_teeth_and_one_in_teeth_with_them(phone: Hand) -> None:
    job = phone.job(CASES["two-heights"])
    phone.go(job, "plan")
    expect(phone.page.get_by_role("link", name="Enter teeth already turned")).to_have_count(0)
    phone.hit(phone.page.get_by_role("link", name="Start teardown 1"))
    phone.page.wait_for_url("**/propped/1")
    assert holes(phone.page) == []
    kept = phone.page.evaluate(LAST, job)
    answer = solve(CASES["two-heights"])
    assert (kept["kind"], kept["schema"]) == ("plan", 2)
    assert kept["body"]["target"] == {"as": "level", "rise_mm": 100, "left_mm": 271, "right_mm": 271}
    for side in ("left", "right"):
        assert not {"inner", "outer"} & set(kept["body"][side])
        assert kept["body"][side]["turn_deg"] == pytest.approx(answer["options"][0][side]["turn_deg"])
    counted = {**CASES["two-heights"], "car": {"bar": {"inner_teeth": 40, "outer_teeth": 44}}}
    job = phone.job(counted)
    phone.go(job, "plan")
    expect(phone.page.locator("h1")).to_have_text(solve(counted)["headline"]["words"])
    phone.hit(phone.page.get_by_role("link", name="Start teardown 1"))
    phone.page.wait_for_url("**/propped/1")
    assert phone.page.evaluate(LAST, job)["schema"] == 1


@pytest.mark.long("a recheck: test_recheck; its rows: tests/book/test_history.py")
def test_a_car_read_again_after_hand_over_is_judged_by_that_day(phone: Hand) -> None:
    request = json.loads(json.dumps(CASES["after-km"]))
    job = phone.job(request)
    phone.go(job, "close")
    phone.hit(phone.page.get_by_text("Before and after, teeth, predicted"))
    table = phone.page.get_by_role("table", name="Before and after")
    for words in ("214 mm", "247.5 mm", "After 400 km", "245 mm"):
        expect(table).to_contain_text(words)
    # One teardown, one line of what was predicted; the visit after it has none.
    expect(phone.page.get_by_role("table", name="Predicted and measured").locator("tbody tr")).to_have_count(
        1
    )
    phone.go(job, "ground/1")
    expect(phone.page.get_by_role("listitem").filter(has_text="247.5 mm")).to_be_visible()
    whole(phone, job, "sheet")
    expect(phone.page.locator(".sheet-front")).to_contain_text("Rechecked after 400 km")
    expect(phone.page.locator(".sheet-back")).to_contain_text("After 400 km")


@pytest.mark.long("another settling at the check after a teardown: test_ground")
def test_settling_once_more_is_entered_as_another_settling(phone: Hand) -> None:
    job = phone.job(CASES["boards"])
    phone.go(job, "plan")
    assert "settling" in [test["what"] for test in solve(CASES["boards"])["measure_next"]]
    phone.hit(phone.page.locator("[data-fold=read] summary"))
    phone.hit(phone.page.get_by_role("link", name="Settle once more, read again"))
    phone.figure("216")
    assert phone.page.evaluate(LAST, job)["body"]["resettled"] == 1
    assert phone.question() == "Ride height, right"
    phone.figure("221")
    phone.way("arm up")
    phone.gauge("Zeroed on the body")
    phone.angle("9.4", "arm up")
    assert phone.page.evaluate(LAST, job)["body"]["resettled"] == 1
