"""Rows of tables as structs, made from the one list of columns (``book.columns``): files, export, history."""

from collections.abc import Sequence
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from bothends.book import facts
from bothends.book.columns import TABLES, TEARDOWNS, Column

__all__ = ["NAMED", "Table", "Teardown"]


def _fields(columns: Sequence[Column]) -> list[facts.Made]:
    """A field of a struct for each column."""
    return [
        (c.name, Annotated[c.type, Meta(description=f"{c.words[0].upper()}{c.words[1:]}{_in(c.unit)}.")])
        for c in columns
    ]


def _in(unit: str) -> str:
    return (
        f", [{unit}]"
        if unit in ("mm", "deg", "kg", "km", "teeth", "turns")
        else f", {unit}"
        if unit == "0 to 1"
        else ""
    )


@facts.adding(_fields(TEARDOWNS))
class Teardown(msgspec.Struct, kw_only=True):
    """A car as found (teardown 0), after a teardown, or at a recheck: turned, predicted and read."""


@facts.adding(_fields(TABLES["jobs"]))
class ListedJob(msgspec.Struct, kw_only=True):
    """A job."""


@facts.adding(_fields(TABLES["readings"]))
class ListedReading(msgspec.Struct, kw_only=True):
    """A reading: its value stands in the column of its kind, the others are null."""


@facts.adding(_fields(TABLES["moves"]))
class ListedMove(msgspec.Struct, kw_only=True):
    """Teeth and adjusters turned in one teardown or adjustment."""


class Described(msgspec.Struct, kw_only=True):
    """A column: its name, its unit where it has one, and what it is."""

    name: str
    unit: str
    words: str


class _Table(msgspec.Struct, kw_only=True, tag_field="table"):
    simulated: Annotated[bool, Meta(description="Whether its cars and readings are invented.")]
    columns: list[Described]


class JobTable(_Table, kw_only=True, tag="jobs"):
    """Jobs, in order of their first record."""

    rows: list[ListedJob]


class MoveTable(_Table, kw_only=True, tag="moves"):
    """Teeth and adjusters turned, in order of their records."""

    rows: list[ListedMove]


class ReadingTable(_Table, kw_only=True, tag="readings"):
    """Readings, in order of their records."""

    rows: list[ListedReading]


class TeardownTable(_Table, kw_only=True, tag="teardowns"):
    """Teardowns, in order of time."""

    rows: list[Teardown]


NAMED = {"Table": JobTable | MoveTable | ReadingTable | TeardownTable}
"""Choices of types that the document names."""
Table = Annotated[dict[str, Any], Meta(extra_json_schema={"$ref": "#/components/schemas/Table"})]
