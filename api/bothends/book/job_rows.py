"""What the tables of jobs and teardowns say of a job's sheet: a pure function of what was folded.

Owns what a job says of which car it is (whose visit that makes it is ``sheet.identity``'s rule, kept by
``visits``), how moments are kept so that they sort, and which tests a first teardown was planned on.
"""

from datetime import UTC, datetime
from typing import Any

import msgspec

from bothends.model import fields

from .columns import TEARDOWNS, in_stage
from .sheet import identity
from .sheet.aim import after_km
from .sheet.kinds import SUPPORTS, own_axle, sprung, stands

__all__ = ["FACTS", "TESTS", "compact", "end_of", "job", "named", "taught", "teardown", "utc"]

TESTS = ("boards", "ballast", "centre-jack", "hang", "scales", "heights twice", "known")
"""What may be read before the first teardown beyond one height and one angle a side; known: an earlier visit."""


FACTS = ("car_said", "car_own", "car_apart", "chassis", "plate")
"""Columns that say which car a job is of, as ``sheet.identity.cars`` takes them."""


def named(*, car: str, owner: str) -> str:
    """Name and owner as they are compared; "" where the car has no name.

    >>> named(car="Gannet  Roadster", owner="Maren")
    'gannet roadster / maren'
    """
    name, owner = (" ".join(text.casefold().split()) for text in (car, owner))
    return f"{name} / {owner}" if name else ""


def _facts(sheet: dict[str, Any]) -> dict[str, Any]:
    """Which car a job says it is of: FACTS, and name and owner, by which others are offered."""
    about = sheet["about"]
    words = named(car=sheet["car_name"], owner=sheet["owner"])
    chassis, plate = (compact(str(about.get(name) or "")) for name in ("chassis", "plate"))
    found = identity.facts(sheet["job"], about, words, (chassis, plate))
    return {
        "car_said": found["said"],
        "car_own": found["own"],
        "car_apart": "\n".join(sorted(set(found["apart"]))),
        "car_named": words,
        "chassis": found["chassis"],
        "plate": found["plate"],
        "hidden": int(about.get("hidden") is True),
    }


def compact(plate: str) -> str:
    """A number plate without what is read or left out as one likes: blanks, dashes, dots.

    >>> compact("AB-12 cd")
    'ab12cd'
    """
    return "".join(c for c in plate.casefold() if c.isalnum())


def job(sheet: dict[str, Any], found: list[dict[str, Any]], moments: list[str]) -> dict[str, Any]:
    """The row of a job.

    Parameters
    ----------
    sheet : as folded
    found : its stages, as ``outcome.stages`` gives them
    moments : of its entries, as they have them; at least one
    """
    times = [utc(at) for at in moments]
    learnt = taught(sheet)
    promised = [stage["promised"]["odds"] for stage in found if stage["promised"]]
    heights = [s["reached"] for s in found if s["reached"]["lean_mm"] is not None] or [{}]
    read = [str(sheet["about"].get(mark.name) or "") for mark in fields.MARKS]
    words = " ".join(
        [*(sheet[name] for name in ("title", "car_name", "owner", "wish")), *read, *map(compact, read)]
    )
    return {
        "title": sheet["title"],
        "owner": sheet["owner"],
        "wish": sheet["wish"],
        "car": sheet["car_name"],
        **_facts(sheet),
        "search": words.casefold(),
        "state": sheet["state"],
        "teardowns": sheet["teardowns"],
        "entries": sheet["entries"],
        "conflicts": len(sheet["conflicts"]) + len(sheet["unsure"]),
        "puzzles": len(sheet["puzzles"]),
        "first_at": min(times),
        "last_at": max(times),
        "left_mm": heights[-1].get("left_mm"),
        "right_mm": heights[-1].get("right_mm"),
        "odds": promised[-1] if promised else None,
        "bar": _json(_bar(sheet["car"])),
        "posterior": _json(learnt.get("posterior")),
        "learned": _json(learnt.get("learned")),
        "tests": ",".join(_tests(sheet)),
    }


def teardown(stage: dict[str, Any]) -> dict[str, Any]:
    """The row of one stage as ``outcome.stages`` gives it, read at some moment."""
    row = {column.name: in_stage(column, stage) for column in TEARDOWNS if column.stage}
    for column in TEARDOWNS:
        if column.type == float | None and column.stage:
            # A card may say anything where a number belongs.
            row[column.name] = _real(row[column.name])
    return {**row, "at": utc(stage["at"])}


def taught(sheet: dict[str, Any]) -> dict[str, Any]:
    """The last word on the car's constants, posterior and learned: at the close, else with the last plan."""
    for row in [sheet["closed"], *reversed(sheet["plans"])]:
        if row and isinstance(row.get("posterior"), dict):
            return {name: row[name] for name in ("posterior", "learned") if row.get(name) is not None}
    return {}


def utc(at: str) -> str:
    """A moment as entries have it, in UTC, so that texts sort as moments do.

    >>> utc("2026-09-21T01:30:00+02:00")
    '2026-09-20T23:30:00Z'
    """
    try:
        moment = datetime.fromisoformat(at).astimezone(UTC)
    except (ValueError, OverflowError):
        # Year 1 or 9999 with an offset: no calendar has the day it would be in UTC.
        return at
    return moment.isoformat(timespec="seconds").replace("+00:00", "Z")


def end_of(day: str) -> str:
    """A text right after every moment of a day, given as YYYY-MM-DD: they begin with it and go on with T.

    >>> "2026-09-20T23:59:59Z" < end_of("2026-09-20") < "2026-09-21T00:00:00Z"
    True
    """
    return day + "U"


def _tests(sheet: dict[str, Any]) -> list[str]:
    """Those of TESTS that the first teardown was planned on."""
    found = set()
    plain = {"left": 0, "right": 0}
    axle = sprung(sheet["car"])
    for reading in sheet["readings"]:
        if reading.get("teardown") or after_km(reading) is not None:
            continue
        pose = reading["pose"] if isinstance(reading.get("pose"), dict) else {}
        raised = {name for name in SUPPORTS if pose.get(name)}
        found |= {"boards" for name in raised if name.startswith("board")}
        found |= {"ballast" for name in raised if name.startswith("ballast")}
        if pose.get("centred"):
            found.add("centre-jack")
        if reading["what"] == "hub-to-body" and pose.get("hanging"):
            found.add("hang")
        if reading["what"] == "wheel-load" and own_axle(reading, axle):
            found.add("scales")
        if reading["what"] == "body-height" and stands(reading) and not raised:
            plain[reading["side"]] += 1
    if min(plain.values()) > 1:
        found.add("heights twice")
    if sheet["known"].get("use", True) and isinstance(sheet["known"].get("posterior"), dict):
        found.add("known")
    return [name for name in TESTS if name in found]


def _bar(car: dict[str, Any]) -> dict[str, Any]:
    bar = car.get("bar")
    return (
        {name: bar[name] for name in fields.names("car.bar") if name in bar} if isinstance(bar, dict) else {}
    )


def _json(value: Any) -> str | None:
    return None if value is None else msgspec.json.encode(value).decode()


def _real(value: Any) -> float | None:
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None
