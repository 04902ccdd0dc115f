"""A link or a file says what it would do to a job that is here, before anything of it is kept."""

import json
from pathlib import Path
from typing import Any

import pytest
from browser.hand import Hand
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

CRAFTED = """
async (job) => {
  const { entries } = await import('/book/log.js');
  const { newId } = await import('/book/ids.js');
  const { linkOf } = await import('/book/carry.js');
  const all = await entries(job);
  const heights = all.filter(({ kind, body }) => kind === 'reading' && body.what === 'body-height');
  let last = all.at(-1).id;
  const made = (kind, body, more = {}) => ({
    schema: 1, id: (last = newId({ after: last })), job, device: 'stranger', device_seq: 1,
    at: '2026-11-02T10:00:00Z', kind, body, ...more,
  });
  const saw = all.filter(({ kind }) => kind === 'target').map(({ id }) => id);
  const added = [
    ...heights.slice(0, 1).map(({ id }) => made('strike', { entry: id })),
    made('target', { left_mm: 300, right_mm: 250 }, { saw }),
    made('move', { teardown: 1, left: { inner: 3, outer: 0 }, right: { inner: 0, outer: 0 } }),
  ];
  const whole = [...all, ...added];
  const log = { format: 'bothends-log', version: 1, made: '2026-11-02T10:00:00Z', device: 'stranger' };
  return { link: linkOf(whole), file: JSON.stringify({ ...log, entries: whole }), before: all.length };
}
"""
"""A link and a file that remove a height, move the target and claim a teardown."""


def crafted(hand: Hand, job: str) -> dict[str, Any]:
    return dict(hand.page.evaluate(CRAFTED, job))


def kept(hand: Hand, job: str) -> int:
    """How many records of the job this phone has."""
    code = "async (job) => (await (await import('/book/log.js')).entries(job)).length"
    return int(hand.page.evaluate(code, job))


def told(hand: Hand, job: str) -> dict[str, Any]:
    """The sheet of the job on this phone."""
    code = "async (job) => (await (await import('/book/fold.js')).sheetOf(job)).sheet"
    return dict(hand.page.evaluate(code, job))


def say(hand: Hand, row: int, word: str) -> None:
    """Take or refuse a change, and wait until the job stands as it comes to then, for that moves what is below."""
    choice = hand.page.locator(".change").nth(row).get_by_role("radio", name=word, exact=True)
    hand.hit(choice)
    expect(choice).to_be_checked()
    expect(hand.page.locator(".comes[aria-busy]")).to_have_count(0)


def says_it_all(hand: Hand) -> None:
    """Teardown, removal and target are named, old and new, the dangerous ones first."""
    rows = hand.page.locator(".change")
    expect(rows).to_have_count(3)
    expect(rows.nth(0)).to_contain_text("Teardown 1, teeth turned")
    expect(rows.nth(0)).to_contain_text("left: inner 3 teeth arm down")
    expect(rows.nth(1)).to_contain_text("Removed")
    expect(rows.nth(1)).to_contain_text("Ride height, left")
    expect(rows.nth(2)).to_contain_text("Target")
    expect(rows.nth(2)).to_contain_text("→ left 300 mm, right 250 mm")


def test_a_link_that_would_remove_readings_and_move_the_target_says_so_and_keeps_nothing_by_itself(
    phone: Hand, axe_source: str
) -> None:
    job = phone.job()
    made = crafted(phone, job)
    phone.page.goto(made["link"])
    expect(phone.page.get_by_text("3 records are new")).to_be_visible()
    says_it_all(phone)
    phone.page.evaluate(axe_source)
    assert phone.page.evaluate("() => probes.axe()") == []
    phone.hit(phone.page.get_by_role("link", name="Discard"))
    phone.stands()
    assert kept(phone, job) == made["before"]
    phone.page.goto(made["link"])
    expect(phone.key("next")).to_have_text("3 to decide")
    phone.hit(phone.key("next"))
    expect(phone.page.locator(".change.open input").first).to_be_focused()
    for row in range(3):
        say(phone, row, "Take")
    expect(phone.page.locator(".comes")).to_contain_text("left 300 mm, right 250 mm")
    phone.hit(phone.page.get_by_role("button", name="Add to the job here"))
    phone.page.get_by_role("heading", name="Log").wait_for()
    assert kept(phone, job) == made["before"] + 3


@pytest.mark.long("a link says the same on the same parts; files: offline/test_link")
def test_a_file_says_what_it_would_do_to_a_job_that_is_here_before_it_is_imported(
    phone: Hand, tmp_path: Path
) -> None:
    job = phone.job()
    made = crafted(phone, job)
    path = tmp_path / "log.json"
    path.write_text(json.dumps(json.loads(made["file"])))
    phone.place("settings")
    phone.page.locator("#log-file").set_input_files(path)
    says_it_all(phone)
    phone.hit(phone.page.get_by_role("button", name="Leave it"))
    expect(phone.page.locator(".change")).to_have_count(0)
    assert kept(phone, job) == made["before"]
    phone.page.locator("#log-file").set_input_files(path)
    for row, word in enumerate(("Refuse", "Take", "Take")):
        say(phone, row, word)
    phone.hit(phone.page.get_by_role("button", name="Import this file"))
    expect(phone.page.get_by_role("status").filter(has_text="3 records new")).to_be_visible()
    # The teardown is kept too, and struck.
    assert kept(phone, job) == made["before"] + 4
    assert told(phone, job)["moves"] == []


def test_what_contradicts_comes_as_a_question_and_is_named_as_one(phone: Hand) -> None:
    job = phone.job()
    code = CRAFTED.replace("right_mm: 250 }, { saw }", "right_mm: 250 }, { saw: [] }")
    made = dict(phone.page.evaluate(code, job))
    phone.page.goto(made["link"])
    row = phone.page.locator(".change.conflict")
    expect(row).to_contain_text("Target")
    expect(row).to_contain_text("you are asked which holds")


@pytest.mark.empty_page  # A name is asked for once in a browser.
@pytest.mark.long("a link left and taken whole; what is refused: tests/node/incoming-parts.test.mjs")
def test_what_is_refused_stays_out_and_the_same_link_offers_it_as_refused(phone: Hand) -> None:
    job = phone.job()
    made = crafted(phone, job)
    phone.page.goto(made["link"])
    for row, word in enumerate(("Refuse", "Refuse", "Take")):
        say(phone, row, word)
    comes = phone.page.locator(".comes")
    expect(comes).to_contain_text(
        "left 250 mm, right 250 mm; within 5 mm; lean within 5 mm → left 300 mm, right 250 mm"
    )
    expect(comes.locator("> .then-rows .differs")).to_have_count(1)
    # Another word changes what the job comes to.
    say(phone, 0, "Take")
    expect(comes.locator("> .then-rows .differs")).to_have_count(2)
    say(phone, 0, "Refuse")
    expect(comes.locator("> .then-rows .differs")).to_have_count(1)
    phone.page.get_by_label("Your name").fill("Ben")
    phone.hit(phone.page.get_by_role("button", name="Add to the job here"))
    phone.page.get_by_role("heading", name="Log").wait_for()
    sheet = told(phone, job)
    assert (sheet["moves"], sheet["target"]["left_mm"], len(sheet["readings"])) == ([], 300, 6)
    assert {row["writer"] for row in sheet["struck"]} == {None}
    before = kept(phone, job)
    # The same link again has nothing new, and says what was refused, when and by whom.
    phone.page.goto(made["link"])
    expect(phone.page.get_by_text("Nothing new")).to_be_visible()
    rows = phone.page.locator(".change")
    expect(rows).to_have_count(2)
    expect(rows.nth(0)).to_contain_text("Refused on ")
    expect(rows.nth(0)).to_contain_text(", Ben")
    expect(rows.nth(0).get_by_role("radio", name="Leave it out")).to_be_checked()
    phone.hit(phone.page.get_by_role("button", name="Done"))
    phone.page.get_by_role("heading", name="Log").wait_for()
    assert kept(phone, job) == before
    phone.page.goto(made["link"])
    say(phone, 0, "Take it after all")
    phone.hit(phone.page.get_by_role("button", name="Done"))
    phone.page.get_by_role("heading", name="Log").wait_for()
    assert len(told(phone, job)["moves"]) == 1
