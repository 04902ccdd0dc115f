"""One car over all its visits: what each visit began from, what it taught, and what a new job can start with.

Owns where a constant comes from: the visit that narrowed it most, or nobody yet. Reads the sheets of the car's
visits and the rows that ``jobs`` keeps; computes nothing of the model's. Functions of an open database, run by
``store``.
"""

import math
from typing import Any

from sqlite_utils import Database

from bothends.model import fields
from bothends.model.car import Car
from bothends.model.problem import ModelProblem

from . import history, job_rows, jobs, log
from . import visits as book_visits
from .lasting import left_by
from .sheet.fold import fold
from .sheet.request import request

__all__ = ["CONSTANTS", "page"]

MOST_VISITS = 100
"""Visits of one car that are looked at, the latest; a car that comes more often is a fleet."""
MOST_ROWS = 1000
WORTH = 0.9
"""A spread that is still more than this share of what was assumed has not been learned from any reading."""
DEGREE = math.pi / 180.0
SAME = ("car", "owner", *(mark.name for mark in fields.MARKS), "car_id")
"""What the job's card says of the car, and not of the visit."""
CONSTANTS = {
    "ln_rate": ("bar_nm_per_deg", DEGREE, True),
    "arm": ("arm_mm", 1e3, False),
    "bush": ("bush_ratio", 1.0, False),
    "ln_roll": ("roll_support_n_per_mm", 1e-3, True),
    "uneven": ("unevenness_mm", 1e3, False),
    "ln_tyre": ("tyre_n_per_mm", 1e-3, True),
    "settling": ("settling_mm", 1e3, False),
}
"""Names in a posterior (older ones lack some): the outside's name, unit in SI, whether the logarithm is kept."""


def page(db: Database, key: str, *, without: str = "") -> dict[str, Any] | None:
    """Everything about one car; None where no visit has that key, or none but the job ``without``.

    Returns
    -------
    dict
        car_key, car, owner (as the latest visit has them), visits (latest first, each a row of ``jobs.listed`` with
        began_from, the visit whose constants it started with, taught, and said: who said which car it is),
        visit_count, teardowns (rows of ``history.page`` in order of time), constants, again (cards for a new job),
        plate and chassis as typed last, others (cars that may be the same), apart (cars said to be others).
    """
    visits = jobs.listed(db, car=key, sort="begun", limit=MOST_VISITS) if key else []
    count = jobs.count(db, car=key) - any(visit["job"] == without for visit in visits)
    visits = [visit for visit in visits if visit["car_key"] == key and visit["job"] != without]
    if not visits:
        return None
    sheets = {}
    for visit in visits:
        entries = [entry for _, entry in log.of(db, visit["job"])]
        sheet = sheets[visit["job"]] = fold(visit["job"], entries)
        visit["said"] = _said(sheet, entries)
        known = sheet["known"]
        used = known.get("use", True) and isinstance(known.get("posterior"), dict)
        visit["began_from"] = str(known.get("job") or "") if used else None
        visit["taught"] = bool(job_rows.taught(sheet))
    latest = visits[0]
    abouts = [sheets[visit["job"]]["about"] for visit in visits]
    return {
        **{
            mark.name: next((str(a[mark.name]) for a in abouts if a.get(mark.name)), "")
            for mark in fields.MARKS
        },
        "others": book_visits.others(db, key),
        "apart": [_apart(db, line) for line in book_visits.apart(db, key)],
        "car_key": key,
        "car": latest["car"],
        "owner": latest["owner"],
        "visits": visits,
        "visit_count": count,
        "teardowns": [row for row in history.page(db, car=key, limit=MOST_ROWS) if row["job"] != without],
        "constants": _constants(visits, sheets),
        "again": _again(visits, sheets),
    }


def _apart(db: Database, line: dict[str, Any]) -> dict[str, Any]:
    """A car that is said to be another, with the records that say so."""
    said = []
    for job in line.pop("jobs"):
        entries = [entry for _, entry in log.of(db, job)]
        said.append(_said(fold(job, entries), entries, "other_than"))
    return {**line, "said": [one for one in said if one is not None]}


def _said(
    sheet: dict[str, Any], entries: list[dict[str, Any]], field: str = "car_id"
) -> dict[str, Any] | None:
    """The record by which a person said which car a job is of: entry, at, device, writer; None for nobody."""
    struck = {row["id"] for row in sheet["struck"]}
    said = sheet["about"].get(field)
    for entry in sorted(entries, key=lambda entry: str(entry["id"]), reverse=True):
        if entry["kind"] != "job" or not said or entry["id"] in struck:
            continue
        if entry["body"].get(field) == said:
            return {
                "job": sheet["job"],
                "entry": entry["id"],
                "at": entry["at"],
                "device": entry["device"],
                "writer": sheet["writers"].get(entry["device"]),
            }
    return None


def _again(visits: list[dict[str, Any]], sheets: dict[str, Any]) -> dict[str, Any]:
    """The cards a new job for this car can begin with: who and what, the car's lasting sizes, what is known."""
    latest = sheets[visits[0]["job"]]
    about = {name: latest["about"][name] for name in SAME if latest["about"].get(name)}
    cards = [sheets[visit["job"]]["car"] for visit in reversed(visits)]
    car = left_by(cards)
    known = None
    for place, visit in enumerate(visits):
        sheet = sheets[visit["job"]]
        if taught := job_rows.taught(sheet):
            # With another bar since, or of the other axle, what was learned says nothing of it.
            then = left_by(cards[: len(cards) - place])
            same = then.get("sprung", fields.REAR) == car.get("sprung", fields.REAR)
            if same and then.get("bar") == car.get("bar"):
                known = {"use": True, "job": visit["job"], **taught}
            break
    return {"job": about, "car": car, "known": known}


def _spreads(posterior: Any) -> dict[str, tuple[float, float]]:
    """Mean and standard deviation of each constant in a posterior, SI; empty where it makes no sense."""
    out = {}
    try:
        for place, name in enumerate(posterior["names"]):
            variance = posterior["covariance"][place][place]
            if name in CONSTANTS and variance > 0.0:
                out[name] = float(posterior["mean"][place]), math.sqrt(variance)
    except (KeyError, IndexError, TypeError):
        return {}
    return out


def _assumed(sheet: dict[str, Any]) -> dict[str, tuple[float, float]]:
    """What a visit took for granted before its readings: the car's card with the defaults, as ``model.prior``."""
    try:
        car = Car({"car": request(sheet)["request"]["car"]})
    except ModelProblem:
        return {}
    return {
        "ln_rate": (0.0, car.rate_sd),
        "arm": (car.arm, car.arm_sd),
        "bush": (car.bush, car.bush_sd),
        "ln_roll": (0.0, min(1.0, car.roll_sd / car.roll)),
        "uneven": (car.uneven, car.uneven_sd),
        "ln_tyre": (0.0, min(1.0, car.tyre_sd / car.tyre)),
        "settling": (car.settling[0], car.settling[1]),
    }


def _chain(visits: list[dict[str, Any]], sheets: dict[str, Any]) -> list[dict[str, Any]]:
    """The visits that stand behind what is known now, latest first: each began from the one after it."""
    by_job = {visit["job"]: visit for visit in visits}
    at = next((visit for visit in visits if visit["taught"]), None)
    chain: list[dict[str, Any]] = []
    while at is not None and at not in chain:
        chain.append(at)
        at = by_job.get(at["began_from"] or "")
    return [visit for visit in chain if visit["taught"]]


def _constants(visits: list[dict[str, Any]], sheets: dict[str, Any]) -> list[dict[str, Any]]:
    """The car's constants as known now, and the visit that told most about each.

    A visit tells as much as it adds to one over the variance. The bar's own rate in newton metres; where the
    spread is hardly smaller than what was assumed, nobody has measured it: from is None.
    """
    chain = _chain(visits, sheets)
    if not chain:
        return []
    spreads = [_spreads(job_rows.taught(sheets[visit["job"]]).get("posterior")) for visit in chain]
    # What the oldest visit of the chain began from: an earlier car's page may be gone, then what it was given.
    oldest = sheets[chain[-1]["job"]]
    assumed = _assumed(oldest)
    given = _spreads(oldest["known"].get("posterior")) if chain[-1]["began_from"] is not None else {}
    steps = [*spreads, {**assumed, **given}]
    out = []
    for name, (outside, unit, logarithm) in CONSTANTS.items():
        if name not in spreads[0]:
            continue
        mean, sd = spreads[0][name]
        value = math.exp(min(mean, 700.0)) if logarithm else mean
        factor = value * unit if logarithm else unit
        gains = [
            (1.0 / after[name][1] ** 2 - 1.0 / before[name][1] ** 2, visit)
            for visit, after, before in zip(chain, steps, steps[1:], strict=False)
            if name in after and name in before
        ]
        first = assumed.get(name)
        learned = bool(gains) and first is not None and sd < WORTH * first[1]
        source = max(gains, key=lambda gain: gain[0])[1] if learned else None
        out.append(
            {
                "name": outside,
                "value": value * unit,
                "sd": sd * factor,
                "assumed_sd": None if first is None else first[1] * factor,
                "from_job": None if source is None else source["job"],
                "from_title": None if source is None else source["title"],
                "from_at": None if source is None else source["first_at"],
            }
        )
    return out
