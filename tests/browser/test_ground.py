"""Down on its wheels: settle, read, then the verdict in place of the page, and the way on."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from browser.grounds import SETTLED, after, append, heights, job, plan
from browser.hand import Hand
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.same_page

SIZES = ((360, 640), (412, 915), (915, 412))
SEEN = """() => {
  const inside = (e) => {
    const box = e.getBoundingClientRect();
    if (!box.width || box.bottom > innerHeight + 0.5 || box.right > innerWidth + 0.5 || box.top < 0) return false;
    const at = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    return at !== null && (e.contains(at) || at.contains(e));
  };
  const unseen = [];
  const plate = document.querySelector(".verdict-plate h1");
  if (!plate || !inside(plate)) unseen.push("the verdict");
  for (const key of document.querySelectorAll("[data-deck]")) if (!inside(key)) unseen.push(key.textContent);
  if (document.scrollingElement.scrollHeight > innerHeight) unseen.push("the window scrolls");
  return unseen;
}"""
"""What of the verdict and of its two keys is not in the window, without scrolling."""


def check(page: Page, name: str) -> None:
    """Tick a check, by its words."""
    page.get_by_role("checkbox", name=name).check()


def type_height(hand: Hand, figure: str) -> None:
    """Type what the tape reads, and go on."""
    field = hand.page.get_by_role("textbox").first
    field.wait_for()
    field.fill(figure)
    field.press("Enter")


def test_the_car_is_settled_before_it_is_read_and_what_is_ticked_stays(phone: Hand) -> None:
    made = job(phone, after(settled=False))
    phone.go(made, "ground")
    page = phone.page
    expect(page.get_by_role("heading", level=1)).to_have_text("Check after teardown 1")
    expect(page.get_by_text("Not settled: heights can be a few mm out.")).to_be_visible()
    for name in ("Tyres at pressure", "chalk marks", "Rolled", "bounced"):
        check(page, name)
    expect(page.get_by_text("Not settled")).to_have_count(0)
    page.reload()
    expect(page.get_by_role("checkbox", name="bounced")).to_be_checked()


def test_one_tap_leads_to_each_side_and_the_verdict_takes_the_page(phone: Hand) -> None:
    made = job(phone, after())
    phone.go(made, "ground")
    page = phone.page
    expect(page.get_by_role("link", name="Read right")).to_be_visible()
    phone.hit(page.get_by_role("link", name="Read left"))
    type_height(phone, "251")
    expect(page.get_by_role("heading", level=1)).to_have_text("Check after teardown 1")
    expect(page.get_by_role("listitem").filter(has_text="251 mm")).to_contain_text("1 mm above target")
    phone.hit(page.get_by_role("link", name="Read right"))
    type_height(phone, "249")
    expect(page.get_by_role("heading", level=1)).to_have_text("On target")
    expect(page.get_by_role("checkbox")).to_have_count(0)
    expect(page.get_by_role("listitem").filter(has_text="Lean")).to_contain_text("target: within 5 mm")
    expect(page.locator("main")).to_contain_text(
        "Predicted 250 ± 3 and 252 ± 3 mm (90 in 100), measured 251 and 249. Chance was 78 in 100."
    )
    expect(page.get_by_role("img", name="From behind: read left 251 mm")).to_be_visible()
    phone.hit(page.get_by_role("link", name="Hand over", exact=True))
    expect(page.get_by_role("heading", level=1)).to_have_text("Hand-over")


def out(*said: Any) -> Any:
    """A car that is out in a way that a long run looks at on the screen."""
    return pytest.param(*said, marks=pytest.mark.long("one; each way to be out: tests/node/verdict.test.mjs"))


@pytest.mark.parametrize(
    ("left", "right", "title"),
    [
        out(258, 256, "Off target: left 8 mm high, right 6 mm high"),
        out(247, 254, "Off target: lean off by 7 mm"),
        (243.5, 247, "Off target: left 6.5 mm low"),
    ],
)
def test_a_car_that_is_out_says_where_and_leads_to_the_next_plan(
    phone: Hand, left: float, right: float, title: str
) -> None:
    phone.go(job(phone, after(left, right)), "ground")
    page = phone.page
    expect(page.get_by_role("heading", level=1)).to_have_text(title)
    expect(page.get_by_text("The next plan counts these readings.")).to_be_visible()
    phone.hit(page.get_by_role("link", name="Replan with these readings"))
    expect(page.locator("body")).to_have_attribute("data-screen", "plan")


@pytest.mark.long("what is not ticked is said: tests/node/verdict.test.mjs")
def test_a_verdict_on_a_car_that_was_not_settled_says_so(phone: Hand) -> None:
    phone.go(job(phone, after(241, 249, settled=False)), "ground")
    expect(phone.page.locator("main")).to_contain_text("Settle the car and read again.")


def test_reading_again_counts_as_a_new_settling_unless_it_was_not_rolled(phone: Hand) -> None:
    made = job(phone, after(258, 249))
    phone.go(made, "ground")
    page = phone.page
    for side in ("left", "right"):
        if side == "left":
            phone.hit(page.get_by_role("link", name="Read again", exact=True))
        phone.hit(page.get_by_role("link", name=f"Read {side}"))
        type_height(phone, "250")
    expect(page.get_by_role("heading", level=1)).to_have_text("On target")
    expect(page.get_by_role("listitem").filter(has_text="Left")).to_contain_text("254 mm")
    kept = page.evaluate("async job => (await import('/book/log.js')).entries(job)", made)
    last = [e["body"] for e in kept if e["kind"] == "reading"][-2:]
    assert [(r["side"], r.get("resettled")) for r in last] == [("left", 1), ("right", 1)]
    phone.go(made, "ground/1/again")
    check(page, "Not rolled")
    expect(page.get_by_role("link", name="Read left")).to_have_attribute(
        "href", re.compile(r"resettled=1.*from=ground%2F1%2Fagain%2Fstill")
    )


@pytest.mark.long("what each test brings: tests/node/plan.test.mjs")
def test_a_second_settling_is_offered_where_it_brings_something(phone: Hand) -> None:
    phone.go(job(phone, after(241, 249)), "ground")
    offer = phone.page.get_by_role("link", name="Settle and read once more")
    expect(offer).to_contain_text("in 100 →")
    phone.hit(offer)
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Read again")


@pytest.mark.long("heights; that angles are judged by the angles: tests/node/verdict.test.mjs")
def test_a_target_of_hanging_angles_is_judged_by_the_angles(phone: Hand) -> None:
    target = {"as": "hanging-angle", "left_deg": 8, "right_deg": 8, "tolerance_deg": 0.8}
    angles = [
        ["reading", {"what": "hanging-angle", "side": side, "value": value, "teardown": 1}]
        for side, value in (("left", 8.4), ("right", 6.9))
    ]
    move = ["move", {"teardown": 1, "left": {"inner": -3, "outer": 4}, "right": {"inner": 5, "outer": -5}}]
    made = job(phone, [["target", target], plan(target), move, *SETTLED, *heights(251, 249)])
    phone.go(made, "ground")
    expect(phone.page.locator("main")).to_contain_text("read them with the arms free")
    append(phone, made, angles)
    phone.page.reload()
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Off target: right 1.1° too far up")
    expect(phone.page.get_by_role("listitem").filter(has_text="Left")).to_contain_text(
        "target: 8.0°, within 0.8°"
    )


@pytest.mark.long("where a job opens: tests/node/flow.test.mjs; the way to it: one_tap_leads")
def test_a_job_on_target_opens_at_its_verdict_and_offers_no_second_teardown(phone: Hand) -> None:
    made = job(phone, after(251, 249))
    words = phone.page.evaluate(
        """async job => {
          const { look } = await import('/book/snapshot.js');
          const { whereNow } = await import('/work/flow.js');
          return whereNow(await look(job)).words.join('/');
        }""",
        made,
    )
    assert words == "ground/1"
    phone.go(made, words)
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("On target")
    expect(phone.page.get_by_role("link", name="plan")).to_have_count(0)


def test_a_link_to_a_job_on_target_says_so_and_shows_no_steps(
    phone: Hand, make_hand: Callable[..., Hand]
) -> None:
    made = job(phone, after(251, 249))
    link = phone.page.evaluate(
        """async job => {
          const { entries } = await import('/book/log.js');
          const { linkOf } = await import('/book/carry.js');
          return linkOf(await entries(job));
        }""",
        made,
    )
    other = make_hand(viewport={"width": 412, "height": 915}, has_touch=True)
    other.page.goto(link)
    expect(other.page.locator("main")).to_contain_text("On target: nothing more to turn.")
    expect(other.page.get_by_role("heading", name="Steps of teardown")).to_have_count(0)


@pytest.mark.parametrize(
    "letters",
    [
        16,
        pytest.param(21, marks=pytest.mark.long("100 %")),
        pytest.param(32, marks=pytest.mark.long("100 %")),
    ],
    ids=["100", "130", "200"],
)
def test_verdict_and_next_step_are_in_every_window_without_scrolling(
    in_letters_of: Callable[..., Hand], letters: int
) -> None:
    hand = in_letters_of(letters, SIZES, reduced_motion="reduce")
    good, bad = job(hand, after(251, 249)), job(hand, after(241, 254, settled=False))
    found = {}
    for wide, high in SIZES:
        hand.page.set_viewport_size({"width": wide, "height": high})
        for name, made in (("on", good), ("off", bad)):
            hand.go(made, "ground")
            unseen = hand.page.evaluate(SEEN)
            if unseen:
                found[f"{name} {wide} by {high}"] = unseen
    assert found == {}
    if letters > 16:
        return
    # At usual type every row of the verdict is in the smallest window.
    hand.page.set_viewport_size({"width": SIZES[0][0], "height": SIZES[0][1]})
    hand.go(good, "ground")
    for name in ("Left", "Right", "Lean"):
        expect(hand.page.get_by_role("listitem").filter(has_text=name)).to_be_in_viewport(ratio=1)


@pytest.mark.parametrize("theme", ["light", pytest.param("dark", marks=pytest.mark.long("in light"))])
def test_axe_finds_nothing_and_nothing_is_cut(
    make_hand: Callable[..., Hand], axe_source: str, theme: str
) -> None:
    hand = make_hand(
        viewport={"width": 360, "height": 640}, has_touch=True, color_scheme=theme, reduced_motion="reduce"
    )
    read, off = job(hand, after(settled=False)), job(hand, after(241, 254))
    found = {}
    for made, words in ((read, "ground"), (off, "ground"), (off, "ground/1/again")):
        hand.go(made, words)
        hand.page.evaluate(axe_source)
        wrong = [*hand.page.evaluate("() => probes.axe()"), *hand.page.evaluate("() => probes.cut()")]
        if wrong:
            found[f"{words} {made == off}"] = wrong
    assert found == {}
