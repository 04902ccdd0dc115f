"""The screens about jobs and this phone, for ``browser.pictures``: cards, new job, pairing, sending, hand-over."""

from collections.abc import Callable

from browser.hand import DOUBTED, PLAIN, Hand
from browser.test_jobs import AFTER

__all__ = ["walk_jobs"]


def walk_jobs(hand: Hand, shot: Callable[..., None]) -> None:
    """Every such screen once; ends with inches chosen."""
    page = hand.page
    hand.job(DOUBTED, "Plover utility, Tove")
    done = hand.job({**PLAIN, "log": [*PLAIN["log"], *AFTER]}, "Knot camper, Jonas")
    hand.job({**PLAIN, "log": [*PLAIN["log"], *AFTER[:3]]}, "Gannet roadster, Inge")
    hand.place("new")
    shot("new job")
    hand.go(done, "close")
    shot("hand-over", whole=True)
    hand.hit(page.get_by_role("checkbox", name="Headlamps aimed"))
    shot("hand-over, a check ticked")
    hand.hit(page.get_by_role("button", name="Hand over", exact=True))
    shot("what is open at hand-over")
    hand.hit(page.get_by_role("button", name="Hand over anyway"))
    page.get_by_text("Handed over on").wait_for()
    shot("handed over", whole=True)
    hand.go(done, "share")
    shot("send a job", whole=True)
    link = page.get_by_label("The link").input_value()
    page.goto(link)
    page.get_by_text("on this phone already").wait_for()
    shot("a link that is known")
    page.goto(link[:-30])
    page.get_by_text("cut off").wait_for()
    shot("a link that was cut off")
    hand.place("pair")
    page.get_by_label("Pairing code").fill("ABCD-EFGH")
    hand.hit(page.get_by_role("button", name="Pair", exact=True))
    page.locator(".error:not(:empty)").wait_for()
    shot("a wrong pairing code")
    hand.go(done, "about")
    shot("car, owner, wish")
    hand.place("refused")
    shot("nothing refused")
    hand.place("settings")
    shot("settings", whole=True)
    hand.hit(page.get_by_role("radio", name="Inches"))
    hand.go(done, "read/body-height/left")
    hand.digits("8")
    hand.hit(hand.key("1/4"))
    shot("a height in inches")
    hand.go(done, "list")
    shot("list in inches", whole=True)
    hand.open()
    page.locator(".job").nth(2).wait_for()
    shot("jobs", whole=True)
