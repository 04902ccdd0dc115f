"""Both axles in one job on the phone: the front is said to be set too, read, given a target, planned and turned."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from browser.hand import Hand
from browser.teardown import append, deck, open_again
from browser.test_first_plan import entries, last
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

BOTH: dict[str, Any] = json.loads((Path(__file__).parent / "cases" / "both-axles.json").read_text())
"""A request of both axles, all of it read, with a target of each."""
REAR: dict[str, Any] = {
    **BOTH,
    "car": {name: fact for name, fact in BOTH["car"].items() if name != "other"},
    "target": {name: fact for name, fact in BOTH["target"].items() if name != "other"},
    "log": [row for row in BOTH["log"] if row["axle"] == "rear"],
}
"""The same job before anybody spoke of its front."""


def link(hand: Hand, words: str) -> None:
    """Follow a key by its first words."""
    hand._moves(hand.page.get_by_role("link", name=words))


def front(hand: Hand) -> None:
    """From the job's other readings to the front: its layout chosen."""
    link(hand, "The front too")
    assert hand.question() == "Front: what sets the height?"
    hand.choose("Front, splines alone")
    hand.hit(hand.key("next"))
    expect(hand.page.get_by_role("heading", name="Front axle")).to_be_visible()


def aim_front(hand: Hand, figure: str = "300") -> None:
    """From the front's own screen: a height for both of its sides."""
    hand.next()
    assert hand.question() == "Front: what is the target?"
    assert not hand.page.get_by_role("radio", name="To a cross-weight").count()
    hand.choose("To a height")
    hand.next()
    assert hand.question() == "Front: to what height?"
    hand.figure(figure)


def test_the_front_is_set_too_by_its_layout_a_target_and_two_heights(phone):
    phone.open()
    job = phone.job(REAR)
    phone.go(job, "add")
    front(phone)
    assert last(phone, "car") == {"other": {"axle": "wishbone"}}
    aim_front(phone)
    assert last(phone, "target") == {"other": {"left_mm": 300, "right_mm": 300}}
    phone.next()
    for side, figure in (("left", "301"), ("right", "308")):
        assert phone.question() == f"Front height, {side}"
        phone.figure(figure)
        assert last(phone, "reading") == {
            "what": "body-height",
            "side": side,
            "axle": "front",
            "value": int(figure),
            "teardown": 0,
        }
    phone.page.locator(".plan-both").wait_for()
    axles = phone.page.locator(".plan-axle")
    assert sorted(axles.evaluate_all("all => all.map((one) => one.dataset.axle)")) == ["front", "rear"]
    for axle in ("Front", "Rear"):
        part = phone.page.get_by_role("region", name=f"{axle} axle")
        expect(part.get_by_text("Left, expected")).to_be_visible()
        assert "±" in part.inner_text()
    assert "at both axles" in phone.page.locator(".chance").inner_text()


def test_a_rear_height_is_called_so_once_both_axles_are_set(phone):
    phone.open()
    job = phone.job(BOTH)
    phone.go(job, "read/body-height/left")
    assert phone.question() == "Rear height, left"
    phone.go(job, "axle/read/body-height/left")
    assert phone.question() == "Front height, left"


def test_what_is_typed_of_one_axle_is_not_shown_as_the_other_s(phone):
    phone.open()
    job = phone.job(BOTH)
    phone.go(job, "axle/read/body-height/left")
    phone.digits("29")
    phone.go(job, "read/body-height/left")
    assert phone.page.locator(".typed input").first.input_value() == ""
    phone.go(job, "axle/read/body-height/left")
    assert phone.page.locator(".typed input").first.input_value() == "29"


@pytest.mark.parametrize("device", ["phone", pytest.param("pc", marks=pytest.mark.long("on a phone"))])
def test_the_plan_of_both_leads_with_the_axle_that_is_set_first(device, request):
    hand: Hand = request.getfixturevalue(device)
    hand.open()
    job = hand.job(BOTH)
    hand.go(job, "plan")
    hand.page.locator(".plan-both").wait_for()
    first = hand.page.locator(".plan-axle").first
    axle = first.get_attribute("data-axle") or ""
    assert hand.question().startswith(f"{axle.capitalize()} axle first")
    text = hand.page.locator(".plan-both").inner_text()
    assert f"Set the {axle} axle first" in text
    assert "Cross-weight (RF + LR) changes by" in text
    assert "a lean of its own at each axle" in text or "not possible together" in text


STAYS = {"as": "rise", "left_rise_mm": 0, "right_rise_mm": 0}
"""A target of an axle that is left as it is."""
ONLY: dict[str, Any] = {
    **BOTH,
    "car": {**BOTH["car"], "other": {**BOTH["car"]["other"], "axle": "wishbone"}},
    "target": {**STAYS, "other": {"as": "level", "rise_mm": 40}},
}
"""Such a job whose rear stays as it is; the front's arms go across the car."""
OWN: dict[str, Any] = {
    **BOTH,
    "target": {"as": "level", "rise_mm": 40, "other": {**STAYS, "tolerance_mm": 15, "lean_mm": 15}},
}
"""Such a job whose front stays as it is."""
BEFORE = ("Body on axle stands", "Eye protection on")
ACROSS = (
    "Take the wheel off",
    "Hold the arm, take the bolts out",
    "Take the anchor’s cover off",
    "Let the arm down",
    "Look at the plan again",
    "Read the arm again",
    "Lift the arm to its ball joint",
    "Put the anchor’s cover on",
    "Refit ball joint, damper and link",
    "Put the wheel on",
)
"""Steps of a side of that front but the turning, its bar known and its hanging angle read."""


def test_the_key_that_starts_the_job_s_own_axle_says_which_it_is_where_both_are_planned(phone):
    phone.open()
    job = phone.job(OWN)
    phone.go(job, "plan")
    phone.page.locator(".plan-both").wait_for()
    assert phone.question() == "Turn the rear axle; leave the front as it is."
    start = phone.page.get_by_role("link", name="Rear: start teardown 1")
    assert start.inner_text().splitlines() == ["Rear: start", "teardown 1"]
    phone.hit(start)
    expect(phone.page.get_by_role("heading", level=1)).to_have_text(BEFORE[0])
    phone.hit(deck(phone, "Done"))
    expect(phone.page.get_by_role("heading", level=1)).to_have_text(BEFORE[1])
    phone.go(job, "plan")
    phone.page.locator(".plan-both").wait_for()
    assert phone.key("next").inner_text().splitlines() == ["Rear: go on", "with teardown 1"]
    phone.go(phone.job(), "plan")
    start = phone.page.get_by_role("link", name="Start teardown 1")
    assert start.inner_text() == "Start"


def does(hand: Hand, words: str) -> None:
    """The step that is shown, done as its own keys have it."""
    if words.startswith("Look at the plan again"):
        hand.page.locator(".verdict-room[data-state]").wait_for()
        hand.hit(deck(hand, "Keep the plan").or_(deck(hand, "Take this plan")))
    elif words.startswith("Read the arm again"):
        told = hand.page.locator(".expect").inner_text()
        figure, way = re.search(r"Expect ([\d.]+) .*° (arm (?:down|up))", told).groups()  # type: ignore[union-attr]
        hand.hit(deck(hand, "Enter reading"))
        hand.angle(figure, way)
        expect(hand.page.get_by_role("heading", name="On target")).to_be_visible()
        hand.hit(deck(hand, "Done"))
    else:
        hand.hit(deck(hand, "Done"))


def test_the_front_is_led_through_step_by_step_and_all_four_heights_asked_for(phone):
    """The front is turned first, by the steps of any teardown; then the heights of both axles are asked for."""
    phone.open()
    job = phone.job(ONLY)
    phone.go(job, "plan")
    phone.page.locator(".plan-both").wait_for()
    assert phone.question() == "Turn the front axle; leave the rear as it is."
    assert phone.key("next").inner_text().splitlines() == ["Front: start", "teardown 1"]
    phone.next()
    seen: list[str] = []
    while (stood := phone.question()) != "Front: all steps done":
        assert re.search(r"Front: step \d+ of \d+", phone.page.locator("header").first.inner_text())
        if len(seen) == len(BEFORE) - 1:
            # The rear's teardown does not begin meanwhile; the job opens where its work stands.
            phone.go(job, "plan")
            phone.page.locator(".plan-both").wait_for()
            expect(phone.key("next")).to_contain_text("Front: go on")
            phone = open_again(phone, job)
            assert phone.question() == stood
        if stood.startswith("Let the arm down"):
            expect(phone.page.locator(".warning").first).to_contain_text("WARNING")
        does(phone, stood)
        expect(phone.page.get_by_role("heading", level=1)).not_to_have_text(stood)
        seen.append(stood)
    ends = [step for step in seen if "end" in step]
    sides = [f"{step}, {side} " for side in ("left", "right") for step in ACROSS]
    told = [f"{step.strip()} " for step in seen if step not in ends]
    assert told == [f"{step} " for step in BEFORE] + sides + ["Lower it onto its wheels "]
    expect(phone.page.get_by_role("heading", name="Front: all steps done")).to_be_visible()
    assert not [entry for entry in entries(phone) if entry["kind"] == "plan"]
    phone.hit(deck(phone, "What was turned"))
    assert phone.question() == "Front: enter the teeth you turned"
    phone.next()
    move = last(phone, "move")
    assert (move["axle"], move["teardown"]) == ("front", 1)
    turned = [move[side][end] for side in ("left", "right") for end in ("inner", "outer")]
    assert len(ends) == len([count for count in turned if count])
    for words, figure in (("Front height, left", "340"), ("Front height, right", "341")):
        assert words in phone.key("next").inner_text()
        phone.next()
        assert phone.question() == words
        phone.figure(figure)
    for words, figure in (("Rear height, left", "214"), ("Rear height, right", "222")):
        assert words in phone.key("next").inner_text()
        phone.next()
        assert phone.question() == words
        phone.figure(figure)
    assert phone.key("next").inner_text().startswith("Plan")
    phone.go(job, "plan")
    phone.page.locator(".plan-both").wait_for()
    assert "Check the heights" not in phone.key("next").inner_text()


def test_jobs_log_and_hand_over_lead_back_to_the_front_s_steps(phone):
    phone.open()
    job = phone.job(ONLY)
    append(phone, job, [["step", {"step": "front/stands", "done": True, "teardown": 1}]])
    phone.go(job, "list")
    assert phone.key("next").inner_text().splitlines() == ["Go on", "Front: teardown 1"]
    phone.go(job, "close")
    expect(phone.page.get_by_text("Front: teardown 1 is not finished")).to_be_visible()
    back = deck(phone, "Front: steps")
    assert (back.get_attribute("href") or "").endswith(f"#/{job}/axle/propped/1")
    phone.page.evaluate("() => { location.hash = '#/'; }")
    card = phone.page.locator(f'[data-job="{job}"]')
    expect(card).to_contain_text("Front: teardown 1 under way")
    assert (card.get_attribute("href") or "").endswith(f"#/{job}/axle/propped/1")


def test_a_rear_on_target_is_not_handed_over_before_the_front_is(phone):
    phone.open()
    log = [*BOTH["log"], {"kind": "move", "teardown": 1, "left": {"inner": 1}}]
    log += [
        {"kind": "reading", "what": "body-height", "side": side, "value": 238.0, "teardown": 1}
        for side in ("left", "right")
    ]
    job = phone.job({**BOTH, "log": log})
    phone.go(job, "ground/1")
    assert "On target" in phone.question()
    expect(phone.page.get_by_text("This is the rear alone")).to_be_visible()
    assert "Read the front" in phone.key("next").inner_text()
    phone.next()
    assert phone.question() == "Front height, left"
    phone.go(job, "close")
    expect(
        phone.page.get_by_text("Rear on target. Heights of the front as it stands are not read")
    ).to_be_visible()
    phone.hit(phone.page.get_by_role("button", name="Hand over"))
    expect(phone.page.get_by_role("dialog").get_by_text("Heights of the front")).to_be_visible()


def test_leaving_the_front_out_takes_its_target_back_with_it(phone):
    phone.open()
    job = phone.job(BOTH)
    phone.go(job, "axle")
    phone.hit(phone.page.get_by_role("button", name="Leave the front out"))
    phone.page.wait_for_function("() => location.hash.endsWith('/list')")
    said = [entry["body"] for entry in entries(phone)]
    assert {"other": None} in said
    # What the phone then asks its model for is a plan of the rear alone.
    asked = phone.page.evaluate("async job => (await import('/book/snapshot.js')).look(job)", job)
    assert "other" not in asked["sheet"]["target"]


def test_the_log_opens_what_was_read_of_the_front(phone):
    phone.open()
    job = phone.job(BOTH)
    phone.go(job, "list")
    link(phone, "Target, front axle")
    assert phone.question() == "Front axle"
    link(phone, "Front height, left")
    assert phone.question() == "Front height, left"
    expect(phone.page.get_by_role("button", name="Remove reading")).to_be_visible()


@pytest.mark.long("that the Log opens what was read of each axle")
def test_beside_a_question_on_a_pc_the_readings_of_both_axles_open_as_their_own(pc):
    pc.open()
    job = pc.job(BOTH)
    pc.go(job, "add")
    rail = pc.page.locator("#rail li")
    expect(rail.filter(has_text="Rear height").filter(has_text="214 mm")).to_be_visible()
    pc.hit(rail.filter(has_text="Front height").filter(has_text="301 mm").get_by_role("link"))
    pc.page.wait_for_function("() => location.hash.includes('/axle/read/')")
    pc.stands()
    assert pc.question() == "Front height, left"


def test_a_job_that_only_reads_its_front_is_planned_by_the_phone_itself(phone):
    """What the model needs of a car of two such axles comes with the car, not with a target of both."""
    phone.open()
    target = {name: fact for name, fact in BOTH["target"].items() if name != "other"}
    solved = "(request) => import('/model/solver.js').then((model) => model.solve(request))"
    answer = phone.page.evaluate(solved, {**BOTH, "target": target})
    assert answer["options"]
    assert answer["other"]["axle"] == "front"
    assert answer["both"] is None
