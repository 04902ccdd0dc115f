"""How a job of the demo season is written down: as the app does it, entry after entry.

A plan is kept when work is begun by it, every step is ticked, a side's teeth are entered as soon as they are
turned, turns of an adjuster after them. Owns the form; what happens on a job is the stories' (``make_demo_season``,
``demo_layouts``).
"""

import math
from datetime import datetime
from typing import Any

from bothends.book import season
from bothends.book.sheet.fold import fold
from bothends.book.sheet.kinds import adjusts, adjusts_alone
from bothends.book.sheet.request import request
from bothends.model.solve import solve

__all__ = [
    "CHECKS",
    "DAY_MIN",
    "DEVICES",
    "PC",
    "PHONE",
    "SIDES",
    "SIMULATED",
    "TABLET",
    "Writer",
    "begin",
    "close",
    "keep_plan",
    "read",
    "tear_down",
]

DEVICES = ["slipway-pc", "slipway-phone", "slipway-tablet"]
PC, PHONE, TABLET = range(3)
SIDES = ("left", "right")
DAY_MIN = 24 * 60
CHECKS = ("torque", "clearance", "brakes", "alignment", "headlamps", "rules", "recheck")
SIMULATED = "Simulated: this car, its owner and every reading are invented."


class Writer:
    """A job as the file has it, growing; times in minutes since it was begun."""

    def __init__(self, jobs: list[dict[str, Any]], begun: datetime) -> None:
        self.jobs = jobs
        self.number = len(jobs)
        self.minutes = 0.0
        self.device = PHONE
        jobs.append({"begun": int(begun.timestamp() * 1000), "entries": []})
        self.entries: list[list[Any]] = jobs[-1]["entries"]

    def write(self, kind: str, body: dict[str, Any], *, gap: float = 2.0, device: int | None = None) -> str:
        """One entry; the name by which others of the job point at it."""
        self.minutes = round(self.minutes + gap, 2)
        who = self.device if device is None else device
        self.entries.append([who, self.minutes, kind, rounded(body)])
        return f"#{len(self.entries) - 1}"

    def morning(self) -> None:
        """Go on on the next day."""
        self.minutes = DAY_MIN * (math.floor(self.minutes / DAY_MIN) + 1) + 15.0

    def tick(self, step: str, teardown: int, side: str | None = None, gap: float = 5.0) -> None:
        """A step done; ``side`` None for one of the whole car."""
        said = {"step": step, "done": True, "teardown": teardown}
        self.write("step", said | ({"side": side} if side else {}), gap=gap)

    def sheet(self) -> dict[str, Any]:
        return fold(season.job_id(self.jobs, self.number), self.full())

    def full(self) -> list[dict[str, Any]]:
        return season.expanded(self.jobs, self.number, DEVICES)

    def answer(self) -> dict[str, Any]:
        return solve(request(self.sheet())["request"])


def rounded(value: Any, digits: int = 5) -> Any:
    """Figures as short as the pages need; the posterior keeps more, so that it stays a covariance."""
    if isinstance(value, dict):
        return {name: rounded(value[name], 9 if name == "posterior" else digits) for name in value}
    if isinstance(value, list):
        return [rounded(inner, digits) for inner in value]
    if isinstance(value, float):
        short = float(f"{value:.{digits}g}")
        return int(short) if short.is_integer() and abs(short) < 1e15 else short
    return value


def begin(
    w: Writer, about: dict[str, Any], asked: dict[str, Any], known: dict[str, Any] | None = None
) -> None:
    """What the job is about, car and target, and what an earlier visit taught."""
    w.write("job", about, gap=0.0, device=PC)
    w.write("note", {"text": SIMULATED}, gap=0.0, device=PC)
    w.write("car", asked["car"], device=PC)
    w.write("target", asked["target"], gap=1.0, device=PC)
    if known:
        w.write("known", known, gap=0.5, device=PC)


def read(w: Writer, log: list[dict[str, Any]], *, gap: float = 2.5) -> None:
    """Readings as they are entered; ``log`` may hold moves too, which are the work's."""
    for entry in log:
        if entry["kind"] == "reading":
            w.write("reading", {name: value for name, value in entry.items() if name != "kind"}, gap=gap)


def keep_plan(w: Writer, answer: dict[str, Any], teardown: int) -> tuple[str, dict[str, Any]]:
    """The entry that the app writes when work is begun by a plan; see web/work/promise.js."""
    option = answer["options"][0]
    still = next((each for each in answer["options"] if not (each["ends_disturbed"] or adjusts(each))), None)
    body: dict[str, Any] = {
        "teardown": teardown,
        "label": option["label"],
        "odds": option["odds"],
        "lean_mm": option["lean_mm"],
        "target": w.sheet()["target"],
    }
    alone = adjusts_alone(option)
    for side in SIDES:
        then, now = option[side], answer["now"][side]
        body[side] = {"inner": 0, "outer": 0} if alone else {end: then[end] for end in ("inner", "outer")}
        if then.get("turns"):
            names = ("turns", "raise_turns_left", "lower_turns_left", "screw")
            body[side] |= {name: then[name] for name in names if then.get(name) is not None}
        for name in ("body_height_mm", "hanging_deg", "riding_deg", "lift"):
            body[side][name] = then[name]
        body[side]["lift_now"] = still[side]["lift"] if still else None
        body[side]["hanging_now_deg"] = now["hanging_deg"]
    body["cautions"] = option["cautions"]
    return w.write("plan", body, gap=7.0), body


def tear_down(
    w: Writer, plan: tuple[str, dict[str, Any]], hanging: list[dict[str, Any]], *, upto: str = ""
) -> None:
    """Every step in the order of web/work/teardown-steps.js, teeth and free arms entered on the way.

    An eccentric is centred before the teeth and set after them, before the arm is read.
    """
    name, body = plan
    number = body["teardown"]

    w.tick("stands", number, gap=10.0)
    w.tick("eyes", number, gap=1.0)
    move: dict[str, Any] = {"teardown": number, "plan": name}
    for side in SIDES:
        ends = [end for end in ("inner", "outer") if body[side][end]]
        if not ends:
            continue
        for step in ("wheel-off", "bolts-out", "arm-down", "cover-off"):
            w.tick(step, number, side, gap=11.0)
        if upto == side:
            return
        if body[side].get("turns"):
            w.tick("centre", number, side, gap=6.0)
        for end in ends:
            w.tick(f"turn-{end}", number, side, gap=18.0)
        move = {**move, side: {end: body[side][end] for end in ("inner", "outer")}}
        made = w.write("move", move, gap=0.0)
        move["corrects"] = made
        if body[side].get("turns"):
            w.tick("adjust", number, side, gap=6.0)
            move[side] |= {"turns": body[side]["turns"]}
            move["corrects"] = w.write("move", move, gap=0.0)
            w.tick("clamp", number, side, gap=3.0)
        for entry in hanging:
            if entry["side"] == side:
                w.write("reading", {key: value for key, value in entry.items() if key != "kind"}, gap=3.0)
        for step in ("read", "arm-up", "cover-on", "bolts-in", "wheel-on"):
            w.tick(step, number, side, gap=9.0)
    w.tick("down", number, gap=15.0)


def close(w: Writer, text: str, checks: tuple[str, ...] = CHECKS) -> None:
    """Hand over: these checks ticked, and what was learned of the car kept."""
    answer = w.answer()
    w.minutes += 60.0
    for check in checks:
        w.write("step", {"step": f"handover-{check}", "done": True}, gap=4.0)
    taught = {"posterior": answer["posterior"], "learned": answer["learned"]}
    w.write("close", {"text": text, **taught}, gap=5.0, device=PC)
