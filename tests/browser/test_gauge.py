"""The phone as gauge: the hold, the reading it becomes, and a clear way out where there is no sensor.

The vectors and the reversal are tested without a browser, in tests/node/.
"""

from collections.abc import Callable
from typing import Any, ClassVar
from weakref import WeakKeyDictionary

import pytest
from browser.conftest import PHONE
from browser.hand import Hand
from playwright.sync_api import Browser, CDPSession, Page, expect

pytestmark = pytest.mark.same_page


@pytest.fixture(scope="module")
def chromium(whole_chromium: Browser) -> Browser:
    """The browser with a tilt sensor."""
    return whole_chromium


class Tilt:
    """Lays the emulated phone down. It is quantised to 0.1 degree by the browser (D7).

    A page that stands keeps the session that the first test opened: two could not hold its sensor.
    """

    _sessions: ClassVar[WeakKeyDictionary[Page, CDPSession]] = WeakKeyDictionary()

    def __init__(self, hand: Hand) -> None:
        if hand.page not in self._sessions:
            self._sessions[hand.page] = hand.page.context.new_cdp_session(hand.page)
        self.session = self._sessions[hand.page]

    def lay(self, *, top_up: float, alpha: float = 0.0, gamma: float = 0.0) -> None:
        """Top end this much above the bottom end, turned by alpha, rolled by gamma."""
        self.session.send(
            "DeviceOrientation.setDeviceOrientationOverride", {"alpha": alpha, "beta": top_up, "gamma": gamma}
        )


def taken(hand: Hand, key: str, which: str) -> None:
    """Start a hold and wait until the next screen of the gauge stands."""
    hand.hit(hand.page.get_by_role("button", name=key))
    expect(hand.page.locator(".by-phone .which, .by-phone .net").first).not_to_have_text(which)


def sheet(hand: Hand, job: str) -> dict[str, Any]:
    """The sheet of a job."""
    return dict(hand.page.evaluate("async job => (await import('/book/fold.js')).sheetOf(job)", job)["sheet"])


def four(hand: Hand, tilt: Tilt) -> None:
    """Body 1.2 arm down and arm 8.4 arm up, both turned; the phone's zero error is 0.3."""
    which = hand.page.locator(".by-phone .which")
    tilt.lay(top_up=-1.2 + 0.3)
    which.wait_for()
    taken(hand, "It lies still", "Body, first way: 1 of 4")
    hand.hit(hand.page.get_by_role("button", name="I turn it now"))
    tilt.lay(top_up=1.2 + 0.3, alpha=180)
    expect(which).to_have_text("Arm, first way: 3 of 4")
    tilt.lay(top_up=8.4 + 0.3)
    taken(hand, "It lies still", "Arm, first way: 3 of 4")
    hand.hit(hand.page.get_by_role("button", name="I turn it now"))
    tilt.lay(top_up=-8.4 + 0.3, alpha=180)
    hand.page.locator(".net").wait_for()


def test_body_and_arm_turned_end_for_end_become_a_reading(phone: Hand) -> None:
    job = phone.job()
    tilt = Tilt(phone)
    tilt.lay(top_up=0)
    phone.go(job, "gauge/riding-angle/left")
    four(phone, tilt)
    expect(phone.page.locator(".net")).to_have_text("9.6° arm up ± 0.35°")
    expect(phone.page.locator(".by-phone")).to_contain_text("own zero error, 0.3°, has dropped out")
    phone.hit(phone.page.get_by_role("button", name="Use it"))
    expect(phone.page.get_by_label("Body", exact=True)).to_have_value("1.2")
    expect(phone.page.get_by_label("Arm", exact=True)).to_have_value("8.4")
    phone.next()
    kept = sheet(phone, job)["readings"][-1]
    rows = [r for r in sheet(phone, job)["readings"] if r["what"] == "riding-angle" and r["side"] == "left"]
    kept = rows[-1]
    assert (kept["value"], kept["datum"], kept["method"], kept["sd"]) == (-8.4, 1.2, "phone", 0.21)
    assert kept["reversed"] is True
    assert kept["zero_error_deg"] == 0.3


@pytest.mark.long("both ways; the spread of one: tests/node/gauge-figures.test.mjs")
def test_one_way_is_enough_against_the_body_and_is_less_sure(phone: Hand) -> None:
    job = phone.job()
    tilt = Tilt(phone)
    tilt.lay(top_up=-1.2 + 0.3)
    phone.go(job, "gauge/hanging-angle/right")
    taken(phone, "It lies still", "Body, first way: 1 of 4")
    phone.hit(phone.page.get_by_role("button", name="Skip the turns"))
    tilt.lay(top_up=-6.4 + 0.3)
    taken(phone, "It lies still", "Arm, first way: 2 of 2")
    expect(phone.page.locator(".net")).to_have_text("5.2° arm down ± 0.49°")


@pytest.mark.long("against the body; against gravity, with a figure changed by hand")
def test_without_the_body_the_reading_is_against_gravity(phone: Hand) -> None:
    job = phone.job()
    tilt = Tilt(phone)
    tilt.lay(top_up=-5.2)
    phone.go(job, "gauge/hanging-angle/right")
    phone.hit(phone.page.get_by_role("button", name="No sill within reach"))
    taken(phone, "It lies still", "Arm, first way: 1 of 2")
    phone.hit(phone.page.get_by_role("button", name="I turn it now"))
    tilt.lay(top_up=5.2, alpha=180)
    phone.page.locator(".net").wait_for()
    phone.hit(phone.page.get_by_role("button", name="Use it"))
    expect(phone.page.get_by_role("link", name="Gauge: arm only")).to_be_visible()
    phone.next()
    rows = [r for r in sheet(phone, job)["readings"] if r["what"] == "hanging-angle" and r["side"] == "right"]
    assert (rows[-1]["value"], rows[-1]["reference"], rows[-1]["sd"]) == (5.2, "gravity", 0.15)


def test_a_figure_changed_by_hand_is_no_longer_the_phones(phone: Hand) -> None:
    job = phone.job()
    tilt = Tilt(phone)
    tilt.lay(top_up=8.4)
    phone.go(job, "gauge/riding-angle/left")
    phone.hit(phone.page.get_by_role("button", name="No sill within reach"))
    taken(phone, "It lies still", "Arm, first way: 1 of 2")
    phone.hit(phone.page.get_by_role("button", name="Skip the turns"))
    phone.page.locator(".net").wait_for()
    phone.hit(phone.page.get_by_role("button", name="Use it"))
    expect(phone.page.get_by_label("Arm", exact=True)).to_have_value("8.4")
    phone.hit(phone.key("delete"))
    phone.digits("5")
    phone.next()
    rows = [r for r in sheet(phone, job)["readings"] if r["what"] == "riding-angle" and r["side"] == "left"]
    assert rows[-1]["value"] == -8.5
    assert "method" not in rows[-1]


@pytest.mark.long("one that was not turned; the edges: tests/node/tilt.test.mjs")
def test_turned_over_onto_the_other_edge_is_told(phone: Hand) -> None:
    # Turned about the screen the error keeps its sign: only end for end on the same edge cancels it (I1, derived).
    job = phone.job()
    tilt = Tilt(phone)
    tilt.lay(top_up=-1.0, gamma=85)
    phone.go(job, "gauge/riding-angle/left")
    taken(phone, "It lies still", "Body, first way: 1 of 4")
    phone.hit(phone.page.get_by_role("button", name="I turn it now"))
    tilt.lay(top_up=1.0, alpha=180, gamma=-85)
    expect(phone.page.get_by_role("alert").filter(has_text="right edge before")).to_be_visible()
    expect(phone.page.locator(".by-phone .which")).to_have_text("Body, turned: 2 of 4")


def test_a_phone_that_was_not_turned_is_told(phone: Hand) -> None:
    job = phone.job()
    tilt = Tilt(phone)
    tilt.lay(top_up=9.0)
    phone.go(job, "gauge/riding-angle/left")
    taken(phone, "It lies still", "Body, first way: 1 of 4")
    phone.hit(phone.page.get_by_role("button", name="I turn it now"))
    tilt.lay(top_up=9.1, alpha=60)
    expect(phone.page.get_by_role("alert").filter(has_text="hardly turned")).to_be_visible()


@pytest.mark.long("a hold to its end; when a phone counts as moved: tests/node/tilt.test.mjs")
def test_the_ring_fills_while_it_lies_still_and_starts_again_when_it_moves(phone: Hand) -> None:
    job = phone.job()
    tilt = Tilt(phone)
    tilt.lay(top_up=2)
    phone.go(job, "gauge/riding-angle/left")
    ring = phone.page.locator(".hold-ring")
    expect(ring).to_contain_text("2.0° arm up")
    phone.hit(phone.page.get_by_role("button", name="It lies still"))
    phone.page.wait_for_function("() => Number(document.querySelector('.hold-ring').dataset.progress) > 0.3")
    tilt.lay(top_up=5)
    phone.page.wait_for_function("() => Number(document.querySelector('.hold-ring').dataset.progress) < 0.2")
    expect(phone.page.locator(".by-phone .which")).to_have_text("Body, turned: 2 of 4")


NEVER_ASKED = "delete DeviceOrientationEvent.requestPermission"


@pytest.mark.fresh_page
@pytest.mark.parametrize(
    ("script", "words"),
    [
        pytest.param(
            "delete globalThis.DeviceOrientationEvent",
            "no tilt sensor. Use a gauge",
            marks=pytest.mark.long("a sensor that keeps silent"),
        ),
        pytest.param(
            "Object.defineProperty(globalThis, 'isSecureContext', { value: false })",
            "trusted addresses only",
            marks=pytest.mark.long("a sensor that keeps silent"),
        ),
        (NEVER_ASKED, "No tilt sensor answers here"),
    ],
    ids=["none", "insecure", "silent"],
)
def test_without_a_sensor_it_says_why_and_leads_to_the_keys(
    make_hand: Callable[..., Hand], script: str, words: str
) -> None:
    phone = make_hand(**PHONE)
    phone.page.add_init_script(script)
    job = phone.job()
    phone.go(job, "gauge/riding-angle/left")
    expect(phone.page.get_by_role("alert").filter(has_text=words)).to_be_visible()
    phone.hit(phone.page.get_by_role("link", name="Type it instead"))
    expect(phone.page.locator("h1")).to_have_text("Riding angle, left")
    phone.page.locator(".pad").wait_for()


# A sensor that keeps silent until a tap has asked for it.
GUARDED = """
  let open = false;
  addEventListener('deviceorientation', (event) => open || event.stopImmediatePropagation(), true);
  DeviceOrientationEvent.requestPermission = async () => { open = ANSWER === 'granted'; return ANSWER; };
"""


@pytest.mark.fresh_page
@pytest.mark.long("that a sensor is used, and that one which keeps silent leads to the keys")
@pytest.mark.parametrize("answer", ["granted", "denied"])
def test_where_permission_is_needed_it_is_asked_by_a_tap(make_hand: Callable[..., Hand], answer: str) -> None:
    phone = make_hand(**PHONE)
    phone.page.add_init_script(f"const ANSWER = '{answer}'; {GUARDED}")
    job = phone.job()
    tilt = Tilt(phone)
    tilt.lay(top_up=1)
    phone.go(job, "gauge/riding-angle/left")
    phone.hit(phone.page.get_by_role("button", name="Allow the tilt sensor"))
    if answer == "granted":
        tilt.lay(top_up=2)
        expect(phone.page.locator(".by-phone .which")).to_have_text("Body, first way: 1 of 4")
    else:
        expect(phone.page.get_by_role("alert").filter(has_text="was not allowed")).to_be_visible()


@pytest.mark.parametrize(
    ("side", "first", "turned"),
    [
        pytest.param("left", "right", "left", marks=pytest.mark.long("the right side")),
        ("right", "left", "right"),
    ],
)
def test_the_drawing_points_the_top_to_the_tail_of_that_side(
    phone: Hand, side: str, first: str, turned: str
) -> None:
    job = phone.job()
    tilt = Tilt(phone)
    tilt.lay(top_up=0)
    phone.go(job, f"gauge/riding-angle/{side}")
    view = phone.page.locator(".phone-view")
    expect(view).to_have_attribute("data-top", first)
    expect(view).to_have_attribute("data-face", "screen")
    taken(phone, "It lies still", "Body, first way: 1 of 4")
    expect(view).to_have_attribute("data-top", turned)
    expect(view).to_have_attribute("data-face", "back")
