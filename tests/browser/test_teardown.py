"""A teardown by touch: ordered steps, their cautions, what the arm should read, the verdict on what it reads."""

from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PHONE
from browser.hand import PLAIN, Hand
from playwright.sync_api import expect

from bothends.model.solve import solve

# Unless said otherwise the order of the steps and the cautions are common practice, no source.

APART = ("wheel-off", "bolts-out", "arm-down", "cover-off")
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


def entries(hand: Hand, job: str) -> list[tuple[str, dict[str, Any]]]:
    """What the log of a job holds, in order."""
    rows = hand.page.evaluate("async job => (await import('/book/log.js')).entries(job)", job)
    return [(row["kind"], row["body"]) for row in rows]


_promised: list[dict[str, Any]] = []
"""The plan as the screen kept it the first time; later jobs of this session take it from here."""


def chosen(hand: Hand) -> str:
    """A job whose plan has been chosen; its id."""
    job = hand.job()
    if _promised:
        append(hand, job, [["plan", _promised[0]]])
        return job
    hand.go(job, "plan")
    hand.hit(hand.page.get_by_role("link", name="Begin the teardown by this plan"))
    hand.page.locator(".steps").first.wait_for()
    _promised.extend(body for kind, body in entries(hand, job) if kind == "plan")
    return job


def append(hand: Hand, job: str, items: list[Any]) -> None:
    """Entries of another phone of the shop: the screen does not know of them until it is drawn again."""
    hand.page.evaluate(
        "async ([job, items]) => (await import('/book/log.js')).append(job, items)", [job, items]
    )


def begin(hand: Hand) -> str:
    """A job whose teardown has been begun by its plan; the list of steps is shown."""
    job = chosen(hand)
    hand.go(job, "teardown/1")
    hand.page.locator(".steps").first.wait_for()
    return job


def done(*steps: tuple[str, str | None], move: dict[str, Any] | None = None) -> list[Any]:
    """Steps ticked, and a move, as entries."""
    items: list[Any] = [
        ["step", {"step": step, "done": True, "teardown": 1, **({"side": side} if side else {})}]
        for step, side in steps
    ]
    return [*items, ["move", {"teardown": 1, **move}]] if move else items


def tick(hand: Hand, job: str, *steps: tuple[str, str | None], move: dict[str, Any] | None = None) -> None:
    """Tick steps, and enter a move; the screen is drawn again."""
    append(hand, job, done(*steps, move=move))
    hand.page.reload()
    hand.page.locator("main h1").wait_for()


def at_reading(hand: Hand) -> str:
    """A teardown whose left side hangs free, its teeth turned: inner 3 tail up, outer 4 tail down, 8.8 degrees."""
    job = chosen(hand)
    left = [(step, "left") for step in (*APART, "turn-inner", "turn-outer")]
    append(hand, job, done(("stands", None), ("eyes", None), *left, move={"left": {"inner": -3, "outer": 4}}))
    return job


def read(hand: Hand, figure: str, word: str = "tail down") -> None:
    """Type what the arm reads, the gauge zeroed on the datum."""
    hand.gauge("Zeroed on it")
    hand.angle(figure, word)
    hand.page.locator(".verdict .word").wait_for()


def test_beginning_keeps_what_was_promised_as_it_was_shown(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "plan")
    shown = phone.page.locator(".odds .big strong").first.inner_text()
    phone.hit(phone.page.get_by_role("link", name="Begin the teardown by this plan"))
    phone.page.locator(".steps").first.wait_for()
    kept = [body for kind, body in entries(phone, job) if kind == "plan"]
    assert len(kept) == 1
    assert f"{round(kept[0]['odds'] * 100)} in 100" == shown
    assert (kept[0]["left"]["inner"], kept[0]["left"]["outer"]) == (-3, 4)
    assert kept[0]["target"] == {"left_mm": 250, "right_mm": 250}
    assert kept[0]["left"]["body_height_mm"]["sd"] > 0
    phone.go(job, "plan")
    phone.hit(phone.page.get_by_role("link", name="Begin the teardown by this plan"))
    phone.page.locator(".steps").first.wait_for()
    assert len([1 for kind, _ in entries(phone, job) if kind == "plan"]) == 1


def test_a_caution_stands_at_the_step_where_it_bites(phone: Hand) -> None:
    begin(phone)
    page = phone.page

    def said(step: str) -> str:
        line = page.locator(f'[data-step="{step}"]')
        if line.get_attribute("open") is None:
            phone.hit(line.locator("summary"))
        return line.inner_text()

    assert "Never go under a car held by a jack" in said("stands")
    assert "can break bones" in said("left/arm-down")
    assert " N at the wheel end" in said("left/arm-down")
    assert "do not file" in said("left/cover-off").lower()
    lift = said("right/arm-up")
    assert "never lift by hand" in lift
    # Nobody measured this car's stop: the range, as the plan's own card says it, and the most it may wind up.
    ends = solve(PLAIN)["options"][0]["right"]["lift"]
    assert f"between {ends['low']['force_n']:.0f} and {ends['high']['force_n']:.0f} N" in lift
    assert f"up to {ends['high']['energy_j']:.0f} J" in lift
    assert "be ready for the most" in lift
    assert "long studs or bolts first, in a diagonal" in said("left/cover-on").lower()
    order = page.locator(".step").evaluate_all("all => all.map(e => e.dataset.step)")
    assert order.index("left/arm-down") < order.index("left/turn-inner") < order.index("left/read")
    assert order.index("left/read") < order.index("left/arm-up") < order.index("left/cover-on")
    assert order[0] == "stands"
    assert order[-1] == "down"


def test_the_steps_are_ticked_in_the_log_and_the_last_end_of_a_side_enters_its_teeth(phone: Hand) -> None:
    job = begin(phone)
    page = phone.page
    left = ("wheel-off", "bolts-out", "arm-down", "cover-off", "turn-inner", "turn-outer")
    for step in ("stands", "eyes", *(f"left/{name}" for name in left)):
        line = page.locator(f'[data-step="{step}"]')
        expect(line).to_have_class("step now")
        phone.hit(line.get_by_role("button", name="Done"))
        expect(line).to_have_class("step done")
    page.reload()
    expect(page.locator('[data-step="left/read"]')).to_have_class("step now")
    kept = entries(phone, job)
    plan = next(i for i, (kind, _) in enumerate(kept) if kind == "plan")
    steps = [(body["step"], body.get("side")) for kind, body in kept if kind == "step"]
    assert steps == [("stands", None), ("eyes", None), *((name, "left") for name in left)]
    moves = [body for kind, body in kept[plan:] if kind == "move"]
    # The right side is not turned yet, so the log does not say so.
    assert [(move["left"], move.get("right")) for move in moves] == [({"inner": -3, "outer": 4}, None)]
    assert moves[0]["plan"]


def test_an_arm_that_hangs_as_planned_is_right_and_the_work_goes_on(phone: Hand) -> None:
    job = at_reading(phone)
    phone.go(job, "teardown/1")
    line = phone.page.locator('[data-step="left/read"]')
    expect(line).to_contain_text("8.8° tail down ± 0.4°")
    phone.hit(line.get_by_role("link", name="Enter what it reads"))
    read(phone, "8.9")
    expect(line.locator(".verdict")).to_have_class("verdict right")
    expect(line).to_contain_text("Hangs at 8.9° tail down")
    phone.hit(line.get_by_role("button", name="Done"))
    expect(phone.page.locator('[data-step="left/arm-up"]')).to_have_class("step now")


@pytest.mark.parametrize(
    ("figure", "word", "verdict", "remedy", "leave", "teeth"),
    [
        ("17.8", "tail down", "one tooth too few at the inner end", "inner end by one tooth tail up",
         "Leave it so: 2 teeth tail up", {"inner": -2, "outer": 4}),
        ("17", "tail down", "one tooth too many at the outer end", "outer end by one tooth tail up",
         "Leave it so: 5 teeth tail down", {"inner": -3, "outer": 5}),
        (".2", "tail up", "one tooth too many at the inner end", "inner end by one tooth tail down",
         "Leave it so: 4 teeth tail up", {"inner": -4, "outer": 4}),
    ],
)  # fmt: skip
def test_a_tooth_out_is_told_with_its_end_and_can_be_left_so(
    phone: Hand, figure: str, word: str, verdict: str, remedy: str, leave: str, teeth: dict[str, int]
) -> None:
    # 40 and 44 teeth: a tooth at the inner end is 9 degrees, one at the outer end 8.18 (arithmetic).
    job = at_reading(phone)
    phone.go(job, "teardown/1")
    phone.hit(phone.page.get_by_role("link", name="Enter what it reads"))
    read(phone, figure, word)
    line = phone.page.locator('[data-step="left/read"]')
    expect(line.locator(".verdict")).to_contain_text(verdict)
    expect(line.locator(".verdict")).to_contain_text(remedy)
    phone.hit(line.get_by_role("button", name=leave))
    expect(line.locator(".verdict.right")).to_contain_text("Fits the teeth as entered")
    moves = [body for kind, body in entries(phone, job) if kind == "move"]
    assert moves[-1]["left"] == teeth
    assert moves[-1]["corrects"]


def test_a_tooth_put_right_is_read_again(phone: Hand) -> None:
    job = at_reading(phone)
    phone.go(job, "teardown/1")
    phone.hit(phone.page.get_by_role("link", name="Enter what it reads"))
    read(phone, "17.8")
    phone.hit(phone.page.get_by_role("button", name="Read again"))
    phone.page.locator("key-pad").wait_for()
    read(phone, "8.8")
    expect(phone.page.locator('[data-step="left/read"] .verdict.right')).to_be_visible()
    kinds = [kind for kind, _ in entries(phone, job)]
    assert kinds[-3:] == ["reading", "strike", "reading"]


def test_a_fine_step_out_is_not_called_right(phone: Hand) -> None:
    # One tooth at both ends against each other is 0.818 degrees (arithmetic, 360 / lcm(40, 44)).
    job = at_reading(phone)
    phone.go(job, "teardown/1")
    phone.hit(phone.page.get_by_role("link", name="Enter what it reads"))
    read(phone, "9.7")
    expect(phone.page.locator(".verdict.off")).to_contain_text("0.9° further tail down than it should be")
    expect(phone.page.locator(".verdict.off")).to_contain_text("makes 0.8°")


def test_the_propped_view_goes_on_at_a_tap_anywhere_and_back_and_undo_are_there(
    make_hand: Callable[..., Hand],
) -> None:
    phone = make_hand(**PHONE)
    phone.page.add_init_script(STUBS)
    job = begin(phone)
    page = phone.page
    phone.hit(page.get_by_role("link", name="Propped view"))
    expect(page.locator("h1")).to_have_text("Body on rated stands")
    page.touchscreen.tap(200, 400)
    expect(page.locator("h1")).to_have_text("Eye protection on, manual open")
    page.touchscreen.tap(30, 500)
    expect(page.locator("h1")).to_have_text("Wheel off")
    phone.hit(page.get_by_role("button", name="Back"))
    expect(page.locator("h1")).to_have_text("Eye protection on, manual open")
    expect(page.locator(".count")).to_contain_text("done")
    page.touchscreen.tap(200, 400)
    expect(page.locator("h1")).to_have_text("Wheel off")
    phone.hit(page.get_by_role("button", name="Undo"))
    expect(page.locator("h1")).to_have_text("Eye protection on, manual open")
    expect(page.locator(".count")).not_to_contain_text("done")
    steps = [(body["step"], body["done"]) for kind, body in entries(phone, job) if kind == "step"]
    assert steps == [("stands", True), ("eyes", True), ("eyes", False)]


def test_the_propped_view_reads_from_a_metre_and_its_keys_stay_in_sight(phone: Hand) -> None:
    job = at_reading(phone)
    for at in range(9):
        phone.go(job, f"propped/1?at={at}")
        sizes = phone.page.locator(".big p, .big h1, .big .bite span").evaluate_all(
            "all => all.filter(e => e.checkVisibility() && !e.closest('.unseen'))"
            ".map(e => parseFloat(getComputedStyle(e).fontSize))"
        )
        assert min(sizes) >= 28
        assert max(sizes) >= 40
        for name in ("Back", "Undo"):
            expect(phone.page.get_by_role("button", name=name)).to_be_in_viewport(ratio=1)


def test_the_screen_is_kept_awake_and_asked_for_again_when_it_is_seen(make_hand: Callable[..., Hand]) -> None:
    phone = make_hand(**PHONE)
    phone.page.add_init_script(STUBS)
    begin(phone)
    phone.hit(phone.page.get_by_role("link", name="Propped view"))
    expect(phone.page.locator("stay-awake")).to_have_text("Screen stays on")
    assert phone.page.evaluate("() => asked") == ["screen"]
    phone.page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")
    expect(phone.page.locator("stay-awake")).to_have_text("Screen stays on")
    assert phone.page.evaluate("() => asked") == ["screen", "screen"]
    phone.hit(phone.page.get_by_role("link", name="All steps"))
    phone.page.locator(".steps").first.wait_for()
    assert phone.page.evaluate("() => asked")[-1] == "released"


def test_nothing_is_read_aloud_until_it_is_asked_for(make_hand: Callable[..., Hand]) -> None:
    phone = make_hand(**PHONE)
    phone.page.add_init_script(STUBS)
    begin(phone)
    phone.hit(phone.page.get_by_role("link", name="Propped view"))
    expect(phone.page.get_by_role("button", name="Voice off")).to_have_attribute("aria-pressed", "false")
    assert phone.page.evaluate("() => spoken") == []
    phone.hit(phone.page.get_by_role("button", name="Voice off"))
    expect(phone.page.get_by_role("button", name="Voice on")).to_have_attribute("aria-pressed", "true")
    assert "Never go under a car held by a jack." in phone.page.evaluate("() => spoken")[0]
    phone.hit(phone.page.locator(".go"))
    expect(phone.page.locator("h1")).to_have_text("Eye protection on, manual open")
    assert phone.page.evaluate("() => spoken.length") == 2


def test_taking_a_turned_end_back_takes_its_teeth_and_its_reading_out_of_the_log(phone: Hand) -> None:
    job = at_reading(phone)
    phone.go(job, "propped/1")
    phone.hit(phone.page.locator(".go"))
    read(phone, "8.8")
    phone.hit(phone.page.get_by_role("button", name="Undo: Outer end"))
    expect(phone.page.locator("h1")).to_have_text("Outer end: 4 teeth tail down")
    sheet = phone.page.evaluate("async job => (await import('/book/fold.js')).sheetOf(job)", job)["sheet"]
    assert sheet["teardowns"] == 0
    assert [r for r in sheet["readings"] if r.get("teardown") == 1] == []


@pytest.mark.parametrize("screen", ["teardown/1", "propped/1"])
@pytest.mark.parametrize(("side", "tail"), [("left", 1), ("right", -1)])
def test_the_arrows_are_those_of_someone_kneeling_at_that_wheel(
    phone: Hand, screen: str, side: str, tail: int
) -> None:
    job = begin(phone)
    found = []
    if screen == "teardown/1":
        phone.go(job, screen)
        for end in ("inner", "outer"):
            phone.hit(phone.page.locator(f'[data-step="{side}/turn-{end}"] summary'))
        found = phone.page.evaluate("s => probes.dials(s)", f".turning.{side} .dial")
    else:
        for at in (6, 7) if side == "left" else (17, 18):
            phone.go(job, f"{screen}?at={at}")
            found += phone.page.evaluate("s => probes.dials(s)", f".turning.{side} .dial")
    assert len(found) == 2
    for dial in found:
        assert dial["stub"] * tail > 5
        assert dial["down"] * dial["teeth"] > 5


def test_a_teardown_begun_is_found_again_from_the_plan(phone: Hand) -> None:
    job = begin(phone)
    tick(phone, job, ("stands", None))
    phone.go(job, "plan")
    phone.hit(phone.page.get_by_role("link", name="Carry on with teardown 1"))
    expect(phone.page.locator('[data-step="eyes"]')).to_have_class("step now")


def test_a_teardown_entered_without_its_steps_is_not_carried_on(phone: Hand) -> None:
    job = chosen(phone)
    move = {"left": {"inner": -3, "outer": 4}, "right": {"inner": 5, "outer": -5}}
    append(phone, job, done(("rolled", None), move=move))
    phone.go(job, "plan")
    expect(phone.page.get_by_role("link", name="Carry on")).to_have_count(0)
