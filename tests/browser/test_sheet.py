"""The hand-over sheet as it comes out of the printer: two pages on A4 and US Letter, nothing cut off or false."""

import io
import re
import unicodedata
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.books import Book, book
from browser.conftest import PC, PHONE
from browser.hand import PLAIN, Hand
from browser.scanned import codes
from playwright.sync_api import expect
from pypdf import PdfReader

pytestmark = pytest.mark.same_page

FORMATS = ("A4", "Letter")
A4 = FORMATS[:1]
SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
BEGIN = """
async ([request, about]) => {
  const { begin } = await import('/book/log.js');
  const { itemsOf } = await import('/book/request.js');
  return (await begin(itemsOf(request, about))).job;
}
"""
APPEND = "async ([job, items]) => (await import('/book/log.js')).append(job, items)"
ABOUT = {"title": "Gannet, Maren", "car": "Gannet roadster", "owner": "Maren", "wish": "bring it up, level"}
LONG = {
    "title": "Gannet",
    "car": "Gannet roadster of the second building " * 5,
    "owner": "Maximiliane-Alexandrina" * 4,
    "wish": "Bring it up on the left, it leans when two sit in it. " * 30,
}
JARGON = re.compile(
    r"hanging|riding|spline|teeth|tooth|inner|outer|torsion|anchor|tail|datum|N·m|odds|wish|agreed|promise",
    re.IGNORECASE,
)


def plan(teardown: int, left: tuple[int, int], height: float) -> list[Any]:
    """The plan of a teardown, as the app keeps it."""

    def side(inner: int, outer: int) -> dict[str, Any]:
        lift = {"torque_nm": 505.0 + teardown, "force_n": 1217.0, "energy_j": 38.0}
        return {
            "inner": inner,
            "outer": outer,
            "body_height_mm": {"value": height, "sd": 1.9},
            "hanging_deg": 8.5,
            "riding_deg": -6.0,
            "lift": lift,
            "lift_now": lift,
            "hanging_now_deg": {"value": 3.0, "sd": 0.2},
        }

    target = {"left_mm": 250, "right_mm": 250, "tolerance_mm": 5, "lean_mm": 5}
    body = {
        "teardown": teardown,
        "label": "both ends",
        "odds": 0.84,
        "lean_mm": {"value": 0.4, "sd": 1.6},
        "target": target,
        "left": side(*left),
        "right": side(0, 0),
        "cautions": [],
    }
    return ["plan", body]


def work(
    teardown: int, heights: tuple[float, float] = (251, 249), *, planned: bool = True
) -> list[list[Any]]:
    """One teardown and what was read after it."""
    left = (-3, 4) if teardown % 2 else (3, -4)
    items = [plan(teardown, left, 250.4)] if planned else []
    items.append(
        [
            "move",
            {
                "teardown": teardown,
                "left": {"inner": left[0], "outer": left[1]},
                "right": {"inner": 0, "outer": 0},
            },
        ]
    )
    for what, values in (
        ("hanging-angle", (5.8 if teardown % 2 else 3.1, 5.2)),
        ("body-height", heights),
        ("riding-angle", (-6.9, -6.1)),
    ):
        for side, value in zip(("left", "right"), values, strict=True):
            items.append(["reading", {"what": what, "side": side, "value": value, "teardown": teardown}])
    return items


def a_job(hand: Hand, *items: list[Any], about: dict[str, Any] = ABOUT) -> str:
    """A job on this device with these entries."""
    if hand.shared and hand.page.url.startswith(hand.address):
        hand.place("")
    else:
        hand.open()
    job = str(hand.page.evaluate(BEGIN, [PLAIN, about]))
    if items:
        hand.page.evaluate(APPEND, [job, list(items)])
    return job


def laid_out(hand: Hand, job: str) -> None:
    """Open the sheet and wait until it is laid out."""
    hand.go(job, "sheet")
    hand.page.locator(".papers[data-ready]").wait_for()


def printed(hand: Hand, form: str) -> list[str]:
    """The text of each printed page; every page has the size asked for."""
    pdf = hand.page.pdf(format=form, prefer_css_page_size=True)
    pages = PdfReader(io.BytesIO(pdf)).pages
    wide, high = (595, 842) if form == "A4" else (612, 792)
    for page in pages:
        assert abs(float(page.mediabox.width) - wide) < 2
        assert abs(float(page.mediabox.height) - high) < 2
    # A printer draws "fi" as one letter.
    texts = [unicodedata.normalize("NFKC", page.extract_text()) for page in pages]
    return [" ".join(text.split()) for text in texts]


def both(hand: Hand, job: str, forms: tuple[str, ...] = A4) -> tuple[str, str]:
    """Front and back; the same text on the screen and on each paper, nothing outside its page."""
    laid_out(hand, job)
    shown = [
        " ".join(text.split())
        for text in (
            hand.page.locator(".papers .sheet-front").inner_text(),
            hand.page.locator(".papers .sheet-back").inner_text(),
        )
    ]
    for form in forms:
        pages = printed(hand, form)
        assert len(pages) == 2, form
        # Letter by letter: extraction puts its own blanks between the parts.
        for page, text in zip(pages, shown, strict=True):
            assert _letters(page) == _letters(text), form
    return pages[0], pages[1]


def _letters(text: str) -> list[str]:
    # Hyphens and signs from other fonts come out differently.
    return sorted(c for c in text if c.isalnum())


@pytest.mark.long("a sheet after work; its words without any: tests/node/sheet-words.test.mjs")
def test_without_a_teardown_it_says_that_nothing_was_taken_apart(pc: Hand) -> None:
    front, back = both(pc, a_job(pc))
    assert "Nothing was taken apart" in front
    assert "undone" not in front
    assert "The checks before the road follow the work" in front
    assert "Not handed over yet" in front
    assert "214 mm" in front
    assert "Nothing turned was entered" in back
    assert "no plan kept that has them" in back


def test_one_teardown_gives_the_front_in_plain_words_with_places_to_sign_and_the_figures_behind(
    pc: Hand,
) -> None:
    job = a_job(
        pc,
        *work(1),
        ["step", {"step": "handover-brakes", "done": True}],
        ["close", {"text": "Maren drove it."}],
    )
    front, back = both(pc, job, FORMATS)
    assert not JARGON.search(front)
    for text in (
        "Gannet roadster", "Owner: Maren", "Handed over", "Your request",
        "Rear springs adjusted once", "on the left side",
        "left side now stands 37 mm higher", "Maren drove it.", "Level: the left side is 2 mm higher",
        "On target: both heights are within 5 mm", "Steering and brakes checked by someone qualified (done",
        "Headlamps aimed (still to do)", "after some hundred kilometres", "can break bones",
        "For the workshop", "Received by the owner", "Recheck on", "Notes",
    ):  # fmt: skip
        assert text in front, text
    for text in (
        "3 up, 4 down", "84 in 100", "250 ± 3 / 250 ± 3", "251.0 / 249.0", "within",
        "506 N·m, 1217 N, 38 J", "N·m per degree", "22 mm thick", "inner 40, outer 44",
        "reading × 12", "A loaded torsion bar can throw the arm", "5.8° / 5.2°", "Target: each within 5 mm",
    ):  # fmt: skip
        assert text in back, text
    lines = pc.page.locator(".papers .sheet-front .sheet-line")
    assert lines.count() >= 2
    # The drawing takes more than half of the paper's width and shows both gates.
    drawing, paper = (
        pc.page.locator(f".papers .sheet-front {part}").first.bounding_box()
        for part in (".drawing", ".two.stands")
    )
    assert drawing is not None
    assert paper is not None
    assert drawing["width"] > 0.5 * paper["width"]
    assert pc.page.locator(".papers .sheet-front .pen .edge").count() == 2


def test_six_teardowns_with_long_names_and_notes_fit_and_say_what_they_leave_out(
    pc: Hand, long: bool
) -> None:
    items = [item for n in range(1, 7) for item in work(n, (214 + n, 222 + n))]
    notes = [
        ["note", {"text": f"{n}: the left cover was rusted in and took two hours with heat. " * 8}]
        for n in range(30)
    ]
    job = a_job(pc, *items, *notes, ["close", {"text": "Rides level; the owner drove it. " * 50}], about=LONG)
    # Letter is the lower of the two.
    front, back = both(pc, job, FORMATS if long else FORMATS[1:])
    assert "Rear springs adjusted 6 times" in front
    assert "(the rest is in the job’s log)" in front
    assert "Headlamps aimed" in front
    for teardown in range(1, 7):
        assert f"{214 + teardown}.0 / {222 + teardown}.0" in back
    assert re.search(r"And \d+ more, in the job’s log\.", back)


@pytest.mark.long("a sheet with a plan; its words without one: tests/node/sheet-words.test.mjs")
def test_teeth_without_a_plan_are_said_to_be_so_on_both_sides(pc: Hand) -> None:
    front, back = both(pc, a_job(pc, *work(1, planned=False)))
    heads = pc.page.locator(".papers .work-done thead th").all_inner_texts()
    assert "Predicted" not in heads
    assert "Chance" not in heads
    assert "No plan was kept: nothing was predicted." in back
    assert "No plan was kept of this work" in front
    assert "no plan kept" in back
    assert "in 100" not in front


def test_a_height_in_dispute_is_printed_as_such_and_neither_is_chosen(pc: Hand) -> None:
    job = a_job(pc, *work(1))
    first = pc.page.evaluate(
        "async (job) => (await (await import('/book/log.js')).entries(job)).find(({kind, body}) =>"
        " kind === 'reading' && body.what === 'body-height' && body.teardown === 1 && body.side === 'left').id",
        job,
    )
    body = {"what": "body-height", "side": "left", "teardown": 1, "corrects": first}
    pc.page.evaluate(
        APPEND, [job, [["reading", {**body, "value": 246}], ["reading", {**body, "value": 264}]]]
    )
    front, back = both(pc, job)
    for page in (front, back):
        assert "In dispute: Ride height, left, after teardown 1: 246 mm; or" in page
        assert "after teardown 1: 264 mm" in page
    assert "Whether the car is level is in dispute" in front
    assert "Level:" not in front
    assert "in dispute / 249.0" in back
    expect(pc.page.locator(".sheet-tools")).to_contain_text("Settle them first")


@pytest.mark.long("a height in dispute, on both pages")
def test_two_moves_of_a_teardown_are_printed_as_in_dispute(pc: Hand) -> None:
    other = ["move", {"teardown": 1, "left": {"inner": -3, "outer": 5}}]
    _, back = both(pc, a_job(pc, *work(1), other))
    assert "In dispute: teardown 1, left: inner 3 teeth arm up, outer 4 teeth arm down" in back
    assert "outer 5 teeth arm down" in back
    assert "3 up, 4 down" not in back
    assert "Learned about this car: not worked out" in back


@pytest.mark.long("in millimetres; figures in inches: tests/node/units.test.mjs")
def test_inches_are_printed_beside_millimetres_where_the_shop_likes_them(pc: Hand) -> None:
    pc.open()
    pc.page.evaluate("async () => (await import('/book/lengths.js')).setLengths('in')")
    front, back = both(pc, a_job(pc, *work(1)))
    assert "9.88 in (251 mm)" in front
    assert "9.88 in (251.0 mm)" in back


@pytest.mark.long("a sheet without a name on it")
def test_the_shops_name_is_kept_on_this_device_and_printed(pc: Hand) -> None:
    job = a_job(pc, *work(1))
    laid_out(pc, job)
    assert "Slipway" not in printed(pc, "A4")[0]
    pc.page.get_by_label("The shop’s name").fill("Harbour Garage")
    assert printed(pc, "A4")[0].startswith("Harbour Garage")
    pc.page.reload()
    pc.page.locator(".papers[data-ready]").wait_for()
    assert "Harbour Garage" in printed(pc, "Letter")[0]


@pytest.mark.long("a sheet without a letterhead")
def test_a_shops_sheet_bears_its_letterhead_the_jobs_number_plate_and_odometer(
    paired: Callable[..., Hand], shop: Book
) -> None:
    pc = paired(**PC)
    pc.place("settings")
    for label, text in (
        ("Name of the shop", "Harbour Garage"),
        ("Address, in one line", "Quay 7"),
        ("Phone", "04711"),
    ):
        pc.page.get_by_label(label).fill(text)
    pc.page.locator(".letterhead button").click()
    expect(pc.page.locator(".letterhead [role=status]")).to_have_text("Saved for all devices of the shop.")
    job = a_job(pc, *work(1), about={**ABOUT, "plate": "SL 042", "odometer": "84 210 km"})
    pc.page.evaluate(SYNC)
    laid_out(pc, job)
    number = shop.ask("GET", f"/api/jobs/{job}")["number"]
    front = printed(pc, "A4")[0]
    for text in (
        "Harbour Garage",
        "Quay 7",
        "04711",
        f"Job {number}",
        "Plate: SL 042",
        "Odometer: 84 210 km",
    ):
        assert text in front
    # The Log has the number too, as it came with the records.
    pc.go(job, "list")
    expect(pc.page.get_by_role("heading", name=f"Job {number}", exact=True)).to_be_visible()


@pytest.mark.long("a sheet of a real book")
def test_a_simulated_book_prints_its_mark_on_both_pages(pc: Hand) -> None:
    job = a_job(pc, *work(1))
    pc.page.route(
        "**/api/health", lambda route: route.fulfill(json={**route.fetch().json(), "simulated": True})
    )
    pc.page.evaluate("async () => (await import('/book/base.js')).remember('simulated', true)")
    pc.open()
    pc.page.locator("body[data-simulated]").wait_for()
    front, back = both(pc, job)
    assert "Slipway Garage" in front
    for page in (front, back):
        assert "Simulated season" in page


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A served book with the shop's PC paired."""
    with book(tmp_path_factory.mktemp("sheet")) as served:
        yield served


@pytest.mark.long(
    "a sheet without a code; links to a job: tests/node/link-ways.test.mjs, offline/test_short_link"
)
def test_a_picture_code_is_printed_only_after_asking_and_opens_the_job(pc: Hand, shop: Book) -> None:
    shop.pair(pc)
    job = a_job(pc, *work(1))
    pc.page.evaluate(SYNC)
    laid_out(pc, job)
    key = pc.page.get_by_role("button", name="Put a QR code on it")
    key.click()
    pc.page.get_by_role("dialog").get_by_role("button", name="No code").click()
    assert shop.ask("GET", f"/api/links?job={job}")["links"] == []
    key.click()
    dialog = pc.page.get_by_role("dialog")
    expect(dialog).to_contain_text("Whoever scans it can read this whole job for 90 days")
    dialog.get_by_role("button", name="Make a link").click()
    pc.page.locator(".papers .sheet-link img").wait_for()
    assert len(shop.ask("GET", f"/api/links?job={job}")["links"]) == 1
    pages = printed(pc, "A4")
    assert len(pages) == 2
    assert "Whoever has this code can read it" in pages[0]
    pc.page.emulate_media(media="print")
    pc.page.wait_for_function("() => document.querySelector('.sheet-link img').naturalWidth > 0")
    (address,) = codes(pc.page.screenshot(full_page=True, scale="device"))
    pc.page.emulate_media(media="null")
    reader = pc.page.evaluate(
        "async (token) => (await (await import('/shop/pc/by-link.js')).bundleOf(token)).job",
        address.partition("#link=")[2],
    )
    assert reader == job
    pc.page.get_by_role("button", name="Take the QR code off").click()
    assert "QR code" not in printed(pc, "A4")[0]
    expect(pc.page.locator(".papers .sheet-link")).to_have_count(0)


@pytest.mark.long("a sheet without a code")
def test_without_a_shop_it_prints_without_a_code_and_says_why(pc: Hand) -> None:
    job = a_job(pc, *work(1))
    laid_out(pc, job)
    pc.page.get_by_role("button", name="Put a QR code on it").click()
    pc.page.get_by_role("dialog").get_by_role("button", name="Make a link").click()
    expect(pc.page.locator(".sheet-tools .error")).to_contain_text("not paired with a shop")
    front = printed(pc, "A4")[0]
    assert "Scan" not in front
    assert "not paired" not in front


@pytest.mark.long("on a PC")
def test_the_phone_prints_the_same_two_pages_as_the_pc(phone: Hand) -> None:
    front, back = both(phone, a_job(phone, *work(1)))
    assert "Rear springs adjusted once" in front
    assert "506 N·m" in back


@pytest.mark.long("keys alone at a teardown: test_work_access; the sheet by its address")
def test_the_hand_over_screen_leads_to_the_sheet_and_back_by_keys(pc: Hand) -> None:
    job = a_job(pc, *work(1))
    pc.go(job, "close")
    pc.page.get_by_role("link", name="Hand-over sheet on paper").press("Enter")
    pc.page.locator(".papers[data-ready]").wait_for()
    order = []
    for _ in range(30):
        pc.page.keyboard.press("Tab")
        order.append(pc.page.evaluate("() => document.activeElement.textContent"))
    for name in ("Print, front and back", "Put a QR code on it", "Checks and hand-over"):
        assert name in order
    pc.page.get_by_role("link", name="Checks and hand-over").press("Enter")
    expect(pc.page.locator("h1")).to_have_text("Hand-over")


@pytest.mark.parametrize(
    ("size", "theme"),
    [
        pytest.param(PHONE, "dark", id="phone-dark"),
        pytest.param(PC, "light", id="pc-light", marks=pytest.mark.long("on a phone in dark")),
    ],
)
def test_axe_finds_nothing_on_the_sheet_and_it_is_black_on_white(
    make_hand: Callable[..., Hand], axe_source: str, theme: str, size: dict[str, Any]
) -> None:
    hand = make_hand(**size, color_scheme=theme)
    job = a_job(
        hand, *work(1), *work(2), ["move", {"teardown": 2, "left": {"inner": 1, "outer": 1}}], about=LONG
    )
    laid_out(hand, job)
    page = hand.page
    page.evaluate(axe_source)
    found = [*page.evaluate("() => probes.axe()"), *page.evaluate("() => probes.cut()")]
    if size is PHONE:
        found += page.evaluate("() => probes.keys()")[1]
    assert found == []
    paper = page.locator(".papers .paper").first
    assert paper.evaluate("(e) => [getComputedStyle(e).color, getComputedStyle(e).backgroundColor]") == [
        "rgb(0, 0, 0)",
        "rgb(255, 255, 255)",
    ]
