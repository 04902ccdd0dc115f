"""Two jobs of the demo season on other layouts: a front axle on screws, a rear one with eccentric plates.

Owns their stories and the order of their work, which is that of web/work/adjust-steps.js: of a screw's turns two
thirds first, then the car is read and planned again; an eccentric on the free arm, after its teeth. The cars and
what is read of them are those of ``layouts`` and ``adjusting``, on tuning seeds.
"""

from dataclasses import dataclass, replace
from typing import Any

from shop.adjusting import readings, worked
from shop.demo_writing import SIDES, Writer, begin, close, keep_plan, read, tear_down
from shop.layouts import Case, made

__all__ = ["STORIES", "played"]


@dataclass(frozen=True)
class Story:
    """Who comes when with what; ``handed_over`` where it ends so, else it is in hand with another plan to make."""

    layout: str
    seed: int
    car: str
    owner: str
    day: int
    story: str
    wish: str
    handed_over: bool


STORIES = (
    Story("plate", 7205, "Dunlin saloon", "Ragna", 296, "sits too low behind", "bring it up, level", True),
    Story("front", 7213, "Turnstone van", "Eivor", 358, "low at the nose", "bring it up, level", False),
)
READY = ("adjust-ready", "link-off", "wheels-hang", "eyes")
"""Before screws are turned, in the order of the work."""


def played(w: Writer, story: Story) -> None:
    """One job from its first entry to where it ends."""
    case = made(story.layout, story.seed)
    about = {
        "title": f"{story.car}, {story.story} (simulated)",
        "owner": story.owner,
        "car": story.car,
        "wish": f"{story.wish}; {case.target_mm:.0f} mm both sides",
    }
    begin(w, about, {"car": case.facts, "target": case.target})
    read(w, readings(case, case.found))
    answer = w.answer()
    plan = keep_plan(w, answer, 1)
    w.morning()
    if case.teeth is None:
        turned = {side: _first_part(plan[1][side].get("turns", 0.0)) for side in SIDES}
        case = _after(case, plan[1], turned)
        _adjust(w, plan, turned)
    else:
        turned = {side: plan[1][side].get("turns", 0.0) for side in SIDES}
        case = _after(case, plan[1], turned)
        log = readings(case, case.found)
        hanging = [entry for entry in log if entry["what"] == "hanging-angle"]
        tear_down(w, plan, hanging)
    read(w, [entry for entry in readings(case, case.found) if entry["what"] != "hanging-angle"])
    if story.handed_over:
        close(w, "Stands level, eccentrics clamped. Check their bolts and the heights after 500 km.")


def _first_part(turns: float) -> float:
    """Of the first turns of a screw two thirds, to a quarter: ``firstPart`` in web/work/adjuster.js."""
    return round(turns * 8.0 / 3.0) / 4.0 if abs(turns) >= 1.0 else turns


def _after(case: Case, plan: dict[str, Any], turned: dict[str, float]) -> Case:
    """The car with the plan's teeth drawn and these turns made."""
    teeth = tuple((plan[side]["inner"], plan[side]["outer"]) for side in SIDES)
    found, _ = worked(case, case.found, teeth, tuple(turned[side] for side in SIDES))
    return replace(case, found=found)


def _adjust(w: Writer, plan: tuple[str, dict[str, Any]], turned: dict[str, float]) -> None:
    """An adjustment by screws alone, every step ticked."""
    name, body = plan
    for step in READY:
        w.tick(step, body["teardown"], gap=4.0)
    move: dict[str, Any] = {"teardown": body["teardown"], "plan": name}
    for side in SIDES:
        if not turned[side]:
            continue
        w.tick("thread-clean", body["teardown"], side)
        w.tick("adjust", body["teardown"], side, gap=6.0)
        move = {**move, side: {"inner": 0, "outer": 0, "turns": turned[side]}}
        move["corrects"] = w.write("move", move, gap=0.0)
        w.tick("lock-nut", body["teardown"], side, gap=3.0)
    for step in ("down", "drive"):
        w.tick(step, body["teardown"], gap=8.0)
