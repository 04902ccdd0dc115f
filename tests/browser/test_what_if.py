"""The bench: what stands in its columns is the model's, phone and server agree, and the log stays as it is."""

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from browser.conftest import PC, PHONE
from browser.hand import DOUBTED, PLAIN, Hand
from browser.test_access import judged
from browser.test_parity import CASES, differences
from playwright.sync_api import Locator, Page, expect

from bothends.model.problem import ModelProblem
from bothends.model.travel import CERTAIN
from bothends.model.what_if import what_if

pytestmark = pytest.mark.same_page

PHONE_TRIAL = """
async ([request, change]) => {
  const solver = await import('/model/solver.js');
  try { return { answer: await solver.whatIf(request, change) }; }
  catch (problem) { return { problem: { code: problem.code, path: problem.path, detail: problem.detail } }; }
}
"""
CHANGES: dict[str, dict[str, Any]] = {
    "nothing": {},
    "thicker": {"bar": {"diameter_mm": 24.0}},
    "hollow": {"bar": {"diameter_mm": 26.0, "bore_mm": 15.0, "length_mm": 580.0, "outer_teeth": 41}},
    "no-fine-step": {"bar": {"diameter_mm": 23.0, "inner_teeth": 40, "outer_teeth": 40, "rate_sd_percent": 2.0}},
    "laden": {"load_kg": {"left": 30.0, "right": 15.0}, "target": {"right_mm": 240.0, "lean_mm": 9.0}},
    "too-soft": {"bar": {"diameter_mm": 9.0}},
    "bore": {"bar": {"bore_mm": 60.0}},
}  # fmt: skip
TRIED = [
    "plain",
    "boards",
    "hang-test",
    "after-a-move",
    "extreme-heavy",
    "hollow-swing",
    "sign-flipped",
    "equal-teeth",
]
"""Cases of the parity test on whose cars every change is tried."""


@pytest.mark.parametrize(
    "case",
    [
        TRIED[0],
        *(pytest.param(case, marks=pytest.mark.long("the plain car, all changes")) for case in TRIED[1:]),
    ],
)
def test_phone_and_server_try_the_same_thing(phone: Hand, case: str) -> None:
    phone.open()
    for name, change in CHANGES.items():
        try:
            server = {"answer": what_if(CASES[case], change)}
        except ModelProblem as problem:
            server = {"problem": {"code": problem.code, "path": problem.path, "detail": problem.detail}}
        told = phone.page.evaluate(PHONE_TRIAL, [CASES[case], change])
        assert set(told) == set(server), (name, told)
        kind = next(iter(server))
        assert differences(server[kind], told[kind]) == [], name


def typed(hand: Hand, label: str, figure: str) -> None:
    """Fill a field of the bench."""
    hand.page.get_by_label(label, exact=True).fill(figure)


def settled(page: Page) -> None:
    """Wait until every column is worked out."""
    expect(page.locator(".results")).not_to_contain_text("…")
    expect(page.locator(".bench .source")).to_contain_text("±")


def whole(hand: Hand) -> None:
    """Show the rows too in which all columns say the same."""
    key = hand.page.get_by_role("button", name="Show all rows")
    if key.count():
        hand.hit(key)


def row(page: Page, name: str) -> list[str]:
    """What the columns say in a row."""
    line = page.locator(".results tr").filter(has=page.get_by_role("rowheader", name=name, exact=True))
    return [re.sub(r"\s+", " ", text).strip() for text in line.locator("td").all_inner_texts()]


def about(figure: dict[str, float]) -> str:
    """An estimate as the screen says it."""
    sign = "−" if figure["value"] < 0 and round(abs(figure["value"])) else ""
    return f"{sign}{abs(figure['value']):.0f} ± {CERTAIN * figure['sd']:.0f} mm"


def log(hand: Hand, job: str) -> list[str]:
    """Kinds of the entries of a job."""
    code = "async job => (await (await import('/book/log.js')).everything()).filter(e => e.job === job)"
    return [entry["kind"] for entry in hand.page.evaluate(code, job)]


ON_A_PHONE = pytest.mark.long("on a phone of 412 by 915")


@pytest.fixture(params=[pytest.param(PHONE, id="phone"), pytest.param(PC, id="pc", marks=ON_A_PHONE)])
def hand(request: pytest.FixtureRequest, make_hand: Callable[..., Hand]) -> Hand:
    """A phone by touch, and a PC."""
    return make_hand(**request.param)


def test_columns_say_what_the_model_says(hand: Hand) -> None:
    job = hand.job()
    before = log(hand, job)
    hand.go(job, "whatif")
    page = hand.page
    typed(hand, "Bar diameter, trial A", "24")
    hand.hit(page.get_by_role("button", name="Add a trial"))
    typed(hand, "Bar diameter, trial B", "")
    typed(hand, "More load, left spring, trial B", "25")
    typed(hand, "More load, right spring, trial B", "10")
    hand.hit(page.get_by_role("button", name="More load, right spring, trial B: more or less"))
    settled(page)
    whole(hand)
    expect(page.locator(".results tr").first).not_to_contain_text("…")
    thick = what_if(PLAIN, {"bar": {"diameter_mm": 24.0}})
    load = what_if(PLAIN, {"load_kg": {"left": 25.0, "right": -10.0}})
    columns = [thick["as_it_is"], thick["trial"], load["trial"]]
    expect(page.locator(".results tr").first.locator("td").last).to_contain_text(
        f"{round(100 * load['trial']['odds']['typical'])} in 100"
    )
    for found, column in zip(row(page, "Ride height after"), columns, strict=True):
        for side in ("left", "right"):
            assert f"{side} {about(column[side]['body_height_mm'])}" in found
    for found, column in zip(row(page, "Ride frequency"), columns, strict=True):
        assert f"{column['ride_hz']:.2f} Hz" in found
    for found, column in zip(row(page, "Bar at full bump"), columns, strict=True):
        assert f"{column['left']['stress_at_bump_mpa']:.0f} MPa" in found
        assert "no limit given" in found
    for found, column in zip(row(page, "Force to lift the arm"), columns, strict=True):
        # The stop was not measured: a figure without its range would be a danger.
        left, right = (column[side]["lift"] for side in ("left", "right"))
        assert f"{left['low']['force_n']:.0f} to {left['high']['force_n']:.0f} N, assumed" in found
        assert f"{right['low']['energy_j']:.0f} to {right['high']['energy_j']:.0f} J" in found
    angle = thick["trial"]["left"]["hanging_deg"]
    assert (
        f"left set to {abs(angle):.1f}° arm {'down' if angle > 0 else 'up'}" in row(page, "Hanging angle")[1]
    )
    assert "by angle" in row(page, "To turn")[1]
    odds = row(page, "Chance")
    assert f"{round(100 * thick['trial']['odds']['worst'])} to" in odds[1]
    assert sum("best chance" in text for text in odds) == 1
    assert about(load["trial"]["left"]["untouched_mm"]) in row(page, "Height with nothing turned")[2]
    expect(page.locator(".cautions")).to_contain_text("Check with the car's manual")
    expect(page.locator(".cautions")).to_contain_text(
        "A loaded torsion bar can throw the arm and break bones"
    )
    assert log(hand, job) == before


def test_only_what_differs_is_shown_until_all_is_asked_for(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "whatif")
    page = phone.page
    settled(page)
    names = page.locator(".results th")
    # Nothing is tried yet: the bar is the same in both columns, the chance and the car from behind stand first.
    expect(names.nth(1)).to_have_text("From behind")
    assert "Bar" not in names.all_inner_texts()
    typed(phone, "Target height, left, trial A", "240")
    expect(names.filter(has_text="Ride height after")).to_have_count(1)
    settled(page)
    assert "Bar" not in names.all_inner_texts()
    views = page.locator(".results .drawing svg")
    expect(views).to_have_count(2)
    expect(views.nth(1)).to_have_attribute("aria-label", re.compile("target left 240"))
    whole(phone)
    expect(names.filter(has_text=re.compile("^Bar$"))).to_have_count(1)
    page.get_by_role("button", name="Show only what differs").click()
    assert "Bar" not in names.all_inner_texts()


@pytest.mark.parametrize(
    "size",
    [
        PHONE,
        pytest.param(PC, marks=ON_A_PHONE),
        pytest.param({"viewport": {"width": 1024, "height": 768}}, marks=ON_A_PHONE),
    ],
)
def test_the_chance_stays_in_sight_while_the_last_field_is_typed(
    make_hand: Callable[..., Hand], size: dict[str, Any]
) -> None:
    hand = make_hand(**size)
    job = hand.job()
    hand.go(job, "whatif")
    settled(hand.page)
    last = hand.page.get_by_label("Target height, right, trial A", exact=True)
    last.scroll_into_view_if_needed()
    last.fill("247")
    expect(
        hand.page.locator(".bench-chances b:visible, .results tr:first-child strong:visible").last
    ).to_be_in_viewport()


def test_it_is_reached_from_the_plan(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "plan")
    phone.hit(phone.page.get_by_role("link", name="Other bars or loads"))
    expect(phone.page.locator("main h1")).to_have_text("Other bars or loads")


@pytest.mark.long("from the plan")
def test_it_is_reached_from_the_rail(pc: Hand) -> None:
    job = pc.job()
    pc.go(job, "read/body-height/left")
    pc.hit(pc.page.locator("#rail").get_by_role("link", name="Other bars or loads"))
    expect(pc.page.locator("main h1")).to_have_text("Other bars or loads")


@pytest.mark.long("that a figure outlives a reload: test_phone")
def test_what_is_typed_outlives_a_reload_and_the_way_back(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "whatif")
    typed(phone, "Bar diameter, trial A", "23.5")
    phone.hit(phone.page.get_by_role("button", name="Add a trial"))
    typed(phone, "Target height, left, trial B", "231")
    phone.page.reload()
    phone.stands()
    expect(phone.page.get_by_label("Bar diameter, trial A", exact=True)).to_have_value("23.5")
    expect(phone.page.get_by_label("Target height, left, trial B", exact=True)).to_have_value("231")
    phone.go(job, "list")
    phone.go(job, "whatif")
    phone.hit(phone.page.get_by_role("button", name="Remove trial A"))
    # What was trial B moves up.
    expect(phone.page.get_by_label("Target height, left, trial A", exact=True)).to_have_value("231")
    expect(phone.page.get_by_role("button", name="Add a trial")).to_have_count(1)
    phone.hit(phone.page.get_by_role("button", name="Clear trial A"))
    expect(phone.page.get_by_label("Bar diameter, trial A", exact=True)).to_have_value("")


@pytest.mark.long("that a second trial is added: in the columns")
def test_three_trials_are_the_most(pc: Hand) -> None:
    job = pc.job()
    pc.go(job, "whatif")
    for count in (3, 4):
        pc.hit(pc.page.get_by_role("button", name="Add a trial"))
        expect(pc.page.locator(f".of-{count}")).to_be_visible()
    expect(pc.page.get_by_role("button", name="Add a trial")).to_have_count(0)


def test_the_wish_is_written_only_when_it_is_asked_for(phone: Hand) -> None:
    job = phone.job()
    before = log(phone, job)
    phone.go(job, "whatif")
    page = phone.page
    settled(page)
    expect(page.get_by_role("button", name="Set as the target")).to_have_count(0)
    phone.hit(page.get_by_role("button", name="Heights as now, trial A"))
    expect(page.get_by_label("Target height, left, trial A", exact=True)).not_to_have_value("")
    wanted = [
        page.get_by_label(f"Target height, {s}, trial A", exact=True).input_value() for s in ("left", "right")
    ]
    now = what_if(PLAIN, {})["as_it_is"]
    assert wanted == [f"{now[s]['body_height_mm']['value']:.0f}" for s in ("left", "right")]
    settled(page)
    assert log(phone, job) == before
    phone.hit(page.get_by_role("button", name="Set as the target, trial A"))
    cells = page.locator(".inputs tr").filter(has=page.get_by_role("rowheader", name="Target height, left"))
    expect(cells.locator("td").first).to_have_text(f"{wanted[0]} mm")
    assert log(phone, job) == [*before, "target"]
    entry = page.evaluate(
        "async job => (await (await import('/book/log.js')).everything()).filter(e => e.job === job).at(-1).body",
        job,
    )
    assert entry == {"left_mm": float(wanted[0]), "right_mm": float(wanted[1])}


@pytest.mark.long("in millimetres; inches: tests/node/units.test.mjs")
def test_inches_are_typed_and_said(pc: Hand) -> None:
    job = pc.job()
    pc.in_inches()
    pc.go(job, "whatif")
    typed(pc, "Bar diameter, trial A", "15/16")
    typed(pc, "Target height, left, trial A", "9 1/2")
    settled(pc.page)
    trial = what_if(PLAIN, {"bar": {"diameter_mm": 23.81}, "target": {"left_mm": 241.3}})["trial"]
    height = trial["left"]["body_height_mm"]
    expect(pc.page.locator(".results")).to_contain_text(
        f"{height['value'] / 25.4:.2f} ± {CERTAIN * height['sd'] / 25.4:.2f} in"
    )


ONE_FIELD = pytest.mark.long("a bar's diameter out of bounds; every bound: tests/model/test_what_if.py")


@pytest.mark.parametrize(
    ("label", "figure", "words"),
    [
        ("Bar diameter, trial A", "200", "Expected between 5 and 80 mm, got 200 mm"),
        pytest.param("Bore, 0 if solid, trial A", "23", "less than the bar's diameter", marks=ONE_FIELD),
        pytest.param("More load, left spring, trial A", "2500", "2000 kg, got 2500 kg", marks=ONE_FIELD),
    ],
)
def test_a_slip_is_told_at_its_field(
    phone: Hand, complaints: list[str], label: str, figure: str, words: str
) -> None:
    job = phone.job()
    phone.go(job, "whatif")
    settled(phone.page)
    typed(phone, label, figure)
    field: Locator = phone.page.get_by_label(label, exact=True)
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(phone.page.locator(".tried .error:not(:empty)")).to_contain_text(words)
    typed(phone, label, "")
    expect(field).not_to_have_attribute("aria-invalid", "true")
    settled(phone.page)
    # The browser itself notes a refused request.
    complaints[:] = [text for text in complaints if "status of 400" not in text]


def test_bars_that_cannot_be_had_say_why(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "whatif")
    typed(phone, "Bar diameter, trial A", "9")
    expect(phone.page.locator(".results")).to_contain_text("No hanging angle of these bars gives this target")
    expect(phone.page.locator(".results tr").first).to_contain_text("not possible")
    expect(phone.page.get_by_role("button", name="Bars are fitted")).to_have_count(0)


@pytest.mark.empty_page
def test_a_new_job_for_bars_that_are_in_takes_along_what_was_learned_and_no_reading(phone: Hand) -> None:
    job = phone.job(
        {**CASES["boards"], "car": {**CASES["boards"]["car"], "limits": {"stop_deg": -1.0, "bump_mm": 70.0}}}
    )
    phone.go(job, "whatif")
    typed(phone, "Bar diameter, trial A", "24")
    fitted = phone.page.get_by_role("button", name="Bars are fitted: new job, trial A")
    phone.hit(fitted)
    # It is asked first: a job begun for bars that lie on the bench would plan for the wrong car.
    phone.hit(phone.page.get_by_role("button", name="Not yet"))
    expect(phone.page.get_by_role("dialog")).to_have_count(0)
    assert phone.page.evaluate("async () => (await (await import('/book/log.js')).jobs()).length") == 1
    phone.hit(fitted)
    phone.hit(phone.page.get_by_role("button", name="Yes, they are fitted"))
    phone.page.wait_for_function(
        "job => !location.hash.includes(job) && document.body.dataset.at === location.hash", arg=job
    )
    entries = phone.page.evaluate("async () => (await import('/book/log.js')).everything()")
    new = {entry["kind"]: entry["body"] for entry in entries if entry["job"] != job}
    assert set(new) == {"job", "car", "target", "known"}
    assert new["car"]["bar"]["diameter_mm"] == 24
    assert new["car"]["bar"]["inner_teeth"] == 40
    assert new["car"]["limits"] == {"stop_deg": -1}
    assert new["known"]["job"] == job
    assert new["known"]["posterior"]["names"][0] == "ln_rate"
    assert "Gannet" in new["job"]["title"]


def test_without_a_first_plan_it_says_what_is_missing(phone: Hand) -> None:
    job = phone.job({**PLAIN, "log": PLAIN["log"][:2]})
    phone.go(job, "whatif")
    expect(phone.page.get_by_role("link", name="Needed for a plan")).to_be_visible()


def test_it_works_without_the_server(phone: Hand, complaints: list[str]) -> None:
    job = phone.job()
    page = phone.page
    page.route("**/api/**", lambda route: route.abort())
    phone.go(job, "whatif")
    settled(page)
    typed(phone, "Bar diameter, trial A", "24")
    trial = what_if(PLAIN, {"bar": {"diameter_mm": 24.0}})["trial"]
    odds = f"{round(100 * trial['odds']['typical'])} in 100"
    expect(page.locator(".results tr").first.locator("td").last).to_contain_text(odds)
    assert about(trial["left"]["body_height_mm"]) in row(page, "Ride height after")[1]
    expect(page.locator(".bench .source")).to_have_attribute("data-where", "phone")
    assert [text for text in complaints if "ERR_FAILED" not in text] == []
    complaints.clear()


@pytest.mark.parametrize(
    ("size", "theme"),
    [
        pytest.param(PHONE, "dark", id="phone-dark"),
        pytest.param(PC, "light", id="pc-light", marks=pytest.mark.long("on a phone in dark")),
    ],
)
def test_axe_finds_nothing_with_three_trials(
    make_hand: Callable[..., Hand], axe_source: str, theme: str, size: dict[str, Any]
) -> None:
    hand = make_hand(**size, color_scheme=theme)
    job = hand.job(DOUBTED)
    drafts = [
        {"bar.diameter_mm": {"text": "24", "sign": 1}},
        {"bar.diameter_mm": {"text": "8", "sign": 1}},
        {"load_kg.left": {"text": "30", "sign": -1}, "target.left_mm": {"text": "240", "sign": 1}},
    ]
    hand.page.evaluate(
        "([job, text]) => localStorage.setItem(`bothends/draft/${job}/whatif`, text)",
        [job, json.dumps(drafts)],
    )
    hand.go(job, "whatif")
    settled(hand.page)
    hand.hit(hand.page.get_by_text("When other bars are fitted"))
    assert judged(hand.page, axe_source) == []
    assert hand.page.evaluate("() => probes.cut()") == []
    if size is PHONE:
        assert hand.page.evaluate("() => probes.keys()")[1] == []
