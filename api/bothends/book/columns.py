"""Columns of every table that leaves the book: headings, units, words, types, and where they come from.

One list a table, and one heading for one thing wherever it stands: in files, in /api/export and /api/history,
in the tables and views that `derived` makes in the book's file, in the rows that the page makes for itself.
What is told of each kind of reading comes from the model's table of facts. A test holds DEVELOPERS.md to it.
"""

from collections.abc import Sequence
from typing import Any, NamedTuple

from bothends.model import fields

__all__ = ["TABLES", "TEARDOWNS", "Column", "in_stage", "kind_of", "selected", "sided", "told"]

ROUNDED = {"mm": 1, "deg": 2, "0 to 1": 3, "%": 2, "kg": 1}
"""Decimals of what was worked out (means, heights predicted, chances), by unit: one more than tape or gauge
show.

What somebody entered is never rounded.
"""


class Column(NamedTuple):
    """One column.

    ``name`` its heading; ``unit`` ("" for none); ``words`` what it is; ``type`` of its values; ``sql`` what
    its view is made with, where that is not called so (`derived`); ``digits`` decimals to which it is rounded
    in files and answers, None for as entered; ``stage`` the steps to it in a stage of `sheet.outcome`, of a
    teardown's columns.
    """

    name: str
    unit: str
    words: str
    type: Any = str | None
    sql: str = ""
    digits: int | None = None
    stage: tuple[str | int, ...] = ()


def _at_stage(name: str, unit: str, words: str, kind: Any, *stage: str | int, given: bool = False) -> Column:
    """A column of a teardown; ``given`` where somebody entered it, so that it is not rounded."""
    return Column(name, unit, words, kind, "", None if given else ROUNDED.get(unit), stage or (name,))


_KEY = Column("car_key", "", "the same at every visit of one car")
_JOB = (
    Column("job", "", "id of the job", str),
    Column("title", "", "title of the job"),
    Column("owner", "", "first name of the owner"),
    Column("car", "", "the car's name"),
    Column("hidden", "", "true where the job is hidden, as made by mistake", bool),
)
_ENTRY = (
    Column("id", "", "id of the record", str),
    Column("at", "RFC 3339", "when it was written, by the writer's clock", str),
    Column("device", "", "who wrote it", str),
    Column(
        "teardown",
        "",
        "how many teardowns came before; for a move, which one it is; empty for none",
        int | None,
    ),
)
_CORRECTS = Column("corrects", "", "id of the record that it takes the place of")
_HOLDS = Column("holds", "", "true where it counts; false where it was removed or corrected", bool)
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
        return Column(name, "", _words(fields.word(f"log.{name}")))
    fact = fields.field(f"log.{name}")
    return Column(name, _unit(fact), _words(fact), int | None if fact.whole else float | None)


def _value(kind: fields.Kind) -> Column:
    sql = f"CASE what WHEN '{kind.name}' THEN value END"
    return Column(kind.column, _unit(kind), _words(kind.value), float | None, sql)


def _spreads() -> tuple[Column, ...]:
    """Standard uncertainties, a column for every unit."""
    units = dict.fromkeys(_unit(kind) for kind in fields.KINDS)
    said = "standard uncertainty, where it was said"
    inside = {u: ", ".join(f"'{k.name}'" for k in fields.KINDS if _unit(k) == u) for u in units}
    return tuple(
        Column(f"sd_{unit}", unit, said, float | None, f"CASE WHEN what IN ({kinds}) THEN sd END")
        for unit, kinds in inside.items()
    )


def _sides(heading: str, sql: str, unit: str, words: str, digits: int | None = None) -> tuple[Column, ...]:
    """A column for the left and one for the right."""
    return tuple(
        Column(heading.format(side), unit, f"{words}, {side}", float | None, sql.format(side), digits)
        for side in fields.SIDES
    )


def sided(name: str) -> str:
    """The heading of a kind's means, {} for the side: before the unit, as in every other heading.

    >>> sided("body_height_mm")
    'body_height_{}_mm'
    """
    stem, _, unit = name.rpartition("_")
    return f"{stem}_{{}}_{unit}"


def _staged(heading: str, place: str, unit: str, words: str) -> tuple[Column, ...]:
    """A column of a teardown for each side, from a place such as "promised.{}_mm"."""
    return tuple(
        _at_stage(
            heading.format(side), unit, f"{words}, {side}", float | None, *place.format(side).split(".")
        )
        for side in fields.SIDES
    )


def _teeth(place: str = "") -> tuple[Column, ...]:
    """Teeth turned at every end: of a move's own body, or from that place of a stage."""
    ends = [(side, end) for side in fields.SIDES for end in fields.ENDS]
    return tuple(
        Column(
            f"{side}_{end}_teeth",
            "teeth",
            f"turned at the {side} {end} end, arm down (raises) positive",
            int | None,
            "" if place else f"{side}_{end}",
            stage=(place, number) if place else (),
        )
        for number, (side, end) in enumerate(ends)
    )


def _turns(place: str = "") -> tuple[Column, ...]:
    """Turns of both adjusters, likewise."""
    return tuple(
        Column(
            f"{side}_turns",
            "turns",
            f"turns (notches) of the {side} wheel's adjuster, raising positive",
            float | None,
            stage=(place, number) if place else (),
        )
        for number, side in enumerate(fields.SIDES)
    )


def _promised(side: str) -> tuple[Column, ...]:
    rows = (
        (f"promised_{side}_mm", f"{side}_mm", f"ride height predicted, {side}"),
        (f"promised_{side}_sd_mm", f"{side}_sd_mm", f"its standard deviation, {side}"),
    )
    return tuple(_at_stage(name, "mm", words, float | None, "promised", at) for name, at, words in rows)


def _read(kind: fields.Kind) -> tuple[Column, ...]:
    """What was read of one kind at a stage: a mean for each side."""
    return _staged(sided(kind.column), kind.stage, _unit(kind), f"{kind.words} read, mean of repeats")


TEARDOWNS: tuple[Column, ...] = (
    *(column._replace(type=bool if column.type is bool else str) for column in (*_JOB, _KEY)),
    _at_stage("teardown", "", "0 is the car as found", int),
    _at_stage(
        "after_km", "km", "driven since hand-over, at a recheck; empty on hand-over day", float | None, given=True
    ),
    _at_stage("at", "RFC 3339", "of the move, or of the first reading; UTC", str),
    *_teeth("turned"),
    *_turns("turns"),
    _at_stage("odds", "0 to 1", "predicted chance that it is on target", float | None, "promised", "odds"),
    *(column for side in fields.SIDES for column in _promised(side)),
    _at_stage(
        "followed",
        "",
        "true where what was turned was the plan's; empty where there was none, or where it was in degrees and the"
        " teeth are not counted",
        bool | None,
    ),
    *_staged(
        "target_{}_mm", "target.{}_mm", "mm", "height that the target comes to, empty where to none"
    ),
    *(
        _at_stage(name, "mm", f"allowed of {what}, either way", float | None, "target", name, given=True)
        for name, what in (("tolerance_mm", "each height"), ("lean_mm", "left less right"))
    ),
    # Heights first, as people look for them.
    *(
        column
        for kind in sorted(fields.KINDS, key=lambda kind: kind.angle)
        if kind.stage
        for column in _read(kind)
    ),
    *(
        _at_stage(name, unit, words, float | None)
        for name, unit, words in (
            ("cross_percent", "%", "right front and left rear as a share of four wheel loads"),
            ("cross_sd_percent", "%", "its standard deviation, by the scales alone"),
            ("cross_kg", "kg", "right front and left rear less the other two"),
            ("cross_sd_kg", "kg", "its standard deviation, by the scales alone"),
        )
    ),
    _at_stage("hit", "", "true where the target was met on hand-over day", bool | None),
    *_staged(
        "settled_{}_mm", "settled.{}_mm", "mm", "at a recheck, above hand-over day; negative has sunk"
    ),
    _at_stage("still_within", "", "at a recheck, true where the target is still met", bool | None),
    _at_stage("unsettled", "", "true where its move is in dispute", bool),
    _at_stage("device", "", "who entered the teeth, else the plan", str | None, "by", "device"),
    _at_stage("writer", "", "the name given there; empty where nobody was asked", str | None, "by", "writer"),
)  # fmt: skip
"""A car as found, after a teardown or at a recheck."""

TABLES: dict[str, tuple[Column, ...]] = {
    "jobs": (
        *_JOB,
        Column(
            "number",
            "",
            "the job's number at this shop",
            int,
            "(SELECT n.number FROM job_numbers n WHERE n.job = job_sheets.job)",
        ),
        _KEY,
        Column("wish", "", "the request, in words"),
        Column("state", "", "measuring, planned, torn down, checked or closed", str),
        Column("teardowns", "", "how many there were", int),
        *_sides(sided(fields.kind("body-height").column), "{}_mm", "mm", "ride height read last", ROUNDED["mm"]),
        Column(
            "odds",
            "0 to 1",
            "predicted chance of the last plan that was followed",
            float | None,
            digits=ROUNDED["0 to 1"],
        ),
        Column("conflicts", "", "conflicts that a person must resolve", int),
        Column("entries", "", "how many records it has", int),
        Column("first_at", "RFC 3339", "its first record, UTC"),
        Column("last_at", "RFC 3339", "its last record, UTC"),
    ),
    "readings": (
        *_JOB,
        *_ENTRY,
        _fact("what"),
        _fact("side"),
        _fact("axle"),
        *(_value(kind) for kind in fields.KINDS),
        Column("datum_deg", "deg", _words(fields.field("log.datum")), float | None, "datum"),
        *_spreads(),
        _fact("reference"),
        Column("method", "", "what it was read with"),
        Column("hanging", "", "true where the wheels hung", bool | None, "pose_hanging"),
        Column("centred", "", "true where the other axle was carried amidships", bool | None, "pose_centred"),
        *_sides("board_{}_mm", "pose_board_{}_mm", "mm", "board under the tyre"),
        *_sides("ballast_{}_kg", "pose_ballast_{}_kg", "kg", "ballast over the axle"),
        _fact("spot"),
        _fact("after_km"),
        _fact("resettled"),
        _CORRECTS,
        _HOLDS,
    ),
    "moves": (*_JOB, *_ENTRY, _fact("axle"), *_teeth(), *_turns(), _CORRECTS, _HOLDS),
    "teardowns": TEARDOWNS,
}  # fmt: skip
"""Columns of every table, in order."""

_KINDS = {int: "INTEGER", bool: "INTEGER", float: "REAL", str: "TEXT"}


def kind_of(column: Column) -> str:
    """The column's type in SQLite, NOT NULL where it always has a value.

    >>> kind_of(TEARDOWNS[0]), kind_of(Column("hit", "", "", bool | None))
    ('TEXT NOT NULL', 'INTEGER')
    """
    plain = next((kind for kind in _KINDS if column.type == kind), None)
    if plain is not None:
        return _KINDS[plain] + " NOT NULL"
    return next(_KINDS[kind] for kind in _KINDS if column.type == kind | None)


def selected(columns: Sequence[Column], *, free: bool = False) -> str:
    """The columns of a view as SELECT has them, rounded.

    ``free`` where they come from bodies of entries: there a newer version may have written something of another
    type, which is null here.

    >>> selected([column for column in TEARDOWNS if column.name in ("odds", "unsettled")])
    'round(odds, 3) + 0.0 AS odds, unsettled AS unsettled'
    """
    made = _typed if free else _plain
    return ", ".join(f"{made(column)} AS {column.name}" for column in columns)


def _plain(column: Column) -> str:
    # The sum makes nought of a negative one.
    return column.name if column.digits is None else f"round({column.name}, {column.digits}) + 0.0"


def _typed(column: Column) -> str:
    name, kind = column.name, kind_of(column)
    if column.digits is not None:
        return _plain(column)
    if column.type in (bool, bool | None):
        return f"CASE WHEN {name} IN (0, 1) THEN {name} END"
    if kind.startswith("TEXT"):
        return f"CAST({name} AS TEXT)"
    number = f"CAST({name} AS INTEGER)" if kind.startswith("INTEGER") else name
    return f"CASE WHEN typeof({name}) IN ('integer', 'real') THEN {number} END"


def told(columns: Sequence[Column], row: dict[str, Any]) -> dict[str, Any]:
    """A row of ``selected`` with true and false where the book has 1 and 0; changed in place."""
    for column in columns:
        if column.type in (bool, bool | None) and row[column.name] is not None:
            row[column.name] = bool(row[column.name])
    return row


def in_stage(column: Column, stage: dict[str, Any]) -> Any:
    """A teardown's value in a stage as `sheet.outcome.stages` gives it; None where there is none.

    >>> in_stage(_teeth("turned")[1], {"turned": [-3, 4, 0, 1]})
    4
    """
    found: Any = stage
    for step in column.stage:
        found = found.get(step) if isinstance(found, dict) else found and found[step]
    return found
