"""A teardown by touch, one step a screen: order, cautions seen whole, what the arm should read, the verdict."""

import itertools
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from browser.conftest import PHONE, watched
from browser.hand import PLAIN, Hand
from browser.server import running
from browser.teardown import (
    APART,
    TOGETHER,
    append,
    at_reading,
    chosen,
    come_back,
    deck,
    done,
    entries,
    more,
    open_again,
    step_name,
    tick,
    uncounted,
)
from playwright.sync_api import Browser, expect

from bothends.model import safety
from bothends.model.solve import solve

pytestmark = pytest.mark.same_page

# Unless said otherwise the order of the steps is common practice, no source; cautions are the model's own.

STUBS = """
  globalThis.asked = [];
  globalThis.spoken = [];
  const lock = { release: async () => asked.push('released') };
  const request = async (what) => { asked.push(what); return lock; };
  Object.defineProperty(navigator, 'wakeLock', { value: { request } });
  globalThis.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
  Object.defineProperty(globalThis, 'speechSynthesis', {
    value: { speak: (words) => spoken.push(words.text), cancel() {} },
  });
"""

SMALL = ((360, 640), (412, 915), (915, 412))
SIDE = (*APART, "look", "turn-inner", "turn-outer", "read", *TOGETHER)
"""Steps of a side whose bar is known and whose hanging angle was read."""
NAMES = {
    "stands": "Body on axle stands",
    "eyes": "Eye protection on",
    "wheel-off": "Take the wheel off",
    "bolts-out": "Hold the arm, take the bolts out",
    "cover-off": "Take the cover off",
    "arm-down": "Ease the arm off its stop",
    "look": "Look at the plan again",
    "turn-inner": "teeth arm",
    "turn-outer": "teeth arm",
    "read": "Read the arm again",
    "arm-up": "Lift the arm onto its stop",
    "cover-on": "Put the cover on",
    "bolts-in": "Refit arm, axle and damper bolts",
    "wheel-on": "Put the wheel on",
    "down": "Lower it onto its wheels",
}
LOOKED = ("Keep the plan", "Take this plan")


def hanging(side: str, value: float, teardown: int = 1) -> list[Any]:
    """A reading of an arm hanging free, the gauge zeroed on the body."""
    return [
        "reading",
        {"what": "hanging-angle", "side": side, "value": value, "sd": 0.2, "teardown": teardown},
    ]


def expect_step(hand: Hand, key: str, side: str | None = None) -> None:
    """The step is on the screen, with its side."""
    heading = hand.page.get_by_role("heading", level=1)
    expect(heading).to_contain_text(NAMES[key])
    if side:
        expect(heading).to_contain_text(side)


def taken(hand: Hand) -> None:
    """Go by what the last look came to."""
    hand.page.locator(".verdict-room[data-state]").wait_for()
    hand.hit(deck(hand, LOOKED[0]).or_(deck(hand, LOOKED[1])))


def test_at_every_step_the_app_can_be_closed_and_opens_at_that_very_step(phone: Hand, long: bool) -> None:
    hand = phone
    job = chosen(hand)
    for side, key in [
        (None, "stands"),
        (None, "eyes"),
        *[(side, key) for side in ("left", "right") for key in SIDE],
        (None, "down"),
    ]:
        # By its log it opens at that step wherever it was left; a page anew costs most of the test.
        if (key in ("look", "turn-outer") and side == "left") or long:
            hand = open_again(hand, job)
        else:
            hand = come_back(hand, job)
        expect_step(hand, key, side)
        stood = str(hand.page.get_by_role("heading", level=1).text_content())
        if key == "look":
            taken(hand)
        elif key == "read":
            assert side
            plan = [body for kind, body in entries(hand, job) if kind == "plan"][-1]
            append(hand, job, [hanging(side, plan[side]["hanging_deg"])])
            hand = come_back(hand, job)
            expect(hand.page.get_by_role("heading", name="On target")).to_be_visible()
            hand.hit(deck(hand, "Done"))
        else:
            hand.hit(deck(hand, "Done"))
        # Once the next one stands this one is ticked on the disk, and the app can be closed.
        expect(hand.page.get_by_role("heading", level=1)).not_to_have_text(stood)
    expect(hand.page.get_by_role("heading", name="All steps done")).to_be_visible()
    hand.hit(deck(hand, "Measure"))
    expect(hand.page).to_have_url(re.compile(r"ground/1$"))
    moves = [body for kind, body in entries(hand, job) if kind == "move"]
    assert moves[-1]["left"] == {"inner": -3, "outer": 4}
    assert moves[-1]["right"] == {"inner": 5, "outer": -5}
    plans = hand.page.evaluate("async job => (await import('/book/fold.js')).sheetOf(job)", job)
    assert plans["sheet"]["moves"][-1]["plan"] == plans["sheet"]["plans"][-1]["id"]


DANGEROUS = ("stands", "bolts-out", "cover-off", "arm-down", "arm-up", "turn-inner", "cover-on", "down")
"""Steps at which something can hurt."""


@pytest.mark.parametrize("letters", [16, pytest.param(21, marks=pytest.mark.long("100 and 200 %")), 32])
def test_a_caution_is_seen_to_its_end_before_its_step_can_be_done(
    in_letters_of: Callable[..., Hand], letters: int
) -> None:
    hand = in_letters_of(letters, SMALL, reduced_motion="reduce")
    job = chosen(hand)
    page = hand.page
    order = ["stands", "eyes", *APART, "found", "count", "caliper", *SIDE[4:]]
    for (wide, high), key in itertools.product(SMALL, DANGEROUS):
        page.set_viewport_size({"width": wide, "height": high})
        at = order.index(key) if key != "down" else 30
        # Drawn anew at this size: what was read on at another does not count.
        hand.place("settings")
        hand.go(job, f"propped/1?at={at}")
        expect(
            page.get_by_role("heading", name="WARNING").or_(page.get_by_role("heading", name="NOTICE")).first
        ).to_be_visible()
        told = " ".join(page.locator(".warn p").all_inner_texts()).replace("\u00a0", " ")
        for caution in safety.STEPS["turn" if key.startswith("turn") else key]:
            text = caution[1] if isinstance(caution[1], str) else caution[1]["text"]
            assert text.rsplit(". ", 1)[-1] in told
        read_to_its_end(hand)


def read_to_its_end(hand: Hand) -> None:
    """Press the main key while it says Read on: always in the window, free once the end is in sight."""
    main = hand.page.locator('[data-deck="main"]')
    for _ in range(30):
        expect(main).to_be_in_viewport(ratio=1)
        if main.inner_text() != "Read on":
            break
        assert not seen(hand), "the caution's end is in sight, yet its step is held"
        hand.hit(main)
        hand.page.wait_for_timeout(60)
    expect(main).to_have_text("Done")
    assert seen(hand)


def test_every_step_but_the_look_is_drawn_with_the_one_pen(phone: Hand) -> None:
    job = chosen(phone, uncounted())
    page = phone.page
    steps = ["stands", "eyes", *APART, "found", "count", "caliper"]
    for at, key in enumerate(steps):
        phone.go(job, f"propped/1?at={at}")
        expect(page.locator(".picture svg.pen")).to_be_visible()
        label = page.locator(".picture svg.pen").get_attribute("aria-label")
        assert step_name(phone).split("\n")[0] in str(label), key
    job = chosen(phone)
    for at, key in enumerate(("turn-inner", "turn-outer", "read", *TOGETHER, "wheel-off"), start=10):
        phone.go(job, f"propped/1?at={at}")
        expect(page.locator(".picture svg.pen"), key).to_be_visible()
    phone.go(job, "propped/1?at=30")
    expect_step(phone, "down")
    expect(page.locator(".picture svg.pen")).to_be_visible()


def seen(hand: Hand) -> bool:
    """Whether the caution's last line is in the part of the window that is not the deck's."""
    return bool(
        hand.page.evaluate(
            """() => {
              const last = [...document.querySelectorAll('.warn p')].at(-1).getBoundingClientRect();
              const deck = document.querySelector('.deck').getBoundingClientRect();
              const beside = deck.left > last.right || deck.right < last.left;
              return last.bottom <= (beside ? innerHeight : deck.top) + 2 && last.bottom > 0;
            }"""
        )
    )


def test_the_force_is_a_range_where_the_stop_was_not_measured_and_in_the_unit_chosen(phone: Hand) -> None:
    job = chosen(phone)
    ends = solve(PLAIN)["options"][0]["left"]["lift"]
    assert ends["assumed"]
    phone.go(job, "propped/1?at=13")
    expect_step(phone, "arm-up", "left")
    warned = phone.page.locator(".warn")
    low, high = ends["low"]["force_n"], ends["high"]["force_n"]
    expect(warned).to_contain_text(f"{low:.0f} to {high:.0f} N, assumed")
    phone.page.evaluate("async () => (await import('/book/lengths.js')).setLengths('in')")
    phone.page.reload()
    # A pound-force is 4.448 N (NIST SP 811, from memory).
    expect(warned).to_contain_text(f"{low / 4.4482:.0f} to {high / 4.4482:.0f} lbf, assumed")
    assert "slack" not in phone.page.locator("main").inner_text()


def test_a_plan_in_degrees_is_counted_measured_and_looked_at_before_a_tooth_is_turned(phone: Hand) -> None:
    job = chosen(phone, uncounted())
    append(phone, job, done(("stands", None), ("eyes", None), *[(step, "left") for step in APART]))
    phone.go(job, "propped/1")
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("Read the arm as it hangs")
    append(phone, job, [hanging("left", 3.1, 0)])
    phone.page.reload()
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("Count the teeth")
    phone.hit(deck(phone, "Enter teeth"))
    phone.page.wait_for_url(re.compile("inner_teeth"))
    phone.figure("40")
    phone.page.wait_for_url(re.compile("outer_teeth"))
    phone.figure("44")
    phone.page.wait_for_url(re.compile("propped/1"))
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("Measure the bar")
    more(phone, "Skip measuring the bar")
    expect_step(phone, "look", "left")
    expect(phone.page.get_by_role("heading", name="The plan in whole teeth")).to_be_visible()
    expect(phone.page.locator(".verdict-room")).to_contain_text("planned were")
    phone.hit(deck(phone, "Take this plan"))
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("teeth arm")
    plans = [body for kind, body in entries(phone, job) if kind == "plan"]
    assert [plan["teardown"] for plan in plans] == [1, 1]
    assert "inner" not in plans[0]["left"]
    assert isinstance(plans[1]["left"]["inner"], int)
    for end in ("Inner end", "Outer end"):
        expect(phone.page.get_by_role("heading", level=1)).to_contain_text(end)
        phone.hit(deck(phone, "Done"))
    expect_step(phone, "read", "left")
    moves = [body for kind, body in entries(phone, job) if kind == "move"]
    assert moves[0]["left"] == {end: plans[1]["left"][end] for end in ("inner", "outer")}
    assert "right" not in moves[0]


def test_the_second_sides_look_plans_that_side_alone_and_its_plan_is_judged(phone: Hand) -> None:
    job = chosen(phone)
    left = [(step, "left") for step in SIDE]
    right = [(step, "right") for step in APART]
    [plan] = [body for kind, body in entries(phone, job) if kind == "plan"]
    append(
        phone,
        job,
        done(("stands", None), ("eyes", None), *left, *right, move={"left": {"inner": -3, "outer": 4}}),
    )
    # The left arm hangs as planned; the right was read on the closed car two degrees from how it hangs free.
    append(phone, job, [hanging("left", plan["left"]["hanging_deg"])])
    phone.go(job, "propped/1?at=22")
    expect_step(phone, "look", "right")
    phone.page.locator(".verdict-room[data-state]").wait_for()
    asked = phone.page.evaluate(
        """async job => {
          const { look } = await import('/book/snapshot.js');
          const { lookRequest } = await import('/work/look.js');
          const { planFor } = await import('/work/promise.js');
          const found = await look(job);
          return lookRequest(found.request.request, found.sheet, planFor(found.sheet, 1));
        }""",
        job,
    )
    assert asked["car"]["held"] == {"left": ["inner", "outer"]}
    best = solve(asked)["options"][0]
    assert (best["left"]["inner"], best["left"]["outer"]) == (0, 0)
    taken(phone)
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("right")
    plans = [body for kind, body in entries(phone, job) if kind == "plan"]
    assert plans[-1]["left"]["inner"] == -3
    assert plans[-1]["left"]["outer"] == 4
    assert (plans[-1]["right"]["inner"], plans[-1]["right"]["outer"]) == (5, -5)
    for end in ("Inner end", "Outer end"):
        expect(phone.page.get_by_role("heading", level=1)).to_contain_text(end)
        phone.hit(deck(phone, "Done"))
    expect_step(phone, "read", "right")
    found = phone.page.evaluate("async job => (await import('/book/fold.js')).sheetOf(job)", job)
    stage = found["stages"][-1]
    assert stage["plan"] == found["sheet"]["plans"][-1]["id"]
    assert stage["followed"] is True


def thin_bar(hand: Hand) -> str:
    """A job planned on heights and tooth counts alone, whose arm is now free and whose bar proves to be thin."""
    request = uncounted()
    request["car"]["bar"] = {"inner_teeth": 40, "outer_teeth": 44}
    request["log"] = [row for row in request["log"] if row.get("what") == "body-height"]
    job = chosen(hand, request)
    append(hand, job, done(("stands", None), ("eyes", None), *[(step, "left") for step in APART]))
    append(hand, job, [hanging("left", 3.1, 0), ["car", {"bar": {"diameter_mm": 20, "length_mm": 600}}]])
    hand.go(job, "propped/1")
    expect_step(hand, "look", "left")
    return job


def test_a_better_tooth_is_said_with_both_chances_and_written_as_the_plan(phone: Hand) -> None:
    job = thin_bar(phone)
    verdict = phone.page.locator(".verdict-room")
    expect(phone.page.get_by_role("heading", name="The plan changes")).to_be_visible()
    expect(verdict).to_contain_text("Inner end: 2 rather than 3 teeth arm up")
    expect(verdict).to_contain_text(re.compile(r"\d+ → \d+ in 100"))
    phone.hit(deck(phone, "Take this plan"))
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("2 teeth arm up")
    plans = [body for kind, body in entries(phone, job) if kind == "plan"]
    assert [plan["left"]["inner"] for plan in plans] == [-3, -2]


def test_a_better_tooth_may_be_left_and_the_plan_stays_as_it_was(phone: Hand) -> None:
    job = thin_bar(phone)
    expect(phone.page.get_by_role("heading", name="The plan changes")).to_be_visible()
    more(phone, "Go on by the plan as it was")
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("3 teeth arm up")
    assert len([1 for kind, _ in entries(phone, job) if kind == "plan"]) == 1


@pytest.mark.parametrize(
    ("value", "verdict", "remedy", "keep", "teeth"),
    [
        (17.8, "One tooth too few at the inner end", "Turn it one tooth arm up", "Keep 2 teeth arm up",
         {"inner": -2, "outer": 4}),
        (17.0, "One tooth too many at the outer end", "Turn it one tooth arm up", "Keep 5 teeth arm down",
         {"inner": -3, "outer": 5}),
        (-0.2, "One tooth too many at the inner end", "Turn it one tooth arm down", "Keep 4 teeth arm up",
         {"inner": -4, "outer": 4}),
    ],
)  # fmt: skip
def test_a_tooth_out_is_told_with_its_end_and_can_be_kept(
    phone: Hand, value: float, verdict: str, remedy: str, keep: str, teeth: dict[str, int]
) -> None:
    # 40 and 44 teeth: a tooth at the inner end is 9 degrees, one at the outer end 8.18 (arithmetic).
    job = at_reading(phone)
    append(phone, job, [hanging("left", value)])
    phone.go(job, "propped/1")
    expect(phone.page.get_by_role("heading", name=verdict)).to_be_visible()
    expect(phone.page.locator(".verdict-room")).to_contain_text(remedy)
    # The key that goes on is where it always is.
    expect(deck(phone, "Read again")).to_be_in_viewport(ratio=1)
    phone.hit(phone.page.get_by_role("button", name=keep))
    expect(phone.page.get_by_role("heading", name="Fits the teeth entered")).to_be_visible()
    moves = [body for kind, body in entries(phone, job) if kind == "move"]
    assert moves[-1]["left"] == teeth
    assert moves[-1]["corrects"]
    phone.hit(deck(phone, "Done"))
    expect_step(phone, "arm-up", "left")


def test_a_tooth_put_right_is_read_again(phone: Hand) -> None:
    job = at_reading(phone)
    append(phone, job, [hanging("left", 17.8)])
    phone.go(job, "propped/1")
    phone.hit(deck(phone, "Read again"))
    phone.page.wait_for_url(re.compile(r"read/hanging-angle/left\?.*after=1"))
    append(phone, job, [hanging("left", 8.8)])
    phone.go(job, "propped/1")
    expect(phone.page.get_by_role("heading", name="On target")).to_be_visible()
    expect(phone.page.locator(".verdict-room")).to_contain_text("Reads 8.8° arm down")
    kinds = [kind for kind, _ in entries(phone, job)]
    assert kinds[-3:] == ["reading", "strike", "reading"]


def test_a_fine_step_out_is_not_called_on_target(phone: Hand) -> None:
    # One tooth at both ends against each other is 0.818 degrees (arithmetic, 360 / lcm(40, 44)).
    job = at_reading(phone)
    append(phone, job, [hanging("left", 9.7)])
    phone.go(job, "propped/1")
    expect(phone.page.get_by_role("heading", name="0.9° too far arm down")).to_be_visible()
    expect(phone.page.locator(".verdict-room")).to_contain_text("makes 0.8°")
    more(phone, "Continue anyway")
    expect_step(phone, "arm-up", "left")


def test_before_it_is_read_the_arms_angle_is_expected_with_its_range(phone: Hand) -> None:
    job = at_reading(phone)
    phone.go(job, "propped/1")
    expect(phone.page.locator(".expect")).to_have_text(
        re.compile(r"Expect 8\.8 ± 0\.\d° arm down, arm to body")
    )
    expect(phone.page.get_by_role("img", name="Expect 8.8")).to_be_visible()
    phone.hit(deck(phone, "Enter reading"))
    phone.page.wait_for_url(re.compile(r"read/hanging-angle/left\?.*after=1"))


def test_a_step_is_looked_back_at_and_undone_behind_the_other_key(phone: Hand) -> None:
    job = chosen(phone)
    phone.go(job, "propped/1")
    phone.hit(deck(phone, "Done"))
    expect_step(phone, "eyes")
    phone.hit(deck(phone, "Done"))
    expect_step(phone, "wheel-off", "left")
    more(phone, "Step before")
    expect_step(phone, "eyes")
    phone.hit(deck(phone, "Next"))
    expect_step(phone, "wheel-off", "left")
    more(phone, "Undo the last")
    expect_step(phone, "eyes")
    expect(deck(phone, "Done")).to_be_visible()
    steps = [(body["step"], body["done"]) for kind, body in entries(phone, job) if kind == "step"]
    assert steps == [("stands", True), ("eyes", True), ("eyes", False)]


def test_taking_a_turned_end_back_takes_its_teeth_and_its_reading_out_of_the_log(phone: Hand) -> None:
    job = at_reading(phone)
    append(phone, job, [hanging("left", 8.8)])
    phone.go(job, "propped/1")
    more(phone, "Undo the last")
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("4 teeth arm down")
    sheet = phone.page.evaluate("async job => (await import('/book/fold.js')).sheetOf(job)", job)["sheet"]
    assert sheet["teardowns"] == 0
    assert [r for r in sheet["readings"] if r.get("teardown") == 1] == []


def test_a_step_reads_from_a_metre(phone: Hand) -> None:
    # 24 px of this type are 9 minutes of arc at a metre, 51 px are 20 (ISO 9241-303 wants 16 to 22, from memory).
    job = at_reading(phone)
    for at in range(14):
        phone.go(job, f"propped/1?at={at}")
        sizes = phone.page.locator(".stage p, .stage h1").evaluate_all(
            "all => all.filter(e => e.checkVisibility() && !e.closest('.unseen'))"
            ".map(e => parseFloat(getComputedStyle(e).fontSize))"
        )
        assert min(sizes) >= 24
        assert max(sizes) >= 40
        for name in ("main", "quiet"):
            expect(phone.page.locator(f'[data-deck="{name}"]')).to_be_in_viewport(ratio=1)


@pytest.mark.fresh_page
def test_the_screen_is_kept_awake_and_asked_for_again_when_it_is_seen(make_hand: Callable[..., Hand]) -> None:
    phone = make_hand(**PHONE)
    phone.page.add_init_script(STUBS)
    job = chosen(phone)
    phone.go(job, "propped/1")
    expect(phone.page.locator("stay-awake")).to_have_text("Screen stays on")
    assert phone.page.evaluate("() => asked") == ["screen"]
    phone.page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")
    expect(phone.page.locator("stay-awake")).to_have_text("Screen stays on")
    assert phone.page.evaluate("() => asked") == ["screen", "screen"]
    more(phone, "All steps")
    expect(phone.page.get_by_role("heading", name="Teardown 1")).to_be_visible()
    assert phone.page.evaluate("() => asked")[-1] == "released"


@pytest.mark.fresh_page
def test_nothing_is_read_aloud_until_it_is_asked_for(make_hand: Callable[..., Hand]) -> None:
    phone = make_hand(**PHONE)
    phone.page.add_init_script(STUBS)
    job = chosen(phone)
    phone.go(job, "propped/1")
    assert phone.page.evaluate("() => spoken") == []
    more(phone, "Voice on")
    assert "Never go under a car on a jack." in phone.page.evaluate("() => spoken")[0]
    phone.hit(deck(phone, "Done"))
    expect_step(phone, "eyes")
    assert phone.page.evaluate("() => spoken.length") == 2


def test_a_step_is_drawn_and_said_for_the_wheel_it_is_done_at(phone: Hand) -> None:
    job = chosen(phone)
    for at, side, words in (
        (10, "left", "Inner end: 3 teeth arm up"),
        (23, "right", "Inner end: 5 teeth arm down"),
    ):
        phone.go(job, f"propped/1?at={at}")
        picture = phone.page.get_by_role("img", name=f"{words}, as seen kneeling at the {side} wheel")
        expect(picture).to_be_visible()
        assert step_name(phone).replace("\n", " ").startswith("Inner end")


def test_the_list_folds_what_is_done_and_leads_to_every_step(phone: Hand) -> None:
    job = at_reading(phone)
    phone.go(job, "teardown/1")
    page = phone.page
    expect(page.get_by_text("13 steps done")).to_be_visible()
    expect(page.get_by_role("link", name="Take the wheel off")).to_have_count(1)
    phone.hit(page.get_by_text("13 steps done"))
    expect(page.get_by_role("link", name="Body on axle stands")).to_be_visible()
    phone.hit(page.get_by_role("link", name="Put the cover on").first)
    expect_step(phone, "cover-on", "left")
    phone.hit(deck(phone, "Done"))
    expect_step(phone, "read", "left")
    phone.go(job, "teardown/1")
    expect(page.get_by_text("14 steps done")).to_be_visible()
    phone.hit(deck(phone, "Go on: Read the arm again"))
    expect_step(phone, "read", "left")


def test_teeth_entered_by_hand_are_judged_by_the_plan_made_last(phone: Hand) -> None:
    job = chosen(phone)
    phone.go(job, "move?li=-3&lo=4&ri=5&ro=-5")
    end = phone.page.get_by_role("group", name="Inner end, left")
    expect(end).to_contain_text("3 teeth arm up")
    phone.hit(end.get_by_role("button", name="one tooth arm up"))
    expect(end).to_contain_text("4 teeth arm up")
    phone.hit(end.get_by_role("button", name="one tooth arm down"))
    expect(phone.page.get_by_role("img", name="Inner end, left: 3 teeth arm up")).to_be_visible()
    phone.hit(deck(phone, "Save teeth of teardown 1"))
    phone.page.wait_for_url(re.compile("ground/1"))
    found = phone.page.evaluate("async job => (await import('/book/fold.js')).sheetOf(job)", job)
    assert found["stages"][-1]["plan"] == found["sheet"]["plans"][-1]["id"]


def test_a_teardown_entered_without_its_steps_is_not_under_way(phone: Hand) -> None:
    job = chosen(phone)
    move = {"left": {"inner": -3, "outer": 4}, "right": {"inner": 5, "outer": -5}}
    append(phone, job, done(("rolled", None), move=move))
    assert open_again(phone, job).page.url.endswith("ground/1")


def test_a_teardown_goes_on_without_its_server_also_when_the_app_is_opened_again(
    chromium: Browser, tmp_path: Path, complaints: list[str]
) -> None:
    context = chromium.new_context(**PHONE)
    context.set_default_timeout(20_000)
    with running(tmp_path) as address:
        hand = Hand(watched(context, complaints), address)
        job = chosen(hand)
        append(hand, job, done(("stands", None), ("eyes", None), *[(step, "left") for step in APART]))
        hand.place("settings")
        expect(hand.page.get_by_text("Works offline.")).to_be_visible(timeout=60_000)
    hand.go(job, "propped/1")
    taken(hand)
    expect(hand.page.get_by_role("heading", level=1)).to_contain_text("3 teeth arm up")
    hand = open_again(hand, job)
    expect(hand.page.get_by_role("heading", level=1)).to_contain_text("3 teeth arm up")
    hand.hit(deck(hand, "Done"))
    # A tap while the first is on its way to the disk would be the same tap: no step is ticked unseen.
    expect(hand.page.get_by_role("heading", level=1)).to_contain_text("4 teeth arm down")
    hand.hit(deck(hand, "Done"))
    expect_step(hand, "read", "left")
    append(hand, job, [hanging("left", 8.8)])
    hand = open_again(hand, job)
    expect(hand.page.get_by_role("heading", name="On target")).to_be_visible()
    context.close()
    complaints.clear()


def test_a_page_drawn_again_shows_the_step_that_another_phone_ticked(phone: Hand) -> None:
    job = chosen(phone)
    phone.go(job, "propped/1")
    tick(phone, job, ("stands", None))
    expect_step(phone, "eyes")


def test_both_readings_are_typed_at_their_step_and_lead_back_to_it(phone: Hand) -> None:
    job = chosen(phone, uncounted({**PLAIN, "car": {**PLAIN["car"]}}))
    append(phone, job, [["car", {"bar": PLAIN["car"]["bar"]}]])
    append(phone, job, done(("stands", None), ("eyes", None), *[(step, "left") for step in APART]))
    phone.go(job, "propped/1")
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("Read the arm as it hangs")
    phone.hit(deck(phone, "Enter reading"))
    phone.page.wait_for_url(re.compile(r"read/hanging-angle/left\?.*after=0"))
    phone.gauge("Zeroed on the body")
    phone.angle("3.1", "arm down")
    phone.page.wait_for_url(re.compile("propped/1"))
    expect_step(phone, "look", "left")
    taken(phone)
    for end in ("Inner end", "Outer end"):
        expect(phone.page.get_by_role("heading", level=1)).to_contain_text(end)
        phone.hit(deck(phone, "Done"))
    expect_step(phone, "read", "left")
    plan = [body for kind, body in entries(phone, job) if kind == "plan"][-1]
    expected = plan["left"]["hanging_deg"]
    phone.hit(deck(phone, "Enter reading"))
    phone.page.wait_for_url(re.compile(r"read/hanging-angle/left\?.*after=1"))
    phone.angle(f"{abs(expected):.1f}", "arm down" if expected > 0 else "arm up")
    phone.page.wait_for_url(re.compile("propped/1"))
    expect(phone.page.get_by_role("heading", name="On target")).to_be_visible()
