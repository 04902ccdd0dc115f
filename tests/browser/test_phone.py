"""The whole job by touch on a phone of 412 by 915: what is typed becomes the request, and the plan leads on."""

import re
from typing import Any

import pytest
from browser.hand import DOUBTED, PLAIN, Hand
from browser.teardown import entries
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page


def _sent(hand: Hand, work: Any) -> dict[str, Any]:
    """What the phone's model was asked for the plan that came of ``work``."""
    work()
    hand.page.locator(".source").wait_for()
    return dict(hand.page.evaluate("() => probes.solved.at(-1)"))


def test_a_job_by_touch_goes_from_nothing_to_a_plan(phone: Hand) -> None:
    phone.open()
    request = _sent(phone, phone.whole_job)
    angle = {"what": "riding-angle", "teardown": 0, "kind": "reading"}
    assert request["car"] == {"arm_mm": 415}
    assert request["target"] == {"left_mm": 250, "right_mm": 250}
    assert {**angle, "side": "left", "value": -9.6} in request["log"]
    assert {**angle, "side": "right", "value": -8.4} in request["log"]
    plan = phone.page.locator(".plan")
    expect(plan.locator(".chance")).to_contain_text("in 100")
    # Nobody has counted teeth yet: what to turn is said in degrees.
    for side in ("left", "right"):
        expect(plan.get_by_role("region", name=f"{side} side")).to_contain_text("° arm down")
    phone.hit(plan.get_by_text("Cautions in full"))
    expect(plan.locator(".warn").first).to_contain_text("break bones")
    # On a busy machine the phone may be done before the server; they cannot differ.
    expect(plan.locator(".source")).to_have_attribute("data-where", re.compile("server|phone"))


def test_a_reading_without_a_way_is_not_taken(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "read/riding-angle/left")
    phone.gauge("Zeroed on the body")
    phone.digits("9.6")
    before = phone.page.url
    phone.hit(phone.key("next"))
    expect(phone.page.get_by_role("alert").filter(has_text="Arm down or arm up?")).to_be_visible()
    assert phone.page.url == before


def test_a_value_beyond_the_models_bounds_is_told_at_once_at_its_field(phone: Hand) -> None:
    job = phone.job({"car": {}, "target": PLAIN["target"], "log": []})
    phone.go(job, "ask/car.bar.diameter_mm")
    phone.digits("220")
    phone.hit(phone.key("next"))
    expect(phone.page.locator(".error")).to_contain_text("between 5 and 80 mm, got 220 mm")
    expect(phone.page.locator("h1")).to_have_text("Bar diameter")


def test_what_the_server_refuses_is_shown_at_its_field(phone: Hand, complaints: list[str]) -> None:
    job = phone.job({**PLAIN, "car": {**PLAIN["car"], "bar": {**PLAIN["car"]["bar"], "bore_mm": 30.0}}})
    phone.page.goto(f"{phone.address}/#/{job}/plan")
    expect(phone.page.locator("h1")).to_have_text("Bore of the bar")
    expect(phone.page.locator(".error")).to_contain_text(
        "Bore must be less than the bar's diameter of 22 mm, got 30 mm"
    )
    figure = phone.page.get_by_role("textbox", name="Bore of the bar")
    expect(figure).to_be_focused()
    expect(figure).to_have_attribute("aria-invalid", "true")
    phone.hit(phone.key("delete"))
    expect(phone.page.locator(".error")).to_be_hidden()
    phone.hit(phone.key("delete"))
    phone.next()
    phone.page.locator(".source").wait_for()
    # The browser itself notes every answer of 400 in its console.
    assert len(complaints) == 1
    assert "400" in complaints.pop()


@pytest.mark.long("a refused figure of the car")
def test_a_refused_reading_is_opened_with_what_was_wrong(phone: Hand, complaints: list[str]) -> None:
    log = [
        *PLAIN["log"],
        {"kind": "reading", "what": "body-height", "side": "left", "value": 214.0, "pose": {"hanging": True}},
    ]
    job = phone.job({**PLAIN, "log": log})
    phone.page.goto(f"{phone.address}/#/{job}/plan")
    expect(phone.page.locator("h1")).to_have_text("Ride height, left")
    expect(phone.page.locator(".error")).to_contain_text("on its wheels")
    assert "400" in complaints.pop()


HALF = pytest.mark.long("two fields of a reading, one of them half typed")


@pytest.mark.parametrize(
    "where", ["arm", *(pytest.param(other, marks=HALF) for other in ("question", "datum", "teeth"))]
)
def test_a_reload_keeps_what_was_typed(phone: Hand, where: str) -> None:
    job = phone.job()
    if where == "question":
        phone.go(job, "ask/car.limits.bump_mm")
        phone.digits("5")
        phone.page.reload()
        expect(phone.page.locator(".figure")).to_have_value("5")
    elif where == "teeth":
        phone.go(job, "move")
        phone.hit(phone.page.get_by_role("button", name="Outer end, left: one tooth arm down"))
        phone.page.reload()
        expect(phone.page.get_by_role("group", name="Outer end, left")).to_contain_text("1 tooth arm down")
    else:
        phone.go(job, "read/hanging-angle/right")
        phone.gauge("Body, then arm")
        phone.digits("1.5")
        phone.way("arm up")
        if where == "arm":
            phone.hit(phone.key("next"))
            phone.digits("7.")
        phone.page.reload()
        expect(phone.page.get_by_label("Body", exact=True)).to_have_value("1.5")
        expect(phone.page.get_by_label("Arm", exact=True)).to_have_value("7." if where == "arm" else "")
        expect(phone.page.get_by_role("link", name="Gauge: body, then arm")).to_be_visible()


def test_a_full_phone_says_so_and_keeps_the_figure_on_the_screen(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "ask/car.limits.bump_mm")
    phone.digits("65")
    # A disk that is really full is tried in offline/; here only what the screen makes of it.
    phone.page.evaluate(
        """() => {
            const add = IDBObjectStore.prototype.add;
            IDBObjectStore.prototype.add = () => { throw new DOMException('full', 'QuotaExceededError'); };
            window.free = () => { IDBObjectStore.prototype.add = add; };
        }"""
    )
    phone.hit(phone.key("next"))
    expect(phone.page.locator("#kept")).to_contain_text("no room left")
    expect(phone.page.locator(".figure")).to_have_value("65")
    expect(phone.page.locator("h1")).to_have_text("Travel up to the bump stop")
    phone.page.evaluate("() => free()")
    phone.next()
    expect(phone.page.locator("#kept")).to_be_empty()
    phone.go(job, "ask/car.limits.bump_mm")
    expect(phone.page.locator(".figure")).to_have_value("65")


@pytest.mark.parametrize(
    "how", ["away", pytest.param("hanging", marks=pytest.mark.long("a server that is away"))]
)
def test_when_the_server_is_silent_the_phone_works_the_plan_out(
    phone: Hand, complaints: list[str], how: str
) -> None:
    job = phone.job()
    phone.page.route("**/api/solve", lambda route: route.abort() if how == "away" else None)
    phone.go(job, "plan")
    expect(phone.page.locator(".source")).to_contain_text("Worked out on this phone")
    expect(phone.page.locator(".chance")).to_contain_text("in 100")
    if how == "away":
        assert "ERR_FAILED" in complaints.pop()


@pytest.mark.long("a withheld plan and its suggestion: test_plan")
def test_one_tap_takes_the_value_that_would_fit(phone: Hand) -> None:
    job = phone.job(DOUBTED)
    phone.go(job, "plan")
    doubt = phone.page.locator(".doubt-list")
    expect(doubt).to_contain_text("Riding angle, left: 9.6° arm down")
    phone.hit(phone.page.get_by_role("button", name="Use the suggestion"))
    expect(doubt).to_have_count(0)
    phone.go(job, "list")
    expect(phone.page.get_by_role("link", name="9.6° arm up")).to_be_visible()
    expect(phone.page.get_by_text("Removed or corrected")).to_be_visible()


@pytest.mark.long("which reading the main key names: test_plan")
def test_one_tap_leads_to_what_should_be_measured(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "plan")
    phone.hit(phone.page.locator("[data-deck=main]"))
    phone.page.locator(".pad").wait_for()
    assert "/read/" in phone.page.url or "/pose/" in phone.page.url


def _read_in_pose(phone: Hand, heights: tuple[str, str], stance: str) -> list[Any]:
    """Reads heights and angles of both sides as the screens ask for them; the entries of that pose that go out."""
    for figure in heights:
        expect(phone.page.locator("main .stance")).to_have_text(stance)
        phone.figure(figure)
    phone.gauge("Zeroed on the body")
    phone.angle("9", "arm up")
    phone.digits("10.2")
    phone.way("arm up")
    request = _sent(phone, phone.next)
    posed = [entry for entry in request["log"] if entry.get("pose")]
    assert [(e["what"], e["side"], e["value"]) for e in posed] == [
        ("body-height", "left", float(heights[0])),
        ("body-height", "right", float(heights[1])),
        ("riding-angle", "left", -9),
        ("riding-angle", "right", -10.2),
    ]
    return posed


@pytest.mark.long("a centre-jack test, read in its pose")
def test_a_board_test_asks_both_sides_in_that_pose_and_returns_to_the_plan(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "pose/board/right?then=plan")
    phone.next()
    posed = _read_in_pose(phone, ("218", "209"), "board 50 mm under the right tyre")
    assert all(e["pose"] == {"board_right_mm": 50} for e in posed)
    phone.page.locator(".source").wait_for()


def test_a_centre_jack_test_is_found_under_add_warns_first_and_reads_both_sides_in_that_pose(
    phone: Hand, long: bool
) -> None:
    job = phone.job()
    phone.go(job, "add")
    phone.hit(phone.page.get_by_role("link", name="Centre-jack test"))
    expect(phone.page.locator("h1")).to_have_text("Front axle on one block")
    for words in ("Nobody beneath", "cannot roll away", "the car's manual", "axle stand", "Chock both"):
        expect(phone.page.locator(".warn")).to_contain_text(words)
    phone.next()
    if not long:
        # How the other readings are asked for is the same in every pose.
        phone.figure("208")
        assert entries(phone, job)[-1][1]["pose"] == {"centred": True}
        expect(phone.page.locator("main .stance")).to_have_text("other axle on one block amidships")
        assert phone.question().endswith("right")
        return
    posed = _read_in_pose(phone, ("208", "226"), "other axle on one block amidships")
    assert all(e["pose"] == {"centred": True} for e in posed)


@pytest.mark.long("teeth, heights after them and what follows, without a server: offline/test_bench_phone")
def test_a_teardown_and_new_readings_give_a_second_plan(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "plan")
    phone.hit(phone.page.get_by_role("link", name="Enter teeth already turned"))
    phone.hit(phone.page.get_by_role("button", name="Save teeth of teardown 1"))
    phone.page.wait_for_url("**/ground/1")
    for side, figure in (("left", "250"), ("right", "251")):
        phone.hit(phone.page.get_by_role("link", name=f"Read {side}: ride height"))
        phone.figure(figure)
    expect(phone.page.locator("h1")).to_contain_text("On target")
    request = _sent(phone, lambda: phone.go(job, "plan"))
    assert [e["teardown"] for e in request["log"] if e.get("kind") == "move"] == [1]
    assert [
        e["value"] for e in request["log"] if e.get("teardown") == 1 and e.get("what") == "body-height"
    ] == [250, 251]
    expect(phone.page.locator("h1")).to_have_text("Leave both sides: the car is on target.")


def test_a_reading_can_be_changed_read_again_and_struck(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "list")
    phone.hit(phone.page.get_by_role("link", name="214 mm"))
    phone.hit(phone.key("delete"))
    phone.digits("6")
    phone.next()
    expect(phone.page.get_by_role("link", name="216 mm")).to_be_visible()
    expect(phone.page.get_by_text("Removed or corrected")).to_be_visible()
    phone.hit(phone.page.get_by_role("link", name=re.compile("Read again: left ?, Ride height")))
    phone.figure("218")
    expect(phone.page.locator(".half.left").filter(has_text="218 mm")).to_contain_text("spread 2 mm")
    phone.hit(phone.page.get_by_role("link", name="218 mm"))
    phone.hit(phone.page.get_by_role("button", name="Remove reading"))
    expect(phone.page.get_by_role("link", name="218 mm")).to_have_count(0)


@pytest.mark.long("that minus and plus move the figure shown: test_parts")
def test_the_nudges_go_through_nought_to_the_other_way(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "read/riding-angle/left")
    phone.gauge("Zeroed on the body")
    phone.digits(".1")
    phone.way("arm down")
    for _ in range(2):
        phone.hit(phone.key("less"))
    expect(phone.page.locator(".figure").last).to_have_value("0.1")
    expect(phone.page.locator(".way").last).to_have_text("arm up")


@pytest.mark.empty_page
def test_a_demo_job_opens_at_its_plan(phone: Hand) -> None:
    phone.open()
    phone.hit(phone.page.get_by_role("button", name="Gannet roadster"))
    phone.page.locator(".source").wait_for()
    expect(phone.page.locator(".chance")).to_contain_text("in 100")


@pytest.mark.long("what a card says: tests/node/standing.test.mjs")
@pytest.mark.empty_page
def test_the_first_screen_says_where_each_job_stands(phone: Hand) -> None:
    phone.job()
    phone.page.reload()
    expect(phone.page.get_by_role("link", name="Gannet, Maren")).to_contain_text("Plan ready")


@pytest.mark.long("a server that is away")
def test_while_the_server_keeps_silent_the_phone_has_made_the_plan(phone: Hand) -> None:
    job = phone.job()
    silent = []
    phone.page.route("**/api/solve", lambda route: silent.append(route))
    phone.go(job, "plan")
    expect(phone.page.locator(".source")).to_have_attribute("data-where", "phone")
    # Nobody has answered it, and it has not been given up.
    assert len(silent) == 1
    assert silent[0].request.failure is None
    silent[0].continue_()


@pytest.mark.long("every field in inches: tests/node/plan.test.mjs")
def test_what_is_assumed_is_said_in_inches_where_the_shop_likes_them(phone: Hand) -> None:
    job = phone.job()
    phone.page.evaluate("() => localStorage.setItem('bothends/lengths', 'in')")
    phone.page.reload()
    phone.go(job, "list")
    phone.hit(phone.page.get_by_text("Assumed", exact=True))
    expect(phone.page.locator("main")).to_contain_text(re.compile(r"Default: ± 0\.39 in(?! \()"))
    expect(phone.page.locator("main")).to_contain_text("Default: 13 ± 5 N/mm")
