"""Jobs as lists and searches see them: one row per job and per stage of it, made from entries.

Owns the tables job_sheets, job_teardowns and job_holds. They hold nothing that the entries do not say: a
job whose entries have grown is folded again before anybody reads its row. Functions of an open database,
run by ``store``.
"""

import logging
import re
from datetime import UTC, datetime
from typing import Any

import msgspec
from sqlite_utils import Database

from . import log
from .sheet.aim import after_km
from .sheet.fold import fold
from .sheet.kinds import SUPPORTS
from .sheet.outcome import stages
from .sheet.request import BAR

__all__ = [
    "SORTS",
    "STATES",
    "TESTS",
    "car_key",
    "cars",
    "count",
    "end_of",
    "find",
    "last_visit",
    "listed",
    "refresh",
    "stale",
    "taught",
    "utc",
    "visit_before",
]

STATES = ("open", "measuring", "planned", "torn down", "checked", "closed")
"""What a list may be narrowed to; open is everything but closed."""
SORTS = {
    "arrival": "last_seq",
    "begun": "first_at",
    "worked": "last_at",
    "car": "car COLLATE NOCASE",
    "owner": "owner COLLATE NOCASE",
    "wish": "wish COLLATE NOCASE",
    "state": "CASE state "
    + " ".join(f"WHEN '{name}' THEN {place}" for place, name in enumerate(STATES))
    + " END",
    "teardowns": "teardowns",
    "left": "left_mm",
    "right": "right_mm",
    "odds": "odds",
    "unsettled": "conflicts",
}
"""What a list may be sorted by; among equals the order of arrival decides, so that every order is whole."""
TESTS = ("boards", "ballast", "hang", "scales", "heights twice", "known")
"""What may be read before the first teardown beyond one height and one angle a side; known: an earlier visit."""
LOG = logging.getLogger("bothends")
AT_ONCE = 50
"""Jobs folded in one transaction, so that entries never wait long for the writer."""
LISTED = (
    "job, title, owner, wish, car, car_key, state, teardowns, entries, conflicts, puzzles, left_mm, right_mm,"
    " odds, first_at, last_at, last_seq AS seq"
)

AIM = ("target_left_mm", "target_right_mm", "tolerance_mm")
"""What a listed job says of its target: the heights it comes to at its latest stage, and how far off they may be."""


def car_key(*, car: str, owner: str, car_id: object = None) -> str:
    """What two visits of one car have in common: its own id where it has one, else name and owner.

    >>> car_key(car="Gannet  Roadster", owner="Maren")
    'gannet roadster / maren'
    """
    if isinstance(car_id, str) and car_id:
        return car_id
    name, owner = (" ".join(text.casefold().split()) for text in (car, owner))
    return f"{name} / {owner}" if name else ""


def stale(db: Database) -> bool:
    """Whether some job has entries that its row does not know yet."""
    return db.execute("SELECT 1 FROM job_sheets WHERE folded_seq < last_seq LIMIT 1").fetchone() is not None


def refresh(db: Database) -> bool:
    """Fold some of the jobs that have grown; True where more are left."""
    grown = db.execute(
        "SELECT job, last_seq FROM job_sheets WHERE folded_seq < last_seq LIMIT ?", [AT_ONCE]
    ).fetchall()
    for job, seq in grown:
        try:
            with db.atomic():
                _fold_again(db, job, seq)
        except Exception:
            # A fold never fails on an entry; if it does all the same, one job must not keep the others out.
            LOG.exception("job %s cannot be folded; its row stays as it was", job)
            db.execute("UPDATE job_sheets SET folded_seq = ? WHERE job = ?", [seq, job])
    return len(grown) == AT_ONCE and stale(db)


def listed(
    db: Database,
    *,
    query: str = "",
    car: str = "",
    owner: str = "",
    state: str = "",
    since: str = "",
    until: str = "",
    sort: str = "arrival",
    down: bool = True,
    before: int | None = None,
    skip: int = 0,
    limit: int = 50,
) -> list[dict[str, Any]]:
    """Jobs, by default those with the latest arrivals first.

    Parameters
    ----------
    query : words that must all appear in car, owner, wish or title
    car : a car's key, or words of its name; empty for all
    owner : the owner's first name or its beginning; empty for all
    state : one of STATES; empty for all
    since, until : days, YYYY-MM-DD, both included, UTC: jobs worked on between them; empty for no end
    sort : one of SORTS; jobs that lack it come last either way
    down : greatest first
    before : only jobs whose seq lies below it, to turn the page in the order of arrival
    skip : leave out so many, to turn the page in any order
    """
    where, values = _where(
        db, query=query, car=car, owner=owner, state=state, since=since, until=until, before=before
    )
    way = "DESC" if down else "ASC"
    order = (
        f"{SORTS[sort]} IS NULL, {SORTS[sort]} {way}, last_seq {way}"
        if sort != "arrival"
        else f"last_seq {way}"
    )
    # The inner question is answered from one index; only the rows of this page are read.
    sql = (
        f"SELECT {LISTED} FROM job_sheets WHERE last_seq IN (SELECT last_seq FROM job_sheets WHERE {where}"
        f" ORDER BY {order} LIMIT ? OFFSET ?) ORDER BY {order}"
    )
    found = list(db.query(sql, [*values, limit, skip]))
    aims = _targets(db, [row["job"] for row in found])
    for row in found:
        row.update(aims.get(row["job"], dict.fromkeys(AIM)))
    return found


def _targets(db: Database, names: list[str]) -> dict[str, dict[str, float | None]]:
    """The heights that each job's target comes to at its latest stage, by job; jobs without a stage are left out."""
    marks = ", ".join("?" for _ in names)
    rows = db.query(
        f"SELECT job, {', '.join(AIM)} FROM job_teardowns WHERE job IN ({marks})"
        " ORDER BY job, teardown, coalesce(after_km, -1)",
        names,
    )
    return {row["job"]: {name: row[name] for name in AIM} for row in rows}


def count(
    db: Database,
    *,
    query: str = "",
    car: str = "",
    owner: str = "",
    state: str = "",
    since: str = "",
    until: str = "",
) -> int:
    """How many jobs there are that ``listed`` would give on all its pages."""
    where, values = _where(db, query=query, car=car, owner=owner, state=state, since=since, until=until)
    return int(db.execute(f"SELECT count(*) FROM job_sheets WHERE {where}", values).fetchone()[0])


def _where(
    db: Database,
    *,
    query: str,
    car: str,
    owner: str,
    state: str,
    since: str,
    until: str,
    before: int | None = None,
) -> tuple[str, list[Any]]:
    """The condition of a list, as SQL and its values."""
    where = ["last_seq < ?"]
    values: list[Any] = [2**62 if before is None else before]
    if car:
        if db.execute("SELECT 1 FROM job_sheets WHERE car_key = ? LIMIT 1", [car]).fetchone():
            where.append("car_key = ?")
            values.append(car)
        else:
            _narrow(where, values, car, of="car")
    if owner:
        where.append("owner LIKE ? ESCAPE '\\'")
        values.append(_literal(owner) + "%")
    _narrow(where, values, query)
    if state:
        where.append("state != ?" if state == "open" else "state = ?")
        values.append("closed" if state == "open" else state)
    if since:
        where.append("last_at >= ?")
        values.append(since)
    if until:
        where.append("first_at < ?")
        values.append(end_of(until))
    return " AND ".join(where), values


def _narrow(where: list[str], values: list[Any], query: str, *, of: str = "search") -> None:
    """Keep the rows in which every word appears, wherever it stands and in any case."""
    for word in query.casefold().split():
        where.append(f"{of} LIKE ? ESCAPE '\\'")
        values.append("%" + _literal(word) + "%")


def _literal(text: str) -> str:
    """Text for LIKE that means itself."""
    return re.sub(r"([\\%_])", r"\\\1", text)


def cars(db: Database, *, query: str = "", after: str = "", limit: int = 50) -> list[dict[str, Any]]:
    """Cars in order of their keys, each as its latest visit names it."""
    where, values = ["car_key > ?"], [after]
    _narrow(where, values, query)
    found = list(
        db.query(
            "SELECT car_key, car, owner, count(*) AS visits, max(last_at) AS last_at,"
            " sum(posterior IS NOT NULL) AS taught FROM job_sheets"
            f" WHERE {' AND '.join(where)} GROUP BY car_key ORDER BY car_key LIMIT ?",
            [*values, limit],
        )
    )
    for row in found:
        row["taught"] = bool(row["taught"])
    return found


def find(db: Database, job: str) -> dict[str, Any] | None:
    """The sheet of a job, folded from its entries as they are now; None where it has none."""
    entries = [entry for _, entry in log.of(db, job)]
    return fold(job, entries) if entries else None


def visit_before(db: Database, job: str) -> dict[str, Any] | None:
    """What the car of a job was taught at its latest visit before that job."""
    row = db.execute("SELECT car_key, first_at FROM job_sheets WHERE job = ?", [job]).fetchone()
    return None if row is None else last_visit(db, key=row[0], than=job, before=row[1] or "")


def last_visit(db: Database, *, key: str, than: str = "", before: str = "9999") -> dict[str, Any] | None:
    """What the car's latest earlier visit taught, where it taught anything.

    Parameters
    ----------
    key : as from ``car_key``
    than : another job than this one
    before : visits begun before this moment, UTC
    """
    if not key:
        return None
    found = list(
        db.query(
            "SELECT job, title, last_at AS at, bar, posterior, learned FROM job_sheets WHERE car_key = ?"
            " AND job != ? AND first_at < ? AND posterior IS NOT NULL ORDER BY last_at DESC, job LIMIT 1",
            [key, than, before],
        )
    )
    if not found:
        return None
    for name in ("bar", "posterior", "learned"):
        found[0][name] = msgspec.json.decode(found[0][name] or "null")
    return found[0]


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


def _fold_again(db: Database, job: str, seq: int) -> None:
    entries = [entry for _, entry in log.of(db, job)]
    sheet = fold(job, entries)
    moments = sorted(utc(entry["at"]) for entry in entries)
    found = stages(sheet)
    learnt = taught(sheet)
    key = car_key(car=sheet["car_name"], owner=sheet["owner"], car_id=sheet["about"].get("car_id"))
    promised = [stage["promised"]["odds"] for stage in found if stage["promised"]]
    heights = [s["reached"] for s in found if s["reached"]["lean_mm"] is not None] or [{}]
    words = " ".join(sheet[name] for name in ("title", "car_name", "owner", "wish"))
    row = {
        "folded_seq": seq,
        "title": sheet["title"],
        "owner": sheet["owner"],
        "wish": sheet["wish"],
        "car": sheet["car_name"],
        "car_key": key,
        "search": words.casefold(),
        "state": sheet["state"],
        "teardowns": sheet["teardowns"],
        "entries": sheet["entries"],
        "conflicts": len(sheet["conflicts"]),
        "puzzles": len(sheet["puzzles"]),
        "first_at": moments[0],
        "last_at": moments[-1],
        "left_mm": heights[-1].get("left_mm"),
        "right_mm": heights[-1].get("right_mm"),
        "odds": promised[-1] if promised else None,
        "bar": _json(_bar(sheet["car"])),
        "posterior": _json(learnt.get("posterior")),
        "learned": _json(learnt.get("learned")),
        "tests": ",".join(_tests(sheet)),
    }
    names = ", ".join(f"{name} = ?" for name in row)
    db.conn.execute(f"UPDATE job_sheets SET {names} WHERE job = ?", [*row.values(), job])
    db.conn.execute("DELETE FROM job_teardowns WHERE job = ?", [job])
    for stage in found:
        if stage["at"] is None:
            # Nothing was read before the first teardown: there is no such row to compare with.
            continue
        values = {"job": job, "car_key": key, **_teardown(stage)}
        marks = ", ".join("?" for _ in values)
        db.conn.execute(
            f"INSERT INTO job_teardowns ({', '.join(values)}) VALUES ({marks})", list(values.values())
        )
    db.conn.execute("DELETE FROM job_holds WHERE job = ?", [job])
    holds = [(row["id"], job) for kind in ("readings", "moves", "plans") for row in sheet[kind]]
    db.conn.executemany("INSERT INTO job_holds VALUES (?, ?)", holds)


def _tests(sheet: dict[str, Any]) -> list[str]:
    """Those of TESTS that the first teardown was planned on."""
    found = set()
    plain = {"left": 0, "right": 0}
    for reading in sheet["readings"]:
        if reading.get("teardown") or after_km(reading) is not None:
            continue
        pose = reading["pose"] if isinstance(reading.get("pose"), dict) else {}
        raised = {name for name in SUPPORTS if pose.get(name)}
        found |= {"boards" for name in raised if name.startswith("board")}
        found |= {"ballast" for name in raised if name.startswith("ballast")}
        if reading["what"] == "hub-to-body" and pose.get("hanging"):
            found.add("hang")
        if reading["what"] == "wheel-load":
            found.add("scales")
        if reading["what"] == "body-height" and not raised:
            plain[reading["side"]] += 1
    if min(plain.values()) > 1:
        found.add("heights twice")
    if sheet["known"].get("use", True) and isinstance(sheet["known"].get("posterior"), dict):
        found.add("known")
    return [name for name in TESTS if name in found]


def _bar(car: dict[str, Any]) -> dict[str, Any]:
    bar = car.get("bar")
    return {name: bar[name] for name in BAR if name in bar} if isinstance(bar, dict) else {}


def _json(value: Any) -> str | None:
    return None if value is None else msgspec.json.encode(value).decode()


def _real(value: Any) -> float | None:
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None


def _teardown(stage: dict[str, Any]) -> dict[str, Any]:
    promised = stage["promised"] or {}
    turned = stage["turned"] or [None] * 4
    target = stage["target"]
    settled = stage["settled"] or {}
    return {
        "teardown": stage["teardown"],
        "after_km": stage["after_km"],
        "at": utc(stage["at"]),
        **dict(zip(("left_inner", "left_outer", "right_inner", "right_outer"), turned, strict=True)),
        "odds": promised.get("odds"),
        "promised_left_mm": promised.get("left_mm"),
        "promised_left_sd_mm": promised.get("left_sd_mm"),
        "promised_right_mm": promised.get("right_mm"),
        "promised_right_sd_mm": promised.get("right_sd_mm"),
        "followed": stage["followed"],
        "target_left_mm": _real(target.get("left_mm")),
        "target_right_mm": _real(target.get("right_mm")),
        "tolerance_mm": _real(target.get("tolerance_mm")),
        "lean_mm": _real(target.get("lean_mm")),
        "left_mm": stage["reached"]["left_mm"],
        "right_mm": stage["reached"]["right_mm"],
        "hub_left_mm": stage["hub_mm"]["left"],
        "hub_right_mm": stage["hub_mm"]["right"],
        "hanging_left_deg": stage["hanging_deg"]["left"],
        "hanging_right_deg": stage["hanging_deg"]["right"],
        "riding_left_deg": stage["riding_deg"]["left"],
        "riding_right_deg": stage["riding_deg"]["right"],
        "hit": stage["hit"],
        "settled_left_mm": settled.get("left_mm"),
        "settled_right_mm": settled.get("right_mm"),
        "still_within": stage["still_within"],
        "unsettled": stage["unsettled"],
    }
