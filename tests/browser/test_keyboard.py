"""With a keyboard alone: from a new job to the plan in few keys, on to the hand-over; the focus is never lost."""

import re

import pytest
from browser.hand import Hand
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.same_page

MOST_TO_THE_PLAN = 60
"""Keys from the list of jobs to the first plan."""
NAME = "(e) => (e.getAttribute('aria-label') ?? e.labels?.[0]?.textContent ?? e.textContent ?? '').trim()"


class Keyboard:
    """Presses keys and counts them; after each of them something on the page has the focus."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.pressed = 0

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)
            self.pressed += 1

    def focused(self) -> str:
        return str(self.page.evaluate(f"() => ({NAME})(document.activeElement)"))

    def to(self, name: str, way: str = "Tab") -> None:
        """Tab until something with that name has the focus."""
        for _ in range(80):
            if re.search(name, self.focused()):
                return
            self.press(way)
        raise AssertionError(f"no key leads to {name!r}; the focus is on {self.focused()!r}")

    def title(self) -> str:
        return self.page.locator("main h1").first.inner_text()

    def kept(self) -> None:
        """Wait until a screen stands; something on it has the focus."""
        self.page.wait_for_function("() => document.body.dataset.at === location.hash")
        self.page.wait_for_function("() => document.querySelector('main').contains(document.activeElement)")

    def stands(self, title: str) -> None:
        """Wait until the screen with that title stands."""
        expect(self.page.locator("main h1")).to_have_text(re.compile(title))
        self.kept()

    def enter(self) -> None:
        """Press Enter, and wait until another screen stands than before, or the same one drawn anew."""
        self.page.evaluate("() => void (document.querySelector('main h1').dataset.before = '1')")
        self.press("Enter")
        self.page.wait_for_function("() => document.querySelector('main h1:not([data-before])')")
        self.kept()


def to_the_plan(keys: Keyboard) -> None:
    """A crooked, sunken car of which nothing is known: raise it by 100 mm and level it."""
    keys.to("^New job$")
    keys.enter()
    keys.stands("What is the target")
    keys.press("Tab", "Space")
    keys.to("^Next")
    keys.enter()
    keys.stands("Raise by how much")
    keys.press("1", "0", "0")
    keys.enter()
    for side, height in (("left", "168"), ("right", "197")):
        keys.stands(f"Ride height, {side}")
        keys.press(*height)
        keys.enter()
    for figure in ("Arm length by tape", "How do you use the gauge", "left", "right"):
        keys.stands(figure)
        keys.to("^Not now$")
        keys.enter()


FIGURES = {
    "ask/car.bar.diameter_mm": "24",
    "ask/car.bar.length_mm": "620",
    "ask/car.bar.inner_teeth": "40",
    "ask/car.bar.outer_teeth": "44",
    "read/hanging-angle/left": "18.5+",
    "read/hanging-angle/right": "16.5+",
    "read/body-height/left": "297",
    "read/body-height/right": "297",
}
"""What is typed on the way from the plan to the hand-over, by the address of its question."""


def on(keys: Keyboard, expected: str) -> str:
    """Go on by one screen: type what it asks for, else press what goes on; the angle that is expected next."""
    page = keys.page
    figure = next((typed for where, typed in FIGURES.items() if f"/{where}" in page.url), "")
    if figure and page.evaluate("() => document.activeElement.matches('input.figure')"):
        keys.press(*(f"{expected}+" if expected and "hanging" in page.url else figure))
        keys.enter()
        return ""
    main = page.locator("[data-deck=main]")
    # A reading is being checked, or the plan looked at again.
    expect(main).not_to_have_attribute("aria-disabled", "true")
    said = re.search(r"Expect (\d+\.\d)", page.locator("main").inner_text())
    keys.to(f"^{re.escape(main.inner_text().splitlines()[0])}")
    keys.enter()
    return said[1] if said else ""


@pytest.mark.empty_page
@pytest.mark.long(
    "to the plan: test_access; a teardown: test_work_access; no walk of 90 screens to the hand-over"
)
def test_the_first_plan_and_the_hand_over_are_reached_with_a_keyboard_alone(pc: Hand) -> None:
    pc.open()
    keys = Keyboard(pc.page)
    keys.stands("No open jobs")
    to_the_plan(keys)
    pc.page.locator(".source").wait_for()
    assert keys.pressed < MOST_TO_THE_PLAN
    # What the plan says first is its heading.
    expect(pc.page.get_by_role("heading", level=1)).to_contain_text("arm down")
    keys.stands("Count the teeth")
    keys.to("^Start")
    keys.enter()
    expected = ""
    for _ in range(90):
        if "/close" in pc.page.url:
            break
        expected = on(keys, expected)
    keys.stands("Hand-over")
    for name in [box.evaluate(NAME) for box in pc.page.get_by_role("checkbox").all()]:
        keys.to(f"^{re.escape(name)}$")
        keys.press("Space")
        # The screen is drawn anew, and the box has the focus still.
        expect(pc.page.get_by_role("button", name=f"Undo: {name}")).to_be_visible()
        keys.kept()
        assert keys.focused() == name
    keys.to("^Hand over$")
    keys.press("Enter")
    expect(pc.page.get_by_text("Handed over on")).to_be_visible()
    keys.kept()


def test_the_keys_that_turn_an_angle_are_told_where_a_keyboard_types(pc: Hand) -> None:
    pc.go(pc.job(), "read/riding-angle/left")
    expect(pc.page.locator("input[aria-keyshortcuts='+ -']")).to_have_attribute(
        "aria-description", "Plus key for arm down, minus key for arm up"
    )
    for words, key in (("arm down", "+"), ("arm up", "−")):
        expect(pc.page.locator(".two-ways .pick", has_text=words).locator("kbd")).to_have_text(key)
        pc.page.keyboard.press(key.replace("−", "-"))
        expect(pc.page.get_by_role("radio", name=words)).to_be_checked()
