"""Jobs on the phone: cards that say where each stands, a new one at once, undo, inches, hand-over."""

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.conftest import PHONE
from browser.hand import PLAIN, Hand
from browser.test_access import judged
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

METRIC = """async () => {
  (await import('/work/units.js')).useLengths('mm');
  localStorage.removeItem('bothends/lengths');
}"""
ENTRIES = "(job) => import('/book/log.js').then(({ entries }) => entries(job))"
AFTER: list[dict[str, Any]] = [
    {
        "kind": "move",
        "teardown": 1,
        "left": {"inner": -3, "outer": 4},
        "right": {"inner": 5, "outer": -5},
    },
    {"kind": "reading", "what": "hanging-angle", "side": "left", "value": 8.8, "teardown": 1},
    {"kind": "reading", "what": "hanging-angle", "side": "right", "value": 9.3, "teardown": 1},
    {"kind": "reading", "what": "body-height", "side": "left", "value": 250.0, "teardown": 1},
    {"kind": "reading", "what": "body-height", "side": "right", "value": 251.0, "teardown": 1},
]


@pytest.mark.empty_page
def test_a_card_says_car_target_stage_and_what_is_next(phone: Hand) -> None:
    level = {"car": {}, "target": {"as": "level", "rise_mm": 40}, "log": []}
    phone.job(level, "Gannet roadster, Maren")
    phone.open()
    card = phone.page.get_by_role("link", name="Gannet roadster, Maren")
    expect(card).to_contain_text("Raise by 40 mm, level")
    expect(card).to_contain_text("2 answers still needed")
    expect(card.get_by_role("img", name="Stage 1 of 6: read")).to_be_visible()
    # Nothing is said of a shop that this phone does not have.
    expect(card).not_to_contain_text("not synced")
    phone.hit(card)
    expect(phone.page.locator("h1")).to_contain_text("height, left")


@pytest.mark.long("what each card says: tests/node/standing.test.mjs")
def test_the_cards_of_a_job_say_how_far_it_is(phone: Hand) -> None:
    done = phone.job({**PLAIN, "log": [*PLAIN["log"], *AFTER]}, "Knot, Jonas")
    torn = phone.job({**PLAIN, "log": [*PLAIN["log"], *AFTER[:3]]}, "Plover, Tove")
    phone.open()
    card = '[data-job="{}"]'.format
    expect(phone.page.locator(card(done))).to_contain_text("On target: hand over")
    expect(phone.page.locator(card(torn))).to_contain_text("Teardown 1 done: measure heights")


@pytest.mark.empty_page
@pytest.mark.long("on which shelf a job stands: tests/node/shelf.test.mjs")
def test_jobs_handed_over_are_folded_below(phone: Hand) -> None:
    over = phone.job({**PLAIN, "log": [*PLAIN["log"], *AFTER]}, "Knot, Jonas")
    phone.job(title="Gannet, Maren")
    closed = "async (job) => { await (await import('/book/log.js')).append(job, [['close', {}]]); }"
    phone.page.evaluate(closed, over)
    phone.open()
    card = phone.page.locator(f'[data-job="{over}"]')
    fold = phone.page.get_by_role("group").filter(has=phone.page.get_by_role("heading", name="Handed over"))
    expect(card).to_be_hidden()
    phone.hit(fold.locator("summary"))
    expect(card).to_contain_text("Recheck after some hundred km")


@pytest.mark.empty_page
def test_go_on_leads_to_where_the_job_written_to_last_stands(phone: Hand) -> None:
    phone.open()
    # Without a job there is nothing to go on with: a new job is the main key.
    expect(phone.page.get_by_role("group", name="Go on").get_by_role("link").last).to_have_text("New job")
    first = phone.job({"car": {}, "target": {"as": "level"}, "log": PLAIN["log"][:1]}, "Gannet, Maren")
    phone.job({**PLAIN, "log": [*PLAIN["log"], *AFTER[:3]]}, "Plover utility, Tove")
    phone.open()
    on = phone.page.get_by_role("link", name="Go on")
    expect(on).to_contain_text("Plover, check")
    written = "async (job) => { await (await import('/book/log.js')).append(job, [['note', {text: 'x'}]]); }"
    phone.page.evaluate(written, first)
    expect(on).to_contain_text("Gannet, readings")
    phone.hit(on)
    expect(phone.page).to_have_url(re.compile(f"{first}/read/"))


@pytest.mark.parametrize(
    "words",
    [
        "read/mood/left",
        *(
            pytest.param(words, marks=pytest.mark.long("one such address"))
            for words in ("ask/car.colour", "pose/sandbag", "gauge/wheel-load/left")
        ),
    ],
)
def test_an_address_that_names_nothing_leads_to_the_log_of_its_job(phone: Hand, words: str) -> None:
    job = phone.job()
    phone.open(f"/#/{job}/{words}")
    expect(phone.page.get_by_role("heading", name="Log", exact=True)).to_be_visible()
    expect(phone.page).to_have_url(f"{phone.address}/#/{job}/list")


@pytest.mark.empty_page
def test_many_jobs_can_be_searched_by_car_owner_or_request(phone: Hand) -> None:
    phone.job(title="Gannet, Maren")
    phone.open()
    expect(phone.page.get_by_label("Find by car")).to_be_hidden()
    for name in ("Tove", "Jonas", "Ben", "Inge", "Pauli", "Runa"):
        phone.job({"car": {}, "target": {}, "log": []}, f"Plover, {name}")
    phone.open()
    expect(phone.page.locator(".job")).to_have_count(7)
    phone.page.get_by_label("Find by car").fill("plover run")
    expect(phone.page.locator(".job")).to_have_count(1)
    phone.page.get_by_label("Find by car").fill("heron")
    expect(phone.page.locator(".mine")).to_contain_text("No job on this phone has “heron”")


@pytest.mark.long("the frame at 1440 px: test_desk, test_table")
def test_the_pages_of_the_shop_are_reached_at_every_width_of_a_pc(make_hand: Callable[..., Hand]) -> None:
    hand = make_hand(viewport={"width": 1024, "height": 768})
    hand.open()
    for wide in (1024, 1440):
        hand.page.set_viewport_size({"width": wide, "height": 768})
        pages = hand.page.get_by_role("navigation", name="Pages", exact=True)
        for name in ("Jobs", "Shop statistics", "Devices", "Export", "Settings"):
            expect(pages.get_by_role("link", name=name)).to_be_in_viewport()


SIZES = ((360, 640), (412, 915), (915, 412), (1024, 768), (1440, 900))
PHONES = SIZES[:2]
"""What every run looks at."""


@pytest.mark.parametrize(
    "letters", [16, *(pytest.param(size, marks=pytest.mark.long("16 pixels")) for size in (21, 32))]
)
def test_the_main_key_of_home_and_log_is_in_every_window(
    in_letters_of: Callable[..., Hand], letters: int, long: bool
) -> None:
    sizes = SIZES if long else PHONES
    hand = in_letters_of(letters, sizes)
    job = hand.job({**PLAIN, "log": [*PLAIN["log"], *AFTER[:3]]})
    for place in ("/", f"/#/{job}/list", f"/#/{job}/about"):
        hand.page.goto(hand.address + place)
        hand.stands()
        for wide, high in sizes:
            hand.page.set_viewport_size({"width": wide, "height": high})
            expect(hand.page.locator(".deck .main"), f"{place} {wide} by {high}").to_be_in_viewport(ratio=1)


@pytest.mark.parametrize("letters", [16, pytest.param(32, marks=pytest.mark.long("16 pixels"))])
def test_the_keys_of_places_beside_the_work_stand_in_every_window(
    in_letters_of: Callable[..., Hand], letters: int, long: bool
) -> None:
    sizes = SIZES if long else PHONES
    hand = in_letters_of(letters, sizes)
    job = hand.job()
    # What goes back, and what the place is for where that is one thing.
    for place, quiet, main in (
        ("settings", "All jobs", None),
        (f"{job}/share", "Back", "Copy the link"),
        ("open", "All jobs", "Open the link"),
        ("pair", "All jobs", "Pair"),
        ("refused", "All jobs", None),
        (f"{job}/about", "Not now", "Save"),
    ):
        hand.place(place)
        for wide, high in sizes:
            hand.page.set_viewport_size({"width": wide, "height": high})
            for kind, words in (("quiet", quiet), ("main", main)):
                key = hand.page.locator(f"[data-deck={kind}]")
                if words is None:
                    expect(key).to_have_count(0)
                else:
                    expect(key).to_have_text(words)
                    expect(key, f"{place} {wide} by {high}").to_be_in_viewport(ratio=1)
        if place != f"{job}/about":
            expect(hand.page.locator(".stage h1")).to_be_visible()


def test_the_log_says_what_was_put_off_and_who_wrote_when(phone: Hand) -> None:
    job = phone.job()
    later = "[['step', {step: 'not-now/board-test', side: 'left', done: true, teardown: 0}]]"
    phone.page.evaluate(
        f"async (job) => {{ await (await import('/book/log.js')).append(job, {later}); }}", job
    )
    phone.go(job, "list")
    expect(phone.page.get_by_role("link", name="Board test, left")).to_contain_text("Answer now")
    expect(phone.page.get_by_role("link", name="214 mm")).to_contain_text(
        re.compile(r"20\d\d-\d\d-\d\d \d\d:\d\d")
    )
    expect(phone.page.get_by_role("link", name="Target")).to_contain_text("Level at 250 mm")
    phone.hit(phone.page.get_by_role("link", name="Board test, left"))
    expect(phone.page).to_have_url(re.compile("pose/board/left"))


def test_a_reading_is_removed_in_the_log_and_brought_back_by_undo(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "list")
    phone.hit(phone.page.get_by_role("button", name=re.compile("Remove: .*height, left, 214 mm")))
    expect(phone.page.get_by_role("link", name="214 mm")).to_have_count(0)
    expect(phone.page.get_by_text("Removed or corrected")).to_be_visible()
    note = phone.page.get_by_role("button", name="Undo")
    box = note.bounding_box()
    assert box is not None
    assert box["height"] >= 44
    phone.hit(note)
    expect(phone.page.get_by_role("link", name="214 mm")).to_be_visible()


def test_car_owner_and_request_are_reached_from_the_name_in_the_bar(phone: Hand) -> None:
    job = phone.job(title="Gannet, Maren")
    phone.go(job, "list")
    phone.hit(phone.page.get_by_role("banner").get_by_role("link", name="Gannet, Maren"))
    expect(phone.page.get_by_text("Everything here is optional.")).to_be_visible()
    phone.page.get_by_label("Car", exact=True).fill("Heron")
    phone.page.get_by_label("Customer’s request").fill("Level it")
    phone.hit(phone.page.get_by_role("button", name="Save"))
    expect(phone.page.get_by_role("banner")).to_contain_text("Heron")
    expect(phone.page.get_by_role("link", name="Customer’s request")).to_contain_text("Level it")


@pytest.mark.long("the deck mirrored: test_parts")
def test_the_left_hand_has_the_main_key_under_its_thumb(phone: Hand) -> None:
    job = phone.job()
    phone.place("settings")
    phone.hit(phone.page.get_by_role("radio", name="Left hand"))
    phone.page.reload()
    phone.go(job, "list")
    keys = phone.page.locator(".deck .key")
    quiet, main = keys.first.bounding_box(), keys.last.bounding_box()
    assert quiet is not None
    assert main is not None
    assert main["x"] < quiet["x"]


@pytest.mark.long("the readings beside the question on a PC: test_news")
def test_a_wide_pc_has_every_reading_in_one_line_beside_the_question(pc: Hand) -> None:
    job = pc.job()
    pc.go(job, "plan")
    rail = pc.page.get_by_role("navigation", name="Readings")
    line = rail.get_by_role("link", name=re.compile("left, .*height 214 mm"))
    box = line.bounding_box()
    assert box is not None
    assert box["height"] < 48
    line.click()
    expect(pc.page).to_have_url(re.compile("read/body-height/left"))


def test_what_was_saved_last_can_be_undone_on_the_next_screen(phone: Hand) -> None:
    phone.open()
    phone.new_job()
    phone.figure("214")
    assert phone.question() == "Ride height, right"
    phone.hit(phone.page.get_by_role("button", name="Undo: Ride height, left"))
    expect(phone.page.locator("h1")).to_have_text("Ride height, left")
    expect(phone.page.locator(".figure")).to_have_value("")
    expect(phone.page.get_by_role("button", name="Undo")).to_have_count(0)
    phone.figure("215")
    phone.figure("222")
    # Only the last one is offered.
    expect(phone.page.get_by_role("button", name="Undo: Ride height, right")).to_be_visible()


@pytest.mark.long("a reading removed in the Log and brought back")
def test_undo_brings_back_what_a_correction_or_a_strike_took_away(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "list")
    phone.hit(phone.page.get_by_role("link", name="214 mm"))
    phone.hit(phone.key("delete"))
    phone.digits("6")
    phone.next()
    expect(phone.page.get_by_role("link", name="216 mm")).to_be_visible()
    phone.hit(phone.page.get_by_role("button", name="Undo: Ride height, left"))
    expect(phone.page.locator(".figure")).to_have_value("214")
    phone.go(job, "list")
    phone.hit(phone.page.get_by_role("link", name="214 mm"))
    phone.hit(phone.page.get_by_role("button", name="Remove reading"))
    expect(phone.page.get_by_role("link", name="214 mm")).to_have_count(0)
    phone.hit(phone.page.get_by_role("button", name="Undo"))
    expect(phone.page.get_by_text("Entered as 214 mm.")).to_be_visible()
    phone.go(job, "list")
    expect(phone.page.get_by_role("link", name="214 mm")).to_be_visible()


@pytest.mark.long("ticked checks at the hand-over: test_handover")
def test_follow_up_checks_are_ticked_and_unticked_and_stay_so(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "close")
    check = phone.page.get_by_role("checkbox", name="Headlamps aimed")
    phone.hit(check)
    expect(phone.page.get_by_role("button", name="Undo: Headlamps")).to_be_visible()
    expect(check).to_be_focused()
    phone.page.reload()
    expect(check).to_be_checked()
    phone.hit(check)
    expect(phone.page.get_by_role("button", name="Undo: Headlamps")).to_be_visible()
    phone.page.reload()
    expect(check).not_to_be_checked()


@pytest.mark.long("the tables of the hand-over folded and on paper: test_handover")
def test_the_hand_over_prints_without_keys(pc: Hand) -> None:
    job = pc.job({**PLAIN, "log": [*PLAIN["log"], *AFTER]})
    pc.go(job, "close")
    pc.hit(pc.page.get_by_text("Before and after, teeth, predicted"))
    expect(pc.page.get_by_role("row", name="left 3 teeth arm up")).to_contain_text("4 teeth arm down")
    pc.page.emulate_media(media="print")
    expect(pc.page.get_by_role("button", name="Print")).to_be_hidden()
    expect(pc.page.locator("#top")).to_be_hidden()
    expect(pc.page.get_by_role("table", name="Before and after", exact=True)).to_be_visible()


@pytest.fixture
def inch_phone(phone: Hand) -> Iterator[Hand]:
    """A phone whose shop measures in inches, until the test ends."""
    phone.place("settings")
    phone.hit(phone.page.get_by_role("radio", name="Inches"))
    yield phone
    phone.page.evaluate(METRIC)


def test_a_height_in_inches_with_a_fraction_is_kept_in_millimetres(inch_phone: Hand) -> None:
    hand = inch_phone
    job = hand.job()
    hand.go(job, "read/body-height/left")
    for press in ("8", "1/4"):
        hand.hit(hand.key(press))
    expect(hand.page.locator(".figure")).to_have_value("8 1/4")
    expect(hand.page.locator(".way").last).to_have_text("209.55 mm")
    hand.hit(hand.key("more"))
    expect(hand.page.locator(".figure")).to_have_value("8 5/16")
    hand.hit(hand.key("less"))
    hand.next()
    hand.go(job, "list")
    expect(hand.page.get_by_role("link", name="8 1/4 in")).to_be_visible()
    kept = hand.page.evaluate(ENTRIES, job)
    assert [e["body"]["value"] for e in kept if e["kind"] == "reading"][-1] == 209.55


@pytest.mark.parametrize(
    "typed",
    [
        "8 1/4",
        *(
            pytest.param(typed, marks=pytest.mark.long("one; each way: tests/node/units.test.mjs"))
            for typed in ("8.25", "8,25", "33/4")
        ),
    ],
)
def test_inches_may_be_typed_as_they_come(inch_phone: Hand, typed: str) -> None:
    hand = inch_phone
    job = hand.job()
    hand.go(job, "ask/target.left_mm?from=list")
    hand.page.locator(".figure").fill(typed)
    hand.next()
    expect(hand.page.get_by_role("link", name="Target")).to_contain_text("8 1/4 in")


def test_an_answer_that_is_only_looked_at_in_inches_is_not_changed(inch_phone: Hand) -> None:
    hand = inch_phone
    job = hand.job()
    hand.go(job, "ask/target.left_mm?from=list")
    expect(hand.page.locator(".figure")).to_have_value("9.84")
    hand.next()
    expect(hand.page.get_by_role("link", name="Target")).to_contain_text("9.84 in")
    assert len(hand.page.evaluate(ENTRIES, job)) == 9


@pytest.mark.long("half a fraction is none: tests/node/units.test.mjs")
def test_half_a_fraction_is_not_taken_for_a_figure(inch_phone: Hand) -> None:
    hand = inch_phone
    job = hand.job()
    hand.go(job, "ask/target.left_mm")
    hand.page.locator(".figure").fill("8 1/")
    hand.hit(hand.key("next"))
    expect(hand.page.locator(".error")).to_contain_text("Enter a value")


@pytest.mark.long("a height in inches")
def test_angles_stay_degrees_where_lengths_are_inches(inch_phone: Hand) -> None:
    hand = inch_phone
    job = hand.job()
    hand.go(job, "read/riding-angle/left")
    expect(hand.page.locator(".unit").last).to_have_text("°")
    expect(hand.key("1/4")).to_have_count(0)


@pytest.mark.empty_page
@pytest.mark.parametrize("theme", ["light", pytest.param("dark", marks=pytest.mark.long("in light"))])
def test_axe_finds_nothing_where_something_is_told_or_asked(
    make_hand: Callable[..., Hand], axe_source: str, theme: str
) -> None:
    hand = make_hand(**PHONE, color_scheme=theme)
    page = hand.page
    job = hand.job({**PLAIN, "log": [*PLAIN["log"], *AFTER]})
    link = page.evaluate(
        """(job) => import('/book/log.js').then(async ({ append, entries }) => {
            const row = (await entries(job)).find((e) => e.kind === 'reading');
            const changed = (value) => ['reading', { ...row.body, value, corrects: row.id }];
            await append(job, [changed(3.5), changed(3.9)]);
            const { answered } = await import('/book/outbox.js');
            await answered([{ id: row.id, state: 'refused', why: { code: 'out-of-range', detail: 'too large' } }]);
            return (await import('/book/carry.js')).linkOf(await entries(job));
        })""",
        job,
    )
    found = {}
    hand.go(job, "close")
    hand.hit(page.get_by_role("checkbox", name="Headlamps aimed"))
    page.get_by_role("button", name="Undo").wait_for()
    found["hand-over"] = judged(page, axe_source)
    hand.go(job, "list")
    page.locator("main .doubts").wait_for()
    found["a conflict"] = judged(page, axe_source)
    hand.place("refused")
    page.get_by_text("too large").wait_for()
    found["refused"] = judged(page, axe_source)
    page.goto(link)
    page.get_by_text("on this phone already").wait_for()
    found["a link"] = judged(page, axe_source)
    page.goto(link[:-40])
    page.get_by_text("cut off").wait_for()
    found["a spoilt link"] = judged(page, axe_source)
    hand.place("pair")
    hand.hit(page.get_by_role("button", name="Pair", exact=True))
    found["pairing without a code"] = judged(page, axe_source)
    hand.place("settings")
    hand.hit(page.get_by_role("radio", name="Inches"))
    hand.go(job, "read/body-height/left")
    found["inches"] = judged(page, axe_source)
    page.evaluate("() => { document.querySelector('#notices .update').hidden = false; }")
    found["an update"] = judged(page, axe_source)
    assert {name: wrong for name, wrong in found.items() if wrong} == {}


@pytest.mark.empty_page
def test_the_first_screen_says_where_the_browser_does_not_promise_to_keep_the_log(phone: Hand) -> None:
    phone.open()
    expect(phone.page.locator(".promise")).to_be_hidden()
    phone.job()
    phone.open()
    expect(phone.page.locator(".promise")).to_contain_text("may delete your data when storage is low")


def test_no_plan_is_made_as_long_as_a_teardown_stands_twice(phone: Hand) -> None:
    other = {**AFTER[0], "left": {"inner": -3, "outer": 3}}
    job = phone.job({**PLAIN, "log": [*PLAIN["log"], *AFTER, other]})
    phone.page.goto(f"{phone.address}/#/{job}/plan")
    phone.stands()
    expect(phone.page.locator("main")).to_contain_text("No plan until the teeth turned are clear")
    phone.hit(phone.page.get_by_role("main").get_by_role("button", name="outer 4 teeth"))
    phone.page.locator(".source").wait_for()
    expect(phone.page.locator("main")).not_to_contain_text("No plan until")


@pytest.mark.fresh_page
@pytest.mark.long("where a link made on the shop's PC leads: tests/node/link-ways.test.mjs")
@pytest.mark.parametrize(
    ("told", "start"),
    [("https://shop.test:8622/", "https://shop.test:8622/#job="), (None, "http://127.0.0.1")],
)
def test_a_link_made_on_the_shops_pc_leads_to_where_others_reach_the_shop(
    pc: Hand, told: str | None, start: str
) -> None:
    said = {"status": "ok", "version": "1", "address": told, "simulated": False}
    pc.page.route("**/api/health", lambda route: route.fulfill(json=said))
    job = pc.job()
    pc.go(job, "share")
    expect(pc.page.locator("#job-link")).to_have_value(re.compile("^" + re.escape(start)))
    if not told:
        expect(pc.page.get_by_text("This is this PC’s own address")).to_be_visible()


@pytest.mark.empty_page
@pytest.mark.parametrize(
    ("unit", "figure", "two"),
    [
        pytest.param("mm", "1234.5", "250", marks=pytest.mark.long("the longer figures of inches")),
        ("in", "12 15/16", "9.84"),
    ],
)
def test_a_figure_is_never_cut_off_while_it_is_typed(
    make_hand: Callable[..., Hand], unit: str, figure: str, two: str
) -> None:
    hand = make_hand(viewport={"width": 360, "height": 640}, has_touch=True, is_mobile=True)
    hand.open()
    hand.page.evaluate("async (unit) => (await import('/book/lengths.js')).setLengths(unit)", unit)
    hand.hit(hand.page.get_by_role("link", name="New job"))
    hand.choose("To a height")
    hand.next()
    hand.digits(two)
    assert hand.page.evaluate("() => probes.cut()") == []
    hand.go(hand.job(), "read/body-height/left")
    hand.page.locator(".figure").press_sequentially(figure)
    expect(hand.page.locator(".figure")).to_have_value(figure)
    assert hand.page.evaluate("() => probes.cut()") == []
