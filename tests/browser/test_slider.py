"""The plan's slider: it plans again while it moves, with the figures that a fresh solve would give."""

from typing import Any

import pytest
from browser.hand import PLAIN, Hand
from playwright.sync_api import Page, expect

from bothends.model.solve import solve


def shown(page: Page) -> dict[str, Any]:
    """What the plan on the screen says."""
    return {
        "odds": page.locator(".odds .big strong").first.inner_text(),
        "teeth": page.locator(".corner .end strong").all_inner_texts(),
        "heights": page.locator(".corner .facts .row:first-child strong").all_inner_texts(),
        "lean": page.locator(".odds .finer strong").last.inner_text(),
    }


def teeth(count: int) -> str:
    """Teeth as the screen says them."""
    if not count:
        return "leave"
    way = "down" if count > 0 else "up"
    return f"{abs(count)} {'tooth' if abs(count) == 1 else 'teeth'} tail {way}"


def fresh(left: float, right: float) -> dict[str, Any]:
    """The same of a solve from the beginning."""
    option = solve({**PLAIN, "target": {**PLAIN["target"], "left_mm": left, "right_mm": right}})["options"][0]

    def about(figure: dict[str, float]) -> str:
        sign = "−" if figure["value"] < 0 and round(abs(figure["value"])) else ""
        return f"{sign}{abs(figure['value']):.0f} ± {figure['sd']:.0f} mm"

    sides = (option["left"], option["right"])
    return {
        "odds": f"{round(100 * option['odds'])} in 100",
        "teeth": [teeth(side[end]) for side in sides for end in ("inner", "outer")],
        "heights": [about(side["body_height_mm"]) for side in sides],
        "lean": about(option["lean_mm"]),
    }


def slide(page: Page, by: int) -> None:
    """The slider to so many millimetres, as a finger that has not been lifted."""
    page.evaluate(
        "by => { const aim = document.getElementById('aim'); aim.value = by;"
        " aim.dispatchEvent(new Event('input', { bubbles: true })); }",
        by,
    )


@pytest.mark.parametrize("by", [-23, 7, 31])
def test_a_moved_target_gives_the_figures_of_a_fresh_solve(phone: Hand, by: int) -> None:
    job = phone.job()
    phone.go(job, "plan")
    page = phone.page
    expected = fresh(250 + by, 250 + by)
    slide(page, by)
    expect(page.locator(".plan-part.stale")).to_have_count(1)
    # Written in over a few pictures.
    expect(page.locator(".odds .big strong").first).to_have_text(expected["odds"])
    expect(page.locator(".corner .end strong")).to_have_text(expected["teeth"])
    expect(page.locator(".corner .facts .row:first-child strong")).to_have_text(expected["heights"])
    assert shown(page) == expected
    page.evaluate("document.getElementById('aim').dispatchEvent(new Event('change'))")
    expect(page.locator(".source")).to_have_attribute("data-where", "trial")
    assert shown(page) == expected
    expect(page.locator(".stale")).to_have_count(0)
    expect(page.locator(".aim output")).to_have_text(f"Trying both {250 + by} mm")


def test_what_stands_is_written_anew_and_not_built_anew_while_it_moves(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "plan")
    page = phone.page
    page.evaluate("document.querySelectorAll('.corner, .odds, .option').forEach(e => { e.kept = true; })")
    before = shown(page)
    slide(page, 20)
    page.wait_for_function(
        "was => document.querySelector('.corner .facts strong').textContent !== was", arg=before["heights"][0]
    )
    kept = page.evaluate("[...document.querySelectorAll('.corner, .odds, .option')].every(e => e.kept)")
    assert kept


def test_nothing_is_kept_until_it_is_wanted(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "plan")
    page = phone.page
    expect(page.get_by_role("button", name="Want both")).to_be_hidden()
    phone.hit(page.get_by_role("button", name="one millimetre higher"))
    expect(page.locator(".source")).to_have_attribute("data-where", "trial")
    targets = (
        "async job => (await (await import('/book/log.js')).entries(job)).filter(e => e.kind === 'target')"
    )
    assert len(page.evaluate(targets, job)) == 1
    phone.hit(page.get_by_role("button", name="Back to what is wanted"))
    expect(page.locator(".aim output")).to_have_text("As wanted: both 250 mm")
    phone.hit(page.get_by_role("button", name="one millimetre higher"))
    phone.hit(page.get_by_role("button", name="Want both 251 mm"))
    expect(page.locator(".wish")).to_contain_text("left 251 mm, right 251 mm")
    assert page.evaluate(targets, job)[-1]["body"] == {"left_mm": 251, "right_mm": 251}


def test_beginning_by_a_tried_height_wants_it(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "plan")
    page = phone.page
    slide(page, 9)
    page.evaluate("document.getElementById('aim').dispatchEvent(new Event('change'))")
    expect(page.locator(".source")).to_have_attribute("data-where", "trial")
    phone.hit(page.get_by_role("link", name="Begin the teardown by this plan"))
    page.locator(".steps").first.wait_for()
    sheet = page.evaluate("async job => (await import('/book/fold.js')).sheetOf(job)", job)["sheet"]
    assert sheet["target"]["left_mm"] == 259
    assert sheet["plans"][0]["target"]["left_mm"] == 259


def test_the_keyboard_moves_it_and_it_says_the_heights(pc: Hand) -> None:
    job = pc.job()
    pc.go(job, "plan")
    aim = pc.page.get_by_label("Try another height, both sides")
    aim.focus()
    pc.page.keyboard.press("ArrowLeft")
    expect(aim).to_have_attribute("aria-valuetext", "both 249 mm")
    expect(pc.page.locator(".source")).to_have_attribute("data-where", "trial")
    expect(aim).to_be_focused()


def test_both_sides_are_drawn_to_scale_now_and_then(phone: Hand) -> None:
    job = phone.job()
    phone.go(job, "plan")
    answer = solve(PLAIN)
    option = answer["options"][0]
    for side in ("left", "right"):
        found = phone.page.evaluate(
            """side => {
              const svg = document.querySelector(`.corner.${side} .scale`);
              const turn = (e) => Number(/rotate\\(([-\\d.]+)/.exec(e.getAttribute('transform'))[1]);
              const arm = svg.querySelector('.arm:not(.ghost) .core');
              return {
                now: turn(svg.querySelector('.arm.ghost')), then: turn(svg.querySelector('.arm:not(.ghost)')),
                rise: -Number(svg.querySelector('.panel').getAttribute('transform').slice(12, -1)),
                arm: Math.abs(Number(arm.getAttribute('cx'))),
              };
            }""",
            side,
        )
        now = answer["now"][side]
        then = option[side]
        rise = then["body_height_mm"]["value"] - now["body_height_mm"]["value"]
        assert found["arm"] == 415
        assert found["now"] == pytest.approx(now["riding_deg"]["value"], abs=1e-6)
        assert found["then"] == pytest.approx(then["riding_deg"], abs=1e-6)
        assert found["rise"] == pytest.approx(rise, abs=1e-6)
