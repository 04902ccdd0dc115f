"""Writes the demo season: a year of Slipway Garage, played by the season's own cars and mechanic.

    PYTHONPATH=tests python -m shop.make_demo_season

Run after a change of the model or of the stories below; the file is committed, and a test plays a few of its jobs
again. Owns the stories (who comes when with what, what goes wrong) of the shop's usual cars; those of other layouts
are ``demo_layouts``'. Does not own how a job is written down (``demo_writing``), the cars (``fleet``, ``car``), the
readings (``mechanic``), nor the file's form (``bothends.book.season``).

Seeds are of the tuning range. Cars of one make share bars and arms and differ in everything else, as kits do.
"""

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

import numpy as np

from bothends.book import season
from bothends.book.sheet.fold import fold
from bothends.book.sheet.outcome import stages
from shop.car import Car, State, as_found, rest
from shop.demo_layouts import STORIES, played
from shop.demo_writing import (
    CHECKS,
    DAY_MIN,
    DEVICES,
    PHONE,
    SIMULATED,
    TABLET,
    Writer,
    begin,
    close,
    keep_plan,
    tear_down,
)
from shop.fleet import Make, draw
from shop.mechanic import Mechanic, hire
from shop.season import follow

__all__ = ["DEVICES", "main", "season_jobs"]

MAKES = {
    "Gannet roadster": Make((40, 44), 21.5, 570.0, 400.0),
    "Plover utility": Make((40, 44), 24.0, 640.0, 435.0),
    "Knot camper": Make((44, 48), 25.5, 610.0, 420.0),
}
NAMES = """
Maren Piet Solveig Jonas Runa Bram Ida Eskil Anke Tove Henk Signe Arne Femke Nils Greta
Oda Sjoerd Liv Tomas Elin Kaj Wiebke Jorun Aaltje Birk Hanne Mats Trine Ruben Saskia
"""
OWNERS = NAMES.split()
FIRST_DAY = datetime(2025, 11, 17, 7, 30, tzinfo=UTC)
SEED = 7_200
WISHES = {
    "raise": ("sits too low behind", "bring it up, level"),
    "lower": ("stands too high since the bars were changed", "bring it down, level"),
    "level": ("leans", "level it at the height it has"),
}
AGAIN = (
    ("back with a heavier tow bar", "up again, level"),
    ("back after a summer of loads", "to the old height again"),
    ("back for a little more height", "higher than last time"),
)

CLOSINGS = (
    "Rides level; owner drove it. Re-torque and check after 500 km.",
    "Handed over with the sheet. Alignment booked.",
    "Owner is content. Heights to be read again after 300 km.",
    "Test drive along the harbour, no noise. Check bolts after 500 km.",
)


@dataclass
class Visit:
    """One story: who comes, when, how it is read, how far it gets, what goes wrong."""

    number: int
    car: int
    make: str
    owner: str
    day: int
    boards: bool
    again: int = 0
    upto: str = "closed"
    slip: bool = False
    disagree: bool = False


def stories() -> list[Visit]:
    """The season's visits in order of time."""
    rng = np.random.default_rng(SEED)
    makes = list(rng.permutation(["Gannet roadster"] * 13 + ["Plover utility"] * 9 + ["Knot camper"] * 9))
    days = sorted(int(d) for d in rng.choice(np.arange(0, 330), len(makes), replace=False))
    found = [
        Visit(0, car, str(makes[car]), OWNERS[car], _weekday(day), boards=bool(rng.random() < 0.55))
        for car, day in enumerate(days)
    ]
    early = [visit for visit in found if visit.day < 150]
    for again, visit in enumerate(early[:9]):
        later = _weekday(visit.day + 130 + 8 * again)
        found.append(replace(visit, day=later, again=1, boards=False))
        if again in (0, 2):
            found.append(replace(visit, day=_weekday(later + 95), again=2, boards=False))
    found.sort(key=lambda visit: (visit.day, visit.car))
    # The last ones are still in hand, in every state.
    states = ("checked", "torn down", "under way", "planned", "planned", "measuring")
    for visit, state in zip(found[-len(states) :], states, strict=True):
        visit.upto, visit.day = state, max(visit.day, 352 + states.index(state) * 2)
    found[-3].disagree = True
    next(visit for visit in found[12:] if visit.boards and not visit.again).slip = True
    for number, visit in enumerate(found):
        visit.number = number
    return found


def _weekday(day: int) -> int:
    """The day, or the Monday after it; day 0 is a Monday."""
    return day if day % 7 < 5 else day + 7 - day % 7


def season_jobs() -> Iterator[list[dict[str, Any]]]:
    """The file's jobs, one more at each turn; the last of the list is the one just played."""
    jobs: list[dict[str, Any]] = []
    # What stays of a car between its visits: as it truly is, how it stands, its last job and what that taught.
    garage: dict[int, tuple[Car, State, int, dict[str, Any]]] = {}
    for visit in stories():
        rng = np.random.default_rng((SEED, visit.number))
        begun = FIRST_DAY.timestamp() + 60.0 * (DAY_MIN * visit.day + int(rng.integers(0, 120)))
        writer = Writer(jobs, datetime.fromtimestamp(begun, UTC))
        if visit.again:
            car, state, before, taught = garage[visit.car]
            car, state = _later(car, state, visit, rng)
            known = {"use": True, "job": f"@{before}", **taught}
        else:
            car = draw(SEED + visit.car, make=MAKES[visit.make])
            state, known = as_found(car), None
        state = _play(writer, visit, car, state, known, rng)
        closed = [body for _, _, kind, body in writer.entries if kind == "close"]
        if closed:
            taught = {name: closed[-1][name] for name in ("posterior", "learned")}
            garage[visit.car] = (car, replace(state, teardown=0), writer.number, taught)
        yield jobs
    for story in STORIES:
        begun = FIRST_DAY.timestamp() + 60.0 * DAY_MIN * story.day
        played(Writer(jobs, datetime.fromtimestamp(begun, UTC)), story)
        yield jobs


def _later(car: Car, state: State, visit: Visit, rng: np.random.Generator) -> tuple[Car, State]:
    """The car some months on: its bars have taken a little set, and something is wanted that was not before."""
    before = rest(car, state)
    set_deg = rng.uniform(0.4, 1.1, 2)
    state = State(
        tuple(h - math.radians(d) for h, d in zip(state.hanging, set_deg, strict=True)), state.clamped
    )
    up = (12.0, 0.0, 18.0)[(visit.car + visit.again) % 3]
    off = [h * 1e3 - car.target_mm for h in before.height]
    return replace(
        car,
        seed=car.seed + 1000 * visit.again,
        target_mm=car.target_mm + up,
        bump_mm=max(5.0, car.bump_mm + round(sum(off) / 2.0)),
    ), state


def _play(
    w: Writer, visit: Visit, car: Car, state: State, known: dict[str, Any] | None, rng: np.random.Generator
) -> State:
    """One visit from the first entry to as far as it gets; how the car stands then."""
    mechanic = hire(car)
    _begin(w, visit, car, mechanic, known)
    log = mechanic.log(state, "boards" if visit.boards else "plain")
    if visit.upto == "measuring":
        log = log[:5]
    _read_all(w, log, slip=visit.slip)
    if visit.upto == "measuring":
        return state
    for _ in range(3):
        if visit.disagree:
            _disagree(w)
        answer = w.answer()
        option = answer["options"][0]
        if not option["ends_disturbed"]:
            _leave(w, answer)
            break
        plan = keep_plan(w, answer, state.teardown + 1)
        if visit.upto == "planned":
            return state
        w.morning()
        if visit.upto == "under way":
            tear_down(w, plan, [], upto="left")
            return state
        state, _ = follow(car, state, answer)
        after = mechanic.log(state, "plain")
        hanging = [entry for entry in after if entry["what"] == "hanging-angle"]
        tear_down(w, plan, hanging)
        if visit.upto == "torn down":
            return state
        _read_all(w, [entry for entry in after if entry["what"] != "hanging-angle"])
        if stages(w.sheet())[-1]["hit"]:
            break
        w.write("note", {"text": "Off by more than agreed. Planned again with what was read."})
    if visit.upto == "closed":
        checks = CHECKS[: int(rng.integers(5, len(CHECKS)))]
        close(w, CLOSINGS[int(rng.integers(len(CLOSINGS)))], checks)
    return state


def _begin(w: Writer, visit: Visit, car: Car, mechanic: Mechanic, known: dict[str, Any] | None) -> None:
    story, wish = AGAIN[(visit.car + visit.again) % 3] if visit.again else WISHES[car.job]
    about = {
        "title": f"{visit.make}, {story} (simulated)",
        "owner": visit.owner,
        "car": visit.make,
        "wish": f"{wish}; {car.target_mm:.0f} mm both sides",
    }
    asked = mechanic.request([])
    # Kits come with preset bars.
    asked["car"]["limits"]["permissible_stress_mpa"] = 1000.0
    begin(w, about, asked, known)


def _read_all(w: Writer, log: list[dict[str, Any]], *, slip: bool = False) -> None:
    wrong = None
    if slip:
        wrong = next(entry for entry in log if entry["what"] == "riding-angle" and entry["side"] == "right")
    for entry in log:
        body = {name: value for name, value in entry.items() if name != "kind"}
        if entry is wrong:
            made = w.write("reading", {**body, "value": -body["value"], "datum": -body.get("datum", 0.0)})
        else:
            w.write("reading", body, gap=2.5)
    if wrong is not None:
        doubts = w.answer()["doubts"]
        assert doubts, "the model no longer asks about the slip of this story"
        w.write("strike", {"entry": made, "why": "gauge turned round; the plan asked about it"}, gap=6.0)
        body = {name: value for name, value in wrong.items() if name != "kind"}
        w.write("reading", body, gap=3.0)


def _disagree(w: Writer) -> None:
    """One reading corrected by two people who had no network, in two ways."""
    place, body = next(
        (place, body)
        for place, (_, _, kind, body) in enumerate(w.entries)
        if kind == "reading" and body["what"] == "body-height"
    )
    for device, off in ((PHONE, 3), (TABLET, -4)):
        said = {**body, "value": body["value"] + off, "corrects": f"#{place}"}
        w.write("reading", said, device=device, gap=9.0)


def _leave(w: Writer, answer: dict[str, Any]) -> None:
    """Say why nothing is turned."""
    stopped = [words for option in answer["options"] for words in option["stopped_by"]]
    why = f"These bars do not allow it: {stopped[0]}. " if stopped else ""
    w.write("note", {"text": f"{why}Left as it is; owner told."}, gap=10.0)


def main() -> None:
    """Play the season and write its file."""
    *_, jobs = season_jobs()
    head = {"words": SIMULATED, "written_by": "tests/shop/make_demo_season.py", "devices": DEVICES}
    rows = [json.dumps(row, separators=(",", ":"), ensure_ascii=False) for row in (head, *jobs)]
    season.FILE.write_text("\n".join(rows) + "\n", encoding="utf-8", newline="\n")
    sheets = [fold(season.job_id(jobs, n), season.expanded(jobs, n, DEVICES)) for n in range(len(jobs))]
    states = [sheet["state"] for sheet in sheets]
    print(
        f"{len(jobs)} jobs, {sum(len(job['entries']) for job in jobs)} entries, {season.FILE.stat().st_size} bytes"
    )
    print({state: states.count(state) for state in sorted(set(states))})
    print(f"teardowns {[sheet['teardowns'] for sheet in sheets]}")
    print(f"conflicts {[len(sheet['conflicts']) for sheet in sheets]}")


if __name__ == "__main__":
    main()
