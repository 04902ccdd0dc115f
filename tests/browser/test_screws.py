"""A front screw job, from nothing to a plan, an adjustment by its steps, heights read, and on target."""

import re
from typing import Any

import pytest
from browser.hand import Hand
from browser.test_first_plan import counting, entries, last
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

FRONT = "Front, lever and adjusting screw"


def done(hand: Hand) -> None:
    """The main key of a step, and wait until the next one stands: no two in a row have one title and side."""
    title = hand.page.locator("main h1")
    before = title.text_content() or ""
    hand.hit(hand.page.locator("[data-deck=main]"))
    expect(title).not_to_have_text(before)


def moves(hand: Hand) -> list[dict[str, Any]]:
    return [entry["body"] for entry in entries(hand) if entry["kind"] == "move"]


@pytest.mark.empty_page
def test_a_front_screw_job_from_nothing_to_on_target(phone: Hand) -> None:
    page = phone.page
    counts = counting(phone)
    phone.hit(page.get_by_role("link", name="New job"))
    phone.hit(page.locator("#layout summary"))
    phone.choose(FRONT)
    phone.choose("Raise by")
    phone.next()
    phone.digits("20")
    phone.next()
    phone.figure("380")
    phone.figure("386")
    phone.figure("108")
    phone.choose("1.5")
    phone.next()
    page.locator(".source").wait_for()
    screens, _ = counts()
    assert screens <= 7
    assert last(phone, "car") == {"adjuster": {"pitch_mm": 1.5}}
    main = page.locator("main")
    expect(main).to_contain_text(re.compile(r"Set the screws: left raise \d+"))
    expect(main).to_contain_text("Height per turn")
    expect(main).to_contain_text("front axle")
    expect(page.locator(".corner-card.left")).to_contain_text("raise")
    expect(main).not_to_contain_text("eardown")

    # So high that no caution has to be scrolled: the key never says "Read on".
    page.set_viewport_size({"width": 412, "height": 1600})
    phone.hit(page.get_by_role("link", name="Start"))
    expect(page.locator("main h1")).to_have_text("Tyres, fuel, usual load")
    plan = last(phone, "plan")
    assert plan["left"]["inner"] == 0
    assert plan["left"]["turns"] > 1
    for _ in range(4):
        done(phone)
    expect(page.locator("main h1")).to_contain_text("Clean and oil the thread")
    expect(page.locator(".warn").first).to_contain_text("unloading tool")
    done(phone)
    expect(page.locator("main")).to_contain_text("Two thirds first")
    done(phone)
    first = moves(phone)[-1]
    assert set(first) == {"teardown", "plan", "left"}
    assert 0 < first["left"]["turns"] < plan["left"]["turns"]
    for _ in range(6):
        done(phone)
    expect(page.locator("main h1")).to_have_text("All steps done")
    assert {"left", "right"} <= set(moves(phone)[-1])

    phone.hit(page.locator("[data-deck=main]"))
    expect(page.locator("main h1")).to_have_text("Check after adjustment 1")
    for figure in ("405", "407"):
        phone.hit(page.locator("[data-deck=main]"))
        phone.figure(figure)
    expect(page.locator("main h1")).to_have_text("On target")
    phone.hit(page.locator("[data-deck=main]"))
    expect(page.locator("main")).to_contain_text("Anti-roll link on, without strain")


def test_what_was_turned_is_entered_with_words_for_either_way_and_held_against_the_plan(phone: Hand) -> None:
    page = phone.page
    request = {
        "car": {
            "sprung": "front",
            "axle": "wishbone",
            "adjuster": {"kind": "screw", "lever_mm": 108, "pitch_mm": 1.5},
        },
        "target": {"as": "level", "at": "higher", "rise_mm": 20},
        "log": [
            {"kind": "reading", "what": "body-height", "side": side, "value": value, "teardown": 0}
            for side, value in (("left", 380.0), ("right", 386.0))
        ],
    }
    job = phone.job(request)
    phone.go(job, "move?lt=2&rt=0")
    left = page.get_by_role("group", name="Adjusting screw, left wheel")
    expect(left).to_contain_text("Raise 2 turns")
    phone.hit(left.get_by_role("button", name="Left wheel: lower by 1/4 turn"))
    phone.hit(left.get_by_role("button", name="Left wheel: lower by 1/12 turn"))
    expect(left).to_contain_text("Raise 1 2/3 turns")
    for _ in range(2):
        phone.hit(left.get_by_role("button", name="Left wheel: lower by 1 turn"))
    expect(left).to_contain_text("Lower 1/3 turn")
    phone.hit(page.locator("[data-deck=main]"))
    page.wait_for_function("() => !location.hash.includes('/move')")
    assert round(last(phone, "move")["left"]["turns"] * 12) == -4


def test_a_front_job_lists_its_own_wheel_loads_and_those_of_the_rear_apart(phone: Hand) -> None:
    page = phone.page
    loads = [
        ("front", "left", 431.0),
        (None, "right", 442.0),
        ("rear", "left", 303.0),
        ("rear", "right", 304.0),
    ]
    request = {
        "car": {"sprung": "front", "axle": "wishbone", "adjuster": {"kind": "screw"}},
        "target": {"as": "level", "at": "higher", "rise_mm": 20},
        "log": [
            {"kind": "reading", "what": "wheel-load", "side": side, "value": value, "teardown": 0}
            | ({"axle": axle} if axle else {})
            for axle, side, value in loads
        ],
    }
    phone.go(phone.job(request), "list")
    rear = page.locator("li.kind", has=page.get_by_role("heading", name="Wheel load, rear axle"))
    expect(rear).to_contain_text("303")
    expect(rear).to_contain_text("304")
    expect(rear.get_by_role("button", name=re.compile("Remove"))).to_have_count(2)
    own = page.locator("li.kind", has=page.get_by_role("heading", name="Wheel load", exact=True))
    expect(own).to_contain_text("431")
    expect(own).to_contain_text("442")
    expect(own).not_to_contain_text("303")
    # A load of the other axle is corrected as one of this is, and stays that axle's.
    phone.hit(rear.get_by_role("link", name=re.compile("303")))
    expect(page.locator("main h1")).to_contain_text("Wheel load, rear axle")
    phone.figure("313")
    expect(rear).to_contain_text("313")
    expect(rear).not_to_contain_text("303")
    assert last(phone, "reading")["axle"] == "rear"


def test_the_log_names_the_axle_of_what_was_turned_and_read_at_the_other(phone: Hand) -> None:
    page = phone.page
    screws = {"kind": "screw", "lever_mm": 108, "pitch_mm": 1.5}
    request = front({"as": "level", "at": "higher", "rise_mm": 20})
    request["car"]["other"] = {"axle": "trailing", "adjuster": screws}
    request["log"] += [
        {"kind": "move", "teardown": 1, "axle": "rear", "left": {"turns": 2.0}, "right": {"turns": -1.0}},
        *(
            {"kind": "reading", "what": "body-height", "side": side, "value": 400.0, "teardown": 1}
            for side in ("left", "right")
        ),
        {
            "kind": "reading",
            "what": "body-height",
            "side": "left",
            "axle": "rear",
            "value": 410.0,
            "teardown": 1,
        },
    ]
    phone.go(phone.job(request), "list")
    main = page.locator("main")
    expect(main).to_contain_text("After adjustment 1")
    expect(main).to_contain_text("rear axle, left: raise 2 turns; right: lower 1 turn")
    rear = page.locator("li.kind", has=page.get_by_role("heading", name="Rear height"))
    expect(rear).to_contain_text("410")
    expect(rear.get_by_role("link")).to_have_attribute("href", re.compile("/axle/read/body-height/left"))
    # What counts there is not among what was removed.
    expect(main).not_to_contain_text("Removed or corrected")


LOADS = (
    ("front", "left", 431.0),
    ("front", "right", 442.0),
    ("rear", "left", 303.0),
    ("rear", "right", 304.0),
)


def weighed(*, of: tuple[tuple[str, str, float], ...] = (), teardown: int = 0) -> list[dict[str, Any]]:
    """Wheel loads as a front job's log has them."""
    return [
        {"kind": "reading", "what": "wheel-load", "side": side, "value": value, "teardown": teardown}
        | ({} if axle == "front" else {"axle": axle})
        for axle, side, value in of
    ]


def front(target: dict[str, Any], *more: dict[str, Any]) -> dict[str, Any]:
    """A front screw job whose heights were read."""
    heights = [
        {"kind": "reading", "what": "body-height", "side": side, "value": value, "teardown": 0}
        for side, value in (("left", 380.0), ("right", 386.0))
    ]
    return {
        "car": {
            "sprung": "front",
            "axle": "wishbone",
            "adjuster": {"kind": "screw", "lever_mm": 108, "pitch_mm": 1.5},
        },
        "target": target,
        "log": [*heights, *more],
    }


@pytest.mark.long("its row at the hand-over and its screen; the plan: tests/model/test_cross_aim.py")
def test_a_cross_weight_is_asked_for_weighed_wheel_by_wheel_and_planned(phone: Hand) -> None:
    page = phone.page
    phone.go(phone.job(front({"as": "level", "at": "higher", "rise_mm": 20})), "target")
    phone.choose("To a cross-weight")
    phone.next()
    # Nothing was weighed yet: per cent alone, and half of the load stands there to begin with.
    expect(page.get_by_role("radio", name="kg")).to_have_count(0)
    phone.next()
    assert last(phone, "target") == {"as": "cross-weight", "cross_percent": 50, "rise_mm": 0}
    for axle, _, load in LOADS:
        expect(page.locator("main h1")).to_contain_text(f"Wheel load, {axle} axle")
        phone.figure(f"{load:g}")
    read = [entry["body"] for entry in entries(phone) if entry["kind"] == "reading"][-4:]
    assert [body.get("axle") for body in read] == [None, None, "rear", "rear"]
    page.locator(".source").wait_for()
    main = page.locator("main")
    expect(main).to_contain_text(re.compile(r"50\.3 ± \d\.\d % → \d\d\.\d ± \d\.\d %"))
    expect(main).to_contain_text("set heights or cross-weight, not both")

    phone.go(page.url.split("#/")[1].split("/")[0], "cross?as=cross")
    expect(page.locator("main")).to_contain_text("set heights or cross-weight, not both")
    phone.choose("kg")
    expect(page.get_by_label("RF+LR")).to_have_value("740")
    phone.digits("755")
    # Which way stands with the figure, also while the other field is typed into.
    page.get_by_role("textbox", name="Raise").focus()
    phone.choose("Lower")
    phone.digits("12")
    page.get_by_role("textbox", name="RF+LR").focus()
    expect(page.get_by_role("textbox", name="Lower")).to_have_value("12")
    phone.next()
    phone.next()
    assert last(phone, "target")["rise_mm"] == -12
    assert last(phone, "target")["cross_percent"] == pytest.approx(100 * 755 / 1480, abs=0.01)


def test_cross_weight_stands_where_heights_before_and_after_do(phone: Hand) -> None:
    page = phone.page
    after = [
        (axle, side, load + (4 if (axle, side) == ("front", "left") else 0)) for axle, side, load in LOADS
    ]
    turned = {"kind": "move", "teardown": 1, "left": {"turns": 2}, "right": {"turns": 1}}
    log = [*weighed(of=LOADS), turned, *weighed(of=tuple(after), teardown=1)]
    phone.go(phone.job(front({"as": "level", "at": "higher", "rise_mm": 20}, *log)), "close")
    row = page.locator("tr", has_text="Cross-weight (RF + LR)")
    expect(row).to_contain_text(re.compile(r"50\.3 ± \d\.\d %"))
    expect(row).to_contain_text(re.compile(r"50\.2 ± \d\.\d %"))


def test_every_digit_is_in_sight_on_a_small_phone(phone: Hand, long: bool) -> None:
    page = phone.page
    target = {"as": "level", "at": "higher", "rise_mm": 20}
    small, across = (360, 640), (915, 412)
    plain, loaded = (phone.job(front(target, *weighed(of=scales))) for scales in ((), LOADS))
    screens = [(small, plain, "read/body-height/left"), (small, loaded, "cross?as=cross")]
    if long:
        screens.append((small, plain, "ask/car.adjuster.pitch_mm"))
        screens += [(across, job, "cross?as=cross") for job in (plain, loaded)]
        screens.append((small, plain, "cross?as=cross"))
    for (wide, high), job, words in screens:
        page.set_viewport_size({"width": wide, "height": high})
        phone.go(job, words)
        expect(page.locator(".picture svg")).to_be_visible()
        deck = page.locator(".deck").bounding_box()
        digit = phone.key("0").bounding_box()
        assert deck
        assert digit
        assert digit["y"] + digit["height"] <= deck["y"] + 0.5, (words, wide)


def test_a_turned_screw_is_an_adjustment_on_the_sheet_and_says_its_turns(phone: Hand) -> None:
    page = phone.page
    turned = {"kind": "move", "teardown": 1, "left": {"turns": 2.25}, "right": {"turns": 1}}
    phone.go(phone.job(front({"as": "level", "at": "higher", "rise_mm": 20}, turned)), "sheet")
    work = page.get_by_role("table", name="Work done")
    expect(work).to_contain_text("Adjustment 1")
    expect(work).to_contain_text("raise 2 1/4 turns")
    expect(page.locator("main")).not_to_contain_text("eardown")
