"""A teardown in the hands of a mechanic: a job whose plan is chosen, its steps ticked, the keys of its screens."""

import copy
from typing import Any

from browser.hand import PLAIN, Hand
from playwright.sync_api import Locator, expect

__all__ = [
    "APART",
    "TOGETHER",
    "append",
    "at_reading",
    "begin",
    "chosen",
    "come_back",
    "deck",
    "done",
    "entries",
    "more",
    "open_again",
    "step_name",
    "tick",
    "uncounted",
]

APART = ("wheel-off", "bolts-out", "cover-off", "arm-down")
"""Steps until an arm hangs free, in the order of the work."""
TOGETHER = ("arm-up", "cover-on", "bolts-in", "wheel-on")
"""Steps from the turned arm to the wheel."""


def entries(hand: Hand, job: str) -> list[tuple[str, dict[str, Any]]]:
    """What the log of a job holds, in order."""
    rows = hand.page.evaluate("async job => (await import('/book/log.js')).entries(job)", job)
    return [(row["kind"], row["body"]) for row in rows]


def append(hand: Hand, job: str, items: list[Any]) -> None:
    """Entries of another phone of the shop: the screen does not know of them until it is drawn again."""
    hand.page.evaluate(
        "async ([job, items]) => (await import('/book/log.js')).append(job, items)", [job, items]
    )


def uncounted(request: dict[str, Any] | None = None) -> dict[str, Any]:
    """A request as of a closed car: nothing of the bar is known but by the tape, no arm has hung free."""
    found: dict[str, Any] = copy.deepcopy(PLAIN if request is None else request)
    del found["car"]["bar"]
    found["log"] = [row for row in found["log"] if row.get("what") != "hanging-angle"]
    return found


def chosen(hand: Hand, request: dict[str, Any] | None = None, number: int = 1) -> str:
    """A job whose best plan has been chosen, as the plan's own key would write it; its id."""
    job = hand.job(request)
    hand.page.evaluate(
        """
        async ([job, number]) => {
          const { look } = await import('/book/snapshot.js');
          const { promised } = await import('/work/promise.js');
          const { solve } = await import('/model/solver.js');
          const { append } = await import('/book/log.js');
          const { request } = (await look(job)).request;
          const answer = await solve(request);
          const { target } = request;
          await append(job, [['plan', promised({ option: answer.options[0], answer, target, teardown: number })]]);
        }
        """,
        [job, number],
    )
    return job


def begin(hand: Hand) -> str:
    """A job whose teardown has been begun by its plan; the list of its steps is shown."""
    job = chosen(hand)
    hand.go(job, "teardown/1")
    hand.page.get_by_role("heading", name="Teardown 1").wait_for()
    return job


def done(*steps: tuple[str, str | None], move: dict[str, Any] | None = None) -> list[Any]:
    """Steps ticked, and a move, as entries."""
    items: list[Any] = [
        ["step", {"step": step, "done": True, "teardown": 1, **({"side": side} if side else {})}]
        for step, side in steps
    ]
    return [*items, ["move", {"teardown": 1, **move}]] if move else items


def tick(hand: Hand, job: str, *steps: tuple[str, str | None], move: dict[str, Any] | None = None) -> None:
    """Tick steps, and enter a move; the screen is drawn again."""
    append(hand, job, done(*steps, move=move))
    hand.page.reload()
    hand.page.locator("main h1").wait_for()


def at_reading(hand: Hand) -> str:
    """A teardown whose left side hangs free, its teeth turned: inner 3 arm up, outer 4 arm down, 8.8 degrees."""
    job = chosen(hand)
    left = [(step, "left") for step in (*APART, "look", "turn-inner", "turn-outer")]
    append(hand, job, done(("stands", None), ("eyes", None), *left, move={"left": {"inner": -3, "outer": 4}}))
    return job


def deck(hand: Hand, words: str) -> Locator:
    """A key of the deck by its words: the main key, which never leaves its place."""
    keys = hand.page.get_by_role("group", name="Go on")
    return keys.get_by_role("button", name=words, exact=True).or_(
        keys.get_by_role("link", name=words, exact=True)
    )


def more(hand: Hand, words: str) -> None:
    """What stands behind the quiet key: back, undo, and the rest."""
    hand.hit(hand.page.get_by_role("button", name="Back, undo, more"))
    hand.hit(hand.page.get_by_role("dialog").get_by_role("button", name=words))
    expect(hand.page.locator("dialog")).to_have_count(0)


def step_name(hand: Hand) -> str:
    """The step on the screen, with its side as it is spoken."""
    return hand.page.get_by_role("heading", level=1).inner_text()


WHERE = """
  async job => {
    const { look } = await import('/book/snapshot.js');
    const { whereNow } = await import('/work/flow.js');
    return whereNow(await look(job)).words.join('/');
  }
"""
"""Where a job opens, by its log."""


def come_back(hand: Hand, job: str) -> Hand:
    """The job was left for another screen and is opened, at the place where it opens."""
    hand.place("new")
    hand.go(job, hand.page.evaluate(WHERE, job))
    return hand


def open_again(hand: Hand, job: str) -> Hand:
    """The app was closed and is opened anew: another page, at the place where the job opens."""
    page = hand.page.context.new_page()
    page.goto(hand.address)
    words = page.evaluate(WHERE, job)
    hand.page.close()
    fresh = Hand(page, hand.address, touch=hand.touch)
    fresh.go(job, words)
    return fresh
