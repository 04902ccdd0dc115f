"""Hand-over: the checks before the road, what is open is named first, and the job closes."""

from collections.abc import Callable
from typing import Any

import pytest
from browser.grounds import CHECKS, after, heights, job
from browser.hand import Hand
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

BOXES = (
    "Disturbed fasteners torqued",
    "Bump and droop clearance",
    "Steering and brakes checked by someone qualified",
    "Brake-pressure regulator",
    "Wheel alignment set",
    "Headlamps aimed",
    "Local rules",
)
"""The checks as they are read, in the order of CHECKS."""


def closing(hand: Hand, made: str) -> dict[str, Any]:
    """What the log holds of a hand-over; {} where it was not handed over."""
    rows = hand.page.evaluate("async job => (await import('/book/log.js')).entries(job)", made)
    return next((dict(row["body"], kept=True) for row in rows if row["kind"] == "close"), {})


def tick_all(hand: Hand, each: Callable[[], None]) -> None:
    """Tick every check; wait until the last is kept and the screen drawn again, for that replaces its keys."""
    assert len(BOXES) == len(CHECKS)
    for name in BOXES:
        hand.page.get_by_role("checkbox", name=name).check()
        each()
    expect(hand.page.get_by_role("button", name=f"Undo: {BOXES[-1]}")).to_be_visible()


def test_what_was_renewed_is_one_tap_and_says_how_far_the_car_settles(phone: Hand) -> None:
    page = phone.page
    phone.go(job(phone, after(251, 249)), "close")
    expect(page.locator("main")).to_contain_text("Expect about 1 mm lower after some hundred km.")
    page.get_by_role("radio", name="Bars").check()
    expect(page.locator("main")).to_contain_text("Expect about 3 mm lower after some hundred km.")
    expect(page.get_by_role("radio", name="Bars")).to_be_checked()


def open_one(*said: Any) -> Any:
    """Something that is open, which a long run looks at on the screen."""
    return pytest.param(*said, marks=pytest.mark.long("one; each by name: tests/node/verdict.test.mjs"))


@pytest.mark.parametrize(
    ("items", "named"),
    [
        open_one([], "No teardown was made."),
        open_one(after(251, None, checks=True), "Heights after the last teardown are not read."),
        open_one(after(241, 249, checks=True), "Off target: left 9 mm low."),
        (after(251, 249), "Not ticked: Headlamps aimed."),
    ],
    ids=["no-teardown", "unread", "off", "unticked"],
)
def test_what_is_open_is_named_before_the_job_closes(phone: Hand, items: list[Any], named: str) -> None:
    made = job(phone, items)
    phone.go(made, "close")
    page = phone.page
    phone.hit(page.get_by_role("button", name="Hand over", exact=True))
    ask = page.get_by_role("dialog")
    expect(ask).to_contain_text(named)
    phone.hit(ask.get_by_role("button", name="Not yet"))
    assert closing(phone, made) == {}
    phone.hit(page.get_by_role("button", name="Hand over", exact=True))
    phone.hit(page.get_by_role("dialog").get_by_role("button", name="Hand over anyway"))
    expect(page.get_by_text("Handed over on")).to_be_visible()
    assert closing(phone, made)["kept"]


def test_the_tables_stand_folded_and_open_on_paper(pc: Hand) -> None:
    pc.go(job(pc, after(251, 249)), "close")
    page = pc.page
    row = page.get_by_role("row", name="Ride height, left")
    expect(row).to_be_hidden()
    page.get_by_text("Before and after, teeth, predicted").click()
    expect(row).to_contain_text("214 mm")
    expect(row).to_contain_text("251 mm")
    expect(page.get_by_role("row", name="Teardown 1 78")).to_contain_text("78 in 100")
    expect(page.get_by_role("row", name="Teardown 1 78")).to_contain_text("250 ± 3 mm / 252 ± 3 mm")
    page.get_by_text("Before and after, teeth, predicted").click()
    expect(row).to_be_hidden()
    page.emulate_media(media="print")
    expect(row).to_be_visible()
    expect(page.get_by_role("button", name="Hand over", exact=True)).to_be_hidden()


def test_a_car_on_target_with_every_check_ticked_is_handed_over_at_once_with_the_note_typed_before(
    phone: Hand,
) -> None:
    made = job(phone, after(251, 249))
    phone.go(made, "close")
    page = phone.page
    expect(page.get_by_role("heading", name="On target")).to_be_visible()
    note = page.get_by_label("Note (optional)")
    note.fill("Maren drove it")
    page.reload()
    expect(note).to_have_value("Maren drove it")
    tick_all(phone, lambda: expect(note).to_have_value("Maren drove it"))
    for name in BOXES:
        expect(page.get_by_role("checkbox", name=name)).to_be_checked()
    phone.hit(page.get_by_role("button", name="Hand over", exact=True))
    expect(page.get_by_text("Handed over on")).to_be_visible()
    body = closing(phone, made)
    assert body["text"] == "Maren drove it"
    assert body["posterior"]["names"]
    expect(page.get_by_role("link", name="Recheck after some km")).to_be_visible()
    phone.hit(page.get_by_role("button", name="Open the job again"))
    expect(note).to_have_value("")


def test_a_key_that_is_held_while_the_screen_is_drawn_anew_is_pressed_all_the_same(pc: Hand) -> None:
    made = job(pc, after(251, 249))
    pc.go(made, "close")
    page = pc.page
    for name in BOXES[:-1]:
        page.get_by_role("checkbox", name=name).check()
    expect(page.get_by_role("button", name=f"Undo: {BOXES[-2]}")).to_be_visible()
    spot = page.get_by_role("button", name="Hand over", exact=True).bounding_box()
    assert spot
    page.mouse.move(spot["x"] + spot["width"] / 2, spot["y"] + spot["height"] / 2)
    page.mouse.down()
    # Another hand's tick: it is kept, and what it draws anew waits for the finger.
    page.get_by_role("checkbox", name=BOXES[-1]).evaluate("(box) => box.click()")
    page.evaluate(
        """async ([job, all]) => {
          const { look } = await import('/book/snapshot.js');
          const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
          while ((await look(job)).sheet.steps.length < all) await frame();
          for (let i = 0; i < 5; i += 1) await frame();
        }""",
        [made, len(CHECKS)],
    )
    page.mouse.up()
    expect(page.get_by_text("Handed over on")).to_be_visible()


def test_a_closed_job_can_be_opened_again(phone: Hand) -> None:
    made = job(phone, [*after(251, 249, checks=True), ["close", {}]])
    phone.go(made, "close")
    phone.hit(phone.page.get_by_role("button", name="Open the job again"))
    expect(phone.page.get_by_role("button", name="Hand over", exact=True)).to_be_visible()


def test_cautions_before_the_road_are_whole_with_their_signal_words(phone: Hand) -> None:
    phone.go(job(phone, after(251, 249)), "close")
    main = phone.page.locator("main")
    for text in ("Loose suspension parts can cause a crash", "Wrong brakes or alignment", "can break bones"):
        expect(main).to_contain_text(text)
    expect(phone.page.get_by_role("heading", name="WARNING")).to_have_count(3)
    expect(phone.page.get_by_role("heading", name="NOTICE")).to_have_count(1)


@pytest.mark.parametrize("theme", ["light", pytest.param("dark", marks=pytest.mark.long("in light"))])
def test_axe_finds_nothing_on_hand_over_and_recheck_and_nothing_is_cut(
    make_hand: Callable[..., Hand], axe_source: str, theme: str
) -> None:
    hand = make_hand(
        viewport={"width": 360, "height": 640}, has_touch=True, color_scheme=theme, reduced_motion="reduce"
    )
    closed = [*after(251, 249, checks=True), ["close", {}]]
    seen = (
        (after(241, 249), "close"),
        (closed, "close"),
        (closed, "recheck"),
        (closed, "recheck/300/right"),
        ([*closed, *heights(236, 248, after_km=300)], "recheck"),
    )
    found = {}
    for items, words in seen:
        hand.go(job(hand, items), words)
        hand.page.evaluate(axe_source)
        wrong = [*hand.page.evaluate("() => probes.axe()"), *hand.page.evaluate("() => probes.cut()")]
        if wrong:
            found[words, len(items)] = wrong
    assert found == {}
