"""The way from New job to the first plan: as few screens and taps as can be, nothing asked that nobody can know."""

from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PC
from browser.hand import Hand
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.same_page

SHEET = (
    "async job => (await (await import('/book/log.js')).entries(job)).map(({kind, body}) => ({kind, body}))"
)
COUNTS = """() => {
  const before = "counts" in window;
  window.counts = { taps: 0, screens: 0 };
  if (before) return;
  addEventListener("click", (event) => event.isTrusted && event.detail && (counts.taps += 1), true);
  new MutationObserver(() => (counts.screens += 1)).observe(document.getElementById("main"), { childList: true });
}"""
"""A tap on a label clicks its radio button too, without a finger: that one has no detail."""
CUT = """() => {
  const key = document.querySelector("[data-deck=main]")?.getBoundingClientRect();
  if (!key) return "no main key";
  const at = document.elementFromPoint(key.x + key.width / 2, key.y + key.height / 2);
  const inside = key.top >= 0 && key.left >= 0 && key.bottom <= innerHeight && key.right <= innerWidth;
  const first = document.querySelector(".pad .key");
  // Before a test that can hurt, its warning comes first; the size of the board is there already.
  const low = first?.checkVisibility() && first.getBoundingClientRect().bottom > key.top;
  if (!document.querySelector(".warn") && low && innerHeight > innerWidth)
    return "no digit above the main key";
  return inside && at?.closest("[data-deck=main]") ? "" : `main key ${key.top} to ${key.bottom} of ${innerHeight}`;
}"""
QUESTIONS = (
    "target",
    "target/amount?as=raise",
    "target/amount?as=height",
    "target/amount?as=angle",
    "target/amount?as=level",
    "read/body-height/left",
    "read/body-height/right?board-right=50",
    "read/riding-angle/left",
    "read/riding-angle/right",
    "read/hanging-angle/left?after=1",
    "read/hub-to-body/right?hanging=1",
    "read/wheel-load/left",
    "ask/car.arm_mm",
    "ask/car.bar.inner_teeth?from=list",
    "zero",
    "pose/board/left",
    "pose/ballast/both",
)


def job_of(page: Page) -> str:
    """The id of the job that is shown."""
    return page.url.split("#/")[1].split("/")[0]


def entries(hand: Hand) -> list[dict[str, Any]]:
    """Kind and body of every entry of the job that is shown."""
    return list(hand.page.evaluate(SHEET, job_of(hand.page)))


def last(hand: Hand, kind: str) -> dict[str, Any]:
    """The body of the last entry of a kind."""
    return dict([entry["body"] for entry in entries(hand) if entry["kind"] == kind][-1])


def counting(hand: Hand) -> Callable[[], tuple[int, int]]:
    """From the first screen on: gives (screens after it, taps)."""
    hand.open()
    hand.page.evaluate(COUNTS)

    def now() -> tuple[int, int]:
        found = hand.page.evaluate("() => counts")
        return found["screens"], found["taps"]

    return now


def raised(hand: Hand) -> None:
    """Raise by 100 mm and level, and the heights of a sunken, crooked car."""
    hand.new_job("Raise by", "100")
    hand.figure("152")
    hand.figure("171")


@pytest.mark.empty_page
def test_two_heights_of_a_crooked_car_give_a_plan_within_seven_screens_and_25_taps(phone: Hand) -> None:
    counts = counting(phone)
    raised(phone)
    phone.plan()
    screens, taps = counts()
    assert (screens <= 7, taps <= 25) == (True, True), (screens, taps)
    kinds = sorted(entry["kind"] for entry in entries(phone))
    assert kinds == ["job", "reading", "reading", "target"]
    assert last(phone, "target") == {"as": "level", "at": "higher", "rise_mm": 100}
    expect(phone.page.locator("main")).to_contain_text("in 100")
    expect(phone.page.locator("main")).to_contain_text("arm down")


@pytest.mark.empty_page
@pytest.mark.long("from two heights within seven")
def test_with_riding_angles_it_takes_ten_screens_at_most(phone: Hand) -> None:
    counts = counting(phone)
    raised(phone)
    phone.later()
    phone.next()
    phone.angle("9.6", "arm up")
    phone.angle("8.1", "arm up")
    phone.plan()
    screens, taps = counts()
    assert screens <= 10, (screens, taps)
    angles = [e["body"] for e in entries(phone) if e["body"].get("what") == "riding-angle"]
    assert [(a["side"], a["value"]) for a in angles] == [("left", -9.6), ("right", -8.1)]


@pytest.mark.long("what is asked on a closed car, in its order: tests/node/flow.test.mjs")
def test_nothing_of_bar_teeth_or_hanging_angle_is_asked_on_the_closed_car(phone: Hand) -> None:
    phone.open()
    phone.new_job("Raise by", "100")
    asked = []
    while not phone.page.url.endswith("/plan"):
        asked.append(phone.question())
        phone.later()
        assert len(asked) < 12
    assert asked == [
        "Ride height, left",
        "Ride height, right",
        "Arm length by tape",
        "How do you use the gauge?",
        "Board under tyre, left",
        "Board under tyre, right",
    ]


@pytest.mark.long("that what is put off is passed over: tests/node/flow.test.mjs")
def test_not_now_is_kept_and_the_question_is_passed_over(phone: Hand) -> None:
    phone.open()
    raised(phone)
    assert phone.question() == "Arm length by tape"
    phone.later()
    assert last(phone, "step")["step"] == "not-now/car.arm_mm"
    job = job_of(phone.page)
    phone.go(job, "read/body-height/right")
    phone.figure("172")
    assert phone.question() == "How do you use the gauge?"


def aim(*said: Any) -> Any:
    """A way to say a target that a long run tries on the screen."""
    return pytest.param(*said, marks=pytest.mark.long("two ways; each of them: tests/node/aims.test.mjs"))


@pytest.mark.parametrize(
    ("aim", "figure", "sides", "body"),
    [
        ("Lower by", "25", None, {"as": "level", "at": "lower", "rise_mm": -25}),
        ("Lower by", "20", "Left only", {"as": "rise", "left_rise_mm": -20, "right_rise_mm": 0}),
        aim("Raise by", "30", None, {"as": "level", "at": "higher", "rise_mm": 30}),
        aim("Raise by", "30", "Both alike", {"as": "rise", "left_rise_mm": 30, "right_rise_mm": 30}),
        aim("Raise by", "15", "Right only", {"as": "rise", "left_rise_mm": 0, "right_rise_mm": 15}),
        aim("To a height", "240", None, {"left_mm": 240, "right_mm": 240}),
        aim("Level", "", "Mean", {"as": "level", "at": "mean", "rise_mm": 0}),
    ],
)
def test_each_way_to_say_a_target_is_kept_as_its_form(
    phone: Hand, aim: str, figure: str, sides: str | None, body: dict[str, Any]
) -> None:
    phone.open()
    phone.hit(phone.page.get_by_role("link", name="New job"))
    phone.choose(aim)
    phone.next()
    phone.digits(figure)
    if sides:
        phone.choose(sides)
    phone.next()
    assert last(phone, "target") == body


def test_a_hanging_angle_needs_its_way_and_the_right_side_follows_the_left(phone: Hand) -> None:
    phone.open()
    phone.hit(phone.page.get_by_role("link", name="New job"))
    phone.choose("To a hanging angle")
    phone.next()
    phone.digits("17.5")
    phone.hit(phone.key("next"))
    expect(phone.page.get_by_role("alert").filter(has_text="Arm down or arm up?")).to_be_visible()
    phone.way("arm down")
    phone.next()
    assert last(phone, "target") == {"as": "hanging-angle", "left_deg": 17.5, "right_deg": 17.5}


@pytest.mark.long("that a first digit takes the place of a prefilled figure: test_parts")
def test_the_right_height_is_typed_over_the_lefts_by_its_first_digit(phone: Hand) -> None:
    phone.open()
    phone.hit(phone.page.get_by_role("link", name="New job"))
    phone.choose("To a height")
    phone.next()
    phone.digits("250")
    right = phone.page.get_by_label("Right", exact=True)
    expect(right).to_have_value("250")
    phone.hit(right)
    phone.digits("244")
    phone.next()
    assert last(phone, "target") == {"left_mm": 250, "right_mm": 244}


@pytest.mark.long("that tolerances go with a target: tests/node/aims.test.mjs")
def test_tolerance_and_people_are_kept_with_the_target(phone: Hand) -> None:
    phone.open()
    phone.hit(phone.page.get_by_role("link", name="New job"))
    phone.choose("To a height")
    phone.next()
    phone.digits("250")
    phone.hit(phone.page.get_by_text("More about the target"))
    phone.hit(phone.page.get_by_role("link", name="Height tolerance"))
    phone.digits("8")
    phone.next()
    phone.hit(phone.page.get_by_text("More about the target"))
    phone.hit(phone.page.get_by_role("link", name="Who will sit in it?"))
    phone.digits("75")
    phone.next()
    phone.next()
    assert last(phone, "target") == {
        "left_mm": 250,
        "right_mm": 250,
        "tolerance_mm": 8,
        "ballast_left_kg": 75,
    }


def test_the_running_line_says_what_the_reading_is_worth_and_never_holds_up_typing(phone: Hand) -> None:
    phone.open()
    phone.new_job("Raise by", "100")
    line = phone.page.locator("a.run")
    expect(line).to_contain_text("No reading yet")
    phone.digits("152")
    expect(phone.page.locator(".figure")).to_have_value("152")
    expect(line).to_have_attribute("aria-busy", "false")
    expect(line).to_contain_text("No reading yet: with this")
    phone.next()
    phone.figure("171")
    expect(line).to_contain_text("in 100, with this")
    assert phone.page.locator("a.run .tooth[data-fill=hatched]").count() > 0


def test_inches_typed_for_millimetres_are_named_at_the_key_and_put_right_with_one_tap(phone: Hand) -> None:
    phone.open()
    phone.new_job("Raise by", "100")
    phone.digits("8.9")
    slip = phone.page.get_by_role("button", name="8.9 mm: inches?")
    expect(slip).to_be_visible()
    phone.hit(slip)
    expect(phone.page.locator(".figure")).to_have_value("226")
    expect(slip).to_have_count(0)
    phone.next()
    assert last(phone, "reading")["value"] == 226


@pytest.mark.long("inches named at the key; centimetres: tests/node/slips.test.mjs")
def test_a_slip_in_whole_figures_is_named_before_it_is_saved_and_can_be_kept(phone: Hand) -> None:
    phone.open()
    phone.new_job("Raise by", "100")
    phone.digits("23")
    phone.hit(phone.key("next"))
    expect(phone.page.locator(".slip")).to_contain_text("centimetres?")
    phone.next()
    assert last(phone, "reading")["value"] == 23


def test_an_angle_is_not_taken_without_its_way_and_the_drawing_says_which_it_is(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "read/riding-angle/left")
    phone.digits("9.6")
    before = phone.page.url
    phone.hit(phone.key("next"))
    expect(phone.page.get_by_role("alert").filter(has_text="Arm down or arm up?")).to_be_visible()
    assert phone.page.url == before
    phone.way("arm down")
    expect(phone.page.locator(".picture")).to_contain_text("9.6°")
    expect(phone.page.locator(".picture")).to_contain_text("arm")
    # The other arm slopes the other way: said at the key, before it is saved.
    slip = phone.page.get_by_role("button", name="the other way?")
    expect(slip).to_be_visible()
    phone.hit(slip)
    expect(phone.page.get_by_role("radio", name="arm up", exact=True)).to_be_checked()


@pytest.mark.long("when the place is asked: tests/node/spots.test.mjs")
def test_the_place_is_asked_when_the_car_came_off_a_board_and_kept_with_the_reading(phone: Hand) -> None:
    phone.open()
    raised(phone)
    job = job_of(phone.page)
    phone.go(job, "read/body-height/left?board-left=50")
    expect(phone.page.get_by_role("radio", name="Same place as before")).to_have_count(0)
    phone.figure("128")
    phone.go(job, "read/body-height/left")
    expect(phone.page.get_by_role("radio", name="Same place as before")).to_be_checked()
    phone.choose("Another place")
    phone.figure("154")
    assert last(phone, "reading")["spot"] == "place 2"
    phone.go(job, "read/body-height/right")
    expect(phone.page.get_by_role("radio", name="Another place")).to_have_count(0)
    phone.figure("172")
    assert last(phone, "reading")["spot"] == "place 2"


@pytest.mark.long("that its use is what was said last: tests/node/flow.test.mjs")
def test_how_the_gauge_is_used_is_asked_once_and_can_be_changed_at_a_reading(phone: Hand) -> None:
    phone.open()
    raised(phone)
    phone.later()
    phone.gauge("Body, then arm")
    phone.digits("1.2")
    phone.way("arm down")
    phone.hit(phone.key("next"))
    phone.digits("8.4")
    phone.way("arm up")
    phone.next()
    body = last(phone, "reading")
    assert (body["value"], body["datum"]) == (-8.4, 1.2)
    assert phone.question() == "Riding angle, right"
    phone.gauge("Arm only")
    phone.angle("8", "arm up")
    assert last(phone, "reading")["reference"] == "gravity"


SIZES = ((360, 640), (412, 915), (915, 412), (1024, 768), (1440, 900))


@pytest.mark.parametrize(
    "letters",
    [
        16,
        pytest.param(21, marks=pytest.mark.long("100 %")),
        pytest.param(32, marks=pytest.mark.long("100 %")),
    ],
    ids=["100 %", "130 %", "200 %"],
)
def test_next_is_in_the_window_on_every_question(in_letters_of: Callable[..., Hand], letters: int) -> None:
    phones = in_letters_of(letters, SIZES[:3])
    found = {}
    job = phones.job()
    for words in QUESTIONS:
        phones.go(job, words)
        for size in SIZES[:3]:
            phones.page.set_viewport_size({"width": size[0], "height": size[1]})
            if cut := phones.page.evaluate(CUT):
                found[size, words] = cut
    assert found == {}


@pytest.mark.long("on phones")
def test_next_is_in_the_window_on_every_question_on_a_pc(make_hand: Callable[..., Hand]) -> None:
    hand = make_hand(**PC)
    job = hand.job()
    found = {}
    for words in QUESTIONS:
        hand.go(job, words)
        for width, height in SIZES[3:]:
            hand.page.set_viewport_size({"width": width, "height": height})
            if cut := hand.page.evaluate(CUT):
                found[width, words] = cut
    assert found == {}
