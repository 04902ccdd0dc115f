"""Tables for other programs: jobs, readings, moves and teardowns, with units in the headings.

Owns which columns there are, their units and words, and the queries. Rows come from the book's own tables and
views; what those have is described in DEVELOPERS.md. Functions of an open database, run by ``store``.
"""

import itertools
from collections.abc import Iterator
from typing import Any, NamedTuple

import msgspec
from sqlite_utils import Database

from bothends.model import fields

from . import simulated, table
from .jobs import end_of, utc

__all__ = ["TABLES", "Column", "as_csv", "as_json", "jobs_between", "rows"]


class Column(NamedTuple):
    """One column: its heading, where it comes from, its unit ("" for none) and what it is."""

    name: str
    sql: str
    unit: str
    words: str


FLAGS = ("holds", "hanging", "followed", "hit", "still_within", "unsettled")
"""Columns that say yes or no."""
_JOB = (
    Column("job", "job", "", "id of the job"),
    Column("title", "title", "", "title of the job"),
    Column("owner", "owner", "", "first name of the owner"),
    Column("car", "car", "", "the car's name"),
)
_ENTRY = (
    Column("id", "id", "", "id of the entry"),
    Column("at", "at", "RFC 3339", "when it was written, by the writer's clock"),
    Column("device", "device", "", "who wrote it"),
    Column("teardown", "teardown", "", "how many teardowns came before; for a move, which one it is"),
)
_CORRECTS = Column("corrects", "corrects", "", "id of the entry that it takes the place of")
_HOLDS = Column("holds", "holds", "", "yes where it counts; no where it was struck or corrected")


_UNIT = {"°": "deg"}
"""Units as headings and other programs have them, where the table of facts has a sign."""


def _unit(fact: fields.Field | fields.Kind) -> str:
    return _UNIT.get(fact.unit, fact.unit)


def _words(fact: fields.Field | fields.Word) -> str:
    """The table's sentence as words in a list of columns: the unit stands beside them."""
    words = fact.words.rstrip(".")
    if isinstance(fact, fields.Field):
        words = words.replace(f", [{fact.unit}]", "")
    return words[0].lower() + words[1:]


def _fact(name: str) -> Column:
    """A field of a reading under its own name."""
    if name in fields.told("log"):
        return Column(name, name, "", _words(fields.word(f"log.{name}")))
    fact = fields.field(f"log.{name}")
    return Column(name, name, _unit(fact), _words(fact))


def _value(kind: fields.Kind) -> Column:
    return Column(
        kind.column, f"CASE what WHEN '{kind.name}' THEN value END", _unit(kind), _words(kind.value)
    )


def _spreads() -> tuple[Column, ...]:
    """Standard uncertainties, a column for every unit."""
    units = dict.fromkeys(_unit(kind) for kind in fields.KINDS)
    said = "standard uncertainty, where it was said"
    inside = {u: ", ".join(f"'{k.name}'" for k in fields.KINDS if _unit(k) == u) for u in units}
    return tuple(
        Column(f"sd_{unit}", f"CASE WHEN what IN ({kinds}) THEN sd END", unit, said)
        for unit, kinds in inside.items()
    )


def _sides(heading: str, sql: str, unit: str, words: str) -> tuple[Column, ...]:
    """A column for the left and one for the right."""
    return tuple(
        Column(heading.format(side=side), sql.format(side=side), unit, f"{words}, {side}")
        for side in fields.SIDES
    )


def _teeth(sql: str) -> tuple[Column, ...]:
    return tuple(
        Column(
            f"{side}_{end}_teeth",
            sql.format(side=side, end=end),
            "teeth",
            f"turned at the {side} {end} end, arm down (raises) positive",
        )
        for side in fields.SIDES
        for end in fields.ENDS
    )


TABLES: dict[str, tuple[Column, ...]] = {
    "jobs": (
        *_JOB,
        Column("car_key", "car_key", "", "the same at every visit of one car"),
        Column("wish", "wish", "", "what is wanted, in words"),
        Column("state", "state", "", "measuring, planned, torn down, checked or closed"),
        Column("teardowns", "teardowns", "", "how many there were"),
        *_sides("body_height_{side}_mm", "{side}_mm", "mm", "body height read last"),
        Column("odds", "odds", "0 to 1", "promised by the last plan that was gone by"),
        Column("conflicts", "conflicts", "", "contradictions that a person must settle"),
        Column("entries", "entries", "", "how many entries it has"),
        Column("first_at", "first_at", "RFC 3339", "its first entry, UTC"),
        Column("last_at", "last_at", "RFC 3339", "its last entry, UTC"),
    ),
    "readings": (
        *_JOB,
        *_ENTRY,
        _fact("what"),
        _fact("side"),
        *(_value(kind) for kind in fields.KINDS),
        Column("datum_deg", "datum", "deg", _words(fields.field("log.datum"))),
        *_spreads(),
        _fact("reference"),
        Column("method", "method", "", "what it was read with"),
        Column("hanging", "pose_hanging", "", "yes where the wheels hung"),
        *_sides("board_{side}_mm", "pose_board_{side}_mm", "mm", "board under the tyre"),
        *_sides("ballast_{side}_kg", "pose_ballast_{side}_kg", "kg", "ballast over the axle"),
        _fact("spot"),
        _fact("after_km"),
        _fact("resettled"),
        _CORRECTS,
        _HOLDS,
    ),
    "moves": (*_JOB, *_ENTRY, *_teeth("{side}_{end}"), _CORRECTS, _HOLDS),
    "teardowns": (
        *_JOB,
        Column("teardown", "teardown", "", "0 is the car as found"),
        Column("after_km", "after_km", "km", "driven since hand-over, at a follow-up; empty on hand-over day"),
        Column("at", "at", "RFC 3339", "of the move, or of the first reading; UTC"),
        *_teeth("{side}_{end}"),
        Column("odds", "odds", "0 to 1", "promised that it lands"),
        *_sides("promised_{side}_mm", "promised_{side}_mm", "mm", "body height promised"),
        *_sides("promised_{side}_sd_mm", "promised_{side}_sd_mm", "mm", "its standard deviation"),
        Column("followed", "followed", "", "yes where what was turned was the plan's"),
        *_sides("target_{side}_mm", "target_{side}_mm", "mm", "body height wanted"),
        Column("tolerance_mm", "tolerance_mm", "mm", "allowed of each height, either way"),
        Column("lean_mm", "lean_mm", "mm", "allowed of left less right, either way"),
        *_sides("body_height_{side}_mm", "{side}_mm", "mm", "body height read, mean of repeats"),
        *_sides("hub_to_body_{side}_mm", "hub_{side}_mm", "mm", "hub-to-body height read, mean of repeats"),
        *_sides("hanging_{side}_deg", "hanging_{side}_deg", "deg", "hanging angle to the body, mean"),
        *_sides("riding_{side}_deg", "riding_{side}_deg", "deg", "riding angle to the body, mean"),
        Column("hit", "hit", "", "yes where the target was met on hand-over day"),
        *_sides("settled_{side}_mm", "settled_{side}_mm", "mm", "at a follow-up, above hand-over day"),
        Column("still_within", "still_within", "", "at a follow-up, yes where the target is still met"),
        Column("unsettled", "unsettled", "", "yes where its move is in dispute"),
    ),
}  # fmt: skip
"""Columns of every table, in order."""
_ORDER = {
    "jobs": "first_at, job",
    "readings": "id",
    "moves": "id",
    "teardowns": "at, job, teardown, after_km",
}
_AT = {"readings": "at", "moves": "at", "teardowns": "at"}


def rows(db: Database, name: str, *, since: str = "", until: str = "") -> Iterator[dict[str, Any]]:
    """Rows of a table, in order of time.

    Parameters
    ----------
    name : one of TABLES
    since, until : days, YYYY-MM-DD, both included, UTC; empty for no end. A job is of every day between its
        first and its last entry, the rest of the day they were written.
    """
    columns = TABLES[name]
    titled = f"(SELECT v.*, s.title FROM {name} v LEFT JOIN job_sheets s USING (job))"
    source = {"jobs": "job_sheets", "teardowns": "teardowns"}.get(name, titled)
    select = ", ".join(f"{column.sql} AS {column.name}" for column in columns)
    sql, values = f"SELECT {select} FROM {source}", list[str]()
    if name == "jobs":
        where, values = _worked(since, until)
        sql += where
    for row in db.query(f"{sql} ORDER BY {_ORDER[name]}", values):
        if name in _AT and not _between(row[_AT[name]], since, until):
            continue
        for flag in FLAGS:
            if row.get(flag) in (0, 1):
                row[flag] = bool(row[flag])
        yield row


def jobs_between(db: Database, *, since: str = "", until: str = "") -> list[str] | None:
    """Jobs that were worked on between two days, for the book's file; None for all."""
    if not since and not until:
        return None
    where, values = _worked(since, until)
    return [row[0] for row in db.execute(f"SELECT job FROM job_sheets{where}", values).fetchall()]


def as_csv(db: Database, name: str, *, since: str = "", until: str = "") -> Iterator[bytes]:
    """A table as CSV (RFC 4180), in pieces."""
    names = [column.name for column in TABLES[name]]
    yield table.text(names, []).encode()
    for some in _by_the_thousand(rows(db, name, since=since, until=until)):
        yield table.text(names, some, heading=False).encode()


def as_json(db: Database, name: str, *, since: str = "", until: str = "") -> Iterator[bytes]:
    """A table as JSON, in pieces: its name, whether the book is simulated, its columns with units, its rows."""
    columns = [{"name": c.name, "unit": c.unit, "words": c.words} for c in TABLES[name]]
    head = msgspec.json.encode({"table": name, "simulated": simulated.marked(db), "columns": columns})
    yield head[:-1] + b',"rows":['
    comma = b""
    for some in _by_the_thousand(rows(db, name, since=since, until=until)):
        yield comma + b",\n".join(msgspec.json.encode(row) for row in some)
        comma = b",\n"
    yield b"]}\n"


def _by_the_thousand(found: Iterator[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    while some := list(itertools.islice(found, 1000)):
        yield some


def _worked(since: str, until: str) -> tuple[str, list[str]]:
    """The condition that a job was worked on between two days."""
    return " WHERE last_at >= ? AND first_at < ?", [since, end_of(until)]


def _between(at: str, since: str, until: str) -> bool:
    moment = utc(at)
    return moment >= since and (not until or moment < end_of(until))
