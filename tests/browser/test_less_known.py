"""Jobs that came with less than the phone asks for, or more than it writes: the screens show them all the same."""

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PC, PHONE
from browser.hand import Hand
from browser.test_parity import CASES
from playwright.sync_api import Page, expect

from bothends.model.solve import solve

HOLES = re.compile(r"\b(?:null|undefined|NaN)\b|\[object")
"""What a figure that is not there leaves on a screen that took it for one."""
SCREENS = ("plan", "list", "whatif", "close", "sheet", "ground")
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


def holes(page: Page) -> list[str]:
    """Words and attributes on the screen that say a figure is not there."""
    attributes = page.evaluate(
        "() => [...document.querySelectorAll('main *')].flatMap(e => [...e.attributes].map(a => a.value))"
    )
    return [text for text in [page.locator("body").inner_text(), *attributes] if HOLES.search(text)]


def whole(hand: Hand, job: str, screen: str) -> None:
    """Go to a screen and wait until all of it is worked out."""
    hand.go(job, screen)
    if screen == "sheet":
        hand.page.locator(".papers[data-ready]").wait_for()
    if screen == "whatif":
        expect(hand.page.locator(".results")).not_to_contain_text("…")


@pytest.mark.parametrize("size", [PHONE, PC], ids=["phone", "pc"])
@pytest.mark.parametrize("case", LESS)
def test_no_screen_has_a_hole_where_something_is_not_known(
    make_hand: Callable[..., Hand], case: str, size: dict[str, Any]
) -> None:
    hand = make_hand(**size)
    job = hand.job(CASES[case])
    for screen in SCREENS:
        whole(hand, job, screen)
        assert holes(hand.page) == [], screen
        assert hand.page.evaluate("() => probes.cut()") == [], screen


@pytest.mark.parametrize("case", ["two-heights", "nothing-known", "hanging-wish"])
def test_a_plan_opens_with_the_models_own_sentence_and_says_what_it_assumed(phone: Hand, case: str) -> None:
    job = phone.job(CASES[case])
    phone.go(job, "plan")
    answer = solve(CASES[case])
    expect(phone.page.locator(".headline strong")).to_have_text(answer["headline"]["words"])
    phone.hit(phone.page.get_by_text("Assumed, not measured"))
    told = phone.page.locator("details[open] li").all_inner_texts()
    assert told == [fact["words"] for fact in answer["assumed"]]


def test_a_plan_in_degrees_is_said_in_degrees_and_asks_for_the_rest_below(phone: Hand) -> None:
    job = phone.job(CASES["two-heights"])
    phone.go(job, "plan")
    option = solve(CASES["two-heights"])["options"][0]
    for side in ("left", "right"):
        card = phone.page.locator(f".corner.{side}")
        expect(card).to_contain_text(f"{option[side]['turn_deg']:.1f}° arm down")
        lift = option[side]["lift"]
        expect(card).to_contain_text(
            f"between {lift['low']['force_n']:.0f} and {lift['high']['force_n']:.0f} N"
        )
        expect(card).to_contain_text("the bar was not measured")
    expect(phone.page.locator(".dial")).to_have_count(0)
    rest = phone.page.locator(".gaps")
    expect(rest).to_contain_text("Could still be read")
    assert rest.locator("a").first.inner_text() == "Bar diameter"


def test_heights_that_were_not_read_are_said_as_a_rise(phone: Hand) -> None:
    job = phone.job(CASES["one-side"])
    phone.go(job, "plan")
    option = solve(CASES["one-side"])["options"][0]
    expect(phone.page.locator(".corner.right")).to_contain_text("not read")
    rise = option["right"]["rise_mm"]
    expect(phone.page.locator(".corner.right")).to_contain_text(
        f"{rise['value']:.0f} ± {rise['sd']:.0f} mm higher"
    )
    height = option["left"]["body_height_mm"]
    expect(phone.page.locator(".corner.left")).to_contain_text(
        f"{height['value']:.0f} ± {height['sd']:.0f} mm"
    )


def test_a_plan_in_degrees_is_kept_without_teeth_and_leads_to_their_count(phone: Hand) -> None:
    job = phone.job(CASES["two-heights"])
    phone.go(job, "plan")
    phone.hit(phone.page.get_by_role("link", name="Begin the teardown by this plan"))
    phone.page.locator(".steps").first.wait_for()
    assert holes(phone.page) == []
    kept = phone.page.evaluate(LAST, job)
    answer = solve(CASES["two-heights"])
    assert (kept["kind"], kept["schema"]) == ("plan", 2)
    assert kept["body"]["target"] == {"as": "level", "rise_mm": 100, "left_mm": 271, "right_mm": 271}
    for side in ("left", "right"):
        assert not {"inner", "outer"} & set(kept["body"][side])
        assert kept["body"][side]["turn_deg"] == pytest.approx(answer["options"][0][side]["turn_deg"])
    # No tooth is turned by degrees: the arms come off, then the teeth are counted and the plan made anew.
    steps = phone.page.locator(".step").evaluate_all("all => all.map(e => e.dataset.step)")
    assert [step for step in steps if "turn" in step or "arm-up" in step] == []
    assert steps[-1] == "count"
    phone.hit(phone.page.locator('[data-step="count"] summary'))
    phone.hit(phone.page.get_by_role("link", name="Enter the tooth counts"))
    assert phone.question() == "Teeth, inner end"
    phone.figure("40")
    assert phone.question() == "Teeth, outer end"
    phone.figure("44")
    phone.page.locator(".dial").first.wait_for()
    counted = {**CASES["two-heights"], "car": {"bar": {"inner_teeth": 40, "outer_teeth": 44}}}
    words = solve(counted)["headline"]["words"]
    expect(phone.page.locator(".headline strong")).to_have_text(words)
    phone.hit(phone.page.get_by_role("link", name="Begin the teardown by this plan"))
    phone.page.locator('[data-step="down"]').wait_for()
    assert phone.page.evaluate(LAST, job)["schema"] == 1


def test_what_a_limit_forbids_cannot_be_begun(phone: Hand) -> None:
    job = phone.job(CASES["forbidden"])
    phone.go(job, "plan")
    expect(phone.page.locator(".odds.stopped")).to_contain_text("beyond full droop, given as 30 mm")
    expect(phone.page.get_by_role("link", name="Begin the teardown by this plan")).to_have_count(0)
    expect(phone.page.get_by_role("link", name="Enter the teeth turned")).to_have_count(0)


def test_what_is_assumed_cautions_and_can_be_begun(phone: Hand) -> None:
    job = phone.job(CASES["two-heights"])
    phone.go(job, "plan")
    expect(phone.page.locator(".cautions").first).to_contain_text("is assumed, not measured")
    expect(phone.page.get_by_role("link", name="Begin the teardown by this plan")).to_have_count(1)


def test_a_car_read_again_after_hand_over_is_judged_by_that_day(phone: Hand) -> None:
    request = json.loads(json.dumps(CASES["after-km"]))
    job = phone.job(request)
    phone.go(job, "close")
    table = phone.page.get_by_role("table", name="Before and after")
    for words in ("214 mm", "248 mm", "After 400 km", "245 mm"):
        expect(table).to_contain_text(words)
    # One teardown, one line of what was promised; the visit after it has none.
    expect(phone.page.get_by_role("table", name="Promised and reached").locator("tbody tr")).to_have_count(1)
    phone.go(job, "ground/1")
    expect(phone.page.locator(".verdict")).to_contain_text("247.5 mm")
    whole(phone, job, "sheet")
    expect(phone.page.locator(".sheet-front")).to_contain_text("400 km after hand-over")
    expect(phone.page.locator(".sheet-back")).to_contain_text("After 400 km")


def test_settling_once_more_is_entered_as_another_settling(phone: Hand) -> None:
    job = phone.job(CASES["boards"])
    phone.go(job, "plan")
    assert solve(CASES["boards"])["measure_next"][0]["what"] == "settling"
    phone.hit(phone.page.locator(".test.best"))
    phone.figure("216")
    assert phone.page.evaluate(LAST, job)["body"]["resettled"] == 1
    assert phone.question() == "Ride height, right"
    phone.figure("221")
    phone.way("arm up")
    phone.gauge("Zeroed on the body")
    phone.angle("9.4", "arm up")
    assert phone.page.evaluate(LAST, job)["body"]["resettled"] == 1
