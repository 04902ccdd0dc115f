"""Slipway Garage's jobs as entries: a harbour workshop and three kit-built cars, all invented.

Owns the stories and their ids, which are the same every time. The cars and first readings are those of the demo
requests; plans are the model's own, and what came of them is made from them: heights promised plus a few
millimetres, as a tape would read. Meant for an empty book.
"""

import json
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from bothends.model.solve import solve

from . import ids
from .sheet.fold import fold
from .sheet.kinds import CARDS, schema_of
from .sheet.request import request

__all__ = ["entries"]

REQUESTS = Path(__file__).resolve().parent.parent / "demo"
MINUTE_MS = 60_000
DAY_MS = 24 * 60 * MINUTE_MS
START_MS = 1_773_300_000_000
"""A Thursday morning in March 2026."""
SHOP = "slipway-pc"
PHONE = "slipway-phone"


class _Job:
    """A job being written, one entry after another, a few minutes apart."""

    def __init__(self, number: int, day: int) -> None:
        self.ms = START_MS + day * DAY_MS
        self.number = number * 1000
        self.id = ids.made(self.ms, self.number)
        self.entries: list[dict[str, Any]] = []
        self.latest: dict[str, str] = {}

    def write(self, kind: str, body: dict[str, Any], *, device: str = PHONE) -> str:
        self.number += 1
        self.ms += 3 * MINUTE_MS
        name = ids.made(self.ms, self.number)
        entry: dict[str, Any] = {"id": name, "job": self.id, "device": device}
        entry.update(device_seq=self.number, at=_at(self.ms))
        if kind in CARDS:
            entry["saw"] = [self.latest[kind]] if kind in self.latest else []
            self.latest[kind] = name
        self.entries.append({**entry, "kind": kind, "schema": schema_of(kind, body), "body": body})
        return name

    def begin(self, about: dict[str, Any], asked: dict[str, Any]) -> None:
        """What the job is about, the car, the wish and everything that was read before."""
        self.write("job", about, device=SHOP)
        self.write("car", asked["car"])
        self.write("target", asked["target"])
        for entry in asked["log"]:
            self.write("reading", {name: value for name, value in entry.items() if name != "kind"})

    def sheet(self) -> dict[str, Any]:
        return fold(self.id, self.entries)

    def answer(self) -> dict[str, Any]:
        found: dict[str, Any] = solve(request(self.sheet())["request"])
        return found

    def plan(self) -> tuple[str, dict[str, Any]]:
        """Keep the best option as a plan; its id and the option."""
        sheet, answer = self.sheet(), self.answer()
        option = answer["options"][0]
        body: dict[str, Any] = {"teardown": sheet["teardowns"] + 1, "label": option["label"]}
        # The heights that the target comes to are the model's, where it says them.
        target = answer.get("target") or sheet["target"]
        body.update(odds=round(option["odds"], 3), lean_mm=_rounded(option["lean_mm"]), target=target)
        for side in ("left", "right"):
            planned = option[side]
            body[side] = {
                "inner": planned["inner"],
                "outer": planned["outer"],
                "hanging_deg": round(planned["hanging_deg"], 2),
                "body_height_mm": _rounded(planned["body_height_mm"]),
            }
        return self.write("plan", body), body

    def tear_down(self, off_mm: tuple[int, int]) -> None:
        """Plan, turn the teeth, read the arms, settle, read the heights: promised plus ``off_mm``."""
        name, plan = self.plan()
        number = plan["teardown"]
        for step in ("wheels chocked", "body on stands", "arm let down with the tool"):
            self.write("step", {"step": step, "teardown": number})
        turned = {side: {end: plan[side][end] for end in ("inner", "outer")} for side in ("left", "right")}
        self.write("move", {"teardown": number, **turned, "plan": name})
        for side in ("left", "right"):
            reading = {"what": "hanging-angle", "side": side, "teardown": number}
            value = round(plan[side]["hanging_deg"] + 0.1, 1)
            self.write("reading", {**reading, "value": value, "datum": 0.0})
        for side, off in zip(("left", "right"), off_mm, strict=True):
            height = round(plan[side]["body_height_mm"]["value"]) + off
            self.write("reading", {"what": "body-height", "side": side, "teardown": number, "value": height})

    def close(self, text: str) -> None:
        """Hand over, and keep what was learned of the car."""
        answer = self.answer()
        body = {"text": text, "posterior": answer["posterior"], "learned": answer["learned"]}
        self.write("close", body, device=SHOP)


def _at(ms: int) -> str:
    local = datetime.fromtimestamp(ms / 1000, UTC).astimezone(timezone(timedelta(hours=1)))
    return local.isoformat(timespec="seconds")


def _rounded(estimate: dict[str, float]) -> dict[str, float]:
    return {"value": round(estimate["value"], 1), "sd": round(estimate["sd"], 1)}


def _asked(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((REQUESTS / f"{name}.json").read_bytes())
    return found


def entries() -> list[dict[str, Any]]:
    """All entries of the demo jobs, in the order they were written."""
    gannet = {"title": "Gannet roadster, low on the left", "owner": "Maren", "car": "Gannet roadster"}
    first = _Job(1, 0)
    first.begin({**gannet, "wish": "lift it and level it"}, _asked("gannet"))
    first.tear_down((1, -2))
    first.write("note", {"text": "Rolled and bounced twice before reading. Alignment booked for Monday."})
    first.close("Handed over; re-torque and check after 500 km.")

    knot = _Job(2, 12)
    about = {"title": "Knot camper, to be levelled closely", "owner": "Jonas", "car": "Knot camper"}
    knot.begin({**about, "wish": "level within 4 mm, loaded for travel"}, _asked("knot"))
    knot.tear_down((-6, 2))
    knot.plan()

    plover = _Job(3, 30)
    about = {"title": "Plover utility, sunken under its tools", "owner": "Tove", "car": "Plover utility"}
    plover.begin({**about, "wish": "up again, with the tools in"}, _asked("plover"))
    slip = plover.write("reading", {"what": "body-height", "side": "left", "value": 20.1, "teardown": 0})
    plover.write(
        "reading", {"what": "body-height", "side": "left", "value": 201, "teardown": 0, "corrects": slip}
    )
    plover.plan()

    again = _Job(4, 120)
    again.write("job", {**gannet, "title": "Gannet roadster, back after the summer"}, device=SHOP)
    again.write("car", _asked("gannet")["car"])
    again.write("known", {"job": first.id, **_taught(first)}, device=SHOP)
    again.write("reading", {"what": "body-height", "side": "left", "value": 211, "teardown": 0})
    again.write("reading", {"what": "body-height", "side": "right", "value": 214, "teardown": 0})
    return [*first.entries, *knot.entries, *plover.entries, *again.entries]


def _taught(job: _Job) -> dict[str, Any]:
    closed = job.entries[-1]["body"]
    return {"posterior": closed["posterior"], "learned": closed["learned"]}
