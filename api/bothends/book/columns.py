"""Columns of every table that leaves the book: headings, units, words, and where they come from.

One list a table. Export, history, the rows of /api/history and their schema are made from it; what is told of each
kind of reading comes from the model's table of facts. Tests hold the book's own tables and DEVELOPERS.md to it.
"""

from collections.abc import Sequence
from typing import Any, NamedTuple

from bothends.model import fields

__all__ = ["TABLES", "TEARDOWNS", "Column", "flags"]


class Column(NamedTuple):
    """One column: its heading, where it comes from in the book, its unit ("" for none), what it is, its type."""

    name: str
    sql: str
    unit: str
    words: str
    type: Any = str | None


_JOB = (
    Column("job", "job", "", "id of the job"),
    Column("title", "title", "", "title of the job"),
    Column("owner", "owner", "", "first name of the owner"),
    Column("car", "car", "", "the car's name"),
)
_ENTRY = (
    Column("id", "id", "", "id of the record"),
    Column("at", "at", "RFC 3339", "when it was written, by the writer's clock"),
    Column("device", "device", "", "who wrote it"),
    Column("teardown", "teardown", "", "how many teardowns came before; for a move, which one it is"),
)
_CORRECTS = Column("corrects", "corrects", "", "id of the record that it takes the place of")
_HOLDS = Column("holds", "holds", "", "yes where it counts; no where it was removed or corrected", bool)


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
        Column(heading.format(side=side), sql.format(side=side), unit, f"{words}, {side}", float | None)
        for side in fields.SIDES
    )


def _teeth(sql: str) -> tuple[Column, ...]:
    return tuple(
        Column(
            f"{side}_{end}_teeth",
            sql.format(side=side, end=end),
            "teeth",
            f"turned at the {side} {end} end, arm down (raises) positive",
            int | None,
        )
        for side in fields.SIDES
        for end in fields.ENDS
    )


def _read(kind: fields.Kind) -> tuple[Column, ...]:
    """What was read of one kind at a stage: a mean for each side."""
    stage = kind.stage.replace("{}", "{side}")
    stem, _, unit = kind.column.rpartition("_")
    heading = stage if kind.angle else f"{stem}_{{side}}_{unit}"
    return _sides(heading, stage, _unit(kind), f"{kind.words} read, mean of repeats")


TEARDOWNS: tuple[Column, ...] = (
    *(column._replace(type=str) for column in _JOB),
    Column("teardown", "teardown", "", "0 is the car as found", int),
    Column(
        "after_km",
        "after_km",
        "km",
        "driven since hand-over, at a recheck; empty on hand-over day",
        float | None,
    ),
    Column("at", "at", "RFC 3339", "of the move, or of the first reading; UTC", str),
    *_teeth("{side}_{end}"),
    Column("odds", "odds", "0 to 1", "predicted chance that it is on target", float | None),
    *(
        column
        for side in fields.SIDES
        for column in (
            Column(
                f"promised_{side}_mm",
                f"promised_{side}_mm",
                "mm",
                f"ride height predicted, {side}",
                float | None,
            ),
            Column(
                f"promised_{side}_sd_mm",
                f"promised_{side}_sd_mm",
                "mm",
                f"its standard deviation, {side}",
                float | None,
            ),
        )
    ),
    Column(
        "followed",
        "followed",
        "",
        "yes where what was turned was the plan's; empty where there was none, or where it was in degrees and the"
        " teeth are not counted",
        bool | None,
    ),
    *_sides(
        "target_{side}_mm", "target_{side}_mm", "mm", "height that the target comes to, empty where to none"
    ),
    Column("tolerance_mm", "tolerance_mm", "mm", "allowed of each height, either way", float | None),
    Column("lean_mm", "lean_mm", "mm", "allowed of left less right, either way", float | None),
    # Heights first, as people look for them.
    *(
        column
        for kind in sorted(fields.KINDS, key=lambda kind: kind.angle)
        if kind.stage
        for column in _read(kind)
    ),
    Column("hit", "hit", "", "yes where the target was met on hand-over day", bool | None),
    *_sides(
        "settled_{side}_mm",
        "settled_{side}_mm",
        "mm",
        "at a recheck, above hand-over day; negative has sunk",
    ),
    Column(
        "still_within", "still_within", "", "at a recheck, yes where the target is still met", bool | None
    ),
    Column("unsettled", "unsettled", "", "yes where its move is in dispute", bool),
)
"""A car as found, after a teardown or at a follow-up. ``sql`` is its name in job_teardowns and in /api/history."""

TABLES: dict[str, tuple[Column, ...]] = {
    "jobs": (
        *_JOB,
        Column("car_key", "car_key", "", "the same at every visit of one car"),
        Column("wish", "wish", "", "the request, in words"),
        Column("state", "state", "", "measuring, planned, torn down, checked or closed"),
        Column("teardowns", "teardowns", "", "how many there were"),
        *_sides("body_height_{side}_mm", "{side}_mm", "mm", "ride height read last"),
        Column("odds", "odds", "0 to 1", "predicted chance of the last plan that was followed"),
        Column("conflicts", "conflicts", "", "conflicts that a person must resolve"),
        Column("entries", "entries", "", "how many records it has"),
        Column("first_at", "first_at", "RFC 3339", "its first record, UTC"),
        Column("last_at", "last_at", "RFC 3339", "its last record, UTC"),
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
        Column("hanging", "pose_hanging", "", "yes where the wheels hung", bool | None),
        *_sides("board_{side}_mm", "pose_board_{side}_mm", "mm", "board under the tyre"),
        *_sides("ballast_{side}_kg", "pose_ballast_{side}_kg", "kg", "ballast over the axle"),
        _fact("spot"),
        _fact("after_km"),
        _fact("resettled"),
        _CORRECTS,
        _HOLDS,
    ),
    "moves": (*_JOB, *_ENTRY, *_teeth("{side}_{end}"), _CORRECTS, _HOLDS),
    "teardowns": TEARDOWNS,
}  # fmt: skip
"""Columns of every table, in order."""


def flags(columns: Sequence[Column]) -> list[str]:
    """Names of the columns that say yes or no; the book has 1 and 0."""
    return [column.name for column in columns if column.type in (bool, bool | None)]
