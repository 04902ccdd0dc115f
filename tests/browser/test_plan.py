"""The plan on the phone: what stands on its first two screens, what its deck offers, and what it never offers."""

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PHONE
from browser.hand import DOUBTED, PLAIN, Hand
from browser.test_access import judged
from browser.test_parity import CASES
from browser.test_parts import OUTSIDE, PC_SIZES, SIZES, USUAL, frame
from playwright.sync_api import Page, expect

from bothends.model.solve import solve
from bothends.model.travel import CERTAIN

pytestmark = pytest.mark.same_page

SMALL = {**PHONE, "viewport": {"width": 360, "height": 640}}
LAST = "async job => (await (await import('/book/log.js')).entries(job)).at(-1)"
APPEND = "async ([job, items]) => (await import('/book/log.js')).append(job, items)"
INCHES = "async () => (await import('/book/lengths.js')).setLengths('in')"
SHOWN = ("plain", "two-heights", "forbidden", "sign-flipped", "nothing-known", "hanging-wish")
"""Plans in teeth, in degrees with an assumed limit, forbidden, withheld, as a rise, as an angle."""
SEEN = ("plain", "two-heights", "sign-flipped")
"""Of these what every run looks at in its windows."""
FAR = 0.2
"""A way that is so much worse is hidden."""
REACH = """() => {
  const stage = document.querySelector(".stage");
  const part = getComputedStyle(stage).display === "contents" ? stage.querySelector(".rest") : stage;
  const from = part.getBoundingClientRect().top - part.scrollTop;
  const parts = ["h1", ".chance", ".picture", ".corner-cards"].map((name) => document.querySelector(name));
  return Math.max(...parts.filter((e) => e && part.contains(e)).map((e) => e.getBoundingClientRect().bottom - from))
    / part.clientHeight;
}"""
"""How many heights of the stage it takes to see headline, chance, drawing and what to turn."""


def main_key(page: Page) -> Any:
    """The yellow key."""
    return page.locator("[data-deck=main]")


def about(figure: dict[str, float]) -> str:
    """A height as the screen says it, with the range that holds 90 in 100."""
    return f"{figure['value']:.0f} ± {max(1, CERTAIN * figure['sd']):.0f} mm"


def gain(odds: float, after: float) -> str:
    """What a reading brings, as the screen says it."""
    return f"{100 * odds:.0f} → {100 * after:.0f} in 100"


def best(answer: dict[str, Any]) -> float:
    """The chance that the best advised reading brings."""
    return float(max(test["odds_after"] for test in answer["measure_next"]))


def start(page: Page) -> Any:
    """The key that starts a teardown, wherever it stands."""
    return page.get_by_role("link", name="Start teardown")


OTHER_SIZE = pytest.mark.long("at the usual size of letters on phones")


@pytest.mark.parametrize(
    "letters",
    [USUAL, pytest.param(21, marks=OTHER_SIZE), pytest.param(2 * USUAL, marks=OTHER_SIZE)],
    ids=["100", "130", "200"],
)
def test_the_main_key_is_in_every_window_what_to_turn_on_the_first_two_screens_and_axe_finds_nothing(
    in_letters_of: Callable[..., Hand], axe_source: str, letters: int, long: bool
) -> None:
    sizes = (*SIZES, *PC_SIZES) if long else SIZES[:2]
    hand = in_letters_of(letters, sizes)
    found = {}
    for case in SHOWN if long else SEEN:
        job = hand.job(CASES[case])
        for words in ("plan", "assumed"):
            hand.go(job, words)
            main_key(hand.page).wait_for()
            for wide, high in sizes:
                hand.page.set_viewport_size({"width": wide, "height": high})
                hand.page.wait_for_function("wide => innerWidth === wide", arg=wide)
                frame(hand.page)
                wrong = [*hand.page.evaluate(OUTSIDE), *hand.page.evaluate("() => probes.cut()")]
                screens = hand.page.evaluate(REACH) if words == "plan" else 0
                # At twice the letters on the smallest phone the two screens are what their words take.
                if screens > 2.05 and (letters, wide) != (2 * USUAL, 360):
                    wrong.append(f"{screens:.2f} screens")
                if wrong:
                    found[f"{case}, {words}, {wide} by {high}"] = wrong
            if letters == USUAL and (wrong := judged_with_every_fold_open(hand.page, axe_source)):
                found[f"{case}, {words}"] = wrong
    assert found == {}


@pytest.mark.parametrize(
    "size",
    [
        pytest.param(PHONE, id="412"),
        pytest.param(SMALL, id="360", marks=pytest.mark.long("at 412 by 915")),
    ],
)
def test_headline_chance_drawing_what_to_turn_and_deck_are_seen_at_once(
    make_hand: Callable[..., Hand], size: dict[str, Any]
) -> None:
    hand = make_hand(**size)
    hand.go(hand.job(), "plan")
    assert hand.page.evaluate(REACH) <= 1
    option = solve(PLAIN)["options"][0]
    expect(hand.page.locator("h1")).to_have_text(solve(PLAIN)["headline"]["words"])
    expect(hand.page.locator(".chance")).to_contain_text(f"{round(100 * option['odds'])} in 100")
    expect(hand.page.locator(".chance")).to_contain_text("such cars are on target first time")
    left = hand.page.get_by_role("region", name="left side")
    expect(left).to_contain_text("3 arm up")
    expect(left).to_contain_text("4 arm down")
    picture = hand.page.get_by_role("img", name="The car from behind")
    label = str(picture.get_attribute("aria-label"))
    assert "left 214 mm now, expected " in label
    assert f"{about(option['left']['body_height_mm'])}, target 250 mm" in label
    assert hand.page.locator(".tooth[data-fill=solid]").count() == round(20 * option["odds"])


@pytest.mark.long("in light")
def test_axe_finds_nothing_on_any_kind_of_plan_in_dark_with_every_fold_open(
    make_hand: Callable[..., Hand], axe_source: str
) -> None:
    hand = make_hand(**PHONE, color_scheme="dark")
    found = {}
    for case in SHOWN:
        job = hand.job(CASES[case])
        for words in ("plan", "assumed"):
            hand.go(job, words)
            main_key(hand.page).wait_for()
            if wrong := judged_with_every_fold_open(hand.page, axe_source):
                found[f"{case}, {words}"] = wrong
    assert found == {}


def judged_with_every_fold_open(page: Page, axe_source: str) -> list[str]:
    """What axe holds against a plan, its folds open."""
    open_all(page)
    return judged(page, axe_source)


def open_all(page: Page) -> None:
    """Open every fold and wait for what is in it."""
    page.evaluate("() => document.querySelectorAll('details:not([hidden])').forEach(d => { d.open = true; })")
    page.wait_for_function(
        "() => [...document.querySelectorAll('details:not([hidden]):not(.away) > .folded')]"
        ".every(e => e.childElementCount > 0)"
    )


@pytest.mark.long("which reading goes before the start: tests/node/plan.test.mjs")
def test_a_reading_that_pays_goes_before_the_start_and_one_that_does_not_after_it(phone: Hand) -> None:
    phone.go(phone.job(), "plan")
    expect(main_key(phone.page)).to_contain_text("Board test first")
    answer = solve(PLAIN)
    expect(main_key(phone.page)).to_contain_text(gain(answer["options"][0]["odds"], best(answer)))
    expect(start(phone.page)).to_have_attribute("data-deck", "quiet")
    phone.go(phone.job(CASES["hanging-wish"]), "plan")
    expect(start(phone.page)).to_have_attribute("data-deck", "main")
    expect(phone.page.get_by_role("link", name="Read first")).to_contain_text(
        f"→ {100 * best(solve(CASES['hanging-wish'])):.0f} in 100"
    )


def test_start_keeps_what_the_plan_promises_opens_the_first_step_and_is_never_offered_twice(
    phone: Hand,
) -> None:
    job = phone.job()
    phone.go(job, "plan")
    phone.hit(start(phone.page))
    phone.page.wait_for_url("**/propped/1")
    kept = phone.page.evaluate(LAST, job)
    option = solve(PLAIN)["options"][0]
    assert (kept["kind"], kept["body"]["teardown"]) == ("plan", 1)
    assert kept["body"]["odds"] == pytest.approx(option["odds"])
    assert kept["body"]["left"]["inner"] == option["left"]["inner"]
    # It is under way now, and gone on with.
    phone.go(job, "plan")
    expect(start(phone.page)).to_have_count(0)
    expect(main_key(phone.page)).to_have_text("Go on with teardown 1")
    phone.hit(main_key(phone.page))
    phone.page.wait_for_url("**/propped/1")


def test_what_a_limit_forbids_has_no_start_and_its_key_lifts_the_limit(phone: Hand) -> None:
    request = CASES["forbidden"]
    job = phone.job(request)
    phone.go(job, "plan")
    expect(phone.page.locator(".verdict-plate.wrong h1")).to_have_text(solve(request)["headline"]["words"])
    expect(phone.page.locator(".verdict-plate")).to_contain_text("beyond full droop, given as 30 mm")
    expect(start(phone.page)).to_have_count(0)
    expect(phone.page.get_by_role("link", name="Enter teeth already turned")).to_have_count(0)
    expect(phone.page.locator(".chance")).to_be_hidden()
    expect(main_key(phone.page)).to_have_text("Lower the target by 34 mm")
    phone.hit(main_key(phone.page))
    expect(phone.page.locator(".verdict-plate")).to_have_count(0)
    expect(start(phone.page)).to_have_count(1)
    target = request["target"]
    assert phone.page.evaluate(LAST, job)["body"]["left_mm"] == target["left_mm"] - 34


@pytest.mark.long("limits that a plan passes come first, with what it needs: tests/node/plan.test.mjs")
def test_an_assumed_limit_that_is_passed_is_a_key_to_its_test_and_stops_nothing(phone: Hand) -> None:
    phone.go(phone.job(CASES["two-heights"]), "plan")
    line = phone.page.get_by_role("link", name="Droop travel: 90 ± 41 mm is assumed; the plan needs 120 mm.")
    expect(line).to_contain_text("Measure")
    expect(start(phone.page)).to_have_count(1)
    phone.hit(line)
    phone.page.wait_for_url("**/read/riding-angle/left?hanging=1**")


def test_a_withheld_plan_shows_the_doubt_alone_and_one_tap_uses_the_suggestion(phone: Hand) -> None:
    job = phone.job(DOUBTED)
    phone.go(job, "plan")
    expect(phone.page.locator("h1")).to_have_text(solve(DOUBTED)["headline"]["words"])
    expect(phone.page.locator(".doubt-list")).to_contain_text("Riding angle, left: 9.6°")
    expect(start(phone.page)).to_have_count(0)
    for name in (".chance", ".corner-cards", ".picture"):
        expect(phone.page.locator(name)).to_be_hidden()
    expect(main_key(phone.page)).to_contain_text("Use the suggestion")
    phone.hit(main_key(phone.page))
    expect(phone.page.locator(".doubt-list")).to_have_count(0)
    expect(phone.page.locator(".chance")).to_be_visible()


def test_heights_that_were_only_predicted_are_never_shown_as_now(phone: Hand) -> None:
    job = phone.job()
    move = {"teardown": 1, "left": {"inner": -3, "outer": 4}, "right": {"inner": 5, "outer": -5}}
    phone.page.evaluate(APPEND, [job, [["move", move]]])
    phone.go(job, "plan")
    picture = phone.page.get_by_role("img", name="The car from behind")
    assert " now," not in str(picture.get_attribute("aria-label"))
    expect(start(phone.page)).to_have_count(0)
    expect(main_key(phone.page)).to_have_text("Check the heights after teardown 1")
    heights = [
        ["reading", {"what": "body-height", "side": side, "value": value, "teardown": 1}]
        for side, value in (("left", 241), ("right", 252))
    ]
    phone.page.evaluate(APPEND, [job, heights])
    phone.place("settings")
    phone.go(job, "plan")
    assert "left 241 mm now," in str(picture.get_attribute("aria-label"))
    expect(phone.page.get_by_role("link", name="Start teardown 2")).to_have_count(1)


@pytest.mark.long(
    "what a car on target goes on to: tests/node/plan.test.mjs; as read after a teardown: test_ground"
)
def test_a_car_on_target_is_left_and_handed_over(phone: Hand) -> None:
    request = json.loads(json.dumps(PLAIN))
    request["target"] = {"left_mm": 214, "right_mm": 222, "lean_mm": 10, "tolerance_mm": 8}
    assert solve(request)["headline"]["code"] == "as-wished"
    phone.go(phone.job(request), "plan")
    expect(phone.page.locator(".verdict-plate.good h1")).to_contain_text("on target")
    expect(start(phone.page)).to_have_count(0)
    phone.hit(main_key(phone.page))
    phone.page.wait_for_url("**/close")


@pytest.mark.long("which ways are hidden until asked for: tests/node/plan.test.mjs")
def test_another_way_is_looked_at_from_the_top_and_the_far_worse_are_hidden(phone: Hand) -> None:
    phone.go(phone.job(CASES["after-a-move"]), "plan")
    expected = solve(CASES["after-a-move"])["options"]
    phone.hit(phone.page.get_by_text("Simpler ways"))
    fold = phone.page.locator("[data-fold=ways]")
    near = [option for option in expected[1:] if expected[0]["odds"] - option["odds"] <= FAR]
    assert 0 < len(near) < len(expected) - 1
    expect(fold.get_by_role("listitem")).to_have_count(len(near))
    expect(fold.get_by_role("listitem").first).to_contain_text(f"{round(100 * near[0]['odds'])} in 100")
    phone.hit(fold.get_by_role("button", name="far worse or not possible"))
    expect(fold.get_by_role("listitem")).to_have_count(len(expected) - 1)
    phone.hit(fold.get_by_role("button", name="Look at it").first)
    assert near[0]["label"] == "leave it"
    expect(phone.page.locator("h1")).to_contain_text("No change: left ")
    expect(phone.page.locator("h1")).to_be_focused()
    expect(start(phone.page)).to_have_count(0)
    expect(main_key(phone.page)).to_have_text("Hand over")


@pytest.mark.long("what is assumed, by worth and limits first: tests/node/plan.test.mjs")
def test_what_is_assumed_is_told_by_worth_each_with_a_key_and_limits_first(phone: Hand) -> None:
    phone.go(phone.job(CASES["two-heights"]), "assumed")
    cards = phone.page.locator(".stage > .rest > ul > li")
    expect(cards.first).to_contain_text("Droop travel, left")
    expect(cards.first).to_contain_text("90 ± 41 mm; the plan needs 120 mm")
    expect(cards.first).not_to_contain_text("in 100")
    expect(cards.nth(2)).to_contain_text("Arm length")
    answer = solve(CASES["two-heights"])
    arm = next(fact for fact in answer["assumed"] if fact["field"] == "car.arm_mm")
    expect(cards.nth(2)).to_contain_text(gain(answer["options"][0]["odds"], arm["odds_after"]))
    phone.hit(phone.page.get_by_text("5 more hardly change it"))
    expect(phone.page.get_by_text("Bump travel, both sides", exact=True)).to_be_visible()
    phone.hit(phone.page.get_by_role("link", name="Arm length"))
    phone.page.wait_for_url("**/ask/car.arm_mm?**")


def test_every_figure_follows_the_unit_chosen(phone: Hand) -> None:
    job = phone.job(CASES["two-heights"])
    phone.page.evaluate(INCHES)
    phone.go(job, "plan")
    open_all(phone.page)
    label = str(phone.page.get_by_role("img", name="The car from behind").get_attribute("aria-label"))
    assert "left 6 in now, expected 10 11/16 ± " in label
    assert "/16 in, target 10 11/16 in" in label
    figures = phone.page.locator("[data-fold=engineers] dl").last.inner_text()
    for unit in ("lbf·ft per degree", "lbf/in", " lb", " in"):
        assert unit in figures
    for unit in (" kg", "N/mm", "N·m per", " mm"):
        assert unit not in figures
    expect(phone.page.get_by_role("link", name="Droop travel: 3 9/16 ± 1 5/8 in is assumed")).to_be_visible()


@pytest.mark.long("figures in inches; the model’s sentences: tests/model/test_sentences.py")
@pytest.mark.fresh_page
def test_sentences_of_the_model_follow_the_unit_chosen(phone: Hand) -> None:
    job = phone.job(CASES["two-heights"])
    phone.page.evaluate(INCHES)
    with phone.page.expect_request("**/api/solve") as asked:
        phone.go(job, "plan")
    assert asked.value.post_data_json["units"] == "inch"
    heading = phone.page.get_by_role("heading", level=1)
    expect(heading).to_contain_text(re.compile(r"\d"))
    open_all(phone.page)
    texts = phone.page.locator("main").inner_text() + phone.page.locator("main").inner_html()
    assert not re.search(r"\d mm\b", texts), re.findall(r".{40}\d mm\b.{20}", texts)
    assert "a board of 1.97 in" in texts
    phone.page.evaluate("async () => (await import('/book/lengths.js')).setLengths('mm')")
    phone.go(job, "")
    phone.go(job, "plan")
    open_all(phone.page)
    expect(phone.page.locator("[data-fold=read]")).to_contain_text("a board of 50 mm")


def test_cautions_stand_whole_below_every_plan(phone: Hand) -> None:
    phone.go(phone.job(), "plan")
    phone.hit(phone.page.get_by_text("Cautions in full"))
    warnings = phone.page.locator("[data-fold=cautions] .warn")
    expect(warnings.first).to_contain_text("can throw the arm and break bones")
    standing = [text for text in solve(PLAIN)["cautions"] if text.startswith(("WARNING", "NOTICE"))]
    expect(warnings).to_have_count(len(standing))
